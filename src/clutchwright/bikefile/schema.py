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

Known = Key | Count | Pairs | Entry

# The key that names the form of a section which has several.
FORM_KEYS = {"lever": "cable_end", "lift": "kind", "springs": "kind"}


class BikeFile(Section):
    """A whole bike file. The order is the one in which one would measure."""

    schema_: Annotated[Literal[1], Field(alias="schema", description="Version of this form of file; 1.")]
    name: Annotated[str, Field(pattern=r"^[^\x00-\x1f\x7f]{1,100}$", description="What you call this bike.")]
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


def form_of(section: str, choices: Mapping[str, object]) -> type[Section]:
    """Form of a section that the words chosen, such as ``lift.kind``, ask for."""
    form = choices[f"{section}.{FORM_KEYS[section]}"] if section in FORM_KEYS else ""
    return sections()[section][str(form)]


def ordered_keys(model: type[Section]) -> list[str]:
    """Keys of a section: the kind first, then what must be given, then the finer readings."""
    fields, kinds = model.model_fields, set(FORM_KEYS.values())
    return sorted(fields, key=lambda name: (name not in kinds, not fields[name].is_required()))


def entry_of(model: type[Section], key: str) -> Known | None:
    """What is known about a key of a section; None for a list of tables."""
    return next((item for item in model.model_fields[key].metadata if isinstance(item, Known)), None)


def words_of(model: type[Section], key: str) -> tuple[str, ...]:
    """Words that a key of a section may have; empty where it is no word."""
    annotation = model.model_fields[key].annotation
    words = [word for part in (annotation, *get_args(annotation)) for word in get_args(part)]
    return tuple(word for word in words if isinstance(word, str))


def find_key(key: str, choices: Mapping[str, object]) -> Key:
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
    entry = entry_of(clutch.OneSpring if middle else form_of(section, choices), name)
    if not isinstance(entry, Key):
        raise KeyError(key)
    return entry


def json_schema() -> dict[str, Any]:
    """Schema of a bike file for editors, JSON Schema 2020-12.

    Returns
    -------
    dict
        Ready to be written as JSON.
    """
    found: dict[str, Any] = _tidy(BikeFile.model_json_schema())
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "Bike file", **found}


def _tidy(node: Any) -> Any:
    """The same without what only Python needs: titles made from field names, and null, which TOML does not have."""
    if isinstance(node, list):
        return [_tidy(item) for item in node if item != {"type": "null"}]
    if not isinstance(node, dict):
        return node
    found = {key: _tidy(value) for key, value in node.items() if key != "title" and (key, value) != ("default", None)}
    if len(found.get("anyOf", ())) == 1:
        found |= found.pop("anyOf")[0]
    return found
