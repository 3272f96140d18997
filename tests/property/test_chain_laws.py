"""What must hold along the stroke of any bike."""

from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from clutchwright import chain
from clutchwright.bike import Bike
from clutchwright.physics import PULL, RETURN
from tests.strategies import (
    LAW,
    between,
    bikes,
    friction_fields,
    frictionless,
    map_floats,
    rigid,
    stopped_at,
    with_field,
)

SHARES = between(0.3, 1.0)
ROUNDING = 1e-12  # of the whole range


def at_stop(bike: Bike) -> chain.Point:
    return chain.at_angle(bike, chain.full_angle(bike), PULL)


def part_way(bike: Bike, share: float) -> Bike:
    """The same bike with its lever stopped after a share of the travel that is left beyond the free play."""
    lever = bike.lever
    return stopped_at(bike, lever.free_play + share * (lever.full_travel - lever.free_play))


def rises(values: np.ndarray) -> bool:
    return bool(np.all(np.diff(values) >= -ROUNDING * values[-1]))


@LAW
@given(bikes())
def test_the_full_angle_is_where_the_lever_stops(bike):
    response = chain.respond(bike)
    assert at_stop(bike).travel == pytest.approx(bike.lever.full_travel, rel=1e-10)
    assert response.travel[-1] == pytest.approx(bike.lever.full_travel, rel=1e-10)
    assert response.lift[-1] == pytest.approx(float(at_stop(bike).lift[0]), rel=1e-10)
    assert response.travel[0] == pytest.approx(0.0, abs=1e-12)
    assert np.all(response.lift[: chain.TOUCH + 1] == 0.0)


@LAW
@given(bikes())
def test_lift_rises_and_clamp_falls_with_travel(bike):
    response = chain.respond(bike)
    assert rises(response.travel)
    assert rises(response.lift)
    assert np.all(np.diff(response.clamp) <= ROUNDING * response.clamp[0])
    assert np.all(response.clamp >= 0.0)
    assert np.any(response.clamp == 0.0) == (response.lift[-1] >= bike.pack.squash(bike.engaged_clamp))


@LAW
@given(bikes())
def test_the_pull_is_at_least_the_return_at_each_arm_angle(bike):
    response = chain.respond(bike)
    # a nanonewton, since where an assist spring begins to act both are nothing but rounding
    assert np.all(response.pull >= response.returning * (1.0 - ROUNDING) - 1e-9)
    assert np.all(response.returning >= 0.0)


@LAW
@given(bikes(), SHARES)
def test_the_pull_is_at_least_the_return_at_each_travel(bike, share):
    pulled = at_stop(part_way(bike, share))
    # with less tension the cable is less stretched, so on the return the arm stands further on at the same travel
    rigid_angle = bike.arm.rotation((pulled.drawn - bike.lever.free_draw) / bike.line.ratio)
    angle = chain.increasing_root(
        lambda angle: chain.at_angle(bike, angle, RETURN).drawn - pulled.drawn,
        pulled.arm_angle,
        np.maximum(rigid_angle, pulled.arm_angle),
    )
    let_out = chain.at_angle(bike, angle, RETURN)
    assert let_out.travel == pytest.approx(pulled.travel, rel=1e-9)
    assert let_out.force <= pulled.force * (1.0 + 1e-9)


@LAW
@given(bikes(), SHARES, st.data())
def test_more_friction_never_lowers_the_pull_at_a_travel(bike, share, data):
    bike = part_way(bike, share)
    stage, name = data.draw(st.sampled_from(friction_fields(bike)))
    more = with_field(bike, stage, name, getattr(getattr(bike, stage), name) + data.draw(between(0.0, 0.05)))
    assert at_stop(more).force >= at_stop(bike).force * (1.0 - 1e-9)


@LAW
@given(bikes())
def test_without_friction_the_way_back_is_the_way_in(bike):
    response = chain.respond(frictionless(bike))
    np.testing.assert_allclose(response.return_travel, response.travel, rtol=1e-12)
    np.testing.assert_allclose(response.returning, response.pull, rtol=1e-12)


@LAW
@given(bikes(), SHARES)
def test_without_friction_and_stretch_the_force_ratio_is_the_motion_ratio(bike, share):
    bike = replace(rigid(frictionless(bike)), arm=replace(bike.arm, assist=None))
    angle, step = share * float(chain.full_angle(bike)[0]), 1e-6
    before, here, after = (chain.at_angle(bike, angle + turn, PULL) for turn in (-step, 0.0, step))
    bearing_motion = (bike.lift.travel(angle + step) - bike.lift.travel(angle - step)) / (after.travel - before.travel)
    plate_motion = (after.lift - before.lift) / (after.travel - before.travel)
    assert here.force == pytest.approx(here.bearing_force * bearing_motion, rel=1e-6)
    assert here.force == pytest.approx((here.spring_load - here.clamp) * plate_motion, rel=1e-6)


@LAW
@given(bikes(), SHARES, st.sampled_from([PULL, RETURN]))
def test_a_lift_is_found_again(bike, share, direction):
    there = chain.at_angle(bike, share * float(chain.full_angle(bike)[0]), direction)
    found = chain.at_lift(bike, there.lift, direction)
    assert found.arm_angle == pytest.approx(there.arm_angle, rel=1e-9)
    assert found.force == pytest.approx(there.force, rel=1e-7, abs=1e-9)


SAMPLES = 3


def spread(bike: Bike, seed: int, only: int | None = None) -> tuple[Bike, list[Bike]]:
    """A sampled bike with each float field (or only one) spread by 2 %, and the same as separate bikes."""

    def build(sample: int | None) -> Bike:
        rng, count = np.random.default_rng(seed), iter(range(1000))

        def change(value: float) -> object:
            spread_values = value * rng.uniform(0.98, 1.02, SAMPLES)
            if only not in (None, next(count)):
                return value
            return spread_values[:, np.newaxis] if sample is None else float(spread_values[sample])

        return map_floats(bike, change)

    return build(None), [build(sample) for sample in range(SAMPLES)]


def assert_rows_equal(sampled: chain.Response, singles: list[chain.Response]) -> None:
    for field in fields(chain.Response):
        rows = np.stack([getattr(single, field.name) for single in singles])
        scale = float(np.max(np.abs(rows)))
        found = np.broadcast_to(getattr(sampled, field.name), rows.shape)
        np.testing.assert_allclose(found, rows, rtol=1e-9, atol=1e-12 * scale, err_msg=field.name)


@LAW
@given(bikes(), st.integers(0, 2**32 - 1))
def test_a_sampled_bike_is_the_row_of_its_bikes(bike, seed):
    sampled, singles = spread(bike, seed)
    response = chain.respond(sampled)
    assert response.pull.shape == (SAMPLES, chain.BITE_END + chain.REST_STEPS + 1)
    assert_rows_equal(response, [chain.respond(single) for single in singles])


@LAW
@given(bikes(), st.integers(0, 2**32 - 1), st.integers(0, 60))
def test_one_sampled_field_is_enough(bike, seed, only):
    sampled, singles = spread(bike, seed, only)
    assert_rows_equal(chain.respond(sampled), [chain.respond(single) for single in singles])
