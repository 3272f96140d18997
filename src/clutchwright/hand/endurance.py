"""How long one steady pull can be held: the rival published models, and how far they disagree."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from clutchwright.errors import ModelRangeError
from clutchwright.hand.estimate import Basis
from clutchwright.hand.fatigue import GRIP, GRIP_2012, holding_time
from clutchwright.quantity import Array, Number

_MINUTE = 60.0
ROHMERT_LIMIT = 0.15  # share below which Rohmert's holding time has no end [-]


def _checked(effort: Number) -> Array:
    """Effort shares as an array, refused outside 0 < f <= 1."""
    share = np.asarray(effort, dtype=float)
    if not np.all((share > 0.0) & (share <= 1.0)):
        message = f"effort share = {effort}: holding times are known above 0 and up to 1; a greater pull cannot be held"
        raise ModelRangeError(message)
    return share


def rohmert(effort: Number) -> Number:
    """Holding time, all muscles alike.

    Parameters
    ----------
    effort : Number
        Force over greatest force [-], 0 to 1.

    Returns
    -------
    Number
        -1.5 + 2.1/f - 0.6/f^2 + 0.1/f^3 minutes, given in [s]; infinite below f = 0.15.

    References
    ----------
    Rohmert (1960), as in El Ahrache (2006), Table 1, from memory.
    """
    f = _checked(effort)
    minutes = -1.5 + 2.1 / f - 0.6 / f**2 + 0.1 / f**3
    return np.where(f < ROHMERT_LIMIT, np.inf, _MINUTE * minutes)[()]


def frey_law_avin(effort: Number) -> Number:
    """Holding time of a grip, power law.

    Parameters
    ----------
    effort : Number
        Force over greatest force [-], 0 to 1; trusted from 0.1 to 0.6.

    Returns
    -------
    Number
        33.55 f^-1.61 [s].

    References
    ----------
    Frey Law & Avin (2010), Ergonomics 53:109, hand/grip of 195 studies, from memory.
    """
    return (33.55 * _checked(effort) ** -1.61)[()]


def manenica(effort: Number) -> Number:
    """Holding time of a grip, exponential.

    Parameters
    ----------
    effort : Number
        Force over greatest force [-], 0 to 1.

    Returns
    -------
    Number
        16.6099 exp(-4.5 f) minutes, given in [s].

    References
    ----------
    Manenica (1986), as in El Ahrache (2006), from memory.
    """
    return (_MINUTE * 16.6099 * np.exp(-4.5 * _checked(effort)))[()]


def three_compartments(effort: Number) -> Number:
    """Holding time of a grip by the three-compartment model of 2021.

    Parameters
    ----------
    effort : Number
        Force over greatest force [-], 0 to 1.

    Returns
    -------
    Number
        [s]; infinite at little effort.

    References
    ----------
    See `clutchwright.hand.fatigue.holding_time`, with the rates `GRIP`.
    """
    return holding_time(_checked(effort), GRIP)


def three_compartments_2012(effort: Number) -> Number:
    """Holding time of a grip by the three-compartment model of 2012.

    Parameters
    ----------
    effort : Number
        Force over greatest force [-], 0 to 1.

    Returns
    -------
    Number
        [s]; infinite at little effort.

    References
    ----------
    See `clutchwright.hand.fatigue.holding_time`, with the rates `GRIP_2012`.
    """
    return holding_time(_checked(effort), GRIP_2012)


@dataclass(frozen=True, slots=True)
class EnduranceModel:
    """One published model of the holding time.

    Parameters
    ----------
    name : str
        Author and year.
    time : Callable[[Number], Number]
        Holding time [s] of an effort share [-].
    low : float
        Least effort it is trusted for [-].
    high : float
        Greatest effort it is trusted for [-].
    basis : Basis
        How well it is founded.
    """

    name: str
    time: Callable[[Number], Number]
    low: float
    high: float
    basis: Basis


ENDURANCE_MODELS = (
    EnduranceModel("Rohmert 1960", rohmert, ROHMERT_LIMIT, 1.0, "memory"),
    EnduranceModel("Frey Law & Avin 2010", frey_law_avin, 0.1, 0.6, "memory"),
    EnduranceModel("Manenica 1986", manenica, 0.15, 1.0, "memory"),
    EnduranceModel("three compartments, Frey-Law 2012", three_compartments_2012, 0.1, 0.9, "memory"),
    EnduranceModel("three compartments, Rakshit 2021", three_compartments, 0.1, 0.9, "found"),
)


def holding_times(effort: Number) -> Array:
    """Holding time by every model.

    Parameters
    ----------
    effort : Number
        Force over greatest force [-], above 0 up to 1.

    Returns
    -------
    Array
        [s], one row for each of `ENDURANCE_MODELS`, in its order. Models are also used outside the efforts they are
        trusted for, so that the band narrows nowhere by leaving one out.

    Raises
    ------
    ModelRangeError
        For an effort that is not above 0 or is more than 1.

    References
    ----------
    Each model by its own function.
    """
    return np.array([model.time(effort) for model in ENDURANCE_MODELS])


def disagreement(effort: Number) -> Number:
    """How far the models disagree.

    Parameters
    ----------
    effort : Number
        Force over greatest force [-], above 0 up to 1.

    Returns
    -------
    Number
        Longest over shortest holding time [-]; infinite where one has no end.

    References
    ----------
    Own derivation.
    """
    times = holding_times(effort)
    return (times.max(axis=0) / times.min(axis=0))[()]
