"""Virtual work at each stage: without friction a force ratio is the derivative of a motion, here by complex step.

The complex step f'(x) = Im f(x + ih)/h has no difference in it, so it is exact to rounding: Squire and Trapp, Using
complex variables to estimate derivatives of real functions, SIAM Review 40 (1998) 110 (from memory).
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from clutchwright.physics import PULL, RETURN
from clutchwright.physics.diaphragm import Diaphragm
from tests.strategies import (
    ASSISTS,
    LAW,
    LIFTS,
    LINES,
    SMOOTH_LIFTS,
    arms,
    between,
    coil_sets,
    diaphragms,
    levers,
    lift_tables,
    own,
)

STEP = 1e-30


def derivative(function, at: float) -> float:
    return function(at + 1j * STEP).imag / STEP


@LAW
@given(levers(), between(0.0, 1.0))
def test_lever_moment_arm_is_the_slope_of_the_cable_drawn(lever, share):
    end, rotation = lever.cable_end, share * lever.full_travel / lever.finger_radius
    assert end.moment_arm(rotation) == pytest.approx(derivative(end.drawn, rotation), rel=1e-12)
    assert end.rotation(end.drawn(rotation)) == pytest.approx(rotation, rel=1e-9, abs=1e-12)


@LAW
@given(levers(), between(0.0, 1.0), between(1.0, 1000.0))
def test_lever_force_ratio_is_its_motion_ratio(lever, share, tension):
    travel = share * lever.full_travel
    drawn_per_travel = derivative(lambda s: lever.cable_end.drawn(s / lever.finger_radius), travel)
    ideal = tension * drawn_per_travel
    assert tension / lever.ratio(travel) == pytest.approx(ideal, rel=1e-12)
    kappa = lever.pivot_friction
    assert lever.finger_force(tension, travel, PULL) == pytest.approx(ideal * (1 + kappa), rel=1e-12)
    assert lever.finger_force(tension, travel, RETURN) == pytest.approx(ideal * (1 - kappa), rel=1e-12)


@LAW
@given(LINES, between(0.0, 0.02), between(0.0, 1000.0))
def test_line_force_ratio_is_its_motion_ratio(line, movement, tension):
    per_movement = derivative(lambda x: line.drawn(x, tension, PULL), movement)
    ideal = tension / per_movement
    pull, let_out = line.lever_tension(tension, PULL), line.lever_tension(tension, RETURN)
    assert pull >= ideal * (1 - 1e-12)
    assert let_out <= ideal * (1 + 1e-12)
    lossless = {"friction": 0.0, "drag": 0.0} if "friction" in own(line) else {"seal_loss": 0.0}
    without = type(line)(**{name: lossless.get(name, getattr(line, name)) for name in own(line)})
    assert without.lever_tension(tension, PULL) == pytest.approx(ideal, rel=1e-12)
    assert without.lever_tension(tension, RETURN) == pytest.approx(ideal, rel=1e-12)


@LAW
@given(arms(assisted=False), between(0.0, 0.8), between(0.0, 20.0))
def test_arm_tension_is_moment_over_the_slope_of_the_movement(arm, rotation, moment):
    slope = derivative(arm.movement, rotation)
    assert arm.moment_arm(rotation) == pytest.approx(slope, rel=1e-12)
    assert arm.tension(moment, rotation) == pytest.approx(moment / slope, rel=1e-12)
    assert arm.rotation(arm.movement(rotation)) == pytest.approx(rotation, rel=1e-9, abs=1e-12)


@LAW
@given(ASSISTS, between(0.0, 1.0))
def test_assist_moment_is_the_energy_it_gives_up(assist, rotation):
    def stored(turned):
        a, b = assist.hook_radius, assist.post_radius
        post = np.array([-b, 0.0])
        at_rest, now = (np.array([a * np.cos(t), a * np.sin(t)]) for t in (assist.start_angle, turned))
        stretch = np.sqrt(np.sum((now - post) ** 2)) - np.sqrt(np.sum((at_rest - post) ** 2))
        return assist.pretension * stretch + 0.5 * assist.rate * stretch**2

    given_up = -derivative(stored, assist.start_angle + rotation)
    assert assist.moment(rotation) == pytest.approx(given_up, rel=1e-9, abs=1e-12)


@LAW
@given(SMOOTH_LIFTS, between(0.0, 0.8))
def test_lift_slope_is_the_slope_of_its_travel(lift, rotation):
    assert lift.slope(rotation) == pytest.approx(derivative(lift.travel, rotation), rel=1e-12)


@LAW
@given(lift_tables(), between(0.01, 0.99))
def test_table_slope_is_the_slope_of_its_travel(lift, share):
    rotation, step = share * lift.rotations[-1], 1e-6
    difference = (lift.travel(rotation + step) - lift.travel(rotation - step)) / (2 * step)
    assert lift.slope(rotation) == pytest.approx(difference, rel=1e-4)


@LAW
@given(LIFTS, between(0.0, 0.8))
def test_lift_rotation_turns_its_travel_round(lift, rotation):
    assert lift.rotation(lift.travel(rotation)) == pytest.approx(rotation, rel=1e-9, abs=1e-12)


@LAW
@given(LIFTS)
def test_lift_friction_works_against_the_motion_and_lets_it_run_back(lift):
    assert lift.friction(PULL) >= 0.0
    assert 0.0 <= lift.friction(RETURN) < 1.0


@LAW
@given(st.one_of(coil_sets(), diaphragms()), between(0.0, 2e-3), between(0.0, 0.5e-3))
def test_spring_load_is_the_same_wherever_wear_and_lift_meet(springs, lift, wear):
    """The spring knows only how far it is pressed: lift and wear are the same length with opposite signs."""
    assert springs.load(lift + wear, wear) == pytest.approx(springs.load(lift, 0.0), rel=1e-9)


@LAW
@given(diaphragms())
def test_diaphragm_bearing_ratio_is_that_of_a_rocking_beam(spring: Diaphragm):
    turn = 1e-3  # a stiff section rocks about the pivot ring: each point moves by its distance from it
    plate_motion = turn * (spring.plate_radius - spring.pivot_radius)
    tip_motion = turn * (spring.pivot_radius - spring.tip_radius)
    assert spring.bearing_ratio == pytest.approx(tip_motion / plate_motion, rel=1e-12)
