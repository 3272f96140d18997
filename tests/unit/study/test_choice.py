"""The setup to choose, looked at more closely: pulls by the chain itself, prices by a sum, chances by the search."""

import numpy as np
import pytest

from clutchwright.bikefile import assemble
from clutchwright.chain import respond
from clutchwright.changes import Step, apply
from clutchwright.study.catalogue import Catalogue, Option
from clutchwright.study.choice import look_closer
from clutchwright.study.limits import Limits
from clutchwright.study.search import search
from clutchwright.study.tolerance import uncertain
from clutchwright.usecases import draw_bikes, read_demo

BIKE = read_demo()
SOFT = Option("softer", (Step("springs-softer", {"rate_share": 0.9}),), 40.0, 1.0, reversible=True)
ARM = Option("arm", (Step("arm-length", {"length_mm": 36.0}),), 55.0, 1.5, reversible=True)
SAMPLE = draw_bikes(BIKE, 64, 1)
LIMITS = Limits(1.0, 1.0, 1.0)


@pytest.fixture(scope="module")
def found():
    return search(BIKE, Catalogue("shop", (SOFT, ARM)), sample=SAMPLE, limits=LIMITS)


def place_of(found, *options):
    return [set(setup.options) for setup in found.front].index(set(options))


def test_a_setup_is_looked_at_on_the_possible_bikes_and_planned_at_the_shop_s_prices(found):
    place = place_of(found, "softer", "arm")
    setup = found.front[place]
    closer = look_closer(BIKE, found, place, SAMPLE, target_N=70.0)
    bikes = assemble(BIKE, SAMPLE.values)
    today, then = (np.max(respond(each).pull, axis=-1) for each in (bikes, apply(bikes, setup.steps)))
    assert closer.pulls_before == pytest.approx(today)
    assert closer.pulls_now == pytest.approx(then)
    assert closer.shares.evaluations == 512 * (len(uncertain(BIKE.quantities)) + 2)
    plan = closer.plan
    assert (plan.name, plan.catalogue, plan.target_N, plan.samples) == (BIKE.name, "shop", 70.0, 64)
    assert plan.limits == LIMITS
    assert (plan.price, plan.hours) == ((40.0 + 55.0, 40.0 + 55.0), 1.0 + 1.5)
    assert {step.job.option for step in plan.steps} == {"softer", "arm"}
    assert plan.steps[-1].probability == pytest.approx(setup.probability)


def test_a_setup_without_changes_needs_no_plan(found):
    assert look_closer(BIKE, found, place_of(found), SAMPLE).plan is None
