"""What each kind of reading would show, against hand arithmetic on the first demo bike."""

from __future__ import annotations

import math

import numpy as np
import pytest

from clutchwright import readings, usecases
from clutchwright.bikefile import assemble
from clutchwright.calibrate.forward import FORWARD, along, predicted, situation
from clutchwright.chain import respond
from clutchwright.changes import parse
from clutchwright.errors import InputError

BIKE = usecases.read_demo()
VALUE = {key: quantity.value for key, quantity in BIKE.quantities.items()}
MU_THETA = VALUE["cable.friction"] * math.radians(VALUE["cable.bend_deg"])
ENGAGED = 6 * 27.0 * (41.0 - 32.0)  # six springs, N


def shown(name, position="", at=0.0, spring=0, bike=BIKE, steps=()):
    now = situation(bike, {}, steps, at if position == "travel" else 0.0)
    return float(predicted(now, name, position, np.array([[at]]), spring)[0, 0])


BY_HAND = {
    "spring load": (("spring_load", "length", 0.030, 2), 27.0 * (41.0 - 30.0)),
    "spring free": (("spring_free", "", 0.0, 5), 0.041),
    # capstan law, Beer et al.; drag on top, and against on the return
    "cable pull": (("cable_pull", "weight", 50.0), 50.0 * math.exp(MU_THETA) + 2.0),
    "cable return": (("cable_return", "weight", 50.0), 50.0 * math.exp(-MU_THETA) - 2.0),
    "cable return of nothing": (("cable_return", "weight", 0.0), 0.0),
    # mean of the capstan profile times compliance, the arm's tension from the lever's
    "stretch": (
        ("stretch", "tension", 102.0),
        0.004e-3 * 100.0 * math.exp(-MU_THETA) * (math.exp(MU_THETA) - 1.0) / MU_THETA,
    ),
    # z mu r_m F: Shigley, ch. 16, uniform wear
    "hub slip": (("hub_slip",), 14 * 0.13 * (0.122 + 0.098) / 4.0 * ENGAGED),
    "crank slip": (("crank_slip",), 14 * 0.13 * (0.122 + 0.098) / 4.0 * ENGAGED / (2.9 * 0.98)),
    # rack: h = r alpha
    "lift by arm": (("lift", "arm_turn", math.radians(10.0)), 4.5e-3 * math.radians(10.0)),
    # spring load less what the pack still carries, beyond its squash: all of it
    "bearing": (("bearing", "lift", 1.0e-3), 6 * 27.0 * (9.0 + 1.0)),
    "bearing within the bite band": (("bearing", "lift", 0.1e-3), 6 * 27.0 * 9.1 - ENGAGED * (1.0 - 0.1 / 0.25)),
    # M (1 + kappa)/(r sin(chi0 + alpha))
    "arm pull": (
        ("arm_pull", "arm_turn", math.radians(10.0)),
        6 * 27.0 * (9.0 + 4.5 * math.radians(10.0)) * 4.5 * 1.06 / (32.0 * math.sin(math.radians(90.0))),
    ),
    "arm return": (
        ("arm_return", "arm_turn", math.radians(10.0)),
        6 * 27.0 * (9.0 + 4.5 * math.radians(10.0)) * 4.5 * 0.94 / (32.0 * math.sin(math.radians(90.0))),
    ),
    # r (cos psi0 - cos(psi0 + s/r_f))
    "drawn": (
        ("drawn", "travel", 0.020),
        0.026 * (math.cos(math.radians(80.0)) - math.cos(math.radians(80.0) + 20.0 / 82.0)),
    ),
    "a key of the bike file": (("lever.free_play_mm",), 3e-3),
}


@pytest.mark.parametrize("name", BY_HAND)
def test_against_hand_arithmetic(name):
    what, expected = BY_HAND[name]
    assert shown(*what) == pytest.approx(expected, rel=1e-9)


def test_along_the_travel_it_is_the_chain_itself():
    response = respond(assemble(BIKE))
    for place in (20, 60, 120, 200):
        travel = float(response.travel[place])
        assert shown("pull", "travel", travel) == pytest.approx(response.pull[place], rel=1e-3)
        assert shown("lift", "travel", travel) == pytest.approx(response.lift[place], rel=1e-3)
        back = float(response.return_travel[place])
        assert shown("return", "travel", back) == pytest.approx(response.returning[place], rel=2e-3)


