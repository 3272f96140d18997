"""From a bike as measured to the text of a bike file, and edits that keep a file's comments."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from clutchwright.bikefile.clutch import OneSpring
from clutchwright.bikefile.keys import Key, Points
from clutchwright.bikefile.measured import Choice, MeasuredBike
from clutchwright.bikefile.schema import VERSION, entry_of, form_of, ordered_keys, sections
from clutchwright.bikefile.section import Section
from clutchwright.quantity import Quantity, unit_of

if TYPE_CHECKING:
    from tomlkit.items import Table

Value = Quantity | Choice | Points


def dumps(measured: MeasuredBike) -> str:
    """Text of a bike file.

    Parameters
    ----------
    measured : MeasuredBike
        The bike.

    Returns
    -------
    str
        TOML that `loads` reads to the same bike; what is taken from the table of assumptions is left out.
    """
    return written(measured.name, {**measured.quantities, **measured.choices, **measured.curves})


def written(name: str, values: Mapping[str, Value | None]) -> str:
    """Text of a bike file from values by key.

    Parameters
    ----------
    name : str
        What its owner calls the bike.
    values : mapping of str to Value or None
        By file key; None where it was asked for and is not known, which is written as a comment.

    Returns
    -------
    str
        TOML, with the keys in the order of the table of keys.
    """
    import tomlkit

    document = tomlkit.document()
    document.add("schema", tomlkit.item(VERSION))
    document.add("name", tomlkit.item(name))
    for section in sections():
        table = tomlkit.table()
        _fill(table, form_of(section, values), section, values)
        places = [place for place in range(1, 13) if any(key.startswith(f"{section}.each.{place}.") for key in values)]
        if places:
            table.add("each", tomlkit.aot())
        for place in places:
            one = tomlkit.table()
            one.add("position", tomlkit.item(place))
            _fill(one, OneSpring, f"{section}.each.{place}", values)
            table["each"].append(one)
        if table.value.body:
            document.add(section, table)
    return re.sub(r"\n+\[", "\n\n[", tomlkit.dumps(document)).rstrip() + "\n"


def _fill(table: Table, model: type[Section], prefix: str, values: Mapping[str, Value | None]) -> None:
    """Add the keys of one section to its table."""
    import tomlkit

    for name in ordered_keys(model):
        key, entry = f"{prefix}.{name}", entry_of(model, name)
        if key not in values:
            continue
        assumed = entry.assumed.quantity if isinstance(entry, Key) and entry.assumed else None
        value = values[key]
        if value is None:
            instead = f"{assumed.value:g} ± {assumed.u:g} {unit_of(name)} assumed" if assumed else "left open"
            table.add(tomlkit.comment(f"{name} is not known: {' '.join(instead.split())}"))
        elif value != assumed:
            table.add(name, _item(value))


def set_value(text: str, key: str, value: Value) -> str:
    """Text of a bike file with one value changed or added; comments and layout stay.

    Parameters
    ----------
    text : str
        A file that `loads` can read.
    key : str
        Such as ``cable.friction`` or ``springs.each.3.rate_N_per_mm``.
    value : Value
        In the unit of the key.

    Returns
    -------
    str
        To be checked with `loads` once all values are in.
    """
    import tomlkit

    document = tomlkit.parse(text)
    section, *middle, name = key.split(".")
    table: Any = document.setdefault(section, tomlkit.table())
    if middle:
        _set_spring(table, int(middle[1]), name, value)
    else:
        table[name] = _item(value)
    return tomlkit.dumps(document)


def _set_spring(springs: Any, place: int, name: str, value: Value) -> None:
    """Set a value in the table of the spring in a place; a new table where there is none."""
    import tomlkit

    tables = springs.setdefault("each", tomlkit.aot())
    for table in tables:
        if table["position"] == place:
            table[name] = _item(value)
            return
    table = tomlkit.table()
    table.update({"position": place, name: _item(value)})
    table.add(tomlkit.nl())
    tables.append(table)


def _item(value: Value) -> Any:
    """A value as it stands in the file."""
    import tomlkit

    if isinstance(value, Quantity):
        number, u = (repr(part).removesuffix(".0") for part in (value.value, value.u))
        origin = tomlkit.item(value.origin).as_string()
        return tomlkit.parse(f"item = {{ value = {number}, u = {u}, origin = {origin} }}")["item"]
    return tomlkit.item([list(pair) for pair in value] if isinstance(value, tuple) else value)
