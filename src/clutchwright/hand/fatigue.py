"""Fatigue over a ride: the three-compartment model with faster recovery at rest, solved exactly piece by piece.

A muscle's capacity is split into active M_A, fatigued M_F and resting M_R, together 1. With the wanted effort T

    dM_A/dt = C - F M_A        dM_F/dt = F M_A - R* M_F        dM_R/dt = -C + R* M_F
    C = L (T - M_A) if M_A >= T or M_R > T - M_A, else L M_R
    R* = r R if M_A >= T (rest), else R

While the effort stays the same, each of the three cases is linear with constant coefficients, so the state is carried
by matrix exponentials in closed form; the moment at which one case goes over into another is found by a root.

References
----------
Xia & Frey-Law (2008), J Biomech 41:3046 (three compartments); Looft et al. (2018), J Biomech 77:16 (rest recovery).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np

from clutchwright.errors import ModelRangeError
from clutchwright.hand.estimate import Basis
from clutchwright.quantity import Array, Number


@dataclass(frozen=True, slots=True)
class Muscle:
    """Rates of the three-compartment model.

    Parameters
    ----------
    fatigue : float
        F, active to fatigued [1/s].
    recovery : float
        R, fatigued to resting [1/s].
    rest_gain : float
        r, how much faster recovery is at rest [-].
    source : str
        Where the rates come from.
    basis : Basis
        How well they are founded.
    drive : float
        L, how fast the wanted effort is taken up [1/s].
    """

    fatigue: float
    recovery: float
    rest_gain: float
    source: str
    basis: Basis
    drive: float = 10.0


GRIP = Muscle(0.01235, 0.00135, 12.51, "Rakshit 2021, J Biomech, 110695, hand/grip", "found")
GRIP_WOMEN = Muscle(0.01159, 0.00217, 7.39, "Rakshit 2021, J Biomech, 110695, hand/grip, women", "found")
GRIP_MEN = Muscle(0.01238, 0.00178, 8.00, "Rakshit 2021, J Biomech, 110695, hand/grip, men", "found")
HAND_POOLED = Muscle(0.01227, 0.00134, 9.10, "Rakshit 2021, J Biomech, 110695, hand pooled", "found")
GRIP_2012 = Muscle(0.00980, 0.00064, 30.0, "Frey-Law 2012, J Biomech 45:1803, hand/grip; r of Looft 2018", "memory")
GENERAL_2012 = Muscle(0.00970, 0.00091, 15.0, "Frey-Law 2012, J Biomech 45:1803, general", "found")


def holding_time(effort: Number, muscle: Muscle) -> Number:
    """Time until a steady effort can no longer be held, fresh at the start.

    Parameters
    ----------
    effort : Number
        Force over greatest force f [-], above 0 up to 1.
    muscle : Muscle
        Rates.

    Returns
    -------
    Number
        -ln(1 - (1 - f) R/(F f))/R [s]; infinite for f <= R/(F + R). The effort is taken up at once (L infinite).

    References
    ----------
    Closed form of Xia & Frey-Law (2008), J Biomech 41:3046.
    """
    f = np.asarray(effort, dtype=float)
    left = 1.0 - (1.0 - f) * muscle.recovery / (muscle.fatigue * f)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(left > 0.0, -np.log(left) / muscle.recovery, np.inf)[()]


def fatigue_plateau(effort: Number, duty: Number, muscle: Muscle) -> Number:
    """Fatigued share that many short pulls end up at.

    Parameters
    ----------
    effort : Number
        Effort share f while pulling [-].
    duty : Number
        Share of the time pulled D [-].
    muscle : Muscle
        Rates.

    Returns
    -------
    Number
        F f D/(R (D + r (1 - D))) [-]; valid while it stays below 1 - f, else the muscle fails before.

    References
    ----------
    Derived from Looft et al. (2018), J Biomech 77:16, for cycles short against the time constants.
    """
    return muscle.fatigue * effort * duty / (muscle.recovery * (duty + muscle.rest_gain * (1.0 - duty)))


@dataclass(frozen=True, slots=True)
class FatigueTrace:
    """State of the muscle at the borders of the pieces of constant effort.

    Parameters
    ----------
    time : Array
        From the start [s]; one entry more than there are pieces.
    active : Array
        M_A [-].
    fatigued : Array
        M_F [-].
    failed_at : float
        First time the wanted effort could not be held [s]; infinite when it always could.
    """

    time: Array
    active: Array
    fatigued: Array
    failed_at: float

    @property
    def remaining(self) -> Array:
        """Capacity that remains, 1 - M_F [-]."""
        return 1.0 - self.fatigued


def runs(efforts: Array, step: float) -> tuple[Array, Array]:
    """Pieces of constant effort in an evenly sampled day.

    Parameters
    ----------
    efforts : Array
        Effort share [-], one value a step.
    step : float
        Time a value stands for [s].

    Returns
    -------
    tuple[Array, Array]
        Durations [s] and efforts [-] of the pieces.

    References
    ----------
    Run lengths; own derivation.
    """
    borders = np.flatnonzero(efforts[1:] != efforts[:-1]) + 1
    starts = np.concatenate(([0], borders))
    lengths = np.diff(np.concatenate((starts, [len(efforts)])))
    return lengths * step, efforts[starts]


def fatigue(
    durations: Array, efforts: Array, muscle: Muscle = GRIP, start: tuple[float, float] = (0.0, 0.0)
) -> FatigueTrace:
    """Fatigue through pieces of constant effort.

    Parameters
    ----------
    durations : Array
        Length of each piece [s], not below 0.
    efforts : Array
        Wanted effort share of each piece [-], not below 0; above 1 the muscle gives all it has.
    muscle : Muscle
        Rates.
    start : tuple[float, float]
        M_A and M_F at the start [-].

    Returns
    -------
    FatigueTrace
        State at the borders of the pieces; exact in between, whatever their length.

    Raises
    ------
    ModelRangeError
        For a negative or non-finite duration or effort.

    References
    ----------
    Model: see the module. Solution by matrix exponentials: own derivation.
    """
    if not (np.all(np.isfinite(durations) & np.isfinite(efforts)) and np.all((durations >= 0.0) & (efforts >= 0.0))):
        message = "durations and efforts must be finite and not below 0; check the riding pattern"
        raise ModelRangeError(message)
    borders = np.concatenate(([0.0], np.cumsum(durations)))
    walker = _Walker(muscle, *start)
    states = [start]
    for began, duration, effort in zip(borders.tolist(), durations.tolist(), efforts.tolist(), strict=False):
        walker.walk(began, duration, effort)
        states.append((walker.active, walker.fatigued))
    active, fatigued = np.array(states).T
    return FatigueTrace(borders, active, fatigued, walker.failed_at)


_Case = Literal["rest", "hold", "spent"]


class _Propagator(NamedTuple):
    """Exact move over a time: state - level -> matrix (state - level)."""

    level_active: float
    level_fatigued: float
    aa: float
    af: float
    fa: float
    ff: float

    def move(self, active: float, fatigued: float) -> tuple[float, float]:
        a, f = active - self.level_active, fatigued - self.level_fatigued
        return self.level_active + self.aa * a + self.af * f, self.level_fatigued + self.fa * a + self.ff * f


def _propagator(muscle: Muscle, case: _Case, effort: float, time: float) -> _Propagator:
    """Matrix exponential of one case in closed form; own derivation."""
    F, L = muscle.fatigue, muscle.drive
    if case == "spent":  # d(M_A) = L - (L + F) M_A - L M_F, d(M_F) = F M_A - R M_F
        R = muscle.recovery
        trace, determinant = -(L + F + R), (L + F) * R + L * F
        root = math.sqrt(trace * trace - 4.0 * determinant)
        slow, fast = (trace + root) / 2.0, (trace - root) / 2.0
        es, ef = math.exp(slow * time), math.exp(fast * time)
        one, matrix = (slow * ef - fast * es) / root, (es - ef) / root  # exp(A t) = one + matrix A
        aa, af, fa, ff = one - matrix * (L + F), -matrix * L, matrix * F, one - matrix * R
        return _Propagator(L * R / determinant, L * F / determinant, aa, af, fa, ff)
    recovery = muscle.recovery * (muscle.rest_gain if case == "rest" else 1.0)
    active = L * effort / (L + F)
    ea, er = math.exp(-(L + F) * time), math.exp(-recovery * time)
    return _Propagator(active, F * active / recovery, ea, 0.0, F * (ea - er) / (recovery - L - F), er)


class _Walker:
    """Carries the state through pieces of constant effort and keeps the propagators it has met."""

    def __init__(self, muscle: Muscle, active: float, fatigued: float) -> None:
        self._muscle = muscle
        self.active, self.fatigued = active, fatigued
        self.failed_at = math.inf
        self._known: dict[tuple[str, float, float], _Propagator] = {}

    def _case(self, effort: float) -> _Case:
        return "rest" if self.active >= effort else self._loaded(effort)

    def _loaded(self, effort: float) -> _Case:
        return "hold" if self.fatigued < 1.0 - effort else "spent"  # M_R > T - M_A, as M_A + M_F + M_R = 1

    def walk(self, began: float, duration: float, effort: float) -> None:
        """Carry the state over one piece."""
        left = duration
        case = self._case(effort)
        while True:
            if case == "spent":
                self.failed_at = min(self.failed_at, began + duration - left)
            key = (case, effort, left)
            step = self._known.get(key) or self._known.setdefault(key, _propagator(self._muscle, case, effort, left))
            active, fatigued = step.move(self.active, self.fatigued)
            crossed = self._crossing(case, effort, left, active, fatigued)
            if crossed is None:
                self.active, self.fatigued = active, fatigued
                return
            self.active, self.fatigued = _propagator(self._muscle, case, effort, crossed).move(
                self.active, self.fatigued
            )
            left -= crossed
            # by the case left, not by the state, which stands on the border to rounding
            case = self._loaded(effort) if case == "rest" else "spent" if case == "hold" else "hold"

    def _crossing(self, case: _Case, effort: float, left: float, active: float, fatigued: float) -> float | None:
        """Time to the end of the present case [s], None when it lasts; end state of the piece given."""
        muscle = self._muscle
        if case == "rest":
            if effort == 0.0 or active >= effort:
                return None
            rate = muscle.drive + muscle.fatigue
            above = self.active - muscle.drive * effort / rate
            # log of above/(effort - level), apart so that a tiny effort does not overflow; the end lies beyond
            return min(left, (math.log(above) - math.log(effort) - math.log(muscle.fatigue / rate)) / rate)
        limit = 1.0 - effort
        if (fatigued < limit) == (case == "hold"):
            return None

        def excess(time: float) -> float:
            return _propagator(muscle, case, effort, time).move(self.active, self.fatigued)[1] - limit

        if excess(0.0) * excess(left) >= 0.0:  # the limit only touched, to rounding
            return None
        from scipy.optimize import brentq

        return float(brentq(excess, 0.0, left, xtol=1e-9))
