"""The order of changes against every permutation, judged by the rule as written."""

from dataclasses import replace
from itertools import permutations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from clutchwright.assess.figures import measure
from clutchwright.assess.verdict import RULES
from clutchwright.chain import respond
from clutchwright.changes import Step, apply
from clutchwright.errors import InputError, Refusal
from clutchwright.study.order import HOURLY, Job, best_order, job_of, only_eases_cable
from tests.strategies import LAW, between
from tests.unit.changes.bikes import usual_bike

ROUTING = Step("cable-routing", {"bend_deg": 90.0})
SERVICE = Step("cable-service", {"friction": 0.06, "drag_N": 0.5})
LEVEL = Step("lever-turn", {"level_angle_deg": 0.0})
PLAY = Step("free-play", {"free_play_mm": 1.0})
PERCH = Step("perch-shift", {"shift_mm": 12.0})
ARM = Step("arm-length", {"length_mm": 34.0})
SOFT = Step("springs-softer", {"rate_share": 0.85})
GRIP = Step("plates", {"friction_share": 1.3, "extra_pairs": 0.0})
UNIT = Step("inline-unit", {"ratio": 1.15})
REACH = Step("reach-screw", {"rest_span_mm": 72.0})
EVERY = (ROUTING, SERVICE, LEVEL, PLAY, REACH, PERCH, ARM, SOFT, GRIP, UNIT)


def figures(bike):
    return measure(bike, respond(bike))


def by_the_rule(bike, jobs):
    """Best of all permutations: each is walked, refusals leave it out, its cost is read off the rule line by line."""
    kept = [rule for rule in RULES if figures(bike)[rule.key] >= rule.limit]

    def level(job):
        if only_eases_cable(bike, job.step):
            return 0 if job.price[1] == 0.0 else 1
        return 2 if job.price[1] == 0.0 and job.reversible else 3

    def walked(order):
        unsafe, again, late, carried, here = 0, 0, 0, 0.0, bike
        for count, place in enumerate(order):
            job = jobs[place]
            if job.step.kind == "perch-shift":  # it widens free play and rest span, which these have set
                again += sum(jobs[earlier].step.kind in ("free-play", "reach-screw") for earlier in order[:count])
            late += sum(level(jobs[earlier]) > level(job) for earlier in order[:count])
            carried += (job.hours + (job.price[0] + job.price[1]) / 2 / HOURLY) * figures(here)["pull_peak_N"]
            apply(here, [job.step])
            here = apply(bike, [jobs[other].step for other in order[: count + 1]])
            unsafe += sum(not figures(here)[rule.key] >= rule.limit for rule in kept)
        return unsafe, again, late, round(carried, 9), [jobs[place].step.kind for place in order], order

    costs = []
    for order in permutations(range(len(jobs))):
        try:
            costs.append(walked(order))
        except Refusal:
            continue
    return min(costs)[-1]


def weak_bike(torque):
    bike = usual_bike()
    return replace(bike, drive=replace(bike.drive, engine_torque=torque))


@settings(LAW, max_examples=25)
@given(
    st.lists(st.sampled_from(EVERY), min_size=1, max_size=4, unique_by=lambda step: step.kind),
    st.data(),
    between(25.0, 45.0),
)
def test_no_permutation_is_better(steps, data, torque):
    jobs = [
        Job(step, (price, price), data.draw(between(0.1, 3.0)), data.draw(st.booleans()))
        for step in steps
        for price in [data.draw(st.sampled_from([0.0, 10.0, 60.0]))]
    ]
    bike = weak_bike(torque)
    try:
        apply(bike, steps)
    except Refusal:
        assume(False)
    assert best_order(bike, jobs) == by_the_rule(bike, jobs)


def ordered(bike, *steps):
    return [steps[place].kind for place in best_order(bike, [job_of(step) for step in steps])]


def test_the_cable_comes_first_then_what_is_free_then_the_rest():
    assert ordered(usual_bike(), ARM, LEVEL, SERVICE, PERCH, ROUTING) == [
        "cable-routing",
        "cable-service",
        "perch-shift",
        "lever-turn",
        "arm-length",
    ]


def test_margin_is_won_before_it_is_spent():
    """At 34 N m softer springs alone would slip, worn and hot; the dearer plates must be there first."""
    bike = weak_bike(34.0)
    assert figures(bike)["slip_margin_hot"] > 1.0 > figures(apply(bike, [SOFT]))["slip_margin_hot"]
    assert ordered(bike, SOFT, GRIP) == ["plates", "springs-softer"]
    assert ordered(weak_bike(25.0), SOFT, GRIP) == ["springs-softer", "plates"]


def test_lift_is_won_before_it_is_spent():
    """Today it releases; with the longer arm and today's free play it would not."""
    bike = usual_bike()
    bike = replace(bike, lever=replace(bike.lever, free_play=0.012))
    arm = Step("arm-length", {"length_mm": 58.0})
    assert figures(bike)["release_margin_mm"] > 0.0 > figures(apply(bike, [arm]))["release_margin_mm"]
    assert ordered(bike, arm, PLAY) == ["free-play", "arm-length"]


def test_most_pull_per_trouble_first():
    """Ratios multiply: 1.25 for 1 h against 1.25 for 2 h, then the cheaper of two equals."""
    bike = usual_bike()
    cheap, dear = (Job(UNIT, (0.0, 2 * HOURLY * hours), hours, reversible=True) for hours in (1.0, 2.0))
    assert best_order(bike, [dear, cheap]) == (1, 0)
    assert best_order(bike, [cheap, replace(cheap, hours=1.0)]) == (0, 1)


def test_money_counts_as_hours():
    assert Job(LEVEL, (10.0, 30.0), 0.5, reversible=True).trouble == 0.5 + 20.0 / HOURLY


@pytest.mark.parametrize(("step", "eases"), [(ROUTING, True), (SERVICE, True), (UNIT, False), (LEVEL, False)])
def test_what_only_eases_the_cable(step, eases):
    assert only_eases_cable(usual_bike(), step) is eases
    worse = Step("cable-routing", {"bend_deg": 700.0})
    assert not only_eases_cable(usual_bike(), worse)


def test_a_setup_that_cannot_be_made_is_refused():
    with pytest.raises(Refusal, match="springs-fewer"):
        best_order(usual_bike(), [job_of(Step("springs-fewer", {"left_out": (1,)}))])


def test_too_many_changes_are_refused():
    with pytest.raises(InputError, match="at most 10"):
        best_order(usual_bike(), [job_of(LEVEL)] * 11)


def test_what_a_set_length_means_does_not_hang_on_the_order_of_naming():
    """1 mm of free play is 1 mm at the finger after the perch has moved, whichever was named first."""
    bike = usual_bike()
    for steps in permutations((PLAY, PERCH, REACH)):
        lever = apply(bike, steps).lever
        assert (lever.free_play, lever.rest_span) == pytest.approx((0.001, 0.072))
        assert ordered(bike, *steps) == ["perch-shift", "reach-screw", "free-play"]


def test_a_dear_perch_still_comes_before_the_length_that_it_would_move():
    jobs = [Job(PLAY, (0.0, 0.0), 0.1, reversible=True), Job(PERCH, (50.0, 50.0), 3.0, reversible=False)]
    assert best_order(usual_bike(), jobs) == (1, 0)
