"""The chain against a bike worked by hand; its solver and its work integral against functions with known answers."""

from dataclasses import replace
from math import cos, exp, log, pi, radians, sqrt

import numpy as np
import pytest

from clutchwright import chain
from clutchwright.bike import Bike
from clutchwright.physics import PULL, RETURN
from clutchwright.physics.arm import Arm
from clutchwright.physics.assist import AssistSpring
from clutchwright.physics.cable import Cable
from clutchwright.physics.diaphragm import Diaphragm
from clutchwright.physics.lever import CamEnd, FarCable, Lever
from clutchwright.physics.lift import Cam, LiftTable, Rack, Screw
from clutchwright.physics.pack import Pack
from clutchwright.physics.springs import CoilSet, CoilSpring
from tests.strategies import OIL, UNKNOWN_ROOM, frictionless, rigid, with_field

# Six springs of 27 N/mm pressed by 9 mm: 1458 N. The pack gives way by 0.25 mm. The arm of 30 mm starts square.
SPRINGS = CoilSet(tuple(CoilSpring(27e3, 0.041, 0.032, 0.026, place) for place in range(6)), 6, 0.042)
PACK = Pack(14, 0.122, 0.098, 0.13, 0.11, 0.9, 1458 / 0.25e-3, (), 5e-5, 0.0, 9e-4)
DIAPHRAGM = Diaphragm(0.120, 0.090, 0.0018, 0.003, 0.0025, 0.058, 0.048, 0.023, 206e9)
BIKE = Bike(
    lever=Lever(CamEnd(0.020), 0.080, 0.100, 0.030, free_play=0.004, pivot_friction=0.1),
    line=Cable(bend=pi, friction=log(2) / pi, drag=4.0, compliance=4e-6),
    arm=Arm(0.030, pi / 2),
    lift=Rack(0.0045, 0.05),
    springs=SPRINGS,
    pack=PACK,
    oil=OIL,
    drive=None,
    heat=None,
    clearance=UNKNOWN_ROOM,
)
THIRTY = radians(30)
LIFT = 0.0045 * THIRTY
LOAD = 6 * 27e3 * (0.009 + LIFT)
TENSION = LOAD * 0.0045 * 1.05 / (0.030 * cos(THIRTY))
HOLDER = AssistSpring(rate=2e3, pretension=100.0, hook_radius=0.015, post_radius=0.030, start_angle=-0.4)
ASSISTED = replace(BIKE, arm=replace(BIKE.arm, assist=HOLDER))


def test_each_place_by_hand_on_the_pull():
    point = chain.at_angle(BIKE, THIRTY, PULL)
    assert point.lift == pytest.approx(LIFT)
    assert point.spring_load == pytest.approx(LOAD)
    assert point.clamp == 0.0
    assert point.bearing_force == pytest.approx(LOAD)
    assert point.tension == pytest.approx(TENSION)
    assert point.lever_tension == pytest.approx(2 * TENSION + 4.0)
    stretch = 4e-6 * TENSION / log(2)
    assert point.drawn == pytest.approx(0.001 + 0.015 + stretch)  # free play 4 mm/4, arm 30 sin 30
    assert point.travel == pytest.approx(4 * point.drawn)
    assert point.force == pytest.approx((2 * TENSION + 4.0) / 4 * 1.1)


def test_each_place_by_hand_on_the_return():
    point = chain.at_angle(BIKE, THIRTY, RETURN)
    tension = TENSION / 1.05 * 0.95
    assert point.tension == pytest.approx(tension)
    assert point.lever_tension == pytest.approx(tension / 2 - 4.0)
    assert point.drawn == pytest.approx(0.016 + 4e-6 * tension * 0.5 / log(2))
    assert point.force == pytest.approx((tension / 2 - 4.0) / 4 * 0.9)


def test_a_screw_asks_the_shaft_for_more_on_the_pull_than_it_gives_back():
    """A lead of pi d makes 45 degrees; with 15 degrees of friction tan 60 = sqrt 3 raises, tan 30 = 1/sqrt 3 lowers."""
    bike = replace(BIKE, lift=Screw(pi * 0.010, 0.010, np.tan(radians(15)), 0.0))
    ideal = 6 * 27e3 * (0.009 + 0.005 * THIRTY) * 0.005
    assert chain.shaft_moment(bike, THIRTY, PULL) == pytest.approx(ideal * sqrt(3))
    assert chain.shaft_moment(bike, THIRTY, RETURN) == pytest.approx(ideal / sqrt(3))
    assert chain.at_angle(bike, THIRTY, RETURN).tension == pytest.approx(ideal / sqrt(3) / (0.030 * cos(THIRTY)))


