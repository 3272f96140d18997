"""Drawing: the distributions have the mean and spread they are said to have, and first order is the GUM's sum."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from clutchwright.bikefile.schema import sections
from clutchwright.quantity import Quantity, unit_of
from clutchwright.study.outcomes import outcomes
from clutchwright.study.tolerance import (
    combined,
    draw,
    first_order,
    lot,
    normal_scores,
    one_at_a_time,
    random_values,
    uncertain,
    values_at,
)
from clutchwright.usecases import DEMOS, read_demo

# Gauss-Hermite nodes and weights for the standard normal distribution
NODES, WEIGHTS = np.polynomial.hermite_e.hermegauss(60)
WEIGHTS = WEIGHTS / WEIGHTS.sum()

SPRINGS_ONE_BY_ONE = {
    "springs.rate_N_per_mm": Quantity(27.0, 0.8),
    "springs.each.2.rate_N_per_mm": Quantity(20.0, 0.6),
    "springs.each.5.rate_N_per_mm": Quantity(20.0, 0.7),
    "arm.length_mm": Quantity(32.0, 0.4),
}


def rng(seed=1):
    return np.random.default_rng(seed)


@pytest.mark.parametrize(("value", "u"), [(82.0, 1.5), (0.25, 0.1), (0.05, 0.03), (2.0, 1.0)])
def test_values_above_zero_have_the_stated_mean_and_spread_and_stay_above_zero(value, u):
    drawn = draw(Quantity(value, u), "pack.flatness_mm", NODES)
    mean = WEIGHTS @ drawn
    assert mean == pytest.approx(value, rel=1e-9)
    assert np.sqrt(WEIGHTS @ (drawn - mean) ** 2) == pytest.approx(u, rel=1e-9)
    assert np.all(drawn > 0.0)


@pytest.mark.parametrize(("key", "value"), [("lift.start_angle_deg", 5.0), ("lift.start_angle_deg", 0.0), ("x", -1.0)])
def test_angles_and_values_below_zero_are_normal(key, value):
    drawn = draw(Quantity(value, 2.0), key, np.array([-1.0, 0.0, 1.5]))
    np.testing.assert_allclose(drawn, [value - 2.0, value, value + 3.0])


def test_a_value_of_zero_can_only_be_more():
    scores = np.array([-8.0, -1.0, 0.0, 1.0, 3.0, 8.0])
    expected = stats.halfnorm(scale=0.03).isf(stats.norm.sf(scores))
    np.testing.assert_allclose(draw(Quantity(0.0, 0.03), "cable.friction", scores), expected, rtol=1e-9, atol=1e-16)


@given(
    st.one_of(st.floats(-30.0, 0.0), st.floats(1e-3, 30.0)),
    st.floats(0.01, 10.0),
    st.floats(-5.0, 5.0),
    st.floats(1e-3, 1.0),
)
def test_values_rise_with_the_score(value, u, score, step):
    low, high = draw(Quantity(value, u), "x", np.array([score, score + step]))
    assert low <= high


def test_only_angles_may_be_below_zero():
    for forms in sections().values():
        for model in forms.values():
            for name, info in model.model_fields.items():
                for entry in info.metadata:
                    if hasattr(entry, "limits") and unit_of(name) != "°":
                        assert entry.limits[0] >= 0.0, name


@pytest.mark.parametrize(
    ("key", "name"),
    [
        ("springs.each.3.rate_N_per_mm", "springs.rate_N_per_mm"),
        ("springs.rate_N_per_mm", "springs.rate_N_per_mm"),
        ("arm.length_mm", "arm.length_mm"),
    ],
)
def test_springs_measured_one_by_one_are_a_lot(key, name):
    assert lot(key) == name


def test_the_errors_of_a_lot_go_together():
    assert uncertain(SPRINGS_ONE_BY_ONE) == ("springs.rate_N_per_mm", "arm.length_mm")
    values = random_values(SPRINGS_ONE_BY_ONE, 64, rng())
    orders = [np.argsort(values[key][:, 0]) for key in SPRINGS_ONE_BY_ONE]
    np.testing.assert_array_equal(orders[0], orders[1])
    np.testing.assert_array_equal(orders[0], orders[2])
    assert not np.array_equal(orders[0], orders[3])


def test_exact_quantities_are_not_drawn():
    quantities = {"a_mm": Quantity(1.0, 0.0), "b_mm": Quantity(2.0, 0.1)}
    assert list(random_values(quantities, 4, rng())) == ["b_mm"]
    assert random_values({"a_mm": Quantity(1.0)}, 4, rng()) == {}


def test_points_are_spread_evenly():
    scores = normal_scores(256, 5, rng())
    cells = np.floor(stats.norm.cdf(scores) * 256).astype(int)
    for column in cells.T:
        np.testing.assert_array_equal(np.sort(column), np.arange(256))


def test_same_seed_same_values_other_seed_other_values():
    first, again, other = (normal_scores(100, 3, rng(seed)) for seed in (1, 1, 2))
    np.testing.assert_array_equal(first, again)
    assert not np.any(first == other)


@pytest.mark.parametrize("size", [0, 1, 3, 1000])
def test_any_size_will_do(size):
    assert normal_scores(size, 2, rng()).shape == (size, 2)
    assert random_values(SPRINGS_ONE_BY_ONE, size, rng())["arm.length_mm"].shape == (size, 1)


def test_scores_of_the_wrong_width_are_refused():
    with pytest.raises(ValueError, match="zip"):
        values_at(SPRINGS_ONE_BY_ONE, np.zeros((4, 3)))


def test_one_at_a_time_moves_one_and_leaves_the_others_as_they_are():
    quantities = {"a_deg": Quantity(10.0, 2.0), "b_deg": Quantity(-3.0, 0.5)}
    moved = one_at_a_time(quantities)
    np.testing.assert_allclose(moved["a_deg"][:, 0], [12.0, 8.0, 10.0, 10.0])
    np.testing.assert_allclose(moved["b_deg"][:, 0], [-3.0, -3.0, -2.5, -3.5])


def test_first_order_of_a_sum():
    quantities = {"a_deg": Quantity(10.0, 2.0), "b_deg": Quantity(-3.0, 0.5)}
    moved = one_at_a_time(quantities)
    contributions = first_order(quantities, (3.0 * moved["a_deg"] - 4.0 * moved["b_deg"])[:, 0])
    assert contributions == pytest.approx({"a_deg": 6.0, "b_deg": -2.0})
    assert combined(contributions) == pytest.approx(np.sqrt(40.0))


def test_first_order_adds_up_the_errors_of_a_lot():
    # GUM 5.2.2, note 1: with full correlation the contributions add up, 0.6 + 0.7 + 0.8
    moved = one_at_a_time(SPRINGS_ONE_BY_ONE)
    total = sum(moved[key] for key in SPRINGS_ONE_BY_ONE if key.startswith("springs"))[:, 0]
    contributions = first_order(SPRINGS_ONE_BY_ONE, total)
    assert contributions["springs.rate_N_per_mm"] == pytest.approx(2.1, rel=1e-3)
    assert contributions["arm.length_mm"] == 0.0


@pytest.mark.parametrize("demo", DEMOS)
def test_samples_come_to_first_order_where_uncertainties_are_small(demo):
    # a tenth of the stated ones: what is left of the second order is a hundredth of what it was
    whole = read_demo(demo)
    quantities = {key: Quantity(each.value, 0.1 * each.u) for key, each in whole.quantities.items()}
    bike = replace(whole, quantities=quantities)
    moved = outcomes(bike, (), one_at_a_time(quantities), size=2 * len(uncertain(quantities)))
    drawn = outcomes(bike, (), random_values(quantities, 4096, rng()), size=4096)
    for key, figure in drawn.figures.items():
        first = combined(first_order(quantities, moved.figures[key]))
        assert np.std(figure) == pytest.approx(first, rel=0.03), key
