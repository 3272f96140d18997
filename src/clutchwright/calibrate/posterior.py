"""What is known of a bike after its readings: possible values that hang together, estimates, and its bike file."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from clutchwright.bikefile import MeasuredBike
from clutchwright.bikefile.fitted import Correlation, triangle
from clutchwright.bikefile.measured import lot
from clutchwright.calibrate.fitted import Fit
from clutchwright.calibrate.sampling import CHAINS, chains
from clutchwright.quantity import Array, Quantity

SAMPLES = 4096
# Where the chains passed fewer of the true posterior's tests, or the samples are worth fewer, the answer is not sure.
LEAST_ACCEPTANCE, LEAST_EFFECTIVE = 0.1, 400.0


@dataclass(frozen=True, slots=True)
class Estimate:
    """One quantity before and after the readings.

    Parameters
    ----------
    key : str
        Key of the bike file.
    before, after : Quantity
        Value and standard uncertainty [unit of the key].
    shift : float
        How far it moved, in standard uncertainties before [-].
    learnt : float
        Share of its variance that the readings took away [-].
    tension : float
        How far what the readings alone say lies from what the file said, in standard uncertainties of both [-].
    """

    key: str
    before: Quantity
    after: Quantity
    shift: float
    learnt: float
    tension: float


@dataclass(frozen=True, eq=False)
class Posterior:
    """Possible bikes that fit file and readings.

    Parameters
    ----------
    fit : Fit
        The fit they belong to.
    scores : Array
        Scores as in `Bench` [-], shape (samples, size).
    acceptance : float
        Share of tests that the chains passed [-].
    effective : float
        How many independent samples they are worth [-].
    """

    fit: Fit
    scores: Array
    acceptance: float
    effective: float

    @property
    def sure(self) -> bool:
        """Whether search and chains went well enough to be relied on."""
        walked = self.acceptance >= LEAST_ACCEPTANCE and self.effective >= LEAST_EFFECTIVE
        return self.fit.converged and walked

    @cached_property
    def values(self) -> dict[str, Array]:
        """Values of the bike's quantities by key [unit of the key], each of shape (samples, 1)."""
        return self.fit.bench.values_of(self.scores)

    @cached_property
    def estimates(self) -> tuple[Estimate, ...]:
        """Every quantity that was not known, in the file's order."""
        return tuple(_estimate(self, key, values[:, 0]) for key, values in self.values.items())

    @cached_property
    def correlation(self) -> Correlation:
        """Correlation of the lots' scores [-]."""
        bench = self.fit.bench
        lots = self.scores[:, : len(bench.names)] @ bench.mixing.T
        return Correlation(bench.names, np.atleast_2d(np.corrcoef(lots, rowvar=False)))


def _estimate(found: Posterior, key: str, values: Array) -> Estimate:
    bench = found.fit.bench
    before, place = bench.quantities[key], bench.names.index(lot(key))
    u = float(np.std(values, ddof=1))
    after = Quantity(*_rounded(float(np.mean(values)), u), origin=f"fitted: readings {fingerprint(found.fit)[:8]}")
    scores = found.scores[:, : len(bench.names)] @ bench.mixing[place]
    share = float(np.var(scores))
    # two normal estimates of one score, N(0, 1) from the file and the readings' own, give mean and variance after
    return Estimate(
        key=key,
        before=before,
        after=after,
        shift=(after.value - before.value) / before.u,
        learnt=1.0 - share,
        tension=float(np.mean(scores)) / math.sqrt(1.0 - share) if share < 0.99 else 0.0,
    )


def _rounded(value: float, u: float) -> tuple[float, float]:
    """Value and uncertainty at the fourth significant digit of the uncertainty: enough to compute with, and legible."""
    digits = 3 - math.floor(math.log10(u))
    return round(value, digits), round(u, digits)


def fingerprint(found: Fit) -> str:
    """SHA-256 of the fingerprints of all files read, in hexadecimal."""
    return hashlib.sha256("".join(sum_ for _, sum_ in found.sources).encode()).hexdigest()


def posterior(found: Fit, rng: np.random.Generator, samples: int = SAMPLES) -> Posterior:
    """Possible bikes that fit file and readings.

    Parameters
    ----------
    found : Fit
        The fit.
    rng : numpy.random.Generator
        Source of randomness.
    samples : int
        How many at least [-]; all chains give the same number.

    Returns
    -------
    Posterior
        See there.
    """
    walked = chains(found, -(-samples // CHAINS), rng)
    scores = walked.states.reshape(-1, walked.states.shape[-1])
    return Posterior(found, scores, walked.acceptance, walked.effective)


def calibrated(found: Posterior) -> MeasuredBike:
    """The bike with what its readings say.

    Parameters
    ----------
    found : Posterior
        What is known after them.

    Returns
    -------
    MeasuredBike
        Fitted values with their origin; and in its curves what stands in the file's table ``[fitted]``: the readings'
        names and fingerprints, those of earlier fits among them, and the correlation.
    """
    measured = found.fit.bench.measured
    fitted = {estimate.key: estimate.after for estimate in found.estimates}
    return replace(
        measured, quantities={**measured.quantities, **fitted}, curves={**measured.curves, **fitted_rows(found)}
    )


def fitted_rows(found: Posterior) -> dict[str, Any]:
    """Rows of the bike file's table ``[fitted]`` by key."""
    earlier: Sequence[Any] = found.fit.bench.measured.curves.get("fitted.readings", ())
    return {
        "fitted.readings": (*earlier, *found.fit.sources),
        "fitted.correlation": triangle(found.correlation),
    }