def test_half_way_up_the_bite_band():
    point = chain.at_lift(BIKE, 0.125e-3, PULL)
    assert point.clamp == pytest.approx(1458 / 2)
    assert point.bearing_force == pytest.approx(6 * 27e3 * (0.009 + 0.125e-3) - 1458 / 2)
    moment = chain.shaft_moment(BIKE, point.arm_angle, PULL)
    assert moment == pytest.approx((6 * 27e3 * (0.009 + 0.125e-3) - 1458 / 2) * 0.0045 * 1.05)


def test_fingers_of_a_diaphragm_move_further_than_the_plate():
    """Fingers of 25 mm, plate ring 10 mm from the pivot ring: 2.5 times the travel, a 2.5th of the force."""
    bike = replace(BIKE, springs=DIAPHRAGM)
    point = chain.at_angle(bike, THIRTY, PULL)
    assert point.lift == pytest.approx(LIFT / 2.5)
    assert point.bearing_force == pytest.approx((point.spring_load - point.clamp) / 2.5)
    assert chain.at_lift(bike, LIFT / 2.5, PULL).arm_angle == pytest.approx(THIRTY)


def test_without_friction_and_stretch_the_lever_stops_where_trigonometry_says():
    """70 mm of travel draw 17.5 mm, 1 of it slack; 30 sin(alpha) = 16.5 mm."""
    plain = rigid(frictionless(BIKE))
    assert chain.full_angle(plain) == pytest.approx(np.arcsin(0.55))


def test_an_inline_unit_that_gives_travel_turns_the_arm_further():
    """16.5 mm drawn at the lever move 16.5/0.8 = 20.625 mm at the arm: sin(alpha) = 20.625/30."""
    plain = rigid(frictionless(with_field(BIKE, "line", "ratio", 0.8)))
    assert chain.full_angle(plain) == pytest.approx(np.arcsin(0.6875))


def test_stretch_is_lost_at_the_stop():
    assert chain.full_angle(BIKE) < np.arcsin(0.55)
    assert chain.at_angle(BIKE, chain.full_angle(BIKE), PULL).travel == pytest.approx(0.070)


def test_free_play_as_long_as_the_stroke_turns_nothing():
    loose = with_field(BIKE, "lever", "free_play", 0.071)
    assert chain.full_angle(loose) == 0.0
    assert np.all(chain.respond(loose).lift == 0.0)


def test_an_arm_that_points_along_the_cable_turns_no_further():
    folded = rigid(frictionless(replace(BIKE, arm=Arm(0.030, radians(150)))))  # gives 30 (1 - cos 30) = 4 mm only
    assert chain.full_angle(folded) == pytest.approx(radians(30), rel=1e-6)


def test_before_it_points_along_the_cable_the_stretch_takes_the_rest():
    """The tension grows beyond bounds there, and with it the stretch: the stop is met before."""
    folded = frictionless(replace(BIKE, arm=Arm(0.030, radians(150))))
    angle = chain.full_angle(folded)
    assert 0.0 < angle < radians(30)
    assert chain.at_angle(folded, angle, PULL).travel == pytest.approx(0.070, rel=1e-9)


def test_a_table_ends_the_stroke():
    short = rigid(replace(BIKE, lift=LiftTable((0.0, 0.1, 0.2), (0.0, 0.5e-3, 0.9e-3), 0.05)))
    assert chain.full_angle(short) == pytest.approx(0.2, rel=1e-6)


def test_a_lift_out_of_reach_is_nan():
    assert np.isnan(chain.at_lift(replace(BIKE, lift=Cam(0.004, 0.0, 0.05)), 0.0041, PULL).force)


def test_positions_sit_on_the_touch_point_and_on_the_end_of_the_bite_band():
    response = chain.respond(BIKE)
    assert response.travel[chain.TOUCH] == pytest.approx(0.004)
    assert response.lift[chain.TOUCH] == 0.0
    assert response.lift[chain.TOUCH + 1] > 0.0
    assert response.lift[chain.BITE_END] == pytest.approx(0.25e-3)
    assert response.clamp[chain.BITE_END - 1] > 0.0
    assert response.clamp[chain.BITE_END] == pytest.approx(0.0, abs=1e-9)
    assert len(response.pull) == chain.BITE_END + chain.REST_STEPS + 1


