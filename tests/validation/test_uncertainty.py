"""First order and samples where they must agree, and where they must not."""

import numpy as np
import pytest

from clutchwright.quantity import Quantity
from clutchwright.study.tolerance import combined, first_order, normal_scores, one_at_a_time, random_values
from tests.validation.rows_uncertainty import ROWS, SIZE, comparison_loss, u_first_order

BY_ID = {row.id: row for row in ROWS}


def test_samples_differ_from_first_order_where_one_rectangular_input_rules():
    # JCGM 101:2008, 9.2.4 (from memory): 17.0 against 19.9, as the sum is far from normal
    assert BY_ID["U-05 sampled"].compute() < 0.87 * BY_ID["U-05 first order"].compute()


def test_first_order_is_blind_at_a_minimum_and_samples_are_not():
    # JCGM 101:2008, 9.4 (from memory)
    assert u_first_order(lambda x, y: x**2 + y**2, x=(0.0, 0.005), y=(0.0, 0.005)) == pytest.approx(0.0, abs=1e-18)
    assert BY_ID["U-07 u"].compute() == pytest.approx(50.0, abs=0.5)


def test_samples_and_first_order_agree_on_a_nearly_linear_model():
    # NIST TN 1900, example E13, drawn as the lengths and angles of a bike file are
    inputs = {"a": (1.4999, 1e-4), "b": (1.5021, 2e-4), "c": (288.15, 0.02), "d": (373.10, 0.05)}
    quantities = {name: Quantity(*given) for name, given in inputs.items()}

    def expansion(values):
        a, b, c, d = (values[name][:, 0] for name in "abcd")
        return (b - a) / (a * (d - c))

    drawn = expansion(random_values(quantities, SIZE, np.random.default_rng(3)))
    first = combined(first_order(quantities, expansion(one_at_a_time(quantities))))
    assert np.std(drawn) == pytest.approx(first, rel=1e-3)


def test_scrambled_points_beat_random_ones():
    # scatter of the mean of a smooth function over 20 seeds of 1,024 points each
    def scatter(draw):
        return np.std([np.mean(comparison_loss(*draw(np.random.default_rng(seed)))) for seed in range(20)])

    random = scatter(lambda rng: rng.normal(size=(2, 1024)))
    assert scatter(lambda rng: normal_scores(1024, 2, rng).T) < 0.1 * random
