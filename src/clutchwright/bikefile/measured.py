"""A bike as measured: what a bike file says, flat by key, in the units of the keys."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from clutchwright.bikefile.fitted import Correlation, correlation_of
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
        ``lift.points`` and ``pack.curve``, in the units of the file, where given; and the rows of ``[fitted]``.
    """

    name: str
    quantities: Mapping[str, Quantity]
    choices: Mapping[str, Choice]
    curves: Mapping[str, Points] = field(default_factory=dict)

    @property
    def assumed(self) -> list[str]:
        """Keys whose values nobody measured or looked up."""
        return [key for key, quantity in self.quantities.items() if quantity.assumed]

    @property
    def correlation(self) -> Correlation:
        """How the fitted quantities hang together; what was typed over since stands for itself."""
        typed_over = {lot(key) for key, quantity in self.quantities.items() if not quantity.origin.startswith("fitted")}
        kept = {lot(key) for key in self.quantities} - typed_over
        return correlation_of(self.curves.get("fitted.correlation", ()), sorted(kept))


def lot(key: str) -> str:
    """Name under which a quantity is drawn: that of the whole set for springs measured one by one.

    Parameters
    ----------
    key : str
        Such as ``springs.each.3.rate_N_per_mm``.

    Returns
    -------
    str
        Such as ``springs.rate_N_per_mm``; most keys stand for themselves.
    """
    section, each, rest = key.partition(".each.")
    return f"{section}.{rest.partition('.')[2]}" if each else key


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
