"""The lift mechanism: arm rotation to travel of the release bearing, bearing force to moment on the shaft.

Each kind gives the travel ``h(alpha)``, its slope ``rho = dh/dalpha`` (the ideal moment per force, by virtual work),
the rotation for a travel, and ``friction(direction)``: the share of the ideal moment that friction adds on the pull and
takes on the return. The geometry is our own derivation where no source stands beside it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from clutchwright.errors import Refusal
from clutchwright.physics import PULL, RETURN
from clutchwright.quantity import Array, Number


@dataclass(frozen=True, slots=True)
class Rack:
    """Rack and pinion.

    Parameters
    ----------
    pinion_radius : Number
        Pitch radius of the pinion [m].
    kappa : Number
        Share of the ideal moment lost to friction [-].
    """

    pinion_radius: Number
    kappa: Number

    def travel(self, rotation: Number) -> Number:
        """Bearing travel [m] at a rotation [rad]: r alpha (rolling pitch circle)."""
        return self.pinion_radius * rotation

    def slope(self, rotation: Number) -> Number:
        """Slope dh/dalpha [m] at a rotation [rad]: r, textbook (F r = T)."""
        return self.pinion_radius + 0.0 * rotation

    def rotation(self, travel: Number) -> Number:
        """Rotation [rad] for a bearing travel [m]; own derivation."""
        return travel / self.pinion_radius

    def friction(self, direction: Number) -> Number:
        """Share of the ideal moment [-], the same in either direction [-]."""
        del direction
        return self.kappa

    @property
    def dead_rotation(self) -> float:
        """Rotation at which the lift ends [rad]; a rack has none."""
        return math.inf


def screw_friction(lead_angle: Number, friction_angle: Number, direction: Number) -> Number:
    """Friction share of a screw, or of balls on a ramp, from the thread formula.

    Parameters
    ----------
    lead_angle : Number
        Lead (ramp) angle [rad].
    friction_angle : Number
        Angle of friction [rad].
    direction : Number
        PULL (raising the load) or RETURN (letting it down) [-].

    Returns
    -------
    Number
        Share [-]: tan(lam + phi)/tan(lam) - 1 raising, 1 - tan(lam - phi)/tan(lam) lowering; 1 or more lowering
        means that it does not run back by itself.

    References
    ----------
    Beer et al., Vector Mechanics for Engineers: Statics, square-threaded screws; Shigley, Mechanical Engineering
    Design, ch. 8, equations for raising and lowering.
    """
    signed = np.tan(lead_angle + direction * friction_angle) / np.tan(lead_angle)
    return direction * (signed - 1.0)


def thread_friction_angle(friction: Number, flank_angle: Number) -> Number:
    """Angle of friction of a thread.

    Parameters
    ----------
    friction : Number
        Friction coefficient [-].
    flank_angle : Number
        Half the thread angle [rad]; 0 for a square thread.

    Returns
    -------
    Number
        atan(mu/cos beta) [rad]; Shigley, Mechanical Engineering Design, ch. 8 (V and trapezoidal threads).
    """
    return np.arctan(friction / np.cos(flank_angle))


@dataclass(frozen=True, slots=True)
class Screw:
    """A quick screw (worm) in a fixed nut.

    Parameters
    ----------
    lead : Number
        Travel per full turn [m].
    thread_diameter : Number
        Mean diameter of the thread [m].
    thread_friction : Number
        Friction coefficient in the thread [-].
    flank_angle : Number
        Half the thread angle [rad].
    """

    lead: Number
    thread_diameter: Number
    thread_friction: Number
    flank_angle: Number

    def travel(self, rotation: Number) -> Number:
        """Bearing travel [m] at a rotation [rad]: lead/(2 pi) alpha."""
        return self.slope(rotation) * rotation

    def slope(self, rotation: Number) -> Number:
        """Slope dh/dalpha [m] at a rotation [rad]: lead/(2 pi)."""
        return self.lead / (2.0 * np.pi) + 0.0 * rotation

    def rotation(self, travel: Number) -> Number:
        """Rotation [rad] for a bearing travel [m]."""
        return travel * (2.0 * np.pi) / self.lead

    def friction(self, direction: Number) -> Number:
        """Share of the ideal moment [-] for a direction [-], by the thread formula (see `screw_friction`)."""
        lead_angle = np.arctan(self.lead / (np.pi * self.thread_diameter))
        return screw_friction(lead_angle, thread_friction_angle(self.thread_friction, self.flank_angle), direction)

    @property
    def dead_rotation(self) -> float:
        """Rotation at which the lift ends [rad]; a screw has none in reach of an arm."""
        return math.inf


@dataclass(frozen=True, slots=True)
class Ramp:
    """Balls between ramped discs.

    Parameters
    ----------
    ramp_radius : Number
        Shaft to the balls' track [m].
    ramp_angle : Number
        Angle of the ramp [rad].
    rolling_friction : Number
        Friction coefficient of the rolling balls [-].
    """

    ramp_radius: Number
    ramp_angle: Number
    rolling_friction: Number

    def travel(self, rotation: Number) -> Number:
        """Bearing travel [m] at a rotation [rad]: r tan(lam) alpha."""
        return self.slope(rotation) * rotation

    def slope(self, rotation: Number) -> Number:
        """Slope dh/dalpha [m] at a rotation [rad]: r tan(lam)."""
        return self.ramp_radius * np.tan(self.ramp_angle) + 0.0 * rotation

    def rotation(self, travel: Number) -> Number:
        """Rotation [rad] for a bearing travel [m]."""
        return travel / (self.ramp_radius * np.tan(self.ramp_angle))

    def friction(self, direction: Number) -> Number:
        """Share of the ideal moment [-] for a direction [-], by the thread formula (see `screw_friction`)."""
        return screw_friction(self.ramp_angle, np.arctan(self.rolling_friction), direction)

    @property
    def dead_rotation(self) -> float:
        """Rotation at which the lift ends [rad]; the balls' track is taken as long enough."""
        return math.inf