def test_the_hook_reads_less_than_the_finger_in_the_ratio_of_the_radii():
    for name in ("pull", "return"):
        assert shown(f"hook_{name}", "travel", 0.03) == pytest.approx(shown(name, "travel", 0.03) * 82.0 / 100.0)


def test_arm_and_lift_move_together():
    turn, travel, lift = (shown(name, "travel", 0.03) for name in ("arm_turn", "arm_travel", "lift"))
    assert lift == pytest.approx(4.5e-3 * turn, rel=1e-9)
    angle = math.radians(80.0)
    assert travel == pytest.approx(0.032 * (math.cos(angle) - math.cos(angle + turn)), rel=1e-9)


def test_where_it_bites_is_the_figure_of_the_assessment():
    figures = usecases.assess_bike(BIKE).figures
    assert shown("bite_start") == pytest.approx(figures["bite_start_mm"] * 1e-3)
    assert shown("bite_creep") == pytest.approx(figures["bite_creep_mm"] * 1e-3)


def test_a_change_shows_in_the_reading():
    longer = (parse("arm-length:length_mm=38"),)
    ratio = shown("arm_pull", "arm_turn", 0.1, steps=longer) / shown("arm_pull", "arm_turn", 0.1)
    assert ratio == pytest.approx(32.0 / 38.0)


def test_many_bikes_at_once_are_the_same_as_one_by_one():
    mu = np.array([[0.08], [0.12], [0.2]])
    at = np.array([[0.01, 0.02, 0.04]])
    for name in ("hook_pull", "return", "lift", "arm_travel"):
        together = predicted(situation(BIKE, {"cable.friction": mu}, (), 0.04), name, "travel", at, 0)
        for row, value in zip(together, mu[:, 0], strict=True):
            alone = predicted(situation(BIKE, {"cable.friction": value}, (), 0.04), name, "travel", at, 0)[0]
            assert row == pytest.approx(alone, rel=1e-9)


def test_curves_are_read_row_by_row_and_end_where_they_end():
    places = np.array([[0.0, 1.0, 2.0], [0.0, 2.0, 4.0], [0.0, np.nan, 1.0]])
    found = along(places, np.array([[0.0, 10.0, 20.0]]), np.array([[-1.0, 0.5, 3.0]]))
    assert found[0].tolist() == pytest.approx([0.0, 5.0, 20.0])
    assert found[1].tolist() == pytest.approx([0.0, 2.5, 15.0])
    assert np.isnan(found[2]).all()


def test_every_kind_has_its_model():
    assert set(FORWARD) == set(readings.KINDS)


@pytest.mark.parametrize(
    ("what", "demo", "words"),
    [
        (("hook_pull", "travel", 0.02), "four-spring-ramp", "lever.hook_radius_mm"),
        (("stack",), "six-spring-rack", "pack.stack_mm"),
        (("spring_free",), "diaphragm-cam", "diaphragm spring"),
        (("spring_load", "length", 0.03, 9), "six-spring-rack", "there are 6 places"),
    ],
)
def test_what_the_bike_does_not_have_is_said(what, demo, words):
    with pytest.raises(InputError, match=words):
        shown(*what, bike=usecases.read_demo(demo))


def test_springs_that_differ_must_be_named():
    from clutchwright import bikefile
    from clutchwright.quantity import Quantity

    text = bikefile.set_value(
        usecases.demo_text(usecases.DEMOS[0]), "springs.each.3.free_length_mm", Quantity(40.2, 0.1)
    )
    bike = bikefile.loads(text, "mine.toml")
    assert shown("spring_free", spring=3, bike=bike) == pytest.approx(0.0402)
    assert shown("spring_free", spring=2, bike=bike) == pytest.approx(0.041)
    with pytest.raises(InputError, match="say which one"):
        shown("spring_free", bike=bike)


def test_the_stack_is_the_new_one_less_its_wear():
    from clutchwright import bikefile
    from clutchwright.quantity import Quantity

    text = bikefile.set_value(usecases.demo_text(usecases.DEMOS[0]), "pack.stack_mm", Quantity(36.0, 0.1))
    text = bikefile.set_value(text, "pack.wear_mm", Quantity(0.4, 0.1))
    assert shown("stack", bike=bikefile.loads(text, "mine.toml")) == pytest.approx(35.6e-3)
