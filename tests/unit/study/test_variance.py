"""Variance shares: known indices, linear cases, and what is left out."""

import numpy as np
import pytest
from scipy.special import ndtr

from clutchwright.changes import Step
from clutchwright.study.outcomes import outcomes
from clutchwright.study.tolerance import combined, first_order, one_at_a_time, uncertain
from clutchwright.study.variance import UNSAFE, sobol_shares, variance_shares
from clutchwright.usecases import DEMOS, read_demo

NAMES = ("x1", "x2", "x3")


def rng(seed=1):
    return np.random.default_rng(seed)


def by_key(rows):
    return {row.key: row for row in rows}


def ishigami(scores):
    x = np.pi * (2.0 * ndtr(scores.T) - 1.0)
    return {"y": np.sin(x[0]) + 7.0 * np.sin(x[1]) ** 2 + 0.1 * x[2] ** 4 * np.sin(x[0])}


def test_indices_of_the_ishigami_function():
    # variances of its parts, integrated by hand with a = 7, b = 0.1
    a, b = 7.0, 0.1
    v1, v2, v13 = 0.5 * (1 + b * np.pi**4 / 5) ** 2, a**2 / 8, 8 * b**2 * np.pi**8 / 225
    total = v1 + v2 + v13
    rows = by_key(sobol_shares(ishigami, NAMES, size=4096, rng=rng())["y"])
    assert [rows[name].first for name in NAMES] == pytest.approx([v1 / total, v2 / total, 0.0], abs=0.01)
    assert [rows[name].total for name in NAMES] == pytest.approx(
        [(v1 + v13) / total, v2 / total, v13 / total], abs=0.01
    )


def test_a_linear_function_shares_by_the_squares_of_its_terms():
    slopes = np.array([3.0, -4.0, 12.0])
    rows = by_key(sobol_shares(lambda z: {"y": 5.0 + z @ slopes}, NAMES, size=1024, rng=rng())["y"])
    expected = [9.0 / 169.0, 16.0 / 169.0, 144.0 / 169.0]
    assert [rows[name].first for name in NAMES] == pytest.approx(expected, abs=0.01)
    assert [rows[name].total for name in NAMES] == pytest.approx(expected, abs=0.01)


def test_a_product_has_no_first_order_share():
    rows = by_key(sobol_shares(lambda z: {"y": z[:, 0] * z[:, 1]}, NAMES, size=4096, rng=rng())["y"])
    assert [rows[name].first for name in NAMES] == pytest.approx([0.0, 0.0, 0.0], abs=0.03)
    assert [rows[name].total for name in NAMES] == pytest.approx([1.0, 1.0, 0.0], abs=0.03)


def test_an_input_that_does_nothing_has_no_share_at_all():
    rows = by_key(sobol_shares(ishigami, (*NAMES, "idle"), size=64, rng=rng())["y"])
    assert (rows["idle"].first, rows["idle"].total) == (0.0, 0.0)


def test_one_input_has_it_all():
    shares = sobol_shares(lambda z: {"y": z[:, 0], "cube": z[:, 0] ** 3}, ("x1",), size=1024, rng=rng())
    for (row,) in shares.values():
        assert (row.first, row.total) == pytest.approx((1.0, 1.0), abs=0.05)


def test_outputs_that_do_not_vary_or_are_not_known_everywhere_are_left_out():
    def outputs(z):
        return {"same": np.ones(len(z)), "gone": np.where(z[:, 0] > 0.0, z[:, 0], np.nan), "fine": z[:, 1]}

    assert list(sobol_shares(outputs, NAMES, size=64, rng=rng())) == ["fine"]


def test_an_output_that_was_once_not_known_stays_left_out():
    batches = []

    def outputs(z):
        batches.append(z)
        return {"once": np.full(len(z), np.nan) if len(batches) == 1 else z[:, 0], "fine": z[:, 1]}

    assert list(sobol_shares(outputs, NAMES, size=64, rng=rng())) == ["fine"]
    assert len(batches) > 1


def test_the_greatest_total_comes_first_and_ties_keep_their_order():
    rows = sobol_shares(lambda z: {"y": z[:, 1]}, NAMES, size=64, rng=rng())["y"]
    assert [row.key for row in rows] == ["x2", "x1", "x3"]


def test_same_seed_same_shares_other_seed_other_shares():
    first, again, other = (sobol_shares(ishigami, NAMES, size=64, rng=rng(seed)) for seed in (1, 1, 2))
    assert first == again
    assert first != other


@pytest.mark.parametrize("demo", DEMOS)
def test_clamp_shares_are_those_of_first_order(demo):
    bike = read_demo(demo)
    names = uncertain(bike.quantities)
    moved = outcomes(bike, (), one_at_a_time(bike.quantities), size=2 * len(names))
    contributions = first_order(bike.quantities, moved.figures["clamp_worn_N"])
    whole = combined(contributions) ** 2
    found = variance_shares(bike, size=256, rng=rng())
    rows = by_key(found.shares["clamp_worn_N"])
    assert set(rows) == set(names)
    for name in names:
        assert rows[name].total == pytest.approx(contributions[name] ** 2 / whole, abs=0.05), name
    assert found.evaluations == 256 * (len(names) + 2)


def test_events_are_shared_unless_rare():
    bike = read_demo()
    # softer springs brings slipping from rare to common
    steps = (Step("springs-softer", {"rate_share": 0.85}),)
    common, rare = (variance_shares(bike, made, size=128, rng=rng()).shares for made in (steps, ()))
    assert common["slips"][0].key == "pack.friction_static"
    assert UNSAFE in common
    assert "slips" not in rare
