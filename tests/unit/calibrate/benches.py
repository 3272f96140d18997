"""Benches that several tests share: a patient owner's readings of a bike drawn from the first demo bike's file."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from clutchwright import usecases
from clutchwright.calibrate import Fit, Posterior, fit, posterior
from clutchwright.quantity import Array
from clutchwright.readings import Reading
from tests.bench_simulation import PLAN, Tools, as_file, read, true_values

BIKE = usecases.read_demo()
FORCES = tuple(row for row in PLAN if row[0].startswith("hook"))


def exact(*uncertain: str, **u: float):
    """The demo bike with all quantities exact but some, of which some have another u (dots written as __)."""
    given = {key.replace("__", "."): value for key, value in u.items()}
    quantities = {
        key: replace(each, u=given.get(key, each.u if key in uncertain else 0.0))
        for key, each in BIKE.quantities.items()
    }
    return replace(BIKE, quantities=quantities)


def bench(seed: int, plan=PLAN, bike=BIKE) -> tuple[dict[str, Array], tuple[Reading, ...]]:
    """True values and readings."""
    rng = np.random.default_rng(seed)
    truth = true_values(bike, rng)
    return truth, read(bike, truth, plan, Tools(rng))


@cache
def fitted(seed: int = 1) -> Fit:
    """Fit of the demo bike to its bench."""
    return fit(BIKE, [as_file(bench(seed)[1])])


@cache
def known(seed: int = 1) -> Posterior:
    """Posterior of it."""
    return posterior(fitted(seed), np.random.default_rng(seed))


def changed(readings: tuple[Reading, ...], which, factor: float = 1.0, add: float = 0.0) -> tuple[Reading, ...]:
    """Readings of which some are multiplied and shifted [SI]."""
    return tuple(
        replace(each, repeats=tuple(value * factor + add for value in each.repeats)) if which(place, each) else each
        for place, each in enumerate(readings)
    )
