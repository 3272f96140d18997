"""Samples of the posterior, by Markov chains that walk on a cheap copy of it and are put right by the true one.

Near its mode the posterior is all but normal, yet not quite: friction of cable, lift and pivot make up for each other
along a bent and narrow ridge. So what the readings would show is first copied as a quadratic form of the scores, whose
slopes cost next to nothing. Many chains walk on the copy along their slopes, which keeps them on the ridge, and after
each walk the place reached is accepted or refused for what the true posterior says of it. That makes the samples those
of the true posterior, however good the copy is; a poor copy only costs acceptance.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from clutchwright.calibrate.fitted import Fit
from clutchwright.calibrate.fitting import log_density
from clutchwright.calibrate.noise import loss
from clutchwright.quantity import Array

CHAINS = 512
# Walks before the first test by the true posterior, and tests before the first sample [-]. Measured: with half as many
# the intervals of the frictions come out some hundredths too narrow, with five times as many no wider.
WARM_UP, SETTLING = 12, 12
# Steps of a walk [-] and their length [standard deviations at the mode]: measured, nine walks of ten end on the copy.
STEPS, STEP = 8, 0.25
# Points per coefficient from which the copy is made.
_TRAINING = 4
# Chains worked out at a time, a divisor of ``CHAINS``: so few that no library starts threads for products of their
# small matrices. Measured: as fast on an idle machine, five times faster on a busy one.
_WIDTH = 64


@dataclass(frozen=True, slots=True, eq=False)
class Chains:
    """States of chains after each test by the true posterior.

    Parameters
    ----------
    states : Array
        Scores [-], shape (tests, chains, size).
    acceptance : float
        Share of tests that the chains passed [-]; 1 for a perfect copy.
    """

    states: Array
    acceptance: float

    @property
    def effective(self) -> float:
        """How many independent samples tell as much about the mean [-], for the score that is worst off.

        Variance of all samples over that of the chains' means; Geyer, Practical Markov chain Monte Carlo, Statistical
        Science 7 (1992) 473, batch means.
        """
        tests, chains, _ = self.states.shape
        between = np.var(np.mean(self.states, axis=0), axis=0, ddof=1)
        everything = np.var(self.states, axis=(0, 1))
        return float(np.min(everything / between)) * chains if tests > 1 else float(chains)


def chains(found: Fit, tests: int, rng: np.random.Generator) -> Chains:
    """Walk on the posterior of a fit.

    Parameters
    ----------
    found : Fit
        The fit; its mode and covariance are where the chains begin.
    tests : int
        States to keep of each chain [-].
    rng : numpy.random.Generator
        Source of randomness.

    Returns
    -------
    Chains
        See there.

    References
    ----------
    Liu, Monte Carlo Strategies in Scientific Computing (2001), sec. 9.4.3, surrogate transition; Christen and Fox,
    Markov chain Monte Carlo using an approximation, J. Comput. Graph. Stat. 14 (2005) 795. Walks on the copy: Neal,
    MCMC using Hamiltonian dynamics, Handbook of Markov Chain Monte Carlo (2011), sec. 5.3.
    """
    copy = _Copy(found, rng)
    place = copy.place(rng.normal(size=(CHAINS // _WIDTH, len(found.mode), _WIDTH)))
    for _ in range(WARM_UP):
        place = copy.walk(place, rng)
    true = log_density(found, copy.scores(place.standard))
    kept, passed = [], 0.0
    for test in range(SETTLING + tests):
        reached = copy.walk(place, rng)
        there = log_density(found, copy.scores(reached.standard))
        with np.errstate(invalid="ignore"):  # a chain that began where nothing fits, and got nowhere
            gained = there - true + _flat(reached.potential - place.potential)
        accepted = np.log(rng.uniform(size=CHAINS)) < np.where(np.isfinite(there), gained, -np.inf)
        place, true = place.moved(reached, accepted.reshape(-1, _WIDTH)), np.where(accepted, there, true)
        if test >= SETTLING:
            kept.append(copy.scores(place.standard))
            passed += float(np.mean(accepted)) / tests
    return Chains(np.stack(kept), passed)


def _flat(values: Array) -> Array:
    """A number for each chain, from blocks of chains."""
    return values.reshape(-1)


@dataclass(frozen=True, slots=True, eq=False)
class _Place:
    """Where chains are on the copy: standard coordinates, potential (minus log density) and its slope.

    Shapes (blocks, size, width), (blocks, width) and (blocks, size, width).
    """

    standard: Array
    potential: Array
    slope: Array

    def moved(self, to: _Place, accepted: NDArray[np.bool_]) -> _Place:
        """Some chains elsewhere, the others where they were."""
        each = accepted[:, np.newaxis]
        return _Place(
            np.where(each, to.standard, self.standard),
            np.where(accepted, to.potential, self.potential),
            np.where(each, to.slope, self.slope),
        )


class _Copy:
    """The posterior with each reading's residual as a quadratic form, in coordinates that are standard at the mode."""

    def __init__(self, found: Fit, rng: np.random.Generator) -> None:
        self._mode, self._factor = found.mode[:, np.newaxis], np.linalg.cholesky(found.covariance)
        size = len(found.mode)
        first, second = np.triu_indices(size)
        training = rng.normal(size=(_TRAINING * (1 + size + len(first)), size))
        off = (found.bench.predict(found.mode + training @ self._factor.T) - found.bench.values) / found.noise
        known = np.all(np.isfinite(off), axis=-1)
        at = training[known]
        terms = np.concatenate([np.ones((len(at), 1)), at, at[:, first] * at[:, second]], axis=-1)
        # the terms of standard scores are nearly at right angles, so the normal equations lose nothing
        coefficients = np.linalg.solve(terms.T @ terms, terms.T @ off[known]).T
        self._constant, self._linear = coefficients[:, :1], coefficients[:, 1 : size + 1]
        self._square = np.zeros((off.shape[-1], size, size))
        for row, column in ((first, second), (second, first)):
            self._square[:, row, column] += coefficients[:, size + 1 :]

    def scores(self, standard: Array) -> Array:
        """Scores [-], shape (chains, size), for standard coordinates in blocks."""
        return np.asarray(np.moveaxis(self._mode + self._factor @ standard, 1, 2).reshape(-1, len(self._mode)))

    def place(self, standard: Array) -> _Place:
        """Potential and slope at standard coordinates [-], shape (blocks, size, width)."""
        bent = self._square @ standard[:, np.newaxis]
        residuals = self._constant + self._linear @ standard + 0.5 * np.einsum("bmkn,bkn->bmn", bent, standard)
        value, weight, _ = loss(residuals**2)
        scores = self._mode + self._factor @ standard
        pull = weight * residuals
        slope = self._linear.T @ pull + np.einsum("bmn,bmkn->bkn", pull, bent) + self._factor.T @ scores
        return _Place(standard, 0.5 * (np.sum(value, axis=1) + np.sum(scores**2, axis=1)), slope)

    def walk(self, start: _Place, rng: np.random.Generator) -> _Place:
        """Where chains are after one walk by leapfrog steps along the slope, each kept or not by the copy alone."""
        shape = start.standard.shape
        momentum = rng.normal(size=shape)
        step = STEP * rng.uniform(0.7, 1.1, size=(shape[0], 1, shape[2]))
        energy = start.potential + 0.5 * np.sum(momentum**2, axis=1)
        at = start
        momentum = momentum - 0.5 * step * at.slope
        for number in range(STEPS):
            at = self.place(at.standard + step * momentum)
            momentum = momentum - (1.0 if number < STEPS - 1 else 0.5) * step * at.slope
        lost = energy - at.potential - 0.5 * np.sum(momentum**2, axis=1)
        return start.moved(at, np.log(rng.uniform(size=lost.shape)) < lost)
