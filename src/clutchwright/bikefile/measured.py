"""A bike as measured: what a bike file says, flat by key, in the units of the keys."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from clutchwright.bikefile.keys import Key, Points
from clutchwright.bikefile.schema import BikeFile
from clutchwright.bikefile.section import Section
from clutchwright.quantity import Quantity

Choice = str | int | bool


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


def flatten(bike: BikeFile) -> MeasuredBike:
    """Bike as measured, from a file that has been checked.

    Parameters
    ----------
    bike : BikeFile
        The file's content.

    Returns
    -------
    MeasuredBike
        With assumed values in place of missing ones.
    """
    quantities: dict[str, Quantity] = {}
    choices: dict[str, Choice] = {}
    curves: dict[str, Points] = {}
    for key, entry, value in _leaves(bike):
        if isinstance(value, Quantity):
            quantities[key] = value
        elif isinstance(value, tuple):
            curves |= {key: value} if value else {}
        elif value is not None:
            choices[key] = value
        elif isinstance(entry, Key) and entry.assumed is not None:
            quantities[key] = entry.assumed.quantity
    if "pack.curve" in curves and quantities["pack.compression_mm"].assumed:
        del quantities["pack.compression_mm"]
    return MeasuredBike(bike.name, quantities, choices, curves)


def _leaves(bike: BikeFile) -> Iterator[tuple[str, object, Quantity | Points | Choice | None]]:
    """Every key of every section with what is known about it and its value."""
    for name in type(bike).model_fields:
        section = getattr(bike, name)
        if not isinstance(section, Section):
            continue
        yield from _section_leaves(name, section)
        for spring in getattr(section, "each", []):
            prefix = f"{name}.each.{spring.position}"
            yield from (leaf for leaf in _section_leaves(prefix, spring) if not leaf[0].endswith(".position"))


def _section_leaves(prefix: str, section: Section) -> Iterator[tuple[str, object, Quantity | Points | Choice | None]]:
    for name, info in type(section).model_fields.items():
        if name != "each":
            yield f"{prefix}.{name}", next(iter(info.metadata), None), getattr(section, name)
