"""From a bike as measured to the text of a bike file, and edits that keep a file's comments."""

from __future__ import annotations

from typing import Any

from clutchwright.bikefile.measured import MeasuredBike
from clutchwright.bikefile.schema import LAYOUT
from clutchwright.tomlfile.values import Value
from clutchwright.tomlfile.writing import drop_remark, item, written


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
    return written(LAYOUT, measured.name, {**measured.quantities, **measured.given_choices, **measured.curves})


def set_value(text: str, key: str, value: Value) -> str:
    """Text of a bike file with one value changed or added; its comments stay, but for the remark that it is not known.

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
        drop_remark(table, name)
        table[name] = item(value)
    return tomlkit.dumps(document)


def set_name(text: str, name: str) -> str:
    """Text of a bike file with another name of the bike [what people call it]; comments and layout stay."""
    import tomlkit

    document = tomlkit.parse(text)
    document["name"] = name
    return tomlkit.dumps(document)


def _set_spring(springs: Any, place: int, name: str, value: Value) -> None:
    """Set a value in the table of the spring in a place; a new table where there is none."""
    import tomlkit

    tables = springs.setdefault("each", tomlkit.aot())
    for table in tables:
        if table["position"] == place:
            table[name] = item(value)
            return
    table = tomlkit.table()
    table.update({"position": place, name: item(value)})
    table.add(tomlkit.nl())
    tables.append(table)
