"""The hand lever: finger travel to cable drawn, cable tension to finger force.

Three kinds of cable end are known. Each gives the cable drawn ``x`` and its slope ``dx/dphi`` (the moment arm, by
virtual work) for a rotation ``phi`` from rest, and the rotation for a cable drawn, in closed form.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from clutchwright.physics.assist import AssistSpring
from clutchwright.quantity import Number


@dataclass(frozen=True, slots=True)
class FarCable:
    """Cable end on a pin, the cable's far end (the adjuster) many lever lengths away.

    Parameters
    ----------
    radius : Number
        Pivot to cable end [m].
    angle : Number
        Between the line from pivot to cable end, drawn on, and the cable, lever at rest [rad].
    """

    radius: Number
    angle: Number

    def drawn(self, rotation: Number) -> Number:
        """Cable drawn [m] at a rotation [rad]: x = r (cos psi0 - cos(psi0 + phi)), plane geometry, own derivation."""
        return self.radius * (np.cos(self.angle) - np.cos(self.angle + rotation))

    def moment_arm(self, rotation: Number) -> Number:
        """Slope dx/dphi [m] at a rotation [rad]: r sin(psi0 + phi), own derivation."""
        return self.radius * np.sin(self.angle + rotation)

    def rotation(self, drawn: Number) -> Number:
        """Rotation [rad] that draws a length of cable [m]; NaN where the lever cannot draw so much. Own derivation."""
        with np.errstate(invalid="ignore"):
            return np.arccos(np.cos(self.angle) - drawn / self.radius) - self.angle


@dataclass(frozen=True, slots=True)
class NearCable:
    """Cable end on a pin, the adjuster at a known distance, so that the cable swings as the lever turns.

    Parameters
    ----------
    radius : Number
        Pivot to cable end [m].
    angle : Number
        Between the line from pivot to cable end, drawn on, and the cable, lever at rest [rad].
    distance : Number
        Cable end to adjuster, lever at rest [m].
    """

    radius: Number
    angle: Number
    distance: Number

    def _adjuster(self) -> tuple[Number, Number]:
        """Distance of the adjuster from the pivot [m] and its angle from the cable end at rest [rad]."""
        across = self.distance * np.sin(self.angle)
        along = self.radius + self.distance * np.cos(self.angle)
        return np.hypot(along, across), np.arctan2(across, along)

    def _length(self, rotation: Number) -> Number:
        adjuster, angle = self._adjuster()
        return np.sqrt(self.radius**2 + adjuster**2 - 2 * self.radius * adjuster * np.cos(angle + rotation))

    def drawn(self, rotation: Number) -> Number:
        """Cable drawn [m] at a rotation [rad]: law of cosines in pivot, cable end, adjuster; own derivation."""
        return self._length(rotation) - self.distance

    def moment_arm(self, rotation: Number) -> Number:
        """Slope dx/dphi [m] at a rotation [rad]: r a sin(gamma)/l, own derivation."""
        adjuster, angle = self._adjuster()
        return self.radius * adjuster * np.sin(angle + rotation) / self._length(rotation)

    def rotation(self, drawn: Number) -> Number:
        """Rotation [rad] that draws a length of cable [m]; NaN where the lever cannot draw so much. Own derivation."""
        adjuster, angle = self._adjuster()
        cosine = (self.radius**2 + adjuster**2 - (self.distance + drawn) ** 2) / (2 * self.radius * adjuster)
        with np.errstate(invalid="ignore"):
            return np.arccos(cosine) - angle


@dataclass(frozen=True, slots=True)
class CamEnd:
    """Cable wrapped on a round cam, so that its moment arm stays the same.

    Parameters
    ----------
    radius : Number
        Pivot to the middle of the cable on the cam [m].
    """

    radius: Number

    def drawn(self, rotation: Number) -> Number:
        """Cable drawn [m] at a rotation [rad]: x = r phi, own derivation."""
        return self.radius * rotation

    def moment_arm(self, rotation: Number) -> Number:
        """Slope dx/dphi [m], the same at each rotation [rad]; own derivation."""
        return self.radius + 0.0 * rotation

    def rotation(self, drawn: Number) -> Number:
        """Rotation [rad] that draws a length of cable [m]; own derivation."""
        return drawn / self.radius


CableEnd = FarCable | NearCable | CamEnd


@dataclass(frozen=True, slots=True)
class Lever:
    """The hand lever on its perch.

    Parameters
    ----------
    cable_end : CableEnd
        How the cable sits on the lever.
    finger_radius : Number
        Pivot to finger point, square to the pull [m].
    rest_span : Number
        Grip to lever at the finger point, lever at rest [m].
    stop_span : Number
        The same where something stops the lever [m].
    free_play : Number
        Finger-point travel before the arm starts to turn [m].
    pivot_friction : Number
        Share of the ideal moment lost in the pivot [-].
    blade_length : Number | None
        Pivot to the farthest usable finger point [m]; None when not measured.
    level_angle : Number | None
        Lever below the horizontal, seen from the side [rad]; None when not measured.
    assist : AssistSpring | None
        A helper spring on the lever, where one is fitted.
    """

    cable_end: CableEnd
    finger_radius: Number
    rest_span: Number
    stop_span: Number
    free_play: Number
    pivot_friction: Number
    blade_length: Number | None = None
    level_angle: Number | None = None
    assist: AssistSpring | None = None

    @property
    def full_travel(self) -> Number:
        """Finger travel from rest to stop [m]."""
        return self.rest_span - self.stop_span

    @property
    def full_draw(self) -> Number:
        """Cable drawn from rest to stop [m]."""
        return self.cable_end.drawn(self.full_travel / self.finger_radius)

    @property
    def free_draw(self) -> Number:
        """Cable drawn while the free play is taken up [m]."""
        return self.cable_end.drawn(self.free_play / self.finger_radius)

    def travel(self, drawn: Number) -> Number:
        """Finger travel [m] that draws a length of cable [m]; own derivation (arc at the finger radius)."""
        return self.finger_radius * self.cable_end.rotation(drawn)

    def ratio(self, travel: Number) -> Number:
        """Finger travel per cable drawn, which is tension per ideal finger force [-], at a finger travel [m].

        Own derivation (virtual work).
        """
        return self.finger_radius / self.cable_end.moment_arm(travel / self.finger_radius)

    def finger_force(self, tension: Number, travel: Number, direction: Number) -> Number:
        """Force at the finger point.

        Parameters
        ----------
        tension : Number
            Cable tension at the lever [N].
        travel : Number
            Finger travel so far [m].
        direction : Number
            PULL or RETURN [-].

        Returns
        -------
        Number
            F = (T (dx/dphi) (1 + s kappa) - assist)/r [N]; negative where an assist spring would pull the lever in.
            Own derivation (moments about the pivot).
        """
        return tension / self.ratio(travel) * (1.0 + direction * self.pivot_friction) - self.help(travel)

    def help(self, travel: Number) -> Number:
        """What an assist spring on the lever takes off the finger force [N] at a travel [m]; 0 where there is none.

        Below 0 where it holds the lever back. Own derivation (moments about the pivot).
        """
        return 0.0 if self.assist is None else self.assist.moment(travel / self.finger_radius) / self.finger_radius


def finger_force_from_hook(hook_force: Number, *, hook_radius: Number, finger_radius: Number) -> Number:
    """Convert a reading taken with a scale hooked elsewhere on the lever.

    Parameters
    ----------
    hook_force : Number
        What the scale showed, pulled square to the lever [N].
    hook_radius : Number
        Pivot to hook [m].
    finger_radius : Number
        Pivot to finger point [m].

    Returns
    -------
    Number
        The same moment as a force at the finger point [N]; own derivation (moments about the pivot).
    """
    return hook_force * hook_radius / finger_radius
