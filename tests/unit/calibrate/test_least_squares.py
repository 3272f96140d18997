"""The least-squares helper on problems with known answers."""

from __future__ import annotations

import numpy as np
import pytest

from clutchwright.calibrate.least_squares import covariance, minimise, scaled_covariance

X = np.linspace(0.0, 5.0, 11)


def line(noise):
    def residuals(parameters):
        return parameters[0] + parameters[1] * X - (1.0 + 2.0 * X + noise)

    return residuals


def test_a_straight_line_has_its_textbook_covariance():
    # s2 (X^T X)^-1: Draper and Smith, Applied Regression Analysis, sec. 5.1
    noise = np.where(np.arange(11) % 2 == 0, 0.1, -0.1)
    found = minimise(line(noise), np.zeros(2))
    design = np.stack([np.ones_like(X), X], axis=-1)
    expected, rest, *_ = np.linalg.lstsq(design, 1.0 + 2.0 * X + noise, rcond=None)
    assert found.parameters == pytest.approx(expected, abs=1e-8)
    assert found.sum_of_squares == pytest.approx(rest[0])
    assert covariance(found.jacobian) == pytest.approx(np.linalg.inv(design.T @ design), rel=1e-6)
    assert scaled_covariance(found) == pytest.approx(np.linalg.inv(design.T @ design) * rest[0] / 9.0, rel=1e-6)
    assert (found.converged, found.reason != "") == (True, True)


def test_bounds_hold():
    found = minimise(line(0.0 * X), np.zeros(2), bounds=(np.array([-1.0, -1.0]), np.array([3.0, 1.5])))
    assert found.parameters[1] == pytest.approx(1.5, abs=1e-6)


def test_a_given_jacobian_is_used():
    calls = []

    def jacobian(parameters):
        calls.append(parameters)
        return np.stack([np.ones_like(X), X], axis=-1)

    found = minimise(line(0.0 * X), np.zeros(2), jacobian=jacobian)
    assert calls
    assert found.parameters == pytest.approx([1.0, 2.0])
