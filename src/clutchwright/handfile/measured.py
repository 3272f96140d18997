"""A hand as measured: what a hand file says, flat by key, in the units of the keys."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from clutchwright.tomlfile.values import Measured

Posture = Literal["seated", "standing"]


@dataclass(frozen=True, slots=True)
class MeasuredHand(Measured):
    """What a hand file says; it has no curves."""

    @property
    def postures(self) -> tuple[Posture, ...]:
        """Seated, and standing where its wrist angle is given."""
        known: tuple[Posture, ...] = ("seated", "standing")
        return tuple(posture for posture in known if self.wrist_key(posture) in self.quantities)

    def wrist_key(self, posture: Posture) -> str:
        """Key of the angle that decides on the wrist in a posture."""
        what = {"angle": "extension", "forearm": "forearm"}[str(self.choices["wrist.kind"])]
        return f"wrist.{posture}_{what}_deg"
