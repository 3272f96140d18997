"""The one table of a bike file's keys: every section, every key, and what is derived from them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Annotated, Any, Literal, get_args

from pydantic import Field

from clutchwright.bikefile import actuation, clutch, road
from clutchwright.bikefile.keys import Count, Entry, Key, Pairs
from clutchwright.bikefile.section import Section

VERSION = 1

# The key that names the form of a section which has several.
FORM_KEYS = {"lever": "cable_end", "lift": "kind", "springs": "kind"}


class BikeFile(Section):
    """A whole bike file. The order is the one in which one would measure."""

    schema_: Annotated[Literal[1], Field(alias="schema", description="Version of this form of file; 1.")]
    name: Annotated[str, Field(min_length=1, max_length=100, description="What you call this bike.")]
    lever: actuation.Lever
    cable: actuation.Cable = actuation.Cable()
    arm: actuation.Arm
    lift: actuation.Lift
    springs: clutch.Springs
    pack: clutch.Pack
    drive: road.Drive
    clearance: road.Clearance = road.Clearance()
    oil: road.Oil = road.Oil()
    heat: road.Heat = road.Heat()


@cache
def sections() -> dict[str, dict[str, type[Section]]]:
    """Every section with its forms by name; a section with one form has it under an empty name."""
    found: dict[str, dict[str, type[Section]]] = {}
    for name, info in BikeFile.model_fields.items():
        if name in FORM_KEYS:
            forms = (get_args(form) for form in get_args(info.annotation))
            found[name] = {tag.tag: model for model, tag in forms}
        elif isinstance(info.annotation, type) and issubclass(info.annotation, Section):
            found[name] = {"": info.annotation}
    return found


def entry_of(model: type[Section], key: str) -> Key | Count | Pairs | Entry | None:
    """What is known about a key of a section; None for a list of tables."""
    return next(
        (item for item in model.model_fields[key].metadata if isinstance(item, Key | Count | Pairs | Entry)), None
    )


def find_key(key: str, choices: Mapping[str, Any]) -> Key:
    """What is known about a quantity of a bike.

    Parameters
    ----------
    key : str
        Such as ``lever.finger_radius_mm`` or ``springs.each.3.rate_N_per_mm``.
    choices : mapping
        The bike's kinds, as in `MeasuredBike.choices`.

    Returns
    -------
    Key
        Label, range, how to measure it, the assumption.

    Raises
    ------
    KeyError
        For a key that is no quantity.
    """
    section, *middle, name = key.split(".")
    forms = sections()[section]
    model = (
        clutch.OneSpring
        if middle
        else forms[choices[f"{section}.{FORM_KEYS[section]}"] if section in FORM_KEYS else ""]
    )
    entry = entry_of(model, name)
    if not isinstance(entry, Key):
        raise KeyError(key)
    return entry
