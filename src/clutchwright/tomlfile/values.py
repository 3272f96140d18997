"""What a file says, flat by key, in the units of the keys."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from clutchwright.quantity import Quantity
from clutchwright.tomlfile.keys import Key, Points
from clutchwright.tomlfile.section import File, Section

Choice = str | int | bool
Value = Quantity | Choice | Points


@dataclass(frozen=True, slots=True)
class Values:
    """What a file says, missing values filled in from the assumptions; each by key, such as ``lift.kind``.

    Parameters
    ----------
    quantities : mapping of str to Quantity
        In the unit of the key.
    choices : mapping of str to str, int or bool
        Kinds, counts and words, defaults included.
    curves : mapping of str to pairs
        Measured curves, in the units of the file.
    """

    quantities: Mapping[str, Quantity]
    choices: Mapping[str, Choice]
    curves: Mapping[str, Points]


def flat(content: File) -> Values:
    """Values by key, from the content of a file.

    Parameters
    ----------
    content : File
        The whole file, checked.

    Returns
    -------
    Values
        With assumed values in place of missing ones.
    """
    quantities: dict[str, Quantity] = {}
    choices: dict[str, Choice] = {}
    curves: dict[str, Points] = {}
    for key, entry, value in _leaves(content):
        if isinstance(value, Quantity):
            quantities[key] = value
        elif isinstance(value, tuple):
            curves |= {key: value} if value else {}
        elif value is not None:
            choices[key] = value
        elif isinstance(entry, Key) and entry.assumed is not None:
            quantities[key] = entry.assumed.quantity
    return Values(quantities, choices, curves)


def _leaves(content: File) -> Iterator[tuple[str, object, Value | None]]:
    """Every key of every section with what is known about it and its value; tables of a list go by position."""
    for name in type(content).model_fields:
        section = getattr(content, name)
        if not isinstance(section, Section):
            continue
        yield from _section_leaves(name, section)
        for item in getattr(section, "each", []):
            prefix = f"{name}.each.{item.position}"
            yield from (leaf for leaf in _section_leaves(prefix, item) if not leaf[0].endswith(".position"))


def _section_leaves(prefix: str, section: Section) -> Iterator[tuple[str, object, Value | None]]:
    for name, info in type(section).model_fields.items():
        if name != "each":
            yield f"{prefix}.{name}", next(iter(info.metadata), None), getattr(section, name)
