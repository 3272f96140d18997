"""Poses of the mechanism against the chain, and against the geometry of lever and arm worked out from outside."""

from dataclasses import replace
from math import hypot, radians

import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings

from clutchwright.bikefile import assemble
from clutchwright.chain import at_angle, respond
from clutchwright.changes import Step
from clutchwright.physics import PULL, RETURN
from clutchwright.physics.cable import Cable
from clutchwright.physics.lever import CamEnd, FarCable
from clutchwright.study.mechanism import mechanism, mechanisms
from clutchwright.usecases import DEMOS, assess_bike, read_demo
from tests.strategies import LAW, bikes

TURNING = slice(2, None)  # poses in which the arm turns, behind free play and drawing taut
FEWER = hypothesis_settings(LAW, max_examples=100)


@pytest.mark.parametrize("demo", DEMOS)
def test_poses_are_the_chain_at_the_same_arm_angle(demo):
    bike = assemble(read_demo(demo))
    poses = mechanism(bike).poses
    for direction, travel, force in (
        (PULL, poses.travel_mm, poses.pull_N),
        (RETURN, poses.return_travel_mm, poses.return_N),
    ):
        point = at_angle(bike, np.radians(poses.arm_deg[TURNING]), direction)
        np.testing.assert_allclose(travel[TURNING], point.travel * 1e3, rtol=1e-9)
        np.testing.assert_allclose(force[TURNING], point.force, rtol=1e-9)
        np.testing.assert_allclose(poses.lift_mm[TURNING], point.lift * 1e3, rtol=1e-9, atol=1e-12)
        np.testing.assert_allclose(poses.clamp_N[TURNING], point.clamp, rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize("demo", DEMOS)
def test_between_poses_a_straight_line_is_near_enough(demo):
    """A tenth of the newton and a thousandth of the millimetre that the drawing writes."""
    bike = assemble(read_demo(demo))
    poses, response = mechanism(bike).poses, respond(bike)
    for values, exact, fine in ((poses.pull_N, response.pull, 0.1), (poses.lift_mm, response.lift * 1e3, 1e-3)):
        between = np.interp(response.travel * 1e3, poses.travel_mm, values)
        np.testing.assert_allclose(between, exact, atol=fine)


@FEWER
@given(bike=bikes())
def test_lever_and_arm_keep_their_radii_and_the_cable_its_length(bike):
    """Points turned about their pivots; cable drawn at the lever = (moved at the arm + stretch) x ratio + free play."""
    poses = mechanism(bike).poses
    end = bike.lever.cable_end
    drawn = [drawn_by_points(end, radians(turned)) * 1e3 for turned in poses.lever_deg]
    np.testing.assert_allclose(poses.cable_mm, drawn, rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(poses.travel_mm, np.radians(poses.lever_deg) * bike.lever.finger_radius * 1e3, rtol=1e-9)
    arm = bike.arm
    turn = arm.cable_angle + np.radians(poses.arm_deg[TURNING])
    moved = arm.length * (np.cos(arm.cable_angle) - np.cos(turn))
    tension = np.maximum(at_angle(bike, np.radians(poses.arm_deg[TURNING]), PULL).tension, 0.0)
    line = bike.line
    lost = mean_tension(line, tension) * line.compliance if isinstance(line, Cable) else tension * line.expansion
    expected = (moved + lost) * line.ratio + drawn_by_points(end, bike.lever.free_play / bike.lever.finger_radius)
    np.testing.assert_allclose(poses.cable_mm[TURNING], expected * 1e3, rtol=1e-7, atol=1e-9)


def drawn_by_points(end, turned):
    """How much further the cable end is from the adjuster [m], which lies to the right of it at rest."""
    if isinstance(end, CamEnd):
        return end.radius * turned
    start = end.radius * np.array([np.cos(end.angle), np.sin(end.angle)])
    now = end.radius * np.array([np.cos(end.angle + turned), np.sin(end.angle + turned)])
    if isinstance(end, FarCable):
        return start[0] - now[0]
    adjuster = start + np.array([end.distance, 0.0])
    return hypot(*(adjuster - now)) - end.distance


def mean_tension(cable, tension):
    """Mean of the capstan profile, summed in small steps along the bends."""
    shares = (np.arange(4000) + 0.5) / 4000
    return tension * np.mean(np.exp(cable.friction * cable.bend * shares))


@FEWER
@given(bike=bikes())
def test_gaps_squash_and_flatness_make_up_the_lift(bike):
    poses, pack = mechanism(bike).poses, bike.pack
    apart = poses.gap_mm > 0.0
    whole = pack.faces * poses.gap_mm + (pack.squash(bike.engaged_clamp) + pack.flatness) * 1e3
    np.testing.assert_allclose(poses.lift_mm[apart], whole[apart], rtol=1e-9)
    assert np.all(poses.clamp_N[apart] < 1e-6)
    assert np.all(np.diff(poses.travel_mm) >= 0.0)
    assert np.all(np.diff(poses.return_travel_mm) >= -1e-9)


@pytest.mark.parametrize("demo", DEMOS)
def test_places_are_the_figures_of_the_assessment(demo):
    bike = read_demo(demo)
    places, figures = mechanisms(bike)[0].places, assess_bike(bike).figures
    assert places.release_mm == pytest.approx(figures["release_travel_mm"])
    assert places.bite_mm == pytest.approx((figures["bite_full_mm"], figures["bite_start_mm"]))
    assert places.stop_mm == pytest.approx(figures["release_travel_mm"] + figures["release_margin_finger_mm"])
    assert places.free_mm == pytest.approx(bike.quantities["lever.free_play_mm"].value)


def test_shown_at_the_stop_where_the_release_is_beyond_it():
    bike = assemble(read_demo())
    short = replace(bike, lever=replace(bike.lever, stop_span=bike.lever.rest_span - 0.020))
    assert mechanism(short).shown_mm == pytest.approx(20.0)
    assert mechanism(bike).shown_mm == pytest.approx(mechanism(bike).places.release_mm)


def test_bite_reaches_to_the_free_play_where_full_torque_is_never_carried():
    bike = assemble(read_demo())
    weak = replace(bike, drive=replace(bike.drive, engine_torque=10.0 * bike.drive.engine_torque))
    places = mechanism(weak).places
    assert places.bite_mm == pytest.approx((places.free_mm, places.bite_start_mm))


def test_with_changes_the_bike_as_it_is_comes_too():
    bike = read_demo()
    now, before = mechanisms(bike, [Step("arm-length", {"length_mm": 38.0})])
    assert mechanisms(bike)[1] is None
    assert before.bike.arm.length == pytest.approx(0.032)
    assert now.bike.arm.length == pytest.approx(0.038)
    np.testing.assert_allclose(before.poses.pull_N, mechanisms(bike)[0].poses.pull_N)
