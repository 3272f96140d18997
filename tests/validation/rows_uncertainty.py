"""Uncertainty: first order and scrambled Sobol points against the worked examples of the GUM and its kin."""

import math
from functools import partial

import numpy as np
from scipy.special import ndtr

from clutchwright.quantity import Quantity
from clutchwright.study.next_measurement import expected_doubt
from clutchwright.study.tolerance import combined, first_order, normal_scores, one_at_a_time
from clutchwright.study.variance import sobol_shares
from tests.validation.rows import Row

FIRST_ORDER = "clutchwright.study.tolerance.first_order"
SCORES = "clutchwright.study.tolerance.normal_scores"
SHARES = "clutchwright.study.variance.sobol_shares"
DOUBT = "clutchwright.study.next_measurement.expected_doubt"
SIZE = 2**18
ROOT_3 = math.sqrt(3.0)


def u_first_order(model, **inputs):
    """Standard uncertainty of a model, first order; inputs as value and u, drawn as angles are: normal."""
    quantities = {f"{name}_deg": Quantity(*given) for name, given in inputs.items()}
    moved = one_at_a_time(quantities)
    return combined(first_order(quantities, model(*(moved[key][:, 0] for key in quantities))))


def sampled(model, count):
    """Model for columns of standard normal scores."""
    return model(*normal_scores(SIZE, count, np.random.default_rng(7)).T)


def rectangular(scores, u=1.0):
    return u * ROOT_3 * (2.0 * ndtr(scores) - 1.0)


def half_width(values):
    """Half the width of the interval that leaves 2.5 % on either side."""
    return float(np.diff(np.quantile(values, (0.025, 0.975)))[0] / 2.0)


def total(*columns):
    return sum(columns)


def end_gauge(standard, difference, alpha, d_alpha, d_theta, theta):
    """Length of an end gauge [nm] as GUM H.1 eq. (H.2) has it."""
    return standard + difference - standard * (d_alpha * theta + alpha * d_theta)


U_DIFFERENCE = math.sqrt(5.8**2 + 3.9**2 + 6.7**2)
THETA_U = math.hypot(0.2, 0.5 / math.sqrt(2.0))


def end_gauge_first_order():
    return u_first_order(
        end_gauge,
        standard=(50000623.0, 25.0),
        difference=(215.0, U_DIFFERENCE),
        alpha=(11.5e-6, 2e-6 / ROOT_3),
        d_alpha=(0.0, 1e-6 / ROOT_3),
        d_theta=(0.0, 0.05 / ROOT_3),
        theta=(-0.1, THETA_U),
    )


def end_gauge_sampled(standard, difference, alpha, d_alpha, d_theta, mean_theta, cycle):
    theta = -0.1 + 0.2 * mean_theta + 0.5 * np.sin(2.0 * np.pi * ndtr(cycle))
    return np.std(
        end_gauge(
            50000623.0 + 25.0 * standard,
            215.0 + U_DIFFERENCE * difference,
            11.5e-6 + rectangular(alpha, 2e-6 / ROOT_3),
            rectangular(d_alpha, 1e-6 / ROOT_3),
            rectangular(d_theta, 0.05 / ROOT_3),
            theta,
        )
    )


def one_wide(first, second, third, wide):
    return rectangular(first) + rectangular(second) + rectangular(third) + rectangular(wide, 10.0)


def comparison_loss(first, second, offset=0.0):
    return (offset + 0.005 * first) ** 2 + (0.005 * second) ** 2


def expansion(length_0, length_1, cold, hot):
    return (length_1 - length_0) / (length_0 * (hot - cold))


def stefan_boltzmann(planck, gas, rydberg, electron, alpha):
    light, molar = 299792458.0, 1e-3
    return 32 * np.pi**5 * planck * gas**4 * rydberg**4 / (15 * electron**4 * molar**4 * light**6 * alpha**8)


def stefan_boltzmann_u():
    # one deviation is far below the digits of a quantity of 1e-34, so each input is given in units of its own value
    values = (6.62606957e-34, 8.3144621, 10973731.568539, 5.4857990946e-4, 7.2973525698e-3)
    deviations = (0.00000029e-34, 0.0000075, 0.000055, 0.0000000022e-4, 0.0000000024e-3)
    relative = {
        str(place): (1.0, deviation / value)
        for place, (value, deviation) in enumerate(zip(values, deviations, strict=True))
    }
    return u_first_order(lambda *shares: stefan_boltzmann(*np.multiply(np.transpose(shares), values).T), **relative)


def log_of_rectangular(score):
    return np.log(0.6 + rectangular(score, 0.5 / ROOT_3))


def ishigami(scores):
    x, y, z = np.pi * (2.0 * ndtr(scores.T) - 1.0)
    return {"y": np.sin(x) + 7.0 * np.sin(y) ** 2 + 0.1 * z**4 * np.sin(x)}


def ishigami_index(name, order):
    rows = sobol_shares(ishigami, ("x1", "x2", "x3"), size=8192, rng=np.random.default_rng(7))["y"]
    return next(getattr(row, order) for row in rows if row.key == name)


H1 = "JCGM 100:2008 (GUM), H.1 [UN] [GTC]"
SUPPLEMENT = "JCGM 101:2008"
NPL = "NPL report DEM-ES-011, table 9.2 [UN]"
ISHIGAMI = "Sobol' and Levitan, Computer Physics Communications 117 (1999) 52; Saltelli et al. 2010"
ESTIMATE = "an estimate from 8192 points in two crossed samples"

