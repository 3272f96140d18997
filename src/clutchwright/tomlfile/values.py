"""What a file says, flat by key, in the units of the keys."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from clutchwright.quantity import Quantity
from clutchwright.tomlfile.keys import Key, Points
from clutchwright.tomlfile.section import File, Section

Choice = str | int | bool
Value = Quantity | Choice | Points


@dataclass(frozen=True, slots=True)
class Measured:
    """What a file says, missing values filled in from the assumptions; each by key, such as ``lift.kind``.

    Parameters
    ----------
    name : str
        What its owner calls it.
    quantities : mapping of str to Quantity
        In the unit of the key; a table of a list has ``springs.each.3.rate_N_per_mm``, with its position.
    choices : mapping of str to str, int or bool
        Kinds, counts and words, defaults included.
    curves : mapping of str to pairs
        Measured curves, in the units of the file, where given.
    assumed_choices : frozenset of str
        Keys of the choices that the file leaves to their defaults.
    """

    name: str
    quantities: Mapping[str, Quantity]
    choices: Mapping[str, Choice]
    curves: Mapping[str, Points] = field(default_factory=dict)
    assumed_choices: frozenset[str] = frozenset()

    @property
    def assumed(self) -> list[str]:
        """Keys whose values nobody measured or looked up."""
        quantities = [key for key, quantity in self.quantities.items() if quantity.assumed]
        return quantities + [key for key in self.choices if key in self.assumed_choices]

    @property
    def given_choices(self) -> dict[str, Choice]:
        """Choices that the file makes itself."""
        return {key: word for key, word in self.choices.items() if key not in self.assumed_choices}


Kind = TypeVar("Kind", bound=Measured)


def flat(content: File, kind: type[Kind]) -> Kind:
    """Values by key, from the content of a file.

    Parameters
    ----------
    content : File
        The whole file, or a part of it, checked.
    kind : type of Measured
        What to make of it.

    Returns
    -------
    Measured
        Of that kind, with assumed values in place of missing ones.
    """
    quantities: dict[str, Quantity] = {}
    choices: dict[str, Choice] = {}
    curves: dict[str, Points] = {}
    assumed_choices: set[str] = set()
    for key, entry, value, given in _leaves(content):
        if isinstance(value, Quantity):
            quantities[key] = value
        elif isinstance(value, tuple):
            curves |= {key: value} if value else {}
        elif value is not None:
            choices[key] = value
            assumed_choices |= set() if given else {key}
        elif isinstance(entry, Key) and entry.assumed is not None:
            quantities[key] = entry.assumed.quantity
    return kind(content.name, quantities, choices, curves, frozenset(assumed_choices))


_Leaf = tuple[str, object, Value | None, bool]


def _leaves(content: File) -> Iterator[_Leaf]:
    """Every key of every section, what is known about it, its value, and whether the file gives it.

    Tables of a list go by position; what one of them leaves out is not open.
    """
    for name in type(content).model_fields:
        section = getattr(content, name)
        if not isinstance(section, Section):
            continue
        yield from _section_leaves(name, section)
        for item in getattr(section, "each", []):
            prefix = f"{name}.each.{item.position}"
            leaves = (leaf for leaf in _section_leaves(prefix, item) if not leaf[0].endswith(".position"))
            yield from ((key, entry, value, True) for key, entry, value, _ in leaves)


def _section_leaves(prefix: str, section: Section) -> Iterator[_Leaf]:
    for name, info in type(section).model_fields.items():
        if name != "each":
            given = name in section.model_fields_set
            yield f"{prefix}.{name}", next(iter(info.metadata), None), getattr(section, name), given
