"""A plan on the demo bikes: one change at a time, readings in proportion, when to stop and what to check."""

from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest

from clutchwright import bikefile
from clutchwright.bikefile import assemble
from clutchwright.chain import respond
from clutchwright.changes import Step, apply, find
from clutchwright.errors import InputError
from clutchwright.quantity import Quantity
from clutchwright.study.assessment import assess
from clutchwright.study.catalogue import Catalogue, Option
from clutchwright.study.checking import changed_fields, checks_after
from clutchwright.study.limits import Limits
from clutchwright.study.plan import COVERAGE, REPEATS, make_plan
from clutchwright.study.tolerance import random_values
from clutchwright.usecases import (
    DEMOS,
    demo_catalogue_text,
    demo_text,
    draw_bikes,
    plan_changes,
    priced_catalogue,
    read_demo,
    study_bike,
)
from tests.unit.changes.bikes import usual_bike

SERVICE = Step("cable-service")
PERCH = Step("perch-shift", {"shift_mm": 10.0})
ARM = Step("arm-length", {"length_mm": 36.0})
SOFT = Step("springs-softer", {"rate_share": 0.9})
PLAY = Step("free-play", {"free_play_mm": 2.0})
LEVEL = Step("lever-turn")


def kinds(plan):
    return [step.job.step.kind for step in plan.steps]


@pytest.mark.parametrize("demo", DEMOS)
def test_each_step_adds_one_change_and_the_last_is_the_setup(demo):
    bike, setup = read_demo(demo), (SOFT, PERCH, SERVICE)
    plan = make_plan(bike, setup)
    assert sorted(kinds(plan)) == sorted(step.kind for step in setup)
    final = assess(bike, setup)
    assert plan.steps[-1].figures == pytest.approx(final.figures, nan_ok=True)
    assert plan.steps[-1].word == final.verdict.word
    assert plan.name == bike.name


def test_a_perch_shift_takes_the_reading_down_by_the_ratio_of_radii():
    """82 to 92 mm at the finger; a scale hooked on the lever itself shows the same as before."""
    plan = make_plan(read_demo(), [PERCH])
    reading = plan.steps[0].reading
    assert reading.share == pytest.approx(82 / 92)
    assert reading.hook_share == pytest.approx(1.0)
    assert reading.hook_ratio == pytest.approx(92 / 100)
    assert reading.hook_N == pytest.approx(plan.first.hook_N)
    assert plan.first.hook_N == pytest.approx(plan.first.pull_N * 82 / 100)


def test_tolerance_of_a_share_is_far_below_that_of_the_pull():
    """Of a softer spring on a bike without drag only the readings themselves are unsure: sqrt(2) x 2 % twice over."""
    bike = read_demo()
    known = replace(
        bike, quantities=bike.quantities | {"cable.drag_N": replace(bike.quantities["cable.drag_N"], u=0.0)}
    )
    reading = make_plan(known, [SOFT]).steps[0].reading
    assert reading.share_tolerance == pytest.approx(COVERAGE * np.sqrt(2) * REPEATS * reading.share, rel=0.05)
    assert reading.share_tolerance < 0.5 * reading.tolerance_N / reading.pull_N


def test_tolerance_holds_nineteen_of_twenty_possible_bikes():
    """First order against the spread of the sampled peak pull."""
    bike = read_demo()
    values = random_values(bike.quantities, 2048, np.random.default_rng(4))
    pulls = np.max(respond(apply(assemble(bike, values), [ARM])).pull, axis=-1)
    reading = make_plan(bike, [ARM]).steps[0].reading
    inside = np.mean(np.abs(pulls - reading.pull_N) <= reading.tolerance_N)
    assert 0.92 < inside < 0.99


