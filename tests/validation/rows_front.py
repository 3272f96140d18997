"""Best compromises: the hypervolume of fronts that are known in closed form."""

import numpy as np

from clutchwright.study.front import hypervolume
from tests.validation.rows import Row

HYPERVOLUME = "clutchwright.study.front.hypervolume"
ZDT = "Zitzler, Deb and Thiele, Comparison of multiobjective evolutionary algorithms, Evol. Comput. 8 (2000) 173"
DTLZ = "Deb, Thiele, Laumanns and Zitzler, Scalable test problems, in Evolutionary Multiobjective Optimization (2005)"
POINTS = 100_000
SLICES, PLACES = 100, 500
BETWEEN = "mean of the staircases of 100,000 points below and above the curve"


def between(below, above, reference):
    """Mean of the volumes of points that lie on or behind a front, and of points that lie on or before it."""
    return 0.5 * (hypervolume(below, np.array(reference)) + hypervolume(above, np.array(reference)))


def curve(front, reference):
    first = np.linspace(0.0, 1.0, POINTS)
    second = front(first)
    below = np.stack([first, second], axis=1)
    above = np.stack([first[:-1], second[1:]], axis=1)
    return between(below, above, reference)


def sphere(reference):
    third, first = (np.linspace(0.0, 1.0, count) for count in (SLICES, PLACES))
    radius = np.sqrt(1.0 - third[:, np.newaxis] ** 2)
    x, z = first * radius, third[:, np.newaxis] + 0.0 * first
    y = np.sqrt(np.maximum(radius**2 - x**2, 0.0))
    below = np.stack([x, y, z], axis=-1)
    above = np.stack([x[1:, :-1], y[1:, 1:], z[:-1, :-1]], axis=-1)
    return between(below.reshape(-1, 3), above.reshape(-1, 3), reference)


ROWS = [
    Row(
        "F-01a",
        HYPERVOLUME,
        "ZDT1, f2 = 1 - sqrt f1, reference (1, 1)",
        "0.666667",
        lambda: curve(lambda f: 1.0 - np.sqrt(f), (1.0, 1.0)),
        f"{ZDT}; the volume follows by integration",
        "derived",
        1e-6,
        BETWEEN,
    ),
    Row(
        "F-01b",
        HYPERVOLUME,
        "the same, reference (1.1, 1.1)",
        "0.876667",
        lambda: curve(lambda f: 1.0 - np.sqrt(f), (1.1, 1.1)),
        f"{ZDT}; the volume follows by integration",
        "derived",
        1e-6,
        BETWEEN,
    ),
    Row(
        "F-02",
        HYPERVOLUME,
        "ZDT2, f2 = 1 - f1^2, reference (1.1, 1.1)",
        "0.543333",
        lambda: curve(lambda f: 1.0 - f**2, (1.1, 1.1)),
        f"{ZDT}; the volume follows by integration",
        "derived",
        1e-6,
        BETWEEN,
    ),
    Row(
        "F-03",
        HYPERVOLUME,
        "DTLZ2 with two objectives, the unit circle, reference (1.1, 1.1)",
        "0.424602",
        lambda: curve(lambda f: np.sqrt(1.0 - f**2), (1.1, 1.1)),
        f"{DTLZ}; the volume follows by integration",
        "derived",
        1e-6,
        BETWEEN,
    ),
    Row(
        "F-04",
        HYPERVOLUME,
        "DTLZ2 with three objectives, the unit sphere, reference (1.1, 1.1, 1.1)",
        "0.807401",
        lambda: sphere((1.1, 1.1, 1.1)),
        f"{DTLZ}; the volume follows by integration",
        "derived",
        1e-4,
        "mean of the staircases of 100 x 500 points behind and before the sphere",
    ),
    Row(
        "F-05",
        HYPERVOLUME,
        "(1, 3), (2, 2), (3, 1), reference (4, 4)",
        "6",
        lambda: hypervolume(np.array([[1.0, 3.0], [2.0, 2.0], [3.0, 1.0]]), np.array([4.0, 4.0])),
        "squares counted by hand",
        "derived",
        1e-12,
    ),
]
