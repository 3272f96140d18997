"""A tension spring that passes over centre and helps what it is hooked to: the arm on its shaft, or the hand lever."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from clutchwright.quantity import Number


@dataclass(frozen=True, slots=True)
class AssistSpring:
    """A tension spring from a fixed post to a hook on a part that turns.

    Parameters
    ----------
    rate : Number
        Spring rate [N/m].
    pretension : Number
        Spring force with the part at rest [N].
    hook_radius : Number
        Centre that the part turns on to the hook [m].
    post_radius : Number
        The same centre to the fixed post [m].
    start_angle : Number
        Angle at the centre from dead centre to the hook, part at rest [rad]. At dead centre the centre lies between
        post and hook, all in line; below 0 the spring holds the part back until the hook has passed it, then it pulls
        the part on.
    """

    rate: Number
    pretension: Number
    hook_radius: Number
    post_radius: Number
    start_angle: Number

    def _length(self, rotation: Number) -> Number:
        angle = np.cos(self.start_angle + rotation)
        return np.sqrt(self.hook_radius**2 + self.post_radius**2 + 2 * self.hook_radius * self.post_radius * angle)

    def _stretch(self, rotation: Number) -> Number:
        return self._length(rotation) - self._length(0.0)

    def force(self, rotation: Number) -> Number:
        """Spring force [N] at a rotation of the part [rad]; own derivation."""
        return self.pretension + self.rate * self._stretch(rotation)

    def moment(self, rotation: Number) -> Number:
        """Moment that turns the part on [N m] at a rotation [rad]: -F dl/dalpha, own derivation."""
        lever_arm = self.hook_radius * self.post_radius * np.sin(self.start_angle + rotation) / self._length(rotation)
        return self.force(rotation) * lever_arm

    def energy(self, rotation: Number) -> Number:
        """Energy given up since rest [J] at a rotation [rad], below 0 while it holds back; own derivation."""
        stretch = self._stretch(rotation)
        return -(self.pretension + 0.5 * self.rate * stretch) * stretch
