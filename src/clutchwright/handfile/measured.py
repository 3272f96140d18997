"""A hand as measured: what a hand file says, flat by key, in the units of the keys."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from clutchwright.quantity import Quantity
from clutchwright.tomlfile.section import File
from clutchwright.tomlfile.values import Choice, flat

Posture = Literal["seated", "standing"]


@dataclass(frozen=True, slots=True)
class MeasuredHand:
    """What a hand file says, missing values filled in from the assumptions.

    Parameters
    ----------
    name : str
        What its owner calls it.
    quantities : mapping of str to Quantity
        By file key, such as ``strength.grip_kgf``, in the unit of the key.
    choices : mapping of str to str, int or bool
        Kinds, counts and words by file key, such as ``strength.kind``; defaults included.
    """

    name: str
    quantities: Mapping[str, Quantity]
    choices: Mapping[str, Choice]

    @property
    def assumed(self) -> list[str]:
        """Keys whose values nobody measured or looked up."""
        return [key for key, quantity in self.quantities.items() if quantity.assumed]

    @property
    def postures(self) -> tuple[Posture, ...]:
        """Seated, and standing where its wrist angle is given."""
        known: tuple[Posture, ...] = ("seated", "standing")
        return tuple(posture for posture in known if self.wrist_key(posture) in self.quantities)

    def wrist_key(self, posture: Posture) -> str:
        """Key of the angle that decides on the wrist in a posture."""
        what = {"angle": "extension", "forearm": "forearm"}[str(self.choices["wrist.kind"])]
        return f"wrist.{posture}_{what}_deg"


def flatten(hand: File) -> MeasuredHand:
    """Hand as measured, from a file that has been checked.

    Parameters
    ----------
    hand : File
        The file's content.

    Returns
    -------
    MeasuredHand
        With assumed values in place of missing ones.
    """
    values = flat(hand)
    return MeasuredHand(hand.name, values.quantities, values.choices)
