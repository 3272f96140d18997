"""How a reading errs: the mixture against scipy's normal densities, its derivatives against differences."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from clutchwright.calibrate.noise import COARSER, MISTAKES, bounded_loss, loss, mistake_chance

DISTANCES = np.array([0.0, 0.5, 1.0, 2.0, 3.0, 4.0, 6.0, 12.0, 40.0])


def density(distance):
    return (1.0 - MISTAKES) * norm.pdf(distance) + MISTAKES * norm.pdf(distance, scale=COARSER)


def test_it_is_minus_twice_the_log_density_over_that_at_zero():
    expected = -2.0 * np.log(density(DISTANCES) / density(0.0))
    assert loss(DISTANCES**2)[0] == pytest.approx(expected, rel=1e-9, abs=1e-12)


def test_the_chance_of_a_mistake_is_bayes_rule():
    bad = MISTAKES * norm.pdf(DISTANCES, scale=COARSER)
    assert mistake_chance(DISTANCES**2) == pytest.approx(bad / density(DISTANCES), rel=1e-9)
    assert mistake_chance(np.array([0.0]))[0] < MISTAKES
    assert mistake_chance(np.array([1e4]))[0] == pytest.approx(1.0)


@pytest.mark.parametrize("function", [loss, bounded_loss])
def test_derivatives(function):
    squares, step = DISTANCES[1:] ** 2, 1e-4
    ahead, here, behind = (function(squares + shift) for shift in (step, 0.0, -step))
    assert here[1] == pytest.approx((ahead[0] - behind[0]) / (2.0 * step), rel=1e-5, abs=1e-9)
    assert here[2] == pytest.approx((ahead[1] - behind[1]) / (2.0 * step), rel=1e-4, abs=1e-9)


def test_good_readings_keep_their_weight_and_far_ones_still_pull():
    assert loss(np.array([1.0]))[1, 0] == pytest.approx(1.0, abs=0.01)
    assert loss(np.array([400.0]))[1, 0] == pytest.approx(COARSER**-2, rel=0.01)
