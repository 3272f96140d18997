"""The release arm on the engine: cable movement to rotation, moment to cable tension."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from clutchwright.physics.assist import AssistSpring
from clutchwright.quantity import Number


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
