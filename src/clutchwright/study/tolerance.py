"""Many possible bikes at once: every uncertain quantity drawn from its distribution, or moved by itself.

Quantities are independent of each other but for those that were fitted together, whose correlation the bike file holds,
and for those of one lot. All faces of a pack have one friction, and all
springs of a set one rate, since each of these is one quantity. Springs measured one by one are one lot as well: they
were held against the same scale and the same calliper, so that their errors go together. That is the careful way to
take them, since independent errors of six springs would largely cancel in the clamp.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from clutchwright.bikefile import MeasuredBike
from clutchwright.bikefile.fitted import Correlation
from clutchwright.bikefile.measured import lot
from clutchwright.changes import unknowns
from clutchwright.quantity import Array, Quantity, unit_of

_GOLDEN = 0.5 * (1.0 + math.sqrt(5.0))


def draw(quantity: Quantity, key: str, scores: Array) -> Array:
    """Values of one quantity for standard normal scores.

    Parameters
    ----------
    quantity : Quantity
        Value and standard uncertainty [unit of the key].
    key : str
        Key of the quantity; its unit tells angles, which may be below 0, from all others, which may not.
    scores : Array
        Standard normal scores [-].

    Returns
    -------
    Array
        Values [unit of the key], same shape, rising with the scores.

    Notes
    -----
    Own judgement (JCGM 101:2008, 6.4, asks for a distribution that fits what is known). Normal for angles and values
    below 0. Lognormal with the same mean and standard deviation for values above 0: never below 0, all but normal
    where u is small, and its reciprocal has a mean, which that of a normal distribution cut off at 0 has not; lengths
    stand below the line of many ratios. For a value of 0 the upper half of a normal distribution: friction that was
    taken as none can only be more.
    """
    if quantity.value < 0.0 or unit_of(key) == "°":
        return quantity.value + quantity.u * scores
    if quantity.value == 0.0:
        return quantity.u * _half_normal(scores)
    spread = np.sqrt(np.log1p((quantity.u / quantity.value) ** 2))
    return quantity.value * np.exp(spread * scores - 0.5 * spread**2)


def _half_normal(scores: Array) -> Array:
    """Half-normal scores at the same probability: with that of the tail beyond, so that great scores keep digits."""
    from scipy.special import ndtr, ndtri

    return np.asarray(-ndtri(0.5 * ndtr(-scores)))


def score(quantity: Quantity, key: str, value: float) -> float:
    """Standard normal score that draws a value: the inverse of `draw`.

    Parameters
    ----------
    quantity : Quantity
        Value and standard uncertainty, above 0 [unit of the key].
    key : str
        Key of the quantity.
    value : float
        What is to be drawn [unit of the key].

    Returns
    -------
    float
        Score [-]; minus infinity for a value that is never drawn.
    """
    from scipy.special import ndtr, ndtri

    if quantity.value < 0.0 or unit_of(key) == "°":
        return (value - quantity.value) / quantity.u
    if value <= 0.0:
        return -math.inf
    if quantity.value == 0.0:
        return float(-ndtri(2.0 * ndtr(-value / quantity.u)))
    spread = math.sqrt(math.log1p((quantity.u / quantity.value) ** 2))
    return math.log(value / quantity.value) / spread + 0.5 * spread


def uncertain(quantities: Mapping[str, Quantity]) -> tuple[str, ...]:
    """Names of the lots whose standard uncertainty is above 0, in the file's order."""
    return tuple(dict.fromkeys(lot(key) for key, quantity in quantities.items() if quantity.u > 0.0))


def values_at(
    quantities: Mapping[str, Quantity], scores: Array, correlation: Correlation | None = None
) -> dict[str, Array]:
    """Values of all uncertain quantities for standard normal scores.

    Parameters
    ----------
    quantities : mapping of str to Quantity
        All quantities of a bike.
    scores : Array
        Independent standard normal scores [-], shape (size, n): a column for each name of `uncertain`.
    correlation : Correlation | None
        How some of them hang together; None for independent ones.

    Returns
    -------
    dict of str to Array
        Values by key [unit of the key], each of shape (size, 1).
    """
    names = uncertain(quantities)
    columns = dict(zip(names, _mixed(scores, names, correlation).T, strict=True))
    return {
        key: draw(quantity, key, columns[lot(key)][:, np.newaxis])
        for key, quantity in quantities.items()
        if quantity.u > 0.0
    }


def _mixed(scores: Array, names: Sequence[str], correlation: Correlation | None) -> Array:
    """Correlated scores from independent ones."""
    if correlation is None or not correlation.keys:
        return scores
    return scores @ correlation.mixing(names).T


@dataclass(frozen=True, slots=True)
class Sample:
    """Many possible bikes: values by key [unit of the key], each of shape (size, 1), and the seed they came from."""

    seed: int
    size: int
    values: dict[str, Array]


