"""A spring on the lever gives the pull what it takes from the return, and the lever must still come back by itself."""

from dataclasses import replace
from math import cos, radians, sin, sqrt

import numpy as np
import pytest

from clutchwright.chain import path_work, respond
from clutchwright.changes import CHANGES, Step, apply
from clutchwright.errors import Refusal
from tests.unit.changes.bikes import plain_bike, usual_bike

EXAMPLE = CHANGES["assist-lever"].example


def with_spring(bike, **values):
    return apply(bike, [Step("assist-lever", {**EXAMPLE, **values})])


def length(degrees):
    """From post to hook, part turned so far past dead centre [m]: law of cosines."""
    hook, post = 0.012, 0.035
    return sqrt(hook**2 + post**2 + 2 * hook * post * cos(radians(degrees)))


def test_at_the_stop_it_takes_off_its_moment_over_the_finger_radius():
    bike = plain_bike()
    turned = np.degrees(float(bike.lever.full_travel / bike.lever.finger_radius)) - 10.0
    force = 60.0 + 1000.0 * (length(turned) - length(10.0))
    moment = force * 0.012 * 0.035 * sin(radians(turned)) / length(turned)
    before, after = (respond(each) for each in (bike, with_spring(bike)))
    assert before.pull[-1] - after.pull[-1] == pytest.approx(moment / bike.lever.finger_radius, rel=1e-12)


def test_the_cable_feels_nothing_of_it():
    before, after = (respond(each) for each in (usual_bike(), with_spring(usual_bike())))
    np.testing.assert_array_equal(after.travel, before.travel)
    np.testing.assert_array_equal(after.lift, before.lift)


def test_what_it_gives_to_the_pull_it_takes_from_the_return():
    before, after = (respond(each) for each in (usual_bike(), with_spring(usual_bike())))
    pull, back = (
        path_work(getattr(before, force), getattr(before, travel))
        - path_work(getattr(after, force), getattr(after, travel))
        for force, travel in (("pull", "travel"), ("returning", "return_travel"))
    )
    # energy that the spring has given up between rest and stop: mean force times what it got shorter
    full = np.degrees(float(usual_bike().lever.full_travel / usual_bike().lever.finger_radius)) - 10.0
    shorter = length(10.0) - length(full)
    assert pull == pytest.approx((60.0 - 500.0 * shorter) * shorter, rel=1e-6)
    # the way back begins nearer to rest, as the cable is less stretched
    begun = np.degrees(float(after.return_travel[-1] / usual_bike().lever.finger_radius)) - 10.0
    longer = length(10.0) - length(begun)
    assert back == pytest.approx((60.0 - 500.0 * longer) * longer, rel=1e-6)
    assert 0.0 < back < pull


STRONG = {"hook_radius_mm": 40.0, "post_radius_mm": 60.0, "rate_N_per_mm": 0.0}


def test_one_that_would_hold_the_lever_in_is_refused_with_the_number():
    with pytest.raises(
        Refusal, match=r"^assist-lever: at \d\.\d\d mm lift with the pack worn by .* bring the lever back"
    ):
        with_spring(usual_bike(), **STRONG, pretension_N=500.0)


def test_one_that_helps_within_the_free_play_is_refused():
    with pytest.raises(Refusal, match=r"^assist-lever: at 0\.\d\d mm lift hardly anything brings the lever back yet"):
        with_spring(usual_bike(), before_centre_deg=0.5)


def test_one_on_a_lever_that_has_one_is_refused():
    with pytest.raises(Refusal, match=r"^assist-lever: the lever has an assist spring already"):
        with_spring(with_spring(usual_bike()))


def test_it_must_leave_a_worn_pack_enough_too():
    """A worn pack brings the lever back with less, so that one which wears further allows a weaker spring only."""
    bike = usual_bike()
    further = replace(bike, pack=replace(bike.pack, wear_limit=2.0 * bike.pack.wear_limit))
    assert strongest(further) < strongest(bike) < 500.0


def strongest(bike):
    """Greatest pretension allowed, to 10 N."""
    return max(force for force in np.arange(10.0, 501.0, 10.0) if allowed(bike, force))


def allowed(bike, force):
    try:
        with_spring(bike, **STRONG, pretension_N=float(force))
    except Refusal:
        return False
    return True
