"""How sure a change's outcome is: it widens what follows from the change, and nothing else."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from clutchwright.changes import CHANGES, Step, unknowns, with_unknowns
from clutchwright.quantity import Quantity
from clutchwright.study.assessment import assess
from clutchwright.study.plan import make_plan
from clutchwright.study.tolerance import normal_scores, possible_bikes, uncertain, values_at
from clutchwright.usecases import read_demo

KEY = "cable.service_share"
SERVICE = Step("cable-service")
PULL = "pull_peak_N"


@pytest.fixture(scope="module")
def bike():
    return read_demo()


def test_only_the_changes_that_are_made_bring_their_unknowns(bike):
    assert with_unknowns(bike, [Step("lever-turn", {"turn_deg": 5.0})]) == bike
    added = with_unknowns(bike, [SERVICE]).quantities
    assert added.keys() - bike.quantities.keys() == {KEY}
    assert unknowns() == CHANGES["cable-service"].unknown


def test_what_the_file_says_of_the_outcome_stays(bike):
    known = {**bike.quantities, KEY: Quantity(1.2, 0.05, "fitted")}
    told = replace(bike, quantities=known)
    assert with_unknowns(told, [SERVICE]) == told


def test_a_service_is_promised_as_surely_as_its_friction_is_known(bike):
    plain, serviced = assess(bike), assess(bike, [SERVICE])
    # own derivation: pull = exp(mu theta) times what the arm asks, mu = 0.08 q, q lognormal, mean 1 and deviation 0.35,
    # moved by one standard deviation of its logarithm; drag of 1 N and what it changes on the way left out
    spread = math.sqrt(math.log1p(0.35**2))
    high, low = (math.exp(sign * spread - 0.5 * spread**2) for sign in (1.0, -1.0))
    theta = math.radians(bike.quantities["cable.bend_deg"].value)
    own = 0.5 * serviced.figures[PULL] * (math.exp(0.08 * theta * (high - 1.0)) - math.exp(0.08 * theta * (low - 1.0)))
    sure = assess(with_known(bike), [SERVICE])
    assert math.sqrt(serviced.u[PULL] ** 2 - sure.u[PULL] ** 2) == pytest.approx(own, rel=0.05)
    assert serviced.figures == sure.figures
    assert serviced.before is not None
    assert serviced.before.u == plain.u
    assert KEY in {row.key for row in serviced.assumed} - {row.key for row in plain.assumed}


def with_known(bike):
    quantities = {**bike.quantities, KEY: Quantity(1.0, 0.0, "measured")}
    return replace(bike, quantities=quantities)


def test_the_possible_bikes_are_the_same_with_and_without(bike):
    size, inputs = 1024, uncertain(bike.quantities)
    drawn = possible_bikes(bike, size, np.random.default_rng(1))
    plain = values_at(bike.quantities, normal_scores(size, len(inputs), np.random.default_rng(1)), bike.correlation)
    assert all(np.array_equal(drawn[key], plain[key]) for key in plain)
    share = drawn[KEY]
    assert np.mean(share) == pytest.approx(1.0, abs=0.01)
    assert np.std(share) == pytest.approx(0.35, abs=0.01)
    # independent: of 1024 independent pairs the correlation lies within 4/sqrt(1024) but for 1 in 15 000
    assert max(abs(np.corrcoef(share[:, 0], plain[key][:, 0])[0, 1]) for key in plain) < 4.0 / math.sqrt(size)


def test_a_liner_somewhat_worse_than_expected_is_no_reason_to_stop(bike):
    expected = make_plan(bike, [SERVICE]).steps[0].reading
    somewhat = assess(bike, [Step("cable-service", {"friction": 0.11})]).figures[PULL]
    assert abs(somewhat - expected.pull_N) < expected.tolerance_N
