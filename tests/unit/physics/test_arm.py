"""The release arm against moments worked by hand."""

from dataclasses import replace
from math import pi, radians

import numpy as np
import pytest

from clutchwright.physics.arm import Arm
from clutchwright.physics.assist import AssistSpring

ARM = Arm(length=0.030, cable_angle=radians(60))
# hook at 30 mm, post at 40 mm, a right angle at the shaft: 50 mm long at rest, 70 mm at dead centre
ASSIST = AssistSpring(rate=10e3, pretension=100.0, hook_radius=0.030, post_radius=0.040, start_angle=-pi / 2)


def test_arm_turned_through_square():
    assert ARM.movement(radians(60)) == pytest.approx(0.030)  # 30 (cos 60 - cos 120)
    assert ARM.moment_arm(radians(30)) == pytest.approx(0.030)
    assert ARM.rotation(0.030) == pytest.approx(radians(60))


def test_tension_is_moment_over_moment_arm():
    assert ARM.tension(6.0, radians(30)) == pytest.approx(200.0)
    assert ARM.tension(6.0, radians(90)) == pytest.approx(400.0)  # sin 150 = 1/2


def test_arm_ends_where_it_points_along_the_cable():
    assert ARM.dead_rotation == pytest.approx(radians(120))
    assert ARM.movement(ARM.dead_rotation) == pytest.approx(0.045)  # 30 (cos 60 + 1)
    assert ARM.moment_arm(ARM.dead_rotation) == pytest.approx(0.0, abs=1e-15)
    assert np.isnan(ARM.rotation(0.0451))


def test_arm_with_assist_spring():
    assisted = replace(ARM, assist=ASSIST)
    assert assisted.tension(6.0, 0.0) == pytest.approx((6.0 + 2.4) / (0.030 * np.sin(radians(60))))
    # turned by 90 degrees the spring stands in line with the shaft and leaves the arm alone
    assert assisted.tension(6.0, radians(90)) == pytest.approx(400.0)


def test_a_strong_assist_spring_leaves_no_tension():
    strong = replace(ARM, cable_angle=radians(20), assist=replace(ASSIST, pretension=1000.0))
    assert strong.tension(1.0, radians(120)) < 0.0
