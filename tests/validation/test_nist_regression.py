"""NIST StRD, nonlinear regression: the formula at the certified parameters, then the fit from both starts.

Data and certified values: NIST/ITL Statistical Reference Datasets, files beside this one as published (found).
"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from clutchwright.calibrate.least_squares import minimise, scaled_covariance

FOLDER = Path(__file__).parent / "data" / "nist_strd"
MODELS = {
    "Misra1a": lambda b, x: b[0] * (1.0 - np.exp(-b[1] * x)),
    "BoxBOD": lambda b, x: b[0] * (1.0 - np.exp(-b[1] * x)),
    "Chwirut2": lambda b, x: np.exp(-b[0] * x) / (b[1] + b[2] * x),
    "Rat43": lambda b, x: b[0] / (1.0 + np.exp(b[1] - b[2] * x)) ** (1.0 / b[3]),
    "Eckerle4": lambda b, x: b[0] / b[1] * np.exp(-0.5 * ((x - b[2]) / b[1]) ** 2),
    "Thurber": lambda b, x: (
        (b[0] + b[1] * x + b[2] * x**2 + b[3] * x**3) / (1.0 + b[4] * x + b[5] * x**2 + b[6] * x**3)
    ),
}


class Dataset:
    """What a file holds: start 1, start 2, certified parameters and standard deviations, residual sum, data."""

    def __init__(self, name: str) -> None:
        text = (FOLDER / f"{name}.dat").read_text("ascii")
        rows = np.array([line.split()[2:] for line in text.splitlines() if re.match(r"\s*b\d+ =", line)], dtype=float)
        self.starts, self.parameters, self.deviations = rows[:, :2].T, rows[:, 2], rows[:, 3]
        self.residual_sum = float(re.search(r"Residual Sum of Squares:\s+(\S+)", text)[1])
        data = text.splitlines()[60:]
        self.y, self.x = np.array([line.split() for line in data if line.strip()], dtype=float).T
        self.model = MODELS[name]
        assert len(self.y) == int(re.search(r"Number of Observations:\s+(\d+)", text)[1])

    def residuals(self, parameters):
        with np.errstate(over="ignore", invalid="ignore"):
            return self.model(parameters, self.x) - self.y


@pytest.mark.parametrize("name", MODELS)
def test_the_formula_at_the_certified_parameters_gives_the_certified_residual(name):
    data = Dataset(name)
    found = data.residuals(data.parameters)
    assert found @ found == pytest.approx(data.residual_sum, rel=1e-9)


@pytest.mark.parametrize("start", [0, 1], ids=["start 1", "start 2"])
@pytest.mark.parametrize("name", MODELS)
def test_the_fit_finds_parameters_and_standard_errors(name, start):
    data = Dataset(name)
    found = minimise(data.residuals, data.starts[start])
    assert found.converged, found.reason
    assert found.parameters == pytest.approx(data.parameters, rel=1e-6)
    assert np.sqrt(np.diag(scaled_covariance(found))) == pytest.approx(data.deviations, rel=1e-4)
    assert found.sum_of_squares == pytest.approx(data.residual_sum, rel=1e-9)