def normal_scores(size: int, count: int, rng: np.random.Generator) -> Array:
    """Scrambled Sobol points as standard normal scores.

    Parameters
    ----------
    size : int
        How many points [-]; the first of as many as the next power of 2, which alone are in full balance.
    count : int
        Scores of each point [-].
    rng : numpy.random.Generator
        Source of randomness.

    Returns
    -------
    Array
        Scores [-], shape (size, count).

    References
    ----------
    Owen, Scrambling Sobol' and Niederreiter-Xing points, Journal of Complexity 14 (1998) 466; points by scipy, after
    Joe and Kuo, SIAM J. Sci. Comput. 30 (2008) 2635.
    """
    from scipy.special import ndtri
    from scipy.stats import qmc

    if count == 0:
        return np.empty((size, 0))
    points = qmc.Sobol(count, bits=64, rng=rng).random_base2(max(size - 1, 0).bit_length())
    return np.asarray(ndtri(points[:size]))


def random_values(
    quantities: Mapping[str, Quantity], size: int, rng: np.random.Generator, correlation: Correlation | None = None
) -> dict[str, Array]:
    """Possible values of all uncertain quantities, spread evenly by scrambled Sobol points.

    Parameters
    ----------
    quantities : mapping of str to Quantity
        All quantities of a bike.
    size : int
        How many possible bikes [-].
    rng : numpy.random.Generator
        Source of randomness.
    correlation : Correlation | None
        How some of them hang together; None for independent ones.

    Returns
    -------
    dict of str to Array
        Values by key [unit of the key], each of shape (size, 1).
    """
    return values_at(quantities, normal_scores(size, len(uncertain(quantities)), rng), correlation)


def possible_bikes(measured: MeasuredBike, size: int, rng: np.random.Generator) -> dict[str, Array]:
    """Possible values of all that is uncertain about a bike, and about the outcome of any change made to it.

    The unknowns of changes are drawn along whatever will be done, so that the same possible bikes can be held against
    each other without a change and with any.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.
    size : int
        How many possible bikes [-].
    rng : numpy.random.Generator
        Source of randomness.

    Returns
    -------
    dict of str to Array
        Values by key [unit of the key], each of shape (size, 1).
    """
    values = random_values(measured.quantities, size, rng, measured.correlation)
    scores = _even_scores(size)[:, np.newaxis]
    new = {key: each for key, each in unknowns().items() if key not in measured.quantities}
    return values | {key: draw(quantity, key, scores) for key, quantity in new.items()}


def _even_scores(size: int) -> Array:
    """Standard normal scores spread evenly, whatever the Sobol points are: multiples of the golden ratio.

    Weyl's sequence; Kuipers and Niederreiter, Uniform Distribution of Sequences (1974), ch. 2; textbook. One for all
    unknowns of changes.
    """
    from scipy.special import ndtri

    return np.asarray(ndtri((np.arange(1, size + 1) / _GOLDEN) % 1.0))


def one_at_a_time(quantities: Mapping[str, Quantity], correlation: Correlation | None = None) -> dict[str, Array]:
    """Every lot moved up, then down, by one standard uncertainty, all others left as they are.

    Of correlated ones, each is moved by what those before it leave open, and takes along those after it: what is left
    to each is independent, so that their contributions still add up by root sum of squares.

    Parameters
    ----------
    quantities : mapping of str to Quantity
        All quantities of a bike.
    correlation : Correlation | None
        How some of them hang together; None for independent ones.

    Returns
    -------
    dict of str to Array
        Values by key [unit of the key], each of shape (2 n, 1), n the number of names of `uncertain`: rows 2 i and
        2 i + 1 move the i-th of them.
    """
    names = uncertain(quantities)
    scores = np.zeros((2 * len(names), len(names)))
    for place in range(len(names)):
        scores[2 * place : 2 * place + 2, place] = 1.0, -1.0
    moved = values_at(quantities, scores, correlation)
    mixed = _mixed(scores, names, correlation)
    still = {key: mixed[:, names.index(lot(key)), np.newaxis] == 0.0 for key in moved}
    return {key: np.where(still[key], quantities[key].value, column) for key, column in moved.items()}


def first_order(quantities: Mapping[str, Quantity], moved: Array) -> dict[str, float]:
    """Half the change of a figure when each lot is moved by one standard uncertainty up and down.

    Parameters
    ----------
    quantities : mapping of str to Quantity
        All quantities of a bike.
    moved : Array
        The figure for the values of `one_at_a_time`, shape (2 n,).

    Returns
    -------
    dict of str to float
        Signed contribution by name of `uncertain`, in the figure's unit; see `combined` for their sum.

    References
    ----------
    JCGM 100:2008 (GUM), 5.1.2 eq. (10) for uncorrelated inputs, with the numerical slopes of 5.1.3 note 2; within a
    lot the errors go together, 5.2.2 note 1.
    """
    return dict(zip(uncertain(quantities), halves(moved), strict=True))


def halves(moved: Array) -> list[float]:
    """Half the change of a figure between each row of `one_at_a_time` and the next, in the figure's unit."""
    found: list[float] = (0.5 * (moved[0::2] - moved[1::2])).tolist()
    return found


def combined(contributions: Mapping[str, float]) -> float:
    """Standard uncertainty from the signed contributions of independent lots, in their unit: root sum of squares."""
    return float(np.sqrt(sum(part**2 for part in contributions.values())))
