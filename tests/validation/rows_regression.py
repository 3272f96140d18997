"""Least squares against NIST's certified regressions and the worked example H.2 of the GUM."""

from functools import partial

import numpy as np

from clutchwright.calibrate.least_squares import covariance, minimise, scaled_covariance
from tests.validation.rows import Row
from tests.validation.test_nist_regression import Dataset

MINIMISE = "clutchwright.calibrate.least_squares.minimise"
COVARIANCE = "clutchwright.calibrate.least_squares.covariance"
SCALED = "clutchwright.calibrate.least_squares.scaled_covariance"
NIST = "NIST StRD, nonlinear regression"
GUM = "JCGM 100:2008, H.2 [UN]"
GUM_MEMORY = "JCGM 100:2008, H.2"

# Table H.2: five sets of voltage [V], current [mA] and phase [rad], taken together.
VOLTAGE = np.array([5.007, 4.994, 5.005, 4.990, 4.999])
CURRENT = np.array([19.663, 19.639, 19.640, 19.685, 19.678]) * 1e-3
PHASE = np.array([1.0456, 1.0438, 1.0468, 1.0428, 1.0433])


def fit(name, start):
    data = Dataset(name)
    return minimise(data.residuals, data.starts[start - 1])


def parameter(name, place, start):
    return float(fit(name, start).parameters[place])


def deviation(name, place, start):
    return float(np.sqrt(scaled_covariance(fit(name, start))[place, place]))


# What each pair of unknowns says of resistance and reactance.
PARTS = {
    "RX": lambda a, b: (a, b),
    "RZ": lambda a, b: (a, np.sqrt(b**2 - a**2)),
    "XZ": lambda a, b: (np.sqrt(b**2 - a**2), a),
}
STARTS = {"RX": (100.0, 200.0), "RZ": (100.0, 250.0), "XZ": (200.0, 250.0)}


def impedance(pair):
    """Fit of two of resistance, reactance and impedance [ohm] and the current to the correlated means."""
    sets = np.stack([VOLTAGE, CURRENT, PHASE])
    whiten = np.linalg.inv(np.linalg.cholesky(np.cov(sets) / 5.0))

    def residuals(unknown):
        resistance, reactance = PARTS[pair](*unknown[:2])
        current = unknown[2] * 1e-3
        shown = (current * np.hypot(resistance, reactance), current, np.arctan2(reactance, resistance))
        return whiten @ (np.array(shown) - np.mean(sets, axis=1))

    return minimise(residuals, np.array([*STARTS[pair], 20.0]))


def estimate(pair, place):
    return float(impedance(pair).parameters[place])


def uncertainty(pair, place):
    return float(np.sqrt(covariance(impedance(pair).jacobian)[place, place]))


def correlation(pair):
    found = covariance(impedance(pair).jacobian)
    return float(found[0, 1] / np.sqrt(found[0, 0] * found[1, 1]))


def nist_rows(tag, name, certified):
    rows = []
    for place, (value, spread) in enumerate(certified):
        for start in (1, 2):
            told = f"{name} from start {start}: b{place + 1}"
            rows += [
                Row(
                    f"{tag} b{place + 1} start {start}",
                    MINIMISE,
                    told,
                    value,
                    partial(parameter, name, place, start),
                    NIST,
                    "found",
                    tolerance=1e-6 * float(value),
                    reason="six digits are asked of the search",
                ),
                Row(
                    f"{tag} s{place + 1} start {start}",
                    SCALED,
                    f"{told}, standard deviation",
                    spread,
                    partial(deviation, name, place, start),
                    NIST,
                    "found",
                    tolerance=1e-4 * float(spread),
                    reason="four digits are asked of the slopes by differences",
                ),
            ]
    return rows


ROWS = [
    *nist_rows("N-01", "Misra1a", [("2.3894212918E+02", "2.7070075241E+00"), ("5.5015643181E-04", "7.2668688436E-06")]),
    *nist_rows("N-03", "BoxBOD", [("2.1380940889E+02", "1.2354515176E+01"), ("5.4723748542E-01", "1.0455993237E-01")]),
    Row("U-02 R", MINIMISE, "resistance, ohm", "127.732", partial(estimate, "RX", 0), GUM, "found"),
    Row("U-02 X", MINIMISE, "reactance, ohm", "219.847", partial(estimate, "RX", 1), GUM, "found"),
    Row("U-02 Z", MINIMISE, "impedance, ohm", "254.260", partial(estimate, "RZ", 1), GUM, "found"),
    Row("U-02 u(R)", COVARIANCE, "u of R, ohm", "0.071", partial(uncertainty, "RX", 0), GUM, "found"),
    Row(
        "U-02 u(X)",
        COVARIANCE,
        "u of X, ohm",
        "0.295",
        partial(uncertainty, "RX", 1),
        GUM,
        "found",
        tolerance=0.001,
        reason="unrounded it is 0.2956 from the printed data; the GUM rounds correlations on its way",
    ),
    Row("U-02 u(Z)", COVARIANCE, "u of Z, ohm", "0.236", partial(uncertainty, "RZ", 1), GUM, "found"),
    Row(
        "U-02 r(R,X)", COVARIANCE, "correlation of R and X", "-0.588", partial(correlation, "RX"), GUM_MEMORY, "memory"
    ),
    Row(
        "U-02 r(R,Z)", COVARIANCE, "correlation of R and Z", "-0.485", partial(correlation, "RZ"), GUM_MEMORY, "memory"
    ),
    Row("U-02 r(X,Z)", COVARIANCE, "correlation of X and Z", "0.993", partial(correlation, "XZ"), GUM_MEMORY, "memory"),
]
