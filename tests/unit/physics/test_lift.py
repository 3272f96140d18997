"""Lift mechanisms against trigonometry, the thread formula and a table made from a known cam."""

from math import inf, pi, radians, sqrt, tan

import numpy as np
import pytest

from clutchwright.errors import Refusal
from clutchwright.physics import PULL, RETURN
from clutchwright.physics.lift import (
    Cam,
    LiftTable,
    Rack,
    Ramp,
    Screw,
    require_back_drive,
    screw_friction,
    thread_friction_angle,
)


def test_rack_rolls_off_its_pitch_circle():
    rack = Rack(pinion_radius=0.005, kappa=0.06)
    assert rack.travel(0.3) == pytest.approx(0.0015)
    assert rack.slope(0.3) == 0.005
    assert rack.rotation(0.0015) == pytest.approx(0.3)
    assert rack.friction(PULL) == rack.friction(RETURN) == 0.06
    assert rack.dead_rotation == inf


def test_screw_of_forty_five_degrees():
    """tan(45 + 15) = sqrt 3 and tan(45 - 15) = 1/sqrt 3; lead = pi d makes the lead angle 45 degrees."""
    screw = Screw(lead=pi * 0.010, thread_diameter=0.010, thread_friction=tan(radians(15)), flank_angle=0.0)
    assert screw.travel(2 * pi) == pytest.approx(pi * 0.010)
    assert screw.slope(1.0) == pytest.approx(0.005)
    assert screw.rotation(pi * 0.010) == pytest.approx(2 * pi)
    assert screw.friction(PULL) == pytest.approx(sqrt(3) - 1)
    assert screw.friction(RETURN) == pytest.approx(1 - 1 / sqrt(3))
    assert screw.dead_rotation == inf


def test_steep_flanks_press_harder():
    assert thread_friction_angle(0.1, 0.0) == pytest.approx(np.arctan(0.1))
    assert thread_friction_angle(0.1, radians(60)) == pytest.approx(np.arctan(0.2))  # cos 60 = 1/2


def test_ramp_of_three_four_five():
    ramp = Ramp(ramp_radius=0.020, ramp_angle=np.arctan(0.75), rolling_friction=0.0)
    assert ramp.travel(0.1) == pytest.approx(0.0015)
    assert ramp.slope(0.1) == ramp.slope(0.0) == pytest.approx(0.015)
    assert ramp.rotation(0.0015) == pytest.approx(0.1)
    assert ramp.friction(PULL) == ramp.friction(RETURN) == 0.0
    assert ramp.dead_rotation == inf


def test_rolling_balls_lose_less_than_sliding_threads():
    """Tangents add as (a + b)/(1 - a b): 0.75 and 0.01 make 0.76/0.9925 raising, 0.74/1.0075 lowering."""
    ramp = Ramp(ramp_radius=0.020, ramp_angle=np.arctan(0.75), rolling_friction=0.01)
    assert ramp.friction(PULL) == pytest.approx(0.76 / 0.9925 / 0.75 - 1)
    assert ramp.friction(RETURN) == pytest.approx(1 - 0.74 / 1.0075 / 0.75)


def test_friction_as_steep_as_the_ramp_just_holds_the_load():
    assert screw_friction(0.2, 0.2, RETURN) == pytest.approx(1.0)
    assert screw_friction(0.2, 0.0, RETURN) == screw_friction(0.2, 0.0, PULL) == 0.0


CAM = Cam(eccentricity=0.005, start_angle=radians(-30), kappa=0.1)


def test_cam_from_thirty_before_to_thirty_after_square():
    assert CAM.travel(radians(60)) == pytest.approx(0.005)  # 5 (sin 30 + sin 30)
    assert CAM.slope(radians(30)) == pytest.approx(0.005)
    assert CAM.rotation(0.005) == pytest.approx(radians(60))
    assert CAM.friction(PULL) == CAM.friction(RETURN) == 0.1


