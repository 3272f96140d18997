"""What a change of a part may and may not do, on any bike; textbook statics and linear springs."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from clutchwright import chain
from clutchwright.bike import Bike
from clutchwright.physics import PULL
from clutchwright.physics.cable import Cable
from clutchwright.physics.lever import CamEnd
from clutchwright.physics.springs import CoilSet
from tests.strategies import LAW, between, bikes, coil_sets, frictionless, rigid, stopped_at, with_field

FACTORS = between(0.8, 1.25)


def work_to(bike: Bike, lift: float) -> float:
    """Work at the finger from rest to a lift; NaN where the lever cannot draw so much."""
    travel = float(chain.at_lift(bike, lift, PULL).travel)
    if np.isnan(travel):
        return travel
    response = chain.respond(stopped_at(bike, travel))
    assert response.lift[-1] == pytest.approx(lift, rel=1e-9)
    return float(chain.path_work(response.pull, response.travel))


def scale_cable_radius(bike: Bike, factor: float) -> Bike:
    end = bike.lever.cable_end
    return with_field(bike, "lever", "cable_end", replace(end, radius=end.radius * factor))


def scale(stage: str, name: str):
    return lambda bike, factor: with_field(bike, stage, name, getattr(getattr(bike, stage), name) * factor)


LEVERAGE = {
    "fingers": scale("lever", "finger_radius"),
    "cable radius": scale_cable_radius,
    "arm": scale("arm", "length"),
    "line": lambda bike, factor: scale("line", "ratio" if isinstance(bike.line, Cable) else "area_ratio")(bike, factor),
}


@LAW
@given(bikes(smooth=True), st.sampled_from(sorted(LEVERAGE)), FACTORS)
def test_leverage_only_trades(bike, kind, factor):
    """Without friction and stretch the work to a lift is the same, whatever lies between finger and plate."""
    bike = rigid(frictionless(bike))
    lift = 0.7 * float(chain.at_angle(bike, chain.full_angle(bike), PULL).lift[0])
    changed = LEVERAGE[kind](bike, factor)
    after = work_to(changed, lift)
    assume(not np.isnan(after))
    assert after == pytest.approx(work_to(bike, lift), rel=1e-9)


@LAW
@given(bikes(smooth=True), FACTORS)
def test_fingers_and_cable_radius_leave_the_stretch_alone(bike, factor):
    """The cable's tension at a lift does not know the lever, so a springy line changes nothing about the trade."""
    bike = frictionless(bike)
    lift = 0.7 * float(chain.at_angle(bike, chain.full_angle(bike), PULL).lift[0])
    before = work_to(bike, lift)
    for kind in ("fingers", "cable radius"):
        after = work_to(LEVERAGE[kind](bike, factor), lift)
        assume(not np.isnan(after))
        assert after == pytest.approx(before, rel=1e-9)


@LAW
@given(bikes(), FACTORS)
def test_fingers_further_out_pull_less_by_the_ratio_of_radii(bike, factor):
    """At the same lever rotation the cable is drawn as far: force times radius stays, the free play being set anew."""
    further = LEVERAGE["fingers"](with_field(bike, "lever", "free_play", 0.0), factor)
    angle = 0.7 * chain.full_angle(bike)
    before = chain.at_angle(with_field(bike, "lever", "free_play", 0.0), angle, PULL)
    after = chain.at_angle(further, angle, PULL)
    assert after.force == pytest.approx(before.force / factor, rel=1e-9)
    assert after.travel == pytest.approx(before.travel * factor, rel=1e-9)
    assert after.lift == before.lift


@LAW
@given(bikes(smooth=True), FACTORS)
def test_an_arm_from_a_to_b_takes_tension_and_gives_movement_in_that_ratio(bike, factor):
    bike = replace(rigid(bike), lever=replace(bike.lever, cable_end=CamEnd(0.025), free_play=0.0))
    bike = bike if not isinstance(bike.line, Cable) else with_field(bike, "line", "drag", 0.0)
    angle = 0.7 * chain.full_angle(bike)
    before = chain.at_angle(bike, angle, PULL)
    after = chain.at_angle(LEVERAGE["arm"](bike, factor), angle, PULL)
    assert after.force == pytest.approx(before.force / factor, rel=1e-9)
    assert after.travel == pytest.approx(before.travel * factor, rel=1e-9)
    assert after.lift == before.lift


@st.composite
def bikes_and_springs_out(draw):
    bike = draw(bikes(smooth=True, springs=coil_sets(equal=True)))
    count = len(bike.springs.springs)
    return bike, draw(st.integers(1, count - 2)), count


@LAW
@given(bikes_and_springs_out())
def test_m_of_n_equal_springs_out_take_that_share_of_pull_and_clamp(case):
    """At the same lift, beyond the bite band; drag does not know the springs, so without it."""
    bike, out, count = case
    bike = rigid(bike)
    bike = bike if not isinstance(bike.line, Cable) else with_field(bike, "line", "drag", 0.0)
    fewer = with_field(bike, "springs", "springs", bike.springs.springs[out:])
    left = (count - out) / count
    assert fewer.engaged_clamp == pytest.approx(bike.engaged_clamp * left, rel=1e-12)
    lift = 1.05 * bike.pack.squash(bike.engaged_clamp)
    before, after = chain.at_lift(bike, lift, PULL), chain.at_lift(fewer, lift, PULL)
    assume(not np.isnan(before.force))
    assert after.force == pytest.approx(before.force * left, rel=1e-9)
    assert after.travel == pytest.approx(before.travel, rel=1e-12)


def with_washers(springs: CoilSet, thickness: float) -> CoilSet:
    return replace(springs, springs=tuple(replace(spring, washer=thickness) for spring in springs.springs))


@LAW
@given(coil_sets(), between(1e-4, 2e-3), between(1e-4, 3e-3))
def test_washers_cost_a_larger_share_of_clamp_than_of_load_at_lift(springs, thickness, lift):
    thinner = with_washers(springs, thickness)
    clamp_left = thinner.load_engaged(0.0) / springs.load_engaged(0.0)
    load_left = thinner.load(lift, 0.0) / springs.load(lift, 0.0)
    assert clamp_left < load_left < 1.0


@LAW
@given(coil_sets(equal=True), between(0.0, 2e-3), between(0.0, 3e-3))
def test_equal_springs_with_washers_lose_t_of_p_and_t_of_p_plus_h(springs, thickness, lift):
    preload = springs.springs[0].free_length - springs.springs[0].installed_length
    thinner = with_washers(springs, thickness)
    clamp_left = thinner.load_engaged(0.0) / springs.load_engaged(0.0)
    load_left = thinner.load(lift, 0.0) / springs.load(lift, 0.0)
    assert clamp_left == pytest.approx(1 - thickness / preload, rel=1e-9)
    assert load_left == pytest.approx(1 - thickness / (preload + lift), rel=1e-9)


@LAW
@given(bikes(smooth=True, springs=coil_sets()), between(0.0, 1e-3))
def test_a_worn_pack_is_a_washer_under_each_spring(bike, wear):
    unworn = bike.worn(0.0)
    worn, washed = unworn.worn(wear), replace(unworn, springs=with_washers(unworn.springs, wear))
    for name in ("travel", "pull", "returning", "lift", "clamp"):
        ours, theirs = (getattr(chain.respond(each), name) for each in (worn, washed))
        np.testing.assert_allclose(ours, theirs, rtol=1e-9, atol=1e-12)