def test_the_stroke_holds_what_each_place_has():
    response = chain.respond(BIKE)
    full = float(chain.full_angle(BIKE)[0])
    assert response.full_angle == pytest.approx(full)
    assert np.all(np.diff(response.travel[chain.TOUCH :]) > 0.0)
    assert response.travel[-1] == pytest.approx(0.070)
    assert response.lift[-1] == pytest.approx(0.0045 * full)
    assert response.spring_load[: chain.TOUCH + 1] == pytest.approx(1458.0)
    assert response.clamp[: chain.TOUCH + 1] == pytest.approx(1458.0)
    load = 6 * 27e3 * (0.009 + 0.0045 * full)
    assert response.spring_load[-1] == pytest.approx(load)
    tension = load * 0.0045 * 0.95 / (0.030 * cos(full))
    drawn = 0.001 + 0.030 * np.sin(full) + 4e-6 * tension * 0.5 / log(2)
    assert response.return_travel[-1] == pytest.approx(4 * drawn)
    assert response.returning[-1] == pytest.approx((tension / 2 - 4.0) / 4 * 0.9)


def test_the_bite_band_of_a_diaphragm_ends_where_the_pack_is_free():
    response = chain.respond(replace(BIKE, springs=DIAPHRAGM))
    assert response.lift[chain.BITE_END] == pytest.approx(response.clamp[0] / 1458 * 0.25e-3)


def test_free_play_feels_drag_and_pivot_only():
    response = chain.respond(BIKE)
    assert response.pull[: chain.TOUCH + 1] == pytest.approx(4.0 / 4 * 1.1)
    assert np.all(response.returning[: chain.TOUCH] == 0.0)


def test_a_lever_that_cannot_reach_the_end_of_the_bite_band():
    short = with_field(BIKE, "lever", "stop_span", 0.100 - 0.006)
    response = chain.respond(short)
    assert 0.0 < response.lift[-1] < 0.25e-3
    assert response.clamp[-1] > 0.0
    assert np.all(response.lift[chain.BITE_END :] == response.lift[-1])


def test_a_spring_that_holds_the_arm_back_draws_the_cable_taut_first():
    response = chain.respond(ASSISTED)
    length = sqrt(0.015**2 + 0.030**2 + 2 * 0.015 * 0.030 * cos(0.4))
    tension = 100.0 * 0.015 * 0.030 * np.sin(0.4) / length / 0.030
    assert response.travel[chain.FREE_STEPS] == pytest.approx(0.004)
    assert response.pull[: chain.FREE_STEPS + 1] == pytest.approx(4.0 / 4 * 1.1)
    half_way = (chain.FREE_STEPS + chain.TOUCH) // 2
    assert response.pull[half_way] == pytest.approx((tension + 4.0) / 4 * 1.1)
    assert response.travel[half_way] == pytest.approx(0.004 + 2 * 4e-6 * tension / log(2))
    assert response.travel[chain.TOUCH] == pytest.approx(0.004 + 4 * 4e-6 * tension / log(2))
    assert response.pull[chain.TOUCH] == pytest.approx((2 * tension + 4.0) / 4 * 1.1)


@pytest.mark.parametrize(("stage", "name"), [("lever", "pivot_friction"), ("line", "drag"), ("lever", "rest_span")])
def test_a_sample_of_one_field_gives_a_row_for_each(stage, name):
    value = getattr(getattr(BIKE, stage), name)
    sampled = with_field(BIKE, stage, name, value * np.array([[1.0], [1.02]]))
    response = chain.respond(sampled)
    for row, factor in enumerate((1.0, 1.02)):
        alone = chain.respond(with_field(BIKE, stage, name, value * factor))
        np.testing.assert_allclose(response.pull[row], alone.pull, rtol=1e-12)
        np.testing.assert_allclose(response.travel[row], alone.travel, rtol=1e-12)


def test_no_stage_pushes_when_the_assist_spring_wins():
    strong = replace(BIKE, arm=replace(BIKE.arm, assist=replace(HOLDER, pretension=5000.0, start_angle=0.1)))
    response = chain.respond(strong)
    assert np.all(response.pull >= 0.0)
    assert chain.at_angle(strong, THIRTY, RETURN).tension < 0.0
    assert chain.at_angle(strong, THIRTY, RETURN).force == 0.0


