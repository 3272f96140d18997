"""How a reading errs: mostly as its instrument says, now and then by a gross mistake.

A reading's error is normal with the instrument's standard deviation, but for one in ``MISTAKES``, which has a standard
deviation ``COARSER`` times as large. That is a distribution like any other, so what follows from it is a proper
posterior, unlike that of a loss which only bends: good readings keep their weight, a mistake all but loses it, and the
chance that a reading is one follows by Bayes' rule. Far away the pull of a reading rises again, if a hundred times
weaker, so a search that starts far off is still led home.
"""

from __future__ import annotations

import math

import numpy as np

from clutchwright.quantity import Array

# Own judgement: one mistake in fifty readings, off by ten times what the instrument is worth.
MISTAKES = 0.02
COARSER = 10.0


def mistake_chance(squares: Array) -> Array:
    """Chance that a reading is a mistake.

    Parameters
    ----------
    squares : Array
        Squared residuals in standard deviations [-].

    Returns
    -------
    Array
        Chance [-]: Bayes' rule for two normal distributions, textbook.
    """
    odds = math.log(MISTAKES / (COARSER * (1.0 - MISTAKES))) + 0.5 * squares * (1.0 - COARSER**-2)
    return np.asarray(1.0 / (1.0 + np.exp(-odds)))


def loss(squares: Array) -> Array:
    """Minus twice the log density of residuals, 0 at 0, and its first two derivatives.

    Parameters
    ----------
    squares : Array
        Squared residuals in standard deviations [-].

    Returns
    -------
    Array
        Shape (3, ...) [-]; contaminated normal distribution, Tukey, A survey of sampling from contaminated
        distributions (1960); derivatives by squared residual, own derivation.
    """
    rest = 1.0 - COARSER**-2
    good, bad = 1.0 - MISTAKES, MISTAKES / COARSER
    # exp(-s/2) is taken out on the side where it does not vanish
    value = squares / COARSER**2 - 2.0 * np.log((good * np.exp(-0.5 * squares * rest) + bad) / (good + bad))
    chance = mistake_chance(squares)
    return np.stack([value, 1.0 - rest * chance, -0.5 * rest**2 * chance * (1.0 - chance)])


def bounded_loss(squares: Array) -> Array:
    """The same for a first search: no reading pulls more than a good one at 1 standard deviation.

    Parameters
    ----------
    squares : Array
        Squared residuals in standard deviations [-].

    Returns
    -------
    Array
        Shape (3, ...) [-]: 2 (sqrt(1 + s) - 1), convex in the residual; Charbonnier et al., IEEE Trans. Image Process.
        6 (1997) 298.
    """
    root = np.sqrt(1.0 + squares)
    return np.stack([2.0 * (root - 1.0), 1.0 / root, -0.5 / root**3])
