"""Ends of each means, worked out by hand on a clutch without friction and stretch, and as laws on any bike."""

from dataclasses import replace
from math import asin, cos, sin

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from clutchwright import chain
from clutchwright.assess.figures import leverage_floor, measure
from clutchwright.bikefile import assemble
from clutchwright.changes import Step, apply
from clutchwright.changes.limits import RETURN_SHARE, require_within_limits
from clutchwright.errors import Refusal
from clutchwright.physics import PULL, RETURN
from clutchwright.physics.cable import Cable, Hydraulic
from clutchwright.study.means import (
    COMFORTABLE_RETURN,
    MEANS,
    geared,
    helped,
    most_assisted,
    most_geared,
    peak,
    reduction,
    softest,
)
from clutchwright.study.tolerance import random_values
from clutchwright.usecases import DEMOS, read_demo
from tests.strategies import LAW, between, bikes, stopped_at
from tests.unit.assess.simple_bike import simple_bike

# The simple bike lifts 5 mm per radian, its arm is 40 mm square to the cable, its lever 4 to 1; 36 mm of finger travel
# are left after the free play, so that 9 mm of cable turn the arm by asin(9/40). It releases at 0.7 mm.
STOP_ANGLE = asin(9.0 / 40.0)
RELEASE_ANGLE = 0.7 / 5.0


def pull_at(angle: float, leverage: float = 1.0, *, preload: float = 800.0) -> float:
    """Finger force [N] of the simple bike: springs of 80 N/mm, the pinion, the arm, the lever."""
    load = preload + 80.0 * 5.0 * angle
    return load * 0.005 / (0.040 * cos(angle)) / 4.0 / leverage


# By hand


def test_today_is_as_worked_out():
    assert peak(simple_bike())[0] == pytest.approx(pull_at(STOP_ANGLE), rel=1e-9)


def test_leverage_goes_as_far_as_the_release_point():
    """9 mm of cable over 40 sin(0.14) mm of arm: 1.61 times the leverage, and the lever's stop is the release point."""
    most = 9.0 / (40.0 * sin(RELEASE_ANGLE))
    after = MEANS["leverage"].utmost(simple_bike())
    assert after.line.ratio == pytest.approx(most, rel=1e-9)
    assert peak(after)[0] == pytest.approx(pull_at(RELEASE_ANGLE, most), rel=1e-9)


def test_comfort_keeps_a_tenth_of_lift_and_three_millimetres_at_the_finger():
    """Lift of 0.8 mm at the stop, or of 0.7 mm 3 mm of finger travel before it, whichever asks for more."""
    by_lift = 9.0 / (40.0 * sin(0.8 / 5.0))
    by_travel = (9.0 - 3.0 / 4.0) / (40.0 * sin(RELEASE_ANGLE))
    after = MEANS["leverage"].dependable(simple_bike())
    assert after.line.ratio == pytest.approx(min(by_lift, by_travel), rel=1e-9)


def test_springs_go_as_far_as_the_slip_margin():
    """New 48 N m against 30 N m; worn by 1 mm of 10 mm and hot 48 x 0.9 x 0.9: 1.296 times, so 1/1.296 is enough."""
    bike = simple_bike(drive=replace(simple_bike().drive, engine_torque=12.0))
    utmost, dependable = (
        reduction(bike, end(bike))[0] for end in (MEANS["springs"].utmost, MEANS["springs"].dependable)
    )
    assert utmost == pytest.approx(1.0 - 1.0 / 1.296, rel=1e-9)
    assert dependable == pytest.approx(1.0 - 1.1 / 1.296, rel=1e-9)


def test_springs_that_slip_already_stay():
    bike = simple_bike()  # 38.9 N m worn and hot against 40 N m
    assert reduction(bike, MEANS["springs"].utmost(bike))[0] == 0.0


def test_without_friction_there_is_none_to_lose():
    bike = simple_bike()
    for key in ("friction", "hydraulic"):
        assert reduction(bike, MEANS[key].utmost(bike))[0] == pytest.approx(0.0, abs=1e-12)