def test_both_directions_at_once_are_each_alone():
    both = chain.at_angle(BIKE, np.array([0.1, THIRTY]), np.array([[PULL], [RETURN]]))
    for row, direction in enumerate((PULL, RETURN)):
        alone = chain.at_angle(BIKE, np.array([0.1, THIRTY]), direction)
        np.testing.assert_allclose(both.force[row], alone.force, rtol=1e-14)
        np.testing.assert_allclose(both.travel[row], alone.travel, rtol=1e-14)


def test_a_lever_past_its_dead_point_answers_nan():
    weak = replace(BIKE, lever=replace(BIKE.lever, cable_end=FarCable(0.006, pi / 2)))
    assert np.isnan(chain.at_angle(weak, THIRTY, PULL).force)  # at most 6 mm can be drawn, 15 are asked


@pytest.mark.parametrize(
    ("function", "root"),
    [
        (lambda x: x**3 - 2.0, 2.0 ** (1 / 3)),
        (lambda x: np.exp(20.0 * x) - exp(20.0), 1.0),
        (lambda x: np.where(x < 0.5, 1e-6 * (x - 0.5), 1e6 * (x - 0.5)), 0.5),
        (lambda x: x - 1e-12, 1e-12),
    ],
    ids=["cube root", "steep end", "kink", "close to an end"],
)
def test_root_of_a_rising_function(function, root):
    found = chain.increasing_root(function, np.array([0.0]), np.array([2.0]))
    assert found == pytest.approx(root, rel=1e-12, abs=2e-13)


def test_roots_of_many_functions_at_once():
    wanted = np.linspace(0.0, 8.0, 33)
    found = chain.increasing_root(lambda x: x**3 - wanted, np.zeros(33), np.full(33, 2.0))
    np.testing.assert_allclose(found, np.cbrt(wanted), atol=2e-13)


def test_a_root_found_stays_while_harder_ones_are_sought():
    steep = np.array([1.0, 1e12, 1.0])  # the kink makes secants creep, so that the bracket is halved in the end
    wanted = np.array([0.25, 0.5, 0.75])
    found = chain.increasing_root(
        lambda x: np.where(x > wanted, steep, 1.0) * (x - wanted), np.zeros(3), np.array([2.0, 2.0, 2.0])
    )
    np.testing.assert_allclose(found, wanted, atol=1e-13)


def test_root_outside_the_bracket_is_the_nearer_end():
    low, high = np.array([1.0, 1.0]), np.array([2.0, 2.0])
    found = chain.increasing_root(lambda x: x - np.array([0.5, 2.5]), low, high)
    np.testing.assert_array_equal(found, [1.0, 2.0])


def test_root_in_an_empty_bracket_is_its_end():
    assert chain.increasing_root(lambda x: x - 1.0, np.zeros(1), np.zeros(1)) == 0.0


def test_work_of_a_smooth_force_is_its_integral():
    """Travel u^2 and force u over 0..1: the integral of u 2u du is 2/3; of u^6 du 1/7; a sine's half turn gives 2."""
    steps = np.linspace(0.0, 1.0, 17)
    assert chain.smooth_work(steps, steps**2) == pytest.approx(2 / 3, rel=1e-14)
    assert chain.smooth_work(steps**6, steps) == pytest.approx(1 / 7, rel=1e-14)
    assert chain.smooth_work(np.sin(pi * steps), pi * steps) == pytest.approx(2.0, rel=1e-8)


def test_work_of_the_stroke_is_taken_part_by_part():
    """A force that jumps in slope at the ends of the parts alone costs no accuracy."""
    travel = np.concatenate(
        [
            np.linspace(0.0, 1.0, chain.FREE_STEPS, endpoint=False),
            np.linspace(1.0, 1.5, chain.TAUT_STEPS, endpoint=False),
            np.linspace(1.5, 2.0, chain.BITE_STEPS, endpoint=False),
            np.linspace(2.0, 5.0, chain.REST_STEPS + 1),
        ]
    )
    force = np.interp(travel, [0.0, 1.0, 1.5, 2.0, 5.0], [1.0, 0.0, 2.0, 8.0, 6.0])
    assert chain.path_work(force, travel) == pytest.approx(0.5 + 0.5 + 2.5 + 21.0, rel=1e-14)
    np.testing.assert_allclose(chain.path_work(np.stack([force, 2 * force]), np.stack([travel, travel])), [24.5, 49.0])