def test_the_tolerance_heeds_what_was_fitted_together():
    """Two contributions a and b with correlation r add up to the root of a^2 + b^2 + 2 r a b (GUM 5.2.2)."""
    text, keys = demo_text(DEMOS[0]), ("cable.friction", "lift.friction")
    for key in keys:
        text = bikefile.set_value(text, key, Quantity(0.1, 0.005, "fitted: readings 0123abcd"))
    fitted = '\n[fitted]\ncorrelation = [["cable.friction", 1], ["lift.friction", -0.8, 1]]\n'
    alone, together = (bikefile.loads(each, "mine") for each in (text, text + fitted))
    only = {key: replace(each, u=each.u if key in keys else 0.0) for key, each in alone.quantities.items()}
    a, b = (
        make_plan(replace(alone, quantities=only | {other: replace(only[other], u=0.0)}), [ARM]).first.u_N
        for other in reversed(keys)
    )
    found = make_plan(replace(together, quantities=only), [ARM]).first.u_N
    assert found == pytest.approx(np.sqrt(a**2 + b**2 - 2.0 * 0.8 * a * b), rel=1e-2)


@pytest.mark.parametrize(("later_mm", "told"), [(0.04, False), (0.5, True)])
def test_a_lever_that_releases_elsewhere_is_checked(later_mm, told):
    figures = {"release_margin_finger_mm": 10.0, "slip_margin_hot": 1.2}
    after = figures | {"release_margin_finger_mm": 10.0 - later_mm}
    checks = checks_after(usual_bike(), frozenset({("lever", "free_play")}), figures, after)
    assert any("roll freely" in check for check in checks) == told


def test_the_target_says_where_to_stop():
    pulls = [step.reading.pull_N for step in make_plan(read_demo(), [SERVICE, PERCH, ARM]).steps]
    assert pulls == sorted(pulls, reverse=True)
    plan = make_plan(read_demo(), [SERVICE, PERCH, ARM], target_N=pulls[1] + 0.1)
    assert [step.enough for step in plan.steps] == [False, True, True]
    assert plan.enough_after == 2
    assert make_plan(read_demo(), [SERVICE], target_N=200.0).enough_after == 0
    assert make_plan(read_demo(), [SERVICE], target_N=10.0).enough_after is None
    assert make_plan(read_demo(), [SERVICE]).enough_after is None


def test_free_play_is_set_after_every_step_to_what_holds_then():
    plan = make_plan(read_demo(), [SERVICE, PLAY, ARM, SOFT])
    assert [step.free_play_mm for step in plan.steps] == pytest.approx([3.0, 2.0, 2.0, 2.0])
    for step in plan.steps:
        assert step.remeasure[0] == "lever.free_play_mm"
        assert any(f"{step.free_play_mm:.1f} mm at the finger" in check for check in step.checks)


@pytest.mark.parametrize(
    ("step", "words", "absent"),
    [
        (SOFT, ("full throttle", "on opposite sides", "come back by itself"), ()),
        (ARM, ("roll freely", "come back by itself"), ("full throttle",)),
        (LEVEL, ("come back by itself",), ("roll freely", "full throttle")),
        (Step("plates"), ("roll freely",), ("full throttle", "come back by itself")),
    ],
    ids=["springs", "arm", "turn", "plates"],
)
def test_checks_are_about_what_was_touched(step, words, absent):
    text = " ".join(make_plan(read_demo(), [step]).steps[0].checks)
    assert all(word in text for word in words)
    assert not any(word in text for word in absent)


def test_what_was_changed_is_measured_again():
    plan = make_plan(read_demo(), [ARM])
    assert plan.steps[0].remeasure == (
        "lever.free_play_mm",
        "arm.length_mm",
        "arm.cable_angle_deg",
        "clearance.arm_room_mm",
    )


def test_changed_fields_tell_a_part_from_its_replacement():
    bike = usual_bike()
    assert changed_fields(bike, bike) == frozenset()
    assert changed_fields(bike, apply(bike, [ARM])) == {("arm", "length")}
    converted = changed_fields(bike, apply(bike, [Step("hydraulic")]))
    assert converted == {("line", name) for name in ("area_ratio", "seal_loss", "expansion")}