def test_friction_of_a_bent_cable_is_all_there_is_to_gain():
    """Capstan law: 2 rad at 0.15 take a factor exp(0.3); a serviced cable of 0.08 gives exp(0.14) of it back."""
    bike = simple_bike(line=Cable(bend=2.0, friction=0.15, drag=0.0, compliance=0.0))
    assert reduction(bike, MEANS["friction"].utmost(bike))[0] == pytest.approx(1.0 - np.exp(-0.3), rel=1e-9)
    assert reduction(bike, MEANS["friction"].dependable(bike))[0] == pytest.approx(1.0 - np.exp(-0.14), rel=1e-9)


def test_a_helper_may_take_four_fifths_of_what_a_worn_pack_leaves():
    """Worn by 1 mm the springs press with 80 N less at each lift; the helper takes 0.8 of that pull, new or worn."""
    after = MEANS["assist"].utmost(simple_bike())
    left = [pull_at(angle) - 0.8 * pull_at(angle, preload=720.0) for angle in (RELEASE_ANGLE, STOP_ANGLE)]
    found = [float(chain.at_angle(after, angle, PULL).force) for angle in (RELEASE_ANGLE, STOP_ANGLE)]
    assert found == pytest.approx(left, rel=1e-9)


def test_an_arm_with_an_assist_spring_gets_no_second_one():
    bike = most_assisted(simple_bike())
    with pytest.raises(Refusal, match="assist spring already"):
        most_assisted(bike)


# Laws

FEWER = settings(LAW, max_examples=150)

LEVERAGE = st.one_of(
    between(1.0, 30.0).map(lambda value: Step("perch-shift", {"shift_mm": value})),
    between(12.0, 30.0).map(lambda value: Step("cable-radius", {"radius_mm": value})),
    between(20.0, 60.0).map(lambda value: Step("arm-length", {"length_mm": value})),
    st.tuples(between(1.0, 1.6), between(0.0, 4.0), between(0.0, 1.0)).map(
        lambda given: Step("inline-unit", dict(zip(("ratio", "drag_N", "play_mm"), given, strict=True)))
    ),
    between(0.5, 8.0).map(lambda value: Step("free-play", {"free_play_mm": value})),
    between(50.0, 110.0).map(lambda value: Step("reach-screw", {"rest_span_mm": value})),
)


def usable(bike):
    return float(bike.lever.full_travel - bike.lever.free_play)


@FEWER
@given(bikes(), st.lists(LEVERAGE, min_size=1, max_size=4))
def test_no_leverage_gets_the_mean_pull_below_the_floor(bike, steps):
    """Whatever it does, as long as the clutch still releases; where it gives the fingers more travel, pro rata."""
    assume(isinstance(bike.line, Cable) or all(step.kind != "inline-unit" for step in steps))
    floor = float(leverage_floor(bike)[0])
    assume(not np.isnan(floor))
    try:
        after = apply(bike, steps)
    except Refusal:
        assume(False)
    release = float(chain.at_lift(after, after.pack.release_lift(after.engaged_clamp), PULL).travel)
    assume(release <= float(after.lever.full_travel))  # NaN where it cannot lift so far
    response = chain.respond(stopped_at(after, release))
    free = slice(0, chain.FREE_STEPS + 1)
    in_free_play = chain.smooth_work(response.pull[free], response.travel[free])
    work = chain.path_work(response.pull, response.travel) - in_free_play
    mean_pull = float(work) / (release - float(after.lever.free_play))
    least = floor * usable(bike) / usable(after)
    assert mean_pull >= least * (1.0 - 1e-9)
    assert float(peak(after)[0]) >= least * (1.0 - 1e-9)
    assert float(leverage_floor(after)[0]) == pytest.approx(least, rel=1e-6)


