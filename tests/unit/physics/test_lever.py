"""The hand lever against right triangles and moments worked by hand."""

from math import atan2, pi, radians, sqrt

import numpy as np
import pytest

from clutchwright.physics import PULL, RETURN
from clutchwright.physics.lever import CamEnd, FarCable, Lever, NearCable, finger_force_from_hook

# pivot, cable end and adjuster make a 3-4-5 triangle with the right angle at the cable end
TRIANGLE = NearCable(radius=0.030, angle=pi / 2, distance=0.040)
STRAIGHT = pi - atan2(4.0, 3.0)  # turn until adjuster, pivot and cable end stand in line


def lever(**changed) -> Lever:
    usual = {
        "cable_end": CamEnd(0.020),
        "finger_radius": 0.080,
        "rest_span": 0.078,
        "stop_span": 0.032,
        "free_play": 0.004,
        "pivot_friction": 0.1,
    }
    return Lever(**{**usual, **changed})


def test_far_cable_at_sixty_degrees():
    end = FarCable(radius=0.020, angle=radians(60))
    assert end.drawn(radians(60)) == pytest.approx(0.020)  # 20 (cos 60 - cos 120) = 20 (0.5 + 0.5)
    assert end.moment_arm(0.0) == pytest.approx(0.010 * sqrt(3))  # 20 sin 60
    assert end.moment_arm(radians(30)) == pytest.approx(0.020)  # cable square to the lever
    assert end.rotation(0.020) == pytest.approx(radians(60))


def test_far_cable_gives_no_more_than_the_dead_point():
    end = FarCable(radius=0.020, angle=radians(60))  # at most 20 (cos 60 + 1) = 30 mm
    assert end.rotation(0.0299) < radians(120)
    assert np.isnan(end.rotation(0.0301))


def test_near_cable_in_a_right_triangle():
    assert TRIANGLE.drawn(0.0) == pytest.approx(0.0, abs=1e-15)
    assert TRIANGLE.moment_arm(0.0) == pytest.approx(0.030)  # the cable stands square to the lever
    turn = pi / 2 - atan2(4.0, 3.0)  # until the lever stands square to the line from pivot to adjuster
    assert TRIANGLE.drawn(turn) == pytest.approx(sqrt(0.030**2 + 0.050**2) - 0.040)
    assert TRIANGLE.moment_arm(turn) == pytest.approx(0.030 * 0.050 / sqrt(0.030**2 + 0.050**2))  # height on hypotenuse


def test_near_cable_stretched_out_has_no_moment_arm_left():
    assert TRIANGLE.drawn(STRAIGHT) == pytest.approx(0.080 - 0.040)  # 30 + 50 mm in line
    assert TRIANGLE.moment_arm(STRAIGHT) == pytest.approx(0.0, abs=1e-12)
    assert TRIANGLE.rotation(0.0399) < STRAIGHT
    assert np.isnan(TRIANGLE.rotation(0.0401))


@pytest.mark.parametrize("rotation", [0.0, 0.2, 0.5])
def test_near_cable_far_away_is_a_far_cable(rotation):
    far, near = FarCable(0.026, 1.4), NearCable(0.026, 1.4, distance=1000.0)
    assert near.drawn(rotation) == pytest.approx(far.drawn(rotation), abs=1e-6)
    assert near.moment_arm(rotation) == pytest.approx(far.moment_arm(rotation), rel=1e-4)


def test_cam_end_is_a_drum():
    end = CamEnd(0.025)
    assert end.drawn(0.4) == pytest.approx(0.010)
    assert end.moment_arm(0.4) == 0.025
    assert end.rotation(0.010) == pytest.approx(0.4)


def test_lever_travels_between_rest_and_stop():
    assert lever().full_travel == pytest.approx(0.046)
    assert lever().full_draw == pytest.approx(0.046 / 4)  # drum of 20 mm, finger at 80 mm
    assert lever().free_draw == pytest.approx(0.001)
    assert lever().travel(0.010) == pytest.approx(0.040)


def test_lever_weighs_tension_against_finger():
    assert lever().ratio(0.02) == pytest.approx(4.0)
    assert lever().finger_force(200.0, 0.02, PULL) == pytest.approx(50.0 * 1.1)
    assert lever().finger_force(200.0, 0.02, RETURN) == pytest.approx(50.0 * 0.9)


def test_lever_weighs_by_the_moment_arm_where_it_stands():
    """A cable end of 20 mm at 60 degrees stands square after 30 more: 80/20, and 80/(20 sin 60) at rest."""
    held = lever(cable_end=FarCable(0.020, radians(60)))
    assert held.ratio(0.080 * radians(30)) == pytest.approx(4.0)
    assert held.ratio(0.0) == pytest.approx(8.0 / sqrt(3))


def test_lever_beyond_the_dead_point_answers_nan():
    held = lever(cable_end=FarCable(0.020, radians(60)))
    assert np.isnan(held.travel(0.0301))
    assert np.isnan(held.finger_force(200.0, held.travel(0.0301), PULL))


def test_a_scale_hooked_further_out_reads_less_than_the_finger_feels():
    assert finger_force_from_hook(60.0, hook_radius=0.100, finger_radius=0.080) == pytest.approx(75.0)
