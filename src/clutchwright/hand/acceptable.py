"""How much effort is acceptable in work that comes and goes: share of the time loaded against share of the strength."""

from __future__ import annotations

import numpy as np

from clutchwright.errors import ModelRangeError
from clutchwright.hand.endurance import rohmert
from clutchwright.quantity import Number

SHIFT = 28800.0  # [s] the eight-hour day of Potvin (2012)
POTVIN_EXPONENT = 0.24  # [-] Potvin (2012), from memory
# [-] root mean square difference 7.05 to 7.23 % of maximum, Sonne & Potvin (2015)
POTVIN_SPREAD = 0.0714
# [-] mean effort over the time that work with pauses may ask; Bystrom & Fransson-Hall (1994), from memory
MEAN_EFFORT_LIMIT = 0.17


def acceptable_effort(duty: Number) -> Number:
    """Greatest effort found acceptable all day at a duty cycle.

    Parameters
    ----------
    duty : Number
        Share of an eight-hour day loaded [-], 1 s in 8 h up to 1; few data at 0.5 and more.

    Returns
    -------
    Number
        1 - (DC - 1/28800)^0.24, as a share of the greatest voluntary effort [-].

    Raises
    ------
    ModelRangeError
        For a duty cycle outside 1/28800 to 1.

    References
    ----------
    Potvin (2012), Hum Factors 54:175, from memory; eight psychophysical studies, mainly women.
    """
    least = 1.0 / SHIFT
    share = np.asarray(duty, dtype=float)
    if not np.all((share >= least) & (share <= 1.0)):
        message = (
            f"duty cycle = {duty}: known from one second in eight hours ({least:.2g}) to 1; check pulls and hold time"
        )
        raise ModelRangeError(message)
    return (1.0 - (share - least) ** POTVIN_EXPONENT)[()]


def greatest_duty(effort: Number) -> Number:
    """Greatest share of the day an effort is acceptable for; the reverse of `acceptable_effort`.

    Parameters
    ----------
    effort : Number
        Share of the greatest voluntary effort [-], 0 to 1.

    Returns
    -------
    Number
        1/28800 + (1 - e)^(1/0.24), at most all the time [-].

    Raises
    ------
    ModelRangeError
        For an effort outside 0 to 1.

    References
    ----------
    Potvin (2012), Hum Factors 54:175; Gibson & Potvin (2016), from memory.
    """
    share = np.asarray(effort, dtype=float)
    if not np.all((share >= 0.0) & (share <= 1.0)):
        message = (
            f"effort share = {effort}: acceptable duty is known from 0 to 1; more than the greatest effort is none"
        )
        raise ModelRangeError(message)
    return np.minimum(1.0, 1.0 / SHIFT + (1.0 - share) ** (1.0 / POTVIN_EXPONENT))[()]


def rest_needed(effort: Number, hold: Number) -> Number:
    """Rest after each pull that makes it acceptable all day.

    Parameters
    ----------
    effort : Number
        Effort share while pulling [-], 0 to 1.
    hold : Number
        Time of one pull [s].

    Returns
    -------
    Number
        hold/DC(effort) - hold [s].

    References
    ----------
    Gibson & Potvin (2016), from memory.
    """
    return hold / greatest_duty(effort) - hold


def rohmert_rest(effort: Number, hold: Number) -> Number:
    """Rest after each pull by Rohmert's allowance.

    Parameters
    ----------
    effort : Number
        Effort share f while pulling [-], 0.15 to 1.
    hold : Number
        Time t of one pull [s].

    Returns
    -------
    Number
        18 (t/T)^1.4 (f - 0.15)^0.5 of the holding time t, T the longest time by `rohmert`, given in [s].

    Raises
    ------
    ModelRangeError
        Below 0.15 no allowance is given; above 1 nothing can be held.

    References
    ----------
    Rohmert (1973), Appl Ergon 4:158, from memory.
    """
    share = np.asarray(effort, dtype=float)
    if np.any(share < 0.15):
        message = f"effort share = {effort}: the rest allowance is known from 0.15 to 1; below, no rest is asked for"
        raise ModelRangeError(message)
    return 18.0 * (hold / rohmert(effort)) ** 1.4 * (share - 0.15) ** 0.5 * hold


def mean_effort_share(effort: Number, duty: Number) -> Number:
    """Mean effort over the time, as a share of its limit.

    Parameters
    ----------
    effort : Number
        Effort share while pulling [-].
    duty : Number
        Share of the time pulled [-].

    Returns
    -------
    Number
        f DC/0.17 [-]; above 1 is too much.

    References
    ----------
    Bystrom & Fransson-Hall (1994), Hum Factors 36:158, from memory.
    """
    return effort * duty / MEAN_EFFORT_LIMIT