@dataclass(frozen=True, slots=True)
class Cam:
    """An eccentric or a flat on the shaft that pushes the rod.

    Parameters
    ----------
    eccentricity : Number
        Shaft axis to the centre of the eccentric [m].
    start_angle : Number
        Angle of the eccentric from square to the rod, arm at rest [rad].
    kappa : Number
        Share of the ideal moment lost to friction [-].
    """

    eccentricity: Number
    start_angle: Number
    kappa: Number

    def travel(self, rotation: Number) -> Number:
        """Bearing travel [m] at a rotation [rad]: e (sin(beta0 + alpha) - sin beta0), own derivation."""
        return self.eccentricity * (np.sin(self.start_angle + rotation) - np.sin(self.start_angle))

    def slope(self, rotation: Number) -> Number:
        """Slope dh/dalpha [m] at a rotation [rad]: e cos(beta0 + alpha), own derivation."""
        return self.eccentricity * np.cos(self.start_angle + rotation)

    def rotation(self, travel: Number) -> Number:
        """Rotation [rad] for a bearing travel [m]; NaN where the cam cannot lift so far. Own derivation."""
        with np.errstate(invalid="ignore"):
            return np.arcsin(travel / self.eccentricity + np.sin(self.start_angle)) - self.start_angle

    def friction(self, direction: Number) -> Number:
        """Share of the ideal moment [-], the same in either direction [-]."""
        del direction
        return self.kappa

    @property
    def dead_rotation(self) -> Number:
        """Rotation at which the eccentric lies in line with the rod and lifts no more [rad]."""
        return np.pi / 2 - self.start_angle


@dataclass(frozen=True)
class LiftTable:
    """A lift measured point by point; a monotone cubic runs through the points.

    Parameters
    ----------
    rotations : tuple of float
        Arm rotations from rest, rising, the first 0 [rad].
    travels : tuple of float
        Bearing travel at each, rising, the first 0 [m].
    kappa : Number
        Share of the ideal moment lost to friction [-].

    References
    ----------
    Fritsch and Butland, A method for constructing local monotone piecewise cubic interpolants, SIAM J. Sci. Stat.
    Comput. 5 (1984) 300 (the interpolant used, through scipy).
    """

    rotations: tuple[float, ...]
    travels: tuple[float, ...]
    kappa: Number

    @cached_property
    def _curve(self) -> tuple[object, object]:
        from scipy.interpolate import PchipInterpolator

        curve = PchipInterpolator(self.rotations, self.travels, extrapolate=False)
        return curve, curve.derivative()

    def travel(self, rotation: Number) -> Number:
        """Bearing travel [m] at a rotation [rad]; NaN outside the table."""
        return self._curve[0](rotation)  # type: ignore[operator]

    def slope(self, rotation: Number) -> Number:
        """Slope dh/dalpha [m] at a rotation [rad]; NaN outside the table."""
        return self._curve[1](rotation)  # type: ignore[operator]

    def rotation(self, travel: Number) -> Number:
        """Rotation [rad] for a bearing travel [m], by bisection; NaN where the table does not reach."""
        wanted = np.asarray(travel, dtype=np.float64)
        low: Array = np.zeros_like(wanted)
        high: Array = np.full_like(wanted, self.rotations[-1])
        for _ in range(60):
            middle = 0.5 * (low + high)
            below = np.asarray(self.travel(middle)) < wanted
            low, high = np.where(below, middle, low), np.where(below, high, middle)
        inside = (wanted >= 0.0) & (wanted <= self.travels[-1])
        return np.where(inside, 0.5 * (low + high), np.nan)[()]

    def friction(self, direction: Number) -> Number:
        """Share of the ideal moment [-], the same in either direction [-]."""
        del direction
        return self.kappa

    @property
    def dead_rotation(self) -> float:
        """The last rotation of the table [rad]."""
        return self.rotations[-1]


Lift = Rack | Screw | Ramp | Cam | LiftTable


def require_back_drive(lift: Lift) -> None:
    """Refuse a lift that would not run back by itself: the clutch would stay out.

    Parameters
    ----------
    lift : Lift
        The mechanism.

    Raises
    ------
    Refusal
        Where friction takes the whole of the springs' moment on the return, or a lead so steep that the thread jams on
        the pull. Source: Shigley, ch. 8, self-locking.
    """
    if float(np.min(lift.friction(PULL))) < 0.0:
        message = (
            "lift: lead angle and friction angle pass 90° together, so no moment would raise it; give a flatter lead"
        )
        raise Refusal(message)
    share = 100.0 * float(np.max(lift.friction(RETURN)))
    if share >= 100.0:
        message = (
            f"lift: friction takes {share:.0f} % of the returning moment (below 100 % needed), so the lift would not "
            "run back by itself and the clutch would stay out; give a steeper lead or less friction"
        )
        raise Refusal(message)