def test_every_step_carries_its_caution_and_a_verdict():
    for step in make_plan(read_demo(), [SOFT, ARM]).steps:
        assert step.caution
        assert step.word in ("sound", "marginal", "unsafe")
        assert bool(step.reasons) == (step.word != "sound")


@pytest.mark.parametrize("target", [0.0, -5.0, 1000.0, float("nan")])
def test_a_target_that_is_no_pull_is_refused(target):
    with pytest.raises(InputError, match="--target"):
        make_plan(read_demo(), [SERVICE], target_N=target)


def test_a_change_that_is_there_twice_is_refused():
    """The same however it is written: what is not given takes its default. Two lengths of one arm are two changes."""
    with pytest.raises(InputError, match=r"cable-service.*is there twice"):
        make_plan(read_demo(), [SERVICE, ARM, SERVICE])
    with pytest.raises(InputError, match="is there twice"):
        make_plan(read_demo(), [SERVICE, Step("cable-service", {"friction": 0.08})])
    assert len(make_plan(read_demo(), [ARM, Step("arm-length", {"length_mm": 38.0})]).steps) == 2


def test_a_plan_needs_a_change():
    with pytest.raises(InputError, match="at least one change"):
        make_plan(read_demo(), [])


def test_jobs_have_the_catalogue_s_price_work_name_and_parts():
    options = priced_catalogue(demo_catalogue_text(), "demo", ())
    by_kind = {option.choices[0].kind: option for option in options.options}
    steps = [by_kind[kind].choices[-1] for kind in ("cable-service", "arm-length", "perch-shift")]
    plan = plan_changes(read_demo(), steps, options=options)
    for step in plan.steps:
        option = by_kind[step.job.step.kind]
        assert step.job.price == (option.price, option.price)
        assert (step.job.hours, step.job.title, step.job.parts) == (option.hours, option.name, option.parts)
    prices = sum(by_kind[step.kind].price for step in steps)
    assert plan.price == pytest.approx((prices, prices))
    assert plan.hours == pytest.approx(sum(by_kind[step.kind].hours for step in steps))
    assert plan.parts == tuple(part for step in plan.steps for part in by_kind[step.job.step.kind].parts)


def test_without_a_catalogue_jobs_have_what_is_typical_of_their_kind():
    job = plan_changes(read_demo(), [ARM]).steps[0].job
    assert (job.price, job.hours, job.option) == (find("arm-length").price, find("arm-length").hours, "")


def test_the_order_of_naming_changes_nothing():
    plans = [make_plan(read_demo(), steps) for steps in permutations((PLAY, PERCH, SERVICE))]
    assert all(plan == plans[0] for plan in plans)
    assert kinds(plans[0]).index("perch-shift") < kinds(plans[0]).index("free-play")
    assert plans[0].steps[-1].free_play_mm == pytest.approx(2.0)


def test_a_plan_is_held_against_the_study_s_limits():
    """Where a study leaves a setup out, its plan says so; what today's bike misses already counts once it is worse."""
    bike, soft = read_demo(), Step("springs-softer", {"rate_share": 0.7})
    options = Catalogue("springs", (Option("softer", (soft,), 1.0, 1.0, reversible=True),))
    limits = Limits(slips=0.05, does_not_release=0.2)
    result, _, _ = study_bike(bike, options, limits=limits, samples=256)
    assert result.counts["slips"] == 1
    step = plan_changes(bike, [soft], limits=limits, samples=256).steps[0]
    assert step.over == ("slips",)
    assert step.probability["slips"] == pytest.approx(
        assess(bike, [soft], draw_bikes(bike, 256, 1)).sampled.probability["slips"]
    )
    assert plan_changes(bike, [soft], limits=Limits(1.0, 1.0, 1.0), samples=256).steps[0].over == ()
    assert plan_changes(bike, [SERVICE], limits=Limits(0.0, 0.0, 0.0), samples=1024).steps[0].over == ()
