"""Samples of the posterior, by Markov chains that walk on a cheap copy of it and are put right by the true one.

Near its mode the posterior is all but normal, yet not quite: friction of cable, lift and pivot make up for each other
along a bent line. So what the readings would show is first copied as a quadratic form of the scores. Many chains walk
on the copy at next to no cost, and every so often the place each has reached is accepted or refused for what the true
posterior says of it. That makes the samples those of the true posterior, however good the copy is; a poor copy only
costs acceptance.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from clutchwright.calibrate.fitted import Fit
from clutchwright.calibrate.fitting import log_density, log_density_of
from clutchwright.quantity import Array

Density = Callable[[Array], Array]

CHAINS = 512
# Steps on the copy before the first test by the true posterior, and between tests [-]; tests before the first sample.
WARM_UP, WALK, SETTLING = 60, 30, 4
# Share of a step that is new [-]. Measured: the best of 0.5 to 1 for 25 unknowns, and hardly matters.
STRIDE = 0.8
# Points per coefficient from which the copy is made.
_TRAINING = 4
# Rows multiplied at a time, a divisor of ``CHAINS``: so few that no library starts threads for them. Measured: as fast
# on an idle machine, five times faster on a busy one.
_ROWS = 16


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
    Markov chain Monte Carlo using an approximation, J. Comput. Graph. Stat. 14 (2005) 795. Steps on the copy: Neal,
    Regression and classification using Gaussian process priors (1998), eq. 15; Cotter et al., MCMC methods for
    functions, Statistical Science 28 (2013) 424.
    """
    walk = _Walk(found, rng)
    places = np.clip(walk.draw(CHAINS), *found.bounds)
    places = walk.steps(places, WARM_UP)
    copied, true = walk.copy(places), log_density(found, places)
    kept, passed = [], 0.0
    for test in range(SETTLING + tests):
        reached = walk.steps(places, WALK)
        copied_there, true_there = walk.copy(reached), log_density(found, reached)
        accepted = np.log(rng.uniform(size=CHAINS)) < (true_there - true) - (copied_there - copied)
        places = np.where(accepted[:, np.newaxis], reached, places)
        copied, true = np.where(accepted, copied_there, copied), np.where(accepted, true_there, true)
        if test >= SETTLING:
            kept.append(places)
            passed += float(np.mean(accepted)) / tests
    return Chains(np.stack(kept), passed)


class _Walk:
    """Steps that leave the copied posterior as it is."""

    def __init__(self, found: Fit, rng: np.random.Generator) -> None:
        self._found, self._rng = found, rng
        self._factor = np.linalg.cholesky(found.covariance)
        self._inverse = np.linalg.inv(self._factor)
        self._coefficients = self._fitted()

    def draw(self, count: int) -> Array:
        """Scores from the normal distribution at the mode."""
        steps = self._rng.normal(size=(count, len(self._factor)))
        return np.asarray(self._found.mode + steps @ self._factor.T)

    def _standard(self, scores: Array) -> Array:
        return np.asarray((scores - self._found.mode) @ self._inverse.T)

    def _fitted(self) -> Array:
        """Coefficients of a quadratic form for each reading, by least squares over draws at the mode."""
        count = _monomials(np.zeros((1, len(self._factor)))).shape[-1]
        places = self.draw(_TRAINING * count)
        off = (self._found.bench.predict(places) - self._found.bench.values) / self._found.noise
        known = np.all(np.isfinite(off), axis=-1)
        terms = _monomials(self._standard(places[known]))
        # the terms of standard scores are nearly at right angles, so the normal equations lose nothing
        return np.asarray(np.linalg.solve(terms.T @ terms, terms.T @ off[known]))

    def copy(self, scores: Array) -> Array:
        """Log of the copied posterior density, up to a constant [-]."""
        terms = _monomials(self._standard(scores))
        blocks = terms.reshape(-1, _ROWS, terms.shape[-1]) @ self._coefficients
        return log_density_of(self._found, scores, blocks.reshape(len(scores), -1))

    def steps(self, scores: Array, count: int) -> Array:
        """Scores after some steps, each kept or not by the copied density over the normal one."""
        density = self.copy(scores) + 0.5 * np.sum(self._standard(scores) ** 2, axis=-1)
        stay = np.sqrt(1.0 - STRIDE**2)
        for _ in range(count):
            mode = self._found.mode
            tried = mode + stay * (scores - mode) + STRIDE * (self.draw(len(scores)) - mode)
            there = self.copy(tried) + 0.5 * np.sum(self._standard(tried) ** 2, axis=-1)
            accepted = np.log(self._rng.uniform(size=len(scores))) < there - density
            scores = np.where(accepted[:, np.newaxis], tried, scores)
            density = np.where(accepted, there, density)
        return scores


def _monomials(scores: Array) -> Array:
    """1, each score, and each product of two, as columns."""
    first, second = np.triu_indices(scores.shape[-1])
    return np.concatenate([np.ones((len(scores), 1)), scores, scores[:, first] * scores[:, second]], axis=-1)
