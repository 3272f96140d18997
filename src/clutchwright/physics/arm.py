"""The release arm on the engine: cable movement to rotation, moment to cable tension."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from clutchwright.quantity import Number


@dataclass(frozen=True, slots=True)
class AssistSpring:
    """A tension spring from a fixed post to the arm that passes over centre and then helps.

    Parameters
    ----------
    rate : Number
        Spring rate [N/m].
    pretension : Number
        Spring force with the arm at rest [N].
    hook_radius : Number
        Arm shaft to the hook on the arm [m].
    post_radius : Number
        Arm shaft to the fixed post [m].
    start_angle : Number
        Angle at the shaft from dead centre to the hook, arm at rest [rad]. At dead centre the shaft lies between post
        and hook, all in line; below 0 the spring holds the arm back until the hook has passed it, then it pulls the
        arm on.
    """

    rate: Number
    pretension: Number
    hook_radius: Number
    post_radius: Number
    start_angle: Number

    def _length(self, rotation: Number) -> Number:
        angle = np.cos(self.start_angle + rotation)
        return np.sqrt(self.hook_radius**2 + self.post_radius**2 + 2 * self.hook_radius * self.post_radius * angle)

    def force(self, rotation: Number) -> Number:
        """Spring force [N] at an arm rotation [rad]; own derivation."""
        return self.pretension + self.rate * (self._length(rotation) - self._length(0.0))

    def moment(self, rotation: Number) -> Number:
        """Moment that turns the arm on [N m] at an arm rotation [rad]: -F dl/dalpha, own derivation."""
        lever_arm = self.hook_radius * self.post_radius * np.sin(self.start_angle + rotation) / self._length(rotation)
        return self.force(rotation) * lever_arm


@dataclass(frozen=True, slots=True)
class Arm:
    """The release arm.

    Parameters
    ----------
    length : Number
        Shaft to cable end [m].
    cable_angle : Number
        At the cable end, between the arm (towards the shaft) and the cable, arm at rest [rad]; grows as the arm turns.
    assist : AssistSpring | None
        A helper spring on the arm, where one is fitted.
    """

    length: Number
    cable_angle: Number
    assist: AssistSpring | None = None

    def movement(self, rotation: Number) -> Number:
        """Cable movement at the arm [m] at a rotation [rad]: r (cos chi0 - cos(chi0 + alpha)), own derivation."""
        return self.length * (np.cos(self.cable_angle) - np.cos(self.cable_angle + rotation))

    def moment_arm(self, rotation: Number) -> Number:
        """Slope of the movement [m] at a rotation [rad]: r sin(chi0 + alpha), own derivation."""
        return self.length * np.sin(self.cable_angle + rotation)

    def rotation(self, movement: Number) -> Number:
        """Rotation [rad] for a cable movement [m]; NaN where the arm cannot give so much. Own derivation."""
        with np.errstate(invalid="ignore"):
            return np.arccos(np.cos(self.cable_angle) - movement / self.length) - self.cable_angle

    def tension(self, moment: Number, rotation: Number) -> Number:
        """Cable tension at the arm.

        Parameters
        ----------
        moment : Number
            What the lift asks of the shaft [N m].
        rotation : Number
            Arm rotation from rest [rad].

        Returns
        -------
        Number
            (M - assist)/(r sin(chi0 + alpha)) [N]; negative where an assist spring would keep the arm from
            returning. Own derivation (moments about the shaft).
        """
        helped = moment if self.assist is None else moment - self.assist.moment(rotation)
        return helped / self.moment_arm(rotation)

    @property
    def dead_rotation(self) -> Number:
        """Rotation at which the cable pulls in line with the arm and turns it no more [rad]."""
        return np.pi - self.cable_angle
