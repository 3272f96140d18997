"""Mechanisms that stay in, snap through, jam or run out of travel are never called sound."""

from __future__ import annotations

from math import radians

import pytest

from clutchwright import bikefile, usecases
from clutchwright.errors import InputError
from clutchwright.quantity import Quantity


def found(demo: str, **values: float):
    text = usecases.demo_text(demo)
    for key, value in values.items():
        text = bikefile.set_value(text, key.replace("__", "."), Quantity(value, 0.0, "estimated"))
    return usecases.assess_bike(bikefile.loads(text, demo))


def failed(assessment) -> set[str]:
    return {check.key for check in assessment.checks if check.state == "failed"}


def test_a_lever_that_friction_holds_in():
    # capstan law: return over pull is exp(-2 mu theta), here exp(-2 x 0.5 x 5.24) = 0.5 %
    held = found("six-spring-rack", cable__friction=0.5, cable__bend_deg=300.0, cable__drag_N=20.0)
    assert held.verdict.word == "unsafe"
    assert "returns" in failed(held)
    assert radians(300.0) == pytest.approx(5.24, abs=0.01)


def test_a_diaphragm_that_snaps_through():
    # h0/t of 3.3: far above sqrt 2 the load of a disc falls, and below 0 beyond 1.9 of its cone
    snapped = found(
        "diaphragm-cam",
        springs__thickness_mm=0.9,
        springs__cone_height_mm=3.0,
        springs__deflection_mm=2.3,
        drive__engine_torque_Nm=12.0,
    )
    assert snapped.verdict.word == "unsafe"
    assert "returns" in failed(snapped)


def test_a_cam_drawn_to_its_dead_centre():
    dead = found("diaphragm-cam", lift__start_angle_deg=40.0, arm__length_mm=12.0, arm__cable_angle_deg=60.0)
    assert dead.verdict.word == "unsafe"
    assert "dead_point" in failed(dead)


def test_a_lift_table_that_ends_before_the_lever_does():
    text = usecases.demo_text("six-spring-rack")
    start, end = text.index("[lift]"), text.index("[springs]")
    table = '[lift]\nkind = "table"\npoints = [[0, 0], [10, 0.8], [20, 1.6]]\nfriction = 0.06\n\n'
    short = bikefile.set_value(text[:start] + table + text[end:], "arm.length_mm", Quantity(20.0, 0.0, "estimated"))
    assessment = usecases.assess_bike(bikefile.loads(short, "short"))
    assert assessment.verdict.word == "unsafe"
    assert "dead_point" in failed(assessment)


def test_a_pack_worn_past_its_limit():
    worn = found("six-spring-rack", pack__wear_mm=5.0)
    assert worn.verdict.word == "unsafe"
    assert "wear" in failed(worn)


def test_a_screw_that_jams():
    text = usecases.demo_text("six-spring-rack")
    start, end = text.index("[lift]"), text.index("[springs]")
    screw = '[lift]\nkind = "screw"\nlead_mm = 150\nthread_diameter_mm = 6\n\n'
    with pytest.raises(InputError, match="no moment would raise it"):
        bikefile.loads(text[:start] + screw + text[end:], "screw")


def test_springs_loose_at_the_wear_limit_clamp_with_nothing():
    loose = found("six-spring-rack", pack__wear_limit_mm=10.0)
    assert loose.figures["clamp_worn_N"] == 0.0
    assert loose.figures["slip_margin_hot"] == 0.0
    assert loose.verdict.word == "unsafe"


def test_an_unknown_uncertainty_is_no_certainty():
    from clutchwright.assess.verdict import RULES

    rule = RULES[0]
    word, sentence = rule.apply(5.0, float("nan"))
    assert word == "marginal"
    assert "could not be worked out" in sentence