def test_cam_ends_at_its_top():
    assert CAM.dead_rotation == pytest.approx(radians(120))
    assert CAM.travel(CAM.dead_rotation) == pytest.approx(0.0075)  # 5 (1 + sin 30)
    assert CAM.slope(CAM.dead_rotation) == pytest.approx(0.0, abs=1e-15)
    assert np.isnan(CAM.rotation(0.00751))


STRAIGHT = LiftTable(rotations=(0.0, 0.2, 0.5), travels=(0.0, 0.001, 0.0025), kappa=0.05)
ANGLES = np.radians(np.arange(0.0, 61.0, 5.0))
MEASURED_CAM = LiftTable(tuple(ANGLES.tolist()), tuple(CAM.travel(ANGLES).tolist()), kappa=0.05)


def test_table_of_a_straight_line_is_a_rack():
    rotation = np.linspace(0.0, 0.5, 11)
    np.testing.assert_allclose(STRAIGHT.travel(rotation), 0.005 * rotation, rtol=1e-12)
    np.testing.assert_allclose(STRAIGHT.slope(rotation), 0.005, rtol=1e-12)
    assert STRAIGHT.friction(PULL) == STRAIGHT.friction(RETURN) == 0.05


def test_table_runs_through_its_points_and_close_to_the_cam_between():
    np.testing.assert_allclose(MEASURED_CAM.travel(ANGLES), CAM.travel(ANGLES), atol=1e-18)
    between = np.radians(np.arange(7.5, 55.0, 5.0))
    # chords of 5 degrees: the curve leaves its chord by e (5 degrees)^2/8 at most, the cubic by far less
    np.testing.assert_allclose(
        MEASURED_CAM.travel(between), CAM.travel(between), atol=0.1 * 0.005 * radians(5) ** 2 / 8
    )
    np.testing.assert_allclose(MEASURED_CAM.slope(between), CAM.slope(between), rtol=0.01)


def test_table_is_found_back():
    rotation = np.linspace(0.0, ANGLES[-1], 50)
    np.testing.assert_allclose(MEASURED_CAM.rotation(MEASURED_CAM.travel(rotation)), rotation, atol=1e-12)
    assert MEASURED_CAM.rotation(MEASURED_CAM.travels[3]) == pytest.approx(ANGLES[3])


def test_table_answers_nan_outside():
    assert np.isnan(STRAIGHT.travel(0.5001))
    assert np.isnan(STRAIGHT.slope(-0.0001))
    assert np.isnan(STRAIGHT.rotation(0.00251))
    assert np.isnan(STRAIGHT.rotation(-0.0001))
    assert STRAIGHT.dead_rotation == 0.5


def test_a_lift_that_runs_back_passes():
    require_back_drive(Rack(0.005, 0.99))


@pytest.mark.parametrize(
    ("lift", "share"),
    [
        (Rack(0.005, 1.0), "100 %"),
        # tan(10 - 16)/tan 10 = -0.105/0.176
        (Screw(pi * 0.010 * tan(radians(10)), 0.010, tan(radians(16)), 0.0), "160 %"),
        (Rack(0.005, np.array([[0.2], [1.25]])), "125 %"),
    ],
    ids=["just held", "flat screw", "one of the samples"],
)
def test_a_lift_that_would_stay_out_is_refused_with_the_number(lift, share):
    with pytest.raises(Refusal, match=rf"lift: friction takes {share} of the returning moment \(below 100 % needed\)"):
        require_back_drive(lift)


def test_a_lead_so_steep_that_the_thread_jams_is_refused():
    """80 and 15 degrees make 95: past the upright the tangent is below 0."""
    jammed = Screw(pi * 0.010 * tan(radians(80)), 0.010, tan(radians(15)), 0.0)
    with pytest.raises(Refusal, match="lift: lead angle and friction angle pass 90° together"):
        require_back_drive(jammed)
