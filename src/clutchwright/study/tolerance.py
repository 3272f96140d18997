"""Many possible bikes at once: every uncertain quantity drawn from its distribution, or moved by itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from clutchwright.quantity import Array, Quantity, unit_of


def draw(quantity: Quantity, key: str, scores: Array) -> Array:
    """Values of one quantity for standard normal scores.

    Parameters
    ----------
    quantity : Quantity
        Value and standard uncertainty [unit of the key].
    key : str
        Key of the quantity; its unit tells angles from lengths.
    scores : Array
        Standard normal scores [-].

    Returns
    -------
    Array
        Values [unit of the key], same shape: normal for angles and for values not above 0, else lognormal with the
        same mean and standard deviation, which never goes below 0 and is all but normal where u is small.

    References
    ----------
    Mean and standard deviation of the lognormal distribution, textbook; choice of distributions, own judgement
    (JCGM 101:2008, 6.4, asks for one that fits what is known).
    """
    if quantity.value <= 0.0 or unit_of(key) == "°":
        return quantity.value + quantity.u * scores
    spread = np.sqrt(np.log1p((quantity.u / quantity.value) ** 2))
    return quantity.value * np.exp(spread * scores - 0.5 * spread**2)


def uncertain(quantities: Mapping[str, Quantity]) -> tuple[str, ...]:
    """Keys whose standard uncertainty is above 0, in the file's order."""
    return tuple(key for key, quantity in quantities.items() if quantity.u > 0.0)


@dataclass(frozen=True, slots=True)
class Sample:
    """Many possible bikes: values by key [unit of the key], each of shape (size, 1), and the seed they came from."""

    seed: int
    size: int
    values: dict[str, Array]


def random_values(quantities: Mapping[str, Quantity], size: int, rng: np.random.Generator) -> dict[str, Array]:
    """Latin hypercube sample of all uncertain quantities.

    Parameters
    ----------
    quantities : mapping of str to Quantity
        All quantities of a bike.
    size : int
        How many possible bikes [-].
    rng : numpy.random.Generator
        Source of randomness.

    Returns
    -------
    dict of str to Array
        Values by key [unit of the key], each of shape (size, 1).

    References
    ----------
    McKay, Beckman and Conover, A comparison of three methods for selecting values of input variables, Technometrics 21
    (1979) 239.
    """
    from scipy.special import ndtri

    def scores() -> Array:
        places = (rng.permutation(size) + rng.uniform(size=size)) / size
        return np.asarray(ndtri(places))[:, np.newaxis]

    return {key: draw(quantities[key], key, scores()) for key in uncertain(quantities)}


def one_at_a_time(quantities: Mapping[str, Quantity]) -> dict[str, Array]:
    """Every uncertain quantity moved up, then down, by one standard uncertainty, all others left as they are.

    Parameters
    ----------
    quantities : mapping of str to Quantity
        All quantities of a bike.

    Returns
    -------
    dict of str to Array
        Values by key [unit of the key], each of shape (2 n, 1), n the number of uncertain quantities: rows 2 i and
        2 i + 1 move the i-th of them.
    """
    keys = uncertain(quantities)
    values = {}
    for place, key in enumerate(keys):
        column = np.full((2 * len(keys), 1), quantities[key].value)
        up_down = np.array([[1.0], [-1.0]])
        column[2 * place : 2 * place + 2] = draw(quantities[key], key, up_down)
        values[key] = column
    return values


def first_order(quantities: Mapping[str, Quantity], moved: Array) -> dict[str, float]:
    """Half the change of a figure when each quantity is moved by one standard uncertainty up and down.

    Parameters
    ----------
    quantities : mapping of str to Quantity
        All quantities of a bike.
    moved : Array
        The figure for the values of `one_at_a_time`, shape (2 n,).

    Returns
    -------
    dict of str to float
        Signed contribution by key, in the figure's unit; their root sum of squares is the standard uncertainty.

    References
    ----------
    JCGM 100:2008 (GUM), 5.1.2 eq. (10) for uncorrelated inputs, with the numerical slopes of 5.1.3 note 2.
    """
    halves = 0.5 * (moved[0::2] - moved[1::2])
    return dict(zip(uncertain(quantities), halves.tolist(), strict=True))
