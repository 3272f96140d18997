"""Changes are made one after the other, on one bike or on many at once, and refused by what they would break."""

from dataclasses import replace

import numpy as np
import pytest

from clutchwright import chain
from clutchwright.changes import CHANGES, Step, apply, parse
from clutchwright.errors import InputError, Refusal
from clutchwright.physics import PULL
from clutchwright.physics.lift import Screw
from tests.strategies import map_floats
from tests.unit.changes.bikes import DIAPHRAGM, plain_bike, pull_at, six_springs, usual_bike

ONE_OF_EACH = tuple(str(Step(change.kind, change.example)) for change in CHANGES.values())
LIFT = 0.7e-3


@pytest.mark.parametrize("text", ONE_OF_EACH)
def test_a_change_leaves_the_bike_it_was_given(text):
    bike = usual_bike()
    assert apply(bike, [parse(text)]) != bike
    assert bike == usual_bike()


@pytest.mark.parametrize("text", ONE_OF_EACH)
def test_many_bikes_at_once_are_each_bike_alone(text):
    spread = np.linspace(0.98, 1.03, 5)
    bikes = [map_floats(usual_bike(), lambda value, by=by: value * by) for by in spread]
    together = apply(map_floats(usual_bike(), lambda value: value * spread[:, np.newaxis]), [parse(text)])
    pulls = np.broadcast_to(chain.at_lift(together, LIFT, PULL).force, (5, 1))
    full = chain.full_angle(together)
    for number, bike in enumerate(bikes):
        alone = apply(bike, [parse(text)])
        assert pulls[number, 0] == pytest.approx(pull_at(alone, LIFT), rel=1e-9)
        assert full[number, 0] == pytest.approx(chain.full_angle(alone)[0], rel=1e-9)


def test_none_changes_nothing():
    assert apply(plain_bike(), []) == plain_bike()


@pytest.mark.parametrize("first", ONE_OF_EACH)
def test_steps_in_a_row_are_one_after_the_other(first):
    second = parse("washers:thickness_mm=0.5")
    bike = usual_bike()
    assert apply(bike, [parse(first), second]) == apply(apply(bike, [parse(first)]), [second])


def test_ratios_multiply():
    steps = ["perch-shift:shift_mm=10", "arm-length:length_mm=50", "springs-fewer:left_out=1+4"]
    after = apply(plain_bike(), [parse(text) for text in steps])
    lift = 1.2e-3
    assert pull_at(after, lift) == pytest.approx(pull_at(plain_bike(), lift) * 80 / 90 * 40 / 50 * 2 / 3, rel=1e-12)


def test_a_step_made_by_hand_is_checked_too():
    with pytest.raises(InputError, match=r"^washers: thickness_mm = 7\.0: give a number from 0\.1 to 5 mm$"):
        apply(plain_bike(), [Step("washers", {"thickness_mm": 7.0})])
    with pytest.raises(InputError, match=r"^change = 'magic': no such change; known: arm-length"):
        apply(plain_bike(), [Step("magic")])


def test_more_steps_than_anyone_makes_are_refused():
    apply(plain_bike(), [Step("lever-turn")] * 50)
    with pytest.raises(InputError, match=r"^changes = 51: at most 50 steps"):
        apply(plain_bike(), [Step("lever-turn")] * 51)


def test_a_bike_that_is_loose_already_may_be_oiled_but_not_loosened():
    bike = plain_bike(springs=six_springs(preload=0.5e-3))
    apply(bike, [parse("cable-service")])
    with pytest.raises(Refusal, match=r"^washers: the loosest spring"):
        apply(bike, [parse("washers:thickness_mm=0.2")])


def test_samples_are_judged_by_their_median():
    step = parse("washers:thickness_mm=3")

    def bike(*preloads_mm):
        return plain_bike(springs=six_springs(preload=np.array(preloads_mm)[:, np.newaxis] * 1e-3))

    apply(bike(3.0, 4.0, 5.0), [step])  # 0.1 mm left at the wear limit in the middle one
    with pytest.raises(Refusal, match=r"^washers: the loosest spring would be squeezed by -0\.10 mm"):
        apply(bike(3.0, 3.8, 5.0), [step])


def test_a_lift_that_does_not_run_back_is_refused_whatever_is_changed():
    """Lead angle atan(4/(14 pi)) = 5.197°, angle of friction atan 0.15 = 8.531°: 1 + tan 3.334°/tan 5.197° = 1.641."""
    locking = plain_bike(lift=Screw(lead=4e-3, thread_diameter=14e-3, thread_friction=0.15, flank_angle=0.0))
    running = replace(locking, lift=replace(locking.lift, lead=20e-3))
    apply(running, [parse("cable-service")])
    with pytest.raises(Refusal, match=r"^the lift's friction takes 164% of the returning moment"):
        apply(locking, [parse("cable-service")])


@pytest.mark.parametrize("text", [text for text in ONE_OF_EACH if not text.startswith(("springs-", "washers"))])
def test_a_diaphragm_spring_takes_every_other_change(text):
    assert apply(usual_bike(springs=DIAPHRAGM), [parse(text)]).springs == DIAPHRAGM
