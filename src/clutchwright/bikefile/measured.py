"""A bike as measured: what a bike file says, flat by key, in the units of the keys."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from clutchwright.quantity import Quantity
from clutchwright.tomlfile.keys import Points
from clutchwright.tomlfile.section import File
from clutchwright.tomlfile.values import Choice, flat


@dataclass(frozen=True, slots=True)
class MeasuredBike:
    """What a bike file says, missing values filled in from the assumptions.

    Parameters
    ----------
    name : str
        What its owner calls it.
    quantities : mapping of str to Quantity
        By file key, such as ``lever.finger_radius_mm``, in the unit of the key; a spring that differs from the others
        has ``springs.each.3.rate_N_per_mm``, with its position.
    choices : mapping of str to str, int or bool
        Kinds, counts and words by file key, such as ``lift.kind``; defaults included.
    curves : mapping of str to pairs
        ``lift.points`` and ``pack.curve``, in the units of the file, where given.
    """

    name: str
    quantities: Mapping[str, Quantity]
    choices: Mapping[str, Choice]
    curves: Mapping[str, Points] = field(default_factory=dict)

    @property
    def assumed(self) -> list[str]:
        """Keys whose values nobody measured or looked up."""
        return [key for key, quantity in self.quantities.items() if quantity.assumed]


def flatten(bike: File) -> MeasuredBike:
    """Bike as measured, from a file that has been checked.

    Parameters
    ----------
    bike : File
        The file's content.

    Returns
    -------
    MeasuredBike
        With assumed values in place of missing ones.
    """
    values = flat(bike)
    quantities = dict(values.quantities)
    if "pack.curve" in values.curves and quantities["pack.compression_mm"].assumed:
        del quantities["pack.compression_mm"]
    return MeasuredBike(bike.name, quantities, values.choices, values.curves)