ROWS = [
    Row("U-01", FIRST_ORDER, "end gauge, first order: u [nm]", "32", end_gauge_first_order, H1, "found"),
    Row(
        "U-01 second order",
        SCORES,
        "end gauge, sampled, where the products of two small inputs count: u [nm]",
        "34",
        lambda: sampled(end_gauge_sampled, 7),
        H1,
        "found",
    ),
    Row(
        "U-03 u",
        SCORES,
        "sum of 4 N(0, 1): u",
        "2.00",
        lambda: np.std(sampled(total, 4)),
        f"{SUPPLEMENT}, table 2 [UN]",
        "found",
    ),
    Row(
        "U-03",
        SCORES,
        "the same: half the 95 % interval",
        "3.92",
        lambda: half_width(sampled(total, 4)),
        f"{SUPPLEMENT}, table 2 [UN]",
        "found",
    ),
    Row(
        "U-04",
        SCORES,
        "sum of 4 rectangular of u = 1: half the 95 % interval",
        "3.88",
        lambda: half_width(sampled(lambda *columns: total(*map(rectangular, columns)), 4)),
        f"{SUPPLEMENT}, table 3 [UN]",
        "found",
    ),
    Row(
        "U-05 first order",
        FIRST_ORDER,
        "sum of 3 rectangular of u = 1 and one of u = 10, taken as normal: half the 95 % interval",
        "19.9",
        lambda: 1.959964 * u_first_order(total, a=(0.0, 1.0), b=(0.0, 1.0), c=(0.0, 1.0), d=(0.0, 10.0)),
        f"{SUPPLEMENT}, 9.2.4",
        "memory",
    ),
    Row(
        "U-05 u",
        SCORES,
        "the same, sampled: u",
        "10.1",
        lambda: np.std(sampled(one_wide, 4)),
        f"{SUPPLEMENT}, 9.2.4",
        "memory",
    ),
    Row(
        "U-05 sampled",
        SCORES,
        "the same, sampled: half the 95 % interval",
        "17.0",
        lambda: half_width(sampled(one_wide, 4)),
        f"{SUPPLEMENT}, 9.2.4",
        "memory",
    ),
    Row(
        "U-07 mean",
        SCORES,
        "X1² + X2², both 0 with u = 0.005: mean [1e-6]",
        "50",
        lambda: 1e6 * np.mean(sampled(comparison_loss, 2)),
        f"{SUPPLEMENT}, 9.4",
        "memory",
    ),
    Row(
        "U-07 u",
        SCORES,
        "the same: u [1e-6]; first order gives 0",
        "50",
        lambda: 1e6 * np.std(sampled(comparison_loss, 2)),
        f"{SUPPLEMENT}, 9.4",
        "memory",
    ),
    Row(
        "U-07 interval",
        SCORES,
        "the same: upper end of the shortest 95 % interval, which begins at 0 [1e-6]",
        "150",
        lambda: 1e6 * np.quantile(sampled(comparison_loss, 2), 0.95),
        f"{SUPPLEMENT}, 9.4",
        "memory",
    ),
    Row(
        "U-08 mean",
        SCORES,
        "the same with X1 = 0.050: mean [1e-6]",
        "2550",
        lambda: 1e6 * np.mean(sampled(partial(comparison_loss, offset=0.05), 2)),
        f"{SUPPLEMENT}, 9.4",
        "memory",
    ),
    Row(
        "U-08 u",
        SCORES,
        "the same: u [1e-6]",
        "502",
        lambda: 1e6 * np.std(sampled(partial(comparison_loss, offset=0.05), 2)),
        f"{SUPPLEMENT}, 9.4",
        "memory",
    ),
    Row(
        "U-09",
        FIRST_ORDER,
        "thermal expansion, L 1.4999(1), 1.5021(2) m, T 288.15(2), 373.10(5) K: u [1e-6/K]",
        "1.76",
        lambda: 1e6 * u_first_order(expansion, a=(1.4999, 1e-4), b=(1.5021, 2e-4), c=(288.15, 0.02), d=(373.10, 0.05)),
        "NIST TN 1900, example E13 [UN]",
        "found",
    ),
    Row(
        "U-10",
        FIRST_ORDER,
        "Stefan-Boltzmann constant from h, R, R_inf, A_r(e), alpha of 2010: u [1e-13 W/(m² K⁴)]",
        "2.05",
        lambda: 1e13 * stefan_boltzmann_u(),
        "NIST Uncertainty Machine, manual, example 10 [UN]",
        "found",
    ),
    Row(
        "U-11 mean",
        SCORES,
        "ln x, x rectangular from 0.1 to 1.1: mean",
        "-0.665",
        lambda: np.mean(sampled(log_of_rectangular, 1)),
        NPL,
        "found",
    ),
    Row(
        "U-11 u",
        SCORES,
        "the same: u; first order with the slope at the middle gives 0.481",
        "0.606",
        lambda: np.std(sampled(log_of_rectangular, 1)),
        NPL,
        "found",
    ),
    *(
        Row(
            f"Ishigami {name} {order}",
            SHARES,
            f"sin x1 + 7 sin² x2 + 0.1 x3⁴ sin x1, each from -pi to pi: {order} index of {name}",
            printed,
            partial(ishigami_index, name, order),
            ISHIGAMI,
            "memory",
            tolerance=0.01,
            reason=ESTIMATE,
        )
        for name, first, whole in (("x1", "0.3139", "0.5576"), ("x2", "0.4424", "0.4424"), ("x3", "0.0000", "0.2437"))
        for order, printed in (("first", first), ("total", whole))
    ),
    Row(
        "doubt at the limit",
        DOUBT,
        "margin 0 ± 1, of which a measurement tells sqrt(1/2): chance of two signs at r = 1/2, halved",
        "0.16667",
        lambda: expected_doubt(0.0, u=1.0, explained=math.sqrt(0.5)),
        "arccos(r)/(2 pi), Sheppard 1899",
        "derived",
    ),
]
