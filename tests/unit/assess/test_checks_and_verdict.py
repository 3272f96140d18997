"""Checks at and around their limits, and the words they lead to."""

from __future__ import annotations

from dataclasses import replace

import pytest

from clutchwright.assess.checks import at_least, at_most, run_checks
from clutchwright.assess.figures import measure
from clutchwright.assess.gaps import measured_gaps
from clutchwright.assess.verdict import RULES, judge, warnings, worst_rule
from clutchwright.chain import respond
from clutchwright.physics.assist import AssistSpring
from clutchwright.physics.diaphragm import Diaphragm
from clutchwright.physics.springs import Wire
from tests.unit.assess.simple_bike import simple_bike


@pytest.mark.parametrize(
    ("value", "state"), [(0.99, "failed"), (1.0, "tight"), (1.49, "tight"), (1.5, "passed"), (float("nan"), "failed")]
)
def test_at_least(value, state):
    assert at_least("key", "label", value, limit=1.0, tight=1.5, unit="mm", note="").state == state


@pytest.mark.parametrize(
    ("value", "state"), [(2.01, "failed"), (2.0, "tight"), (1.51, "tight"), (1.5, "passed"), (float("nan"), "failed")]
)
def test_at_most(value, state):
    assert at_most("key", "label", value, limit=2.0, tight=1.5, unit="mm", note="").state == state


def checks_of(bike):
    return {check.key: check for check in run_checks(bike, respond(bike))}


def test_what_was_not_measured_is_not_checked():
    found = checks_of(simple_bike())
    for key in ("bolt_room", "thread", "stress", "arm_room"):
        assert found[key].state == "not checked"
        assert "measure" in found[key].sentence


def measured_room(**values):
    bike = simple_bike()
    return replace(bike, clearance=replace(bike.clearance, **values))


def test_bolt_room_takes_washer_and_outward_lift():
    bike = measured_room(bolt_to_cover=0.004)
    lift = measure(bike, respond(bike))["lift_full_mm"]
    assert checks_of(bike)["bolt_room"].value == pytest.approx(4.0 - lift)
    washed = replace(bike.springs, springs=tuple(replace(spring, washer=1e-3) for spring in bike.springs.springs))
    assert checks_of(replace(bike, springs=washed))["bolt_room"].value == pytest.approx(3.0 - lift)
    assert checks_of(measured_room(bolt_to_cover=0.004, plate_moves="inward"))["bolt_room"].value == pytest.approx(4.0)


@pytest.mark.parametrize(("boss", "limit"), [("steel", 1.0), ("aluminium", 1.5)])
def test_thread_engagement_limits(boss, limit):
    check = checks_of(measured_room(thread_engagement=0.009, bolt_diameter=0.006, boss=boss))["thread"]
    assert check.value == pytest.approx(1.5)
    assert check.limit == limit


def test_coil_bind_gap():
    bike = simple_bike()
    lift = measure(bike, respond(bike))["lift_full_mm"]
    assert checks_of(bike)["coil_bind"].value == pytest.approx(30.0 - lift - 20.0)
    unknown = tuple(replace(spring, solid_length=None) for spring in bike.springs.springs)
    assert checks_of(replace(bike, springs=replace(bike.springs, springs=unknown)))["coil_bind"].state == "not checked"


def test_coil_bind_is_tight_below_the_gaps_that_the_turns_need():
    # least gaps 6 (0.0015 18²/3 + 0.1 3) = 2.772 mm
    bike = simple_bike()
    lift = measure(bike, respond(bike))["lift_full_mm"] * 1e-3
    wire = Wire(0.003, 0.021, 8.0, "squared ground", "oil tempered")
    for gap, state in ((2.773e-3, "passed"), (2.771e-3, "tight"), (0.299e-3, "failed")):
        tight = tuple(replace(spring, solid_length=30e-3 - lift - gap) for spring in bike.springs.springs)
        found = checks_of(replace(bike, springs=replace(bike.springs, springs=tight, wire=wire)))["coil_bind"]
        assert found.state == state


def test_wire_stress_against_its_limit():
    # at full lift a spring carries 20 N/mm * (10 mm + lift); k = (6 + 0.5)/(6 - 0.75), D/d = 18/3
    bike = simple_bike()
    wire = Wire(0.003, 0.021, 8.0, "squared ground", "oil tempered")
    lift = measure(bike, respond(bike))["lift_full_mm"]
    check = checks_of(replace(bike, springs=replace(bike.springs, wire=wire)))["stress"]
    stress = (6.5 / 5.25) * 8.0 * 20.0 * (10.0 + lift) * 18.0 / (3.14159265 * 27.0)
    assert check.value == pytest.approx(stress, rel=1e-6)
    assert check.limit == pytest.approx(0.56 * 1855.0 / 3.0**0.187, rel=1e-6)


def test_a_balanced_pattern_neither_tilts_nor_shakes():
    bike = simple_bike()
    springs = replace(bike.springs, mass=0.030)
    drive = replace(bike.drive, top_speed=1000.0, clutch_mass=3.0)
    found = checks_of(replace(bike, springs=springs, drive=drive))
    assert found["tilt"].value == pytest.approx(0.0, abs=1e-9)
    assert found["unbalance"].value == pytest.approx(0.0, abs=1e-9)
    assert found["unbalance"].limit == pytest.approx(6.3e-3 * 3.0 / 400.0 * 1e6)
    assert checks_of(bike)["unbalance"].state == "not checked"


