"""What the decision hangs on: shares by first order against powers of the inputs, and the parts put together."""

from dataclasses import replace

import numpy as np
import pytest

from clutchwright.changes import Step
from clutchwright.quantity import Quantity
from clutchwright.study.doubt import find_doubt
from clutchwright.study.variance import first_order_shares, variance_shares
from clutchwright.usecases import DEMOS, find_doubts, read_demo


def by_key(rows):
    return {row.key: row for row in rows}


def exact_but(bike, **doubts):
    """The bike with a doubt about some quantities only."""
    wanted = {key.replace("__", "."): u for key, u in doubts.items()}
    quantities = {key: Quantity(each.value, wanted.get(key, 0.0)) for key, each in bike.quantities.items()}
    return replace(bike, quantities=quantities)


def test_factors_share_by_the_squares_of_their_relative_uncertainties():
    """Slip margin: friction times hot factor times ..., over the engine's torque; GUM 5.1.6 for powers of +1 and -1."""
    bike = read_demo()
    value = {key: each.value for key, each in bike.quantities.items()}
    relative = {"pack.friction_static": 0.004, "pack.hot_factor": 0.003, "drive.engine_torque_Nm": 0.012}
    bike = exact_but(bike, **{key.replace(".", "__"): part * value[key] for key, part in relative.items()})
    rows = by_key(first_order_shares(bike).shares["slip_margin_hot"])
    whole = sum(part**2 for part in relative.values())
    assert {key: row.first for key, row in rows.items()} == pytest.approx(
        {key: part**2 / whole for key, part in relative.items()}, rel=1e-3
    )


@pytest.mark.parametrize("demo", DEMOS)
def test_first_order_shares_add_up_and_are_alone_and_together_alike(demo):
    found = first_order_shares(read_demo(demo))
    for rows in found.shares.values():
        assert sum(row.first for row in rows) == pytest.approx(1.0)
        assert [row.total for row in rows] == [row.first for row in rows]
        assert [row.total for row in rows] == sorted((row.total for row in rows), reverse=True)


@pytest.mark.parametrize("demo", DEMOS)
def test_first_order_shares_of_the_pull_are_near_those_of_samples(demo):
    bike = read_demo(demo)
    rows = by_key(first_order_shares(bike).shares["pull_peak_N"])
    sampled = by_key(variance_shares(bike, size=512, rng=np.random.default_rng(1)).shares["pull_peak_N"])
    assert {key: row.first for key, row in rows.items()} == pytest.approx(
        {key: row.total for key, row in sampled.items()}, abs=0.08
    )


def test_a_figure_that_some_bikes_do_not_have_or_that_is_known_exactly_is_left_out():
    bike = exact_but(read_demo(), pack__friction_static=0.01)
    shares = first_order_shares(bike).shares
    assert "pull_peak_N" not in shares
    assert set(by_key(shares["slip_margin_hot"])) == {"pack.friction_static"}


def test_without_samples_shares_are_first_order():
    found = find_doubt(read_demo())
    assert not found.sampled
    assert found.shares == first_order_shares(read_demo())


def test_samples_are_taken_up_to_the_next_power_of_two():
    bike = exact_but(read_demo(), pack__friction_static=0.01, cable__friction=0.03)
    found = find_doubts(bike, samples=33, seed=4)
    assert found.sampled
    assert found.shares == variance_shares(bike, size=64, rng=np.random.default_rng(4))
    assert found.shares.evaluations == 64 * (2 + 2)


def test_the_decision_is_about_the_changed_bike():
    before, after = (find_doubt(read_demo(), steps) for steps in ((), (Step("arm-length", {"length_mm": 41.0}),)))
    assert after.assessment.deciding == "release_margin_mm"
    assert before.assessment.deciding == "slip_margin_hot"
    assert after.measurements.doubt > before.measurements.doubt
