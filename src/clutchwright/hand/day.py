"""A day of riding: how long a lever stays light enough for a hand, and the effort that lasts as long as wanted.

The acceptable effort is known for a share of an eight-hour day (Potvin 2012), so riding time is what fills that share:
duty of riding x riding time = acceptable share x 8 h. Spreading the load over the day is an assumption; results end
at eight hours, beyond which the model says nothing. Not medical advice.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from clutchwright.errors import InputError
from clutchwright.hand.acceptable import (
    POTVIN_EXPONENT,
    POTVIN_SPREAD,
    SHIFT,
    acceptable_effort,
    mean_effort_share,
)
from clutchwright.hand.endurance import holding_times
from clutchwright.hand.fatigue import GRIP, FatigueTrace, Muscle, fatigue
from clutchwright.hand.riding import Riding
from clutchwright.hand.strain import (
    LEAST_ACTIVITY,
    hand_activity,
    peak_force_index,
    revised_strain_index,
)
from clutchwright.quantity import Array, Number

DAY_ASSUMPTION = (
    "riding fills the share of an eight-hour day that is acceptable at this effort; the ten-per-cent value carries the "
    "spread of the acceptable effort, of the hand, and the disagreement of rival endurance models"
)

MEDICAL_CAUTION = (
    "Estimates from models of healthy hands, not medical advice. Pain, numbness or tingling means stop and see a "
    "professional."
)

# [-] longest over shortest holding time of rival models at one effort, at worst (1.5 to 2.3 between 0.3 and 0.8);
# taken as the distance from the 10 % to the 90 % value
MODEL_DISAGREEMENT = 2.3
SHORTEST = (
    360.0  # [s] own judgement: in less time some pulls more or less decide, and no model of a day is meant for it
)
_GRID, _REFINEMENTS = 128, 6  # the effort to 1e-12
_TEN_PERCENT = 1.2815515655446004  # normal deviate of 10 %, less sign


@dataclass(frozen=True, slots=True)
class RidingTime:
    """Riding time until the acceptable effort is passed.

    Parameters
    ----------
    p50 : Number
        Median [s]; eight hours means eight hours or more.
    p10 : Number
        One in ten tires before this [s].
    """

    p50: Number
    p10: Number


def _log_share(effort: Array) -> Array:
    """Logarithm of the acceptable share of the day; minus infinity where the effort is 1 or more.

    The one second a day that the formula allows at the greatest effort is left out.
    """
    with np.errstate(divide="ignore"):
        return np.log1p(-np.minimum(effort, 1.0)) / POTVIN_EXPONENT


def _holds(effort: Array, hold: float, least: bool) -> Array:
    """1 where one pull can be held through, else 0: by the middle one of the models, or by every one."""
    times = holding_times(np.minimum(effort, 1.0))
    limit = times.min(axis=0) if least else np.median(times, axis=0)
    return np.where((effort <= 1.0) & (hold <= limit), 1.0, 0.0)


def riding_time(effort: Number, riding: Riding, spread: float = 0.0) -> RidingTime:
    """Riding time that a lever is light enough for.

    Parameters
    ----------
    effort : Number
        Peak effort share [-], above 0.
    riding : Riding
        Kind of riding.
    spread : float
        Relative standard uncertainty of the effort share [-], that of the hand's capacity; 0 for a sampled hand.

    Returns
    -------
    RidingTime
        [s]; 0 where the effort is 1 or more or one pull alone cannot be held. For the ten-per-cent value the spreads
        of the hand and of the acceptable effort are added by squares as effort, and what they cost in time by squares
        (in logarithms) to the disagreement of the models.

    References
    ----------
    Potvin (2012), Hum Factors 54:175; the rest is our own derivation, see `DAY_ASSUMPTION`.
    """
    share = np.asarray(effort, dtype=float)
    median = _log_share(share)
    # lognormal, as the parts of a hand are drawn
    by_hand = share * (np.exp(_TEN_PERCENT * math.sqrt(math.log1p(spread**2))) - 1.0)
    harder = share + np.hypot(by_hand, _TEN_PERCENT * POTVIN_SPREAD)
    with np.errstate(invalid="ignore"):
        fall = np.hypot(median - _log_share(harder), 0.5 * math.log(MODEL_DISAGREEMENT))
        low = np.where(np.isneginf(median), -np.inf, median - fall)
    full = SHIFT / riding.duty
    p50 = np.minimum(SHIFT, full * np.exp(median)) * _holds(share, riding.hold, least=False)
    p10 = np.minimum(SHIFT, full * np.exp(low)) * _holds(share, riding.hold, least=True)
    return RidingTime(p50[()], p10[()])


def possible_times(effort: Array, riding: Riding, deviates: Array) -> Array:
    """Riding times of possible hands, each with its own draw of what the models leave open.

    Parameters
    ----------
    effort : Array
        Peak effort share of each hand, shape (samples,) [-].
    riding : Riding
        Kind of riding.
    deviates : Array
        Standard normal deviates, shape (2, samples) [-]: of the acceptable effort, and of the models' disagreement.

    Returns
    -------
    Array
        [s], shape (samples,); their quantiles are what `riding_time` works out from the spreads.

    References
    ----------
    As for `riding_time`.
    """
    disagreement = np.exp(0.5 * math.log(MODEL_DISAGREEMENT) / _TEN_PERCENT * deviates[1])
    limit = np.median(holding_times(np.minimum(effort, 1.0)), axis=0) * disagreement
    held = (effort <= 1.0) & (riding.hold <= limit)
    share = np.exp(_log_share(effort + POTVIN_SPREAD * deviates[0])) * disagreement
    return np.where(held, np.minimum(SHIFT, SHIFT / riding.duty * share), 0.0)


def effort_for(time: float, riding: Riding, spread: float = 0.0) -> tuple[float, float]:
    """Greatest peak effort that lasts a wanted riding time.

    Parameters
    ----------
    time : float
        Wanted riding time [s], from six minutes to eight hours.
    riding : Riding
        Kind of riding.
    spread : float
        Relative standard uncertainty of the effort share [-].

    Returns
    -------
    tuple[float, float]
        Effort share [-] for the median, and for nine in ten; 0 when no effort is acceptable so long.

    Raises
    ------
    InputError
        For a time that is shorter or longer.

    References
    ----------
    Reverse of `riding_time`, by a grid made ever finer: own derivation.
    """
    if not SHORTEST <= time <= SHIFT:
        field, allowed = "riding time", "from 0.1 h to 8 h, the day that the acceptable effort is known for"
        raise InputError(field, time / 3600.0, allowed)

    median = _greatest(lambda efforts: np.asarray(riding_time(efforts, riding, spread).p50) >= time)
    nine_in_ten = _greatest(lambda efforts: np.asarray(riding_time(efforts, riding, spread).p10) >= time)
    return median, nine_in_ten


def _greatest(good: Callable[[Array], NDArray[np.bool_]]) -> float:
    """Greatest effort up to 1 that is good, being good below and bad above; 0 if none is."""
    low, high = 0.0, 1.0
    for _ in range(_REFINEMENTS):
        grid = np.linspace(low, high, _GRID + 1)
        last = int(np.count_nonzero(good(grid[1:])))
        low, high = float(grid[last]), float(grid[min(last + 1, _GRID)])
    return low


def ride_fatigue(effort: float, riding: Riding, time: float, muscle: Muscle = GRIP) -> FatigueTrace:
    """Fatigue of the hand over a ride of even pulls.

    Parameters
    ----------
    effort : float
        Effort share while the lever is held [-].
    riding : Riding
        Kind of riding.
    time : float
        Riding time [s].
    muscle : Muscle
        Rates of the three-compartment model.

    Returns
    -------
    FatigueTrace
        State before and after each pull.

    References
    ----------
    See `clutchwright.hand.fatigue`.
    """
    pulls = max(1, math.floor(time * riding.rate))
    rest = 1.0 / riding.rate - riding.hold
    return fatigue(np.tile([riding.hold, rest], pulls), np.tile([effort, 0.0], pulls), muscle)


def _held_times(effort: float) -> Array:
    """Holding times by the rival models [s], endless with no effort."""
    return np.full(1, np.inf) if effort == 0.0 else holding_times(effort)


@dataclass(frozen=True, slots=True)
class Day:
    """How a lever and a hand get through a day of riding, with second opinions.

    Parameters
    ----------
    duty : float
        Share of the riding time the lever is held [-].
    acceptable_effort : float
        Peak effort acceptable for eight hours of this riding [-].
    time : RidingTime
        Riding time the lever is light enough for [s].
    target_effort : tuple[float, float]
        Peak effort that lasts the wanted time, for the median and for nine in ten [-].
    remaining_capacity : float | None
        What the three-compartment model leaves of the hand after the wanted time [-].
    failed_at : float | None
        Riding time at which that model can no longer hold the lever [s]; infinite when it always can.
    holding_times : tuple[float, float, float] | None
        Shortest, middle and longest time one pull can be held, by the rival models [s].
    mean_effort_share : float | None
        Mean effort over the time against its limit [-]; above 1 is too much.
    strain_index : float | None
        Revised strain index [-], limit 10. This and the four before it are None where the pull is more than the hand
        can do: what is never pulled in is never held.
    peak_force_index : float
        Peak force against the hand-activity limit [-]; above 1 is too much.
    """

    duty: float
    acceptable_effort: float
    time: RidingTime
    target_effort: tuple[float, float]
    remaining_capacity: float | None
    failed_at: float | None
    holding_times: tuple[float, float, float] | None
    mean_effort_share: float | None
    strain_index: float | None
    peak_force_index: float

    @property
    def tires(self) -> bool:
        """Whether the lever is not light enough for eight hours of this riding, by the median."""
        return bool(self.time.p50 < SHIFT)

    @property
    def pulled(self) -> bool:
        """Whether the hand can pull the lever in at all."""
        return self.holding_times is not None


def ride_day(
    *, peak: float, hold: float, riding: Riding, time: float, spread: float = 0.0, wrist_extension: float = 0.0
) -> Day:
    """A riding day of one hand and one lever.

    Parameters
    ----------
    peak : float
        Peak effort share while pulling in [-], above 0.
    hold : float
        Effort share while the lever is held [-], not below 0.
    riding : Riding
        Kind of riding.
    time : float
        Wanted riding time [s], from six minutes to eight hours.
    spread : float
        Relative standard uncertainty of the effort shares [-].
    wrist_extension : float
        Extension above 0, flexion below [rad].

    Returns
    -------
    Day
        The peak decides on the time; fatigue and holding times go by the held effort, the strain scores by the peak.

    Raises
    ------
    InputError
        For a time that is shorter or longer.

    References
    ----------
    Each figure by its own function; putting them side by side is our own derivation.
    """
    target = effort_for(time, riding, spread)
    trace = held = strain = None
    if peak <= 1.0:
        trace, held = ride_fatigue(hold, riding, time), _held_times(hold)
        strain = float(
            revised_strain_index(
                effort=peak, rate=riding.rate, hold=riding.hold, wrist_extension=wrist_extension, time=time
            )
        )
    activity = max(LEAST_ACTIVITY, float(hand_activity(riding.rate, riding.duty)))
    return Day(
        duty=riding.duty,
        acceptable_effort=float(acceptable_effort(riding.duty)),
        time=riding_time(peak, riding, spread),
        target_effort=target,
        remaining_capacity=None if trace is None else float(trace.remaining[-1]),
        failed_at=None if trace is None else trace.failed_at,
        holding_times=None if held is None else (float(held.min()), float(np.median(held)), float(held.max())),
        mean_effort_share=None if held is None else float(mean_effort_share(hold, riding.duty)),
        strain_index=strain,
        peak_force_index=float(peak_force_index(peak, activity)),
    )