@FEWER
@given(bikes())
def test_the_most_leverage_leaves_exactly_what_was_asked_for(bike):
    spare = 0.05e-3
    today = measure(bike, chain.respond(bike))["release_margin_mm"]
    after = most_geared(bike, spare_lift=spare, spare_travel=0.0)
    left = measure(after, chain.respond(after))["release_margin_mm"]
    if today <= spare * 1e3:
        assert reduction(bike, after)[0] == 0.0
    else:
        assert left == pytest.approx(spare * 1e3, abs=1e-9)


@pytest.mark.parametrize(("new", "hot", "worn"), [(1.2, 0.01, False), (0.01, 0.9, True)])
def test_springs_are_as_soft_as_the_margin_that_is_asked_for_lets_them(new, hot, worn):
    """One margin is asked for, the other given away: new, or at the wear limit and hot."""
    after = softest(simple_bike(), new=new, hot=hot)
    pack, torque = after.pack, after.drive.torque
    clamp = after.springs.load_engaged(pack.wear_limit if worn else 0.0)
    friction = pack.friction_static * (pack.hot_factor if worn else 1.0)
    assert pack.capacity(clamp, friction) / torque == pytest.approx(hot if worn else new)


@FEWER
@given(bikes())
def test_the_softest_springs_just_carry_the_torque(bike):
    after = softest(bike, new=1.0, hot=1.0)
    figures, before = (measure(each, chain.respond(each)) for each in (after, bike))
    least, was = (min(each["slip_margin_new"], each["slip_margin_hot"]) for each in (figures, before))
    assert least == pytest.approx(min(was, 1.0), rel=1e-9)


@FEWER
@given(bikes(smooth=True))
def test_an_assist_spring_keeps_the_limits_and_no_helper_takes_more(bike):
    after = most_assisted(bike)
    require_within_limits(bike, after)
    ideal = helped(bike, 1.0 - RETURN_SHARE)
    angles = chain.full_angle(bike) * np.linspace(0.1, 1.0, 30)
    for wear in (0.0, bike.pack.wear_limit):
        alone, plain = (chain.at_angle(each.worn(wear), angles, RETURN).tension for each in (bike, after))
        assert np.all(plain >= COMFORTABLE_RETURN * alone * (1.0 - 1e-9) - 1e-9)
    tensions = [chain.at_angle(each, angles, PULL).tension for each in (ideal, after)]
    assert np.all(tensions[0] <= tensions[1] * (1.0 + 1e-9) + 1e-9)


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize("key", MEANS)
def test_the_dependable_end_is_never_beyond_the_utmost(demo, key):
    measured = read_demo(demo)
    sampled = assemble(measured, random_values(measured.quantities, 64, np.random.default_rng(5)))
    for bike in (assemble(measured), sampled):
        dependable, utmost = (
            np.maximum(reduction(bike, end(bike)), 0.0) for end in (MEANS[key].dependable, MEANS[key].utmost)
        )
        assert np.all(dependable <= utmost + 1e-12)


@pytest.mark.parametrize("key", MEANS)
def test_each_of_many_bikes_is_alone(key):
    """A row of a sample comes to the same as a sample of that row only."""
    measured = read_demo()
    values = random_values(measured.quantities, 4, np.random.default_rng(2))
    together = reduction(assemble(measured, values), MEANS[key].utmost(assemble(measured, values)))
    for row in range(4):
        own = assemble(measured, {name: column[row : row + 1] for name, column in values.items()})
        assert reduction(own, MEANS[key].utmost(own))[0, 0] == pytest.approx(together[row, 0], abs=1e-9)


def test_a_hydraulic_line_is_geared_by_its_areas():
    bike = simple_bike(line=Hydraulic(area_ratio=1.2, seal_loss=0.05, expansion=0.0))
    assert geared(bike, 0.5).line.area_ratio == pytest.approx(2.4)
    assert MEANS["friction"].dependable(bike) is bike
    with pytest.raises(Refusal, match="hydraulic line"):
        MEANS["hydraulic"].dependable(bike)