def test_a_missing_spring_tilts_and_shakes():
    bike = simple_bike()
    springs = replace(bike.springs, mass=0.030, springs=bike.springs.springs[1:])
    drive = replace(bike.drive, top_speed=1000.0, clutch_mass=3.0)
    found = checks_of(replace(bike, springs=springs, drive=drive))
    # springs at 90, 180, 270 degrees on R: sum k = 3k, sum kx = -kR, sum kx2 = kR2, so w0 = F/(2k), ax = F/(2kR), and
    # the plate loses lift/R per radius: at the pack's edge 60/40 of the lift
    stroke = replace(bike, springs=springs)
    assert found["tilt"].value == pytest.approx(1.5 * measure(stroke, respond(stroke))["lift_full_mm"])
    assert found["tilt"].state == "failed"
    assert found["unbalance"].value == pytest.approx(30.0 * 40.0)
    assert found["unbalance"].state == "failed"


def test_arm_room_and_past_square():
    bike = measured_room(arm_room=0.012)
    found = checks_of(bike)
    assert found["arm_room"].value == pytest.approx(12.0 - 40.0 * found["arm_square"].value * 3.14159265 / 180.0)


def test_an_assist_spring_that_holds_the_arm_fails():
    bike = simple_bike()
    strong = AssistSpring(0.0, 4000.0, 0.020, 0.03, 0.0)
    assert checks_of(replace(bike, arm=replace(bike.arm, assist=strong)))["returns"].state == "failed"


def test_a_diaphragm_has_its_own_checks():
    spring = Diaphragm(0.125, 0.098, 1.7e-3, 2.7e-3, 2.2e-3, 0.0615, 0.050, 0.024, 206e9)
    found = checks_of(replace(simple_bike(), springs=spring))
    assert found["stress"].unit == "MPa"
    assert "thread" not in found
    assert measured_gaps(replace(simple_bike(), springs=spring), full_lift=1e-3, full_angle=0.2) == {}


GOOD = {"release_margin_mm": 0.5, "release_margin_finger_mm": 10.0, "slip_margin_new": 1.5, "slip_margin_hot": 1.2}


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.key)
@pytest.mark.parametrize("word", ["sound", "marginal", "unsafe", "nowhere"])
def test_each_rule_decides_alone(rule, word):
    value = {
        "sound": rule.comfort,
        "marginal": 0.5 * (rule.limit + rule.comfort),
        "unsafe": rule.limit - 0.01,
        "nowhere": float("nan"),
    }[word]
    verdict = judge({**GOOD, rule.key: value}, ())
    assert verdict.word == ("unsafe" if word == "nowhere" else word)
    assert len(verdict.reasons) == len(RULES)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.key)
def test_a_margin_that_may_well_not_be_there_is_marginal(rule):
    # 1.645 standard uncertainties leave 5 % on one side of a normal distribution
    far = 10.0 * rule.comfort + rule.limit
    assert rule.apply(far, (far - rule.limit) / 1.66)[0] == "sound"
    word, sentence = rule.apply(far, (far - rule.limit) / 1.63)
    assert word == "marginal"
    assert f"the chance that it {rule.event} is about 5%" in sentence


def test_the_word_counts_uncertainty_and_the_worst_comes_first():
    u = {"release_margin_mm": 0.4, "slip_margin_hot": 0.01}
    verdict = judge(GOOD, (), u)
    assert verdict.word == "marginal"
    assert verdict.reasons[0].startswith("It releases with 0.50")
    assert "about 10%" in verdict.reasons[0]  # 1.25 standard uncertainties: 0.1056, told in tens
    assert worst_rule(GOOD, {**dict.fromkeys(GOOD, 0.1), "release_margin_mm": 0.4}).key == "release_margin_mm"


def test_a_failed_check_makes_it_unsafe_and_comes_first():
    failed = at_least("bolt_room", "Bolts to cover", 0.5, limit=1.0, tight=1.5, unit="mm", note="")
    verdict = judge(GOOD, (failed,))
    assert verdict.word == "unsafe"
    assert verdict.reasons[0].startswith(
        "Bolts to cover: only 0.50\N{NO-BREAK SPACE}mm (below 1\N{NO-BREAK SPACE}mm is unsafe)"
    )


def test_warnings_name_what_was_not_checked_and_the_free_play():
    bike = simple_bike()
    response = respond(bike)
    found = " ".join(warnings(measure(bike, response), run_checks(bike, response)))
    assert "Spring bolts to cover" in found
    assert "0.12 mm of pack (12% of the wear limit)" in found or "0.13 mm of pack (12% of the wear limit)" in found
    assert "goes on slipping" in found


def test_a_tight_check_says_both_thresholds():
    left = at_least("returns", "Share of the pull left", 18.8, limit=5.0, tight=20.0, unit="%", note="")
    past = at_most("arm_square", "Cable past square", 17.0, limit=20.0, tight=16.0, unit="°", note="")
    assert left.sentence.replace("\N{NO-BREAK SPACE}", " ") == (
        "Share of the pull left: only 18.8 % (below 20 % is tight, below 5 % unsafe)"
    )
    assert past.sentence.replace("\N{NO-BREAK SPACE}", " ") == (
        "Cable past square: 17.0 ° (above 16 ° is tight, above 20 ° too much)"
    )
