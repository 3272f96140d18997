"""The assist spring against right triangles worked by hand, and on the lever that it helps."""

from dataclasses import replace
from math import pi, radians

import pytest

from clutchwright.physics import PULL
from clutchwright.physics.assist import AssistSpring
from clutchwright.physics.lever import CamEnd, Lever

# hook at 30 mm, post at 40 mm, a right angle at the shaft: 50 mm long at rest, 70 mm at dead centre
ASSIST = AssistSpring(rate=10e3, pretension=100.0, hook_radius=0.030, post_radius=0.040, start_angle=-pi / 2)
LEVER = Lever(CamEnd(0.020), finger_radius=0.080, rest_span=0.080, stop_span=0.030, free_play=0.002, pivot_friction=0.0)


def test_it_pulls_hardest_at_dead_centre_and_turns_nothing_there():
    assert ASSIST.force(0.0) == pytest.approx(100.0)
    assert ASSIST.force(pi / 2) == pytest.approx(300.0)  # 20 mm longer
    assert ASSIST.moment(pi / 2) == pytest.approx(0.0, abs=1e-12)


def test_it_holds_back_before_dead_centre_and_helps_after_it():
    height = 0.030 * 0.040 / 0.050  # shaft to spring, in the right triangle
    assert ASSIST.moment(0.0) == pytest.approx(-100.0 * height)
    assert ASSIST.moment(pi) == pytest.approx(100.0 * height)


def test_the_energy_held_back_is_mean_force_times_stretch():
    assert ASSIST.energy(0.0) == 0.0
    assert ASSIST.energy(pi / 2) == pytest.approx(-0.5 * (100.0 + 300.0) * 0.020)
    assert ASSIST.energy(pi) == pytest.approx(0.0, abs=1e-12)  # as long as it was at rest


def test_a_lever_feels_the_spring_s_moment_at_the_finger():
    helped = replace(LEVER, assist=ASSIST)
    past = pi * 0.080  # finger travel of half a turn: 2.4 N m at 80 mm
    assert helped.help(past) == pytest.approx(30.0)
    assert helped.help(0.0) == pytest.approx(-30.0)
    assert helped.finger_force(400.0, past, PULL) == pytest.approx(400.0 / 4.0 - 30.0)
    assert LEVER.help(past) == 0.0


def test_friction_of_the_pivot_takes_its_share_of_the_cable_s_moment_alone():
    helped = replace(LEVER, assist=ASSIST, pivot_friction=0.1)
    assert helped.finger_force(400.0, 0.0, PULL) == pytest.approx(110.0 + 30.0)
    assert helped.finger_force(400.0, 0.0, -PULL) == pytest.approx(90.0 + 30.0)


def test_at_dead_centre_the_lever_is_as_heavy_as_without():
    helped = replace(LEVER, assist=replace(ASSIST, start_angle=-radians(10)))
    centre = radians(10) * 0.080
    assert helped.finger_force(400.0, centre, PULL) == pytest.approx(100.0)
