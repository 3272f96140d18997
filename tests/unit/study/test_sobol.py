"""Sobol points bit for bit those of scipy, an implementation of its own."""

import numpy as np
import pytest
from scipy.stats import qmc

from clutchwright.study.sobol import DIMENSIONS, sobol_points


@pytest.mark.parametrize("count", [1, 2, 58, DIMENSIONS, DIMENSIONS + 1])
@pytest.mark.parametrize("power", [0, 1, 4, 12])
def test_points_equal_those_of_scipy(count, power):
    ours = sobol_points(power, count, np.random.default_rng(7))
    theirs = qmc.Sobol(count, bits=64, rng=np.random.default_rng(7)).random_base2(power)
    np.testing.assert_array_equal(ours, theirs)
