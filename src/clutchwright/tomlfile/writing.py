"""From values by key to the text of a file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from clutchwright.quantity import Quantity
from clutchwright.tomlfile.keys import Key
from clutchwright.tomlfile.layout import Layout, entry_of, instead_of
from clutchwright.tomlfile.section import Section
from clutchwright.tomlfile.values import Value

if TYPE_CHECKING:
    from tomlkit.items import Table


_LONGEST_LINE = 120  # of rows that stay on one line [characters]


def written(layout: Layout, name: str, values: Mapping[str, Value | None]) -> str:
    """Text of a file from values by key.

    Parameters
    ----------
    layout : Layout
        What kind of file it is.
    name : str
        What its owner calls it.
    values : mapping of str to Value or None
        By file key; None where it was asked for and is not known, which is written as a comment.

    Returns
    -------
    str
        TOML, with the keys in the order of the table of keys.
    """
    import tomlkit

    document = tomlkit.document()
    document.add("schema", tomlkit.item(layout.version))
    document.add("name", tomlkit.item(name))
    for section in layout.sections():
        table = tomlkit.table()
        _fill(table, layout, layout.form_of(section, values), section, values)
        places = [place for place in range(1, 13) if any(key.startswith(f"{section}.each.{place}.") for key in values)]
        if places:
            table.add("each", tomlkit.aot())
        for place in places:
            one = tomlkit.table()
            one.add("position", tomlkit.item(place))
            _fill(one, layout, layout.lists[section], f"{section}.each.{place}", values)
            table["each"].append(one)
        if table.value.body:
            document.add(section, table)
    return re.sub(r"\n+\[", "\n\n[", tomlkit.dumps(document)).rstrip() + "\n"


_NOT_KNOWN = " is not known: "


def _fill(table: Table, layout: Layout, model: type[Section], prefix: str, values: Mapping[str, Value | None]) -> None:
    """Add the keys of one section to its table."""
    import tomlkit

    for name in layout.ordered_keys(model):
        key, entry = f"{prefix}.{name}", entry_of(model, name)
        if key not in values:
            continue
        assumed = entry.assumed.quantity if isinstance(entry, Key) and entry.assumed else None
        value = values[key]
        if value is None:
            table.add(tomlkit.comment(f"{name}{_NOT_KNOWN}{instead_of(model, name)}"))
        elif value != assumed:
            table.add(name, item(value))


def drop_remark(table: Any, name: str) -> None:
    """Take out of a table the remark that a key is not known."""
    from tomlkit.items import Comment, Null

    body = table.value.body
    for place, (_, each) in enumerate(body):
        if isinstance(each, Comment) and each.trivia.comment.startswith(f"# {name}{_NOT_KNOWN}"):
            body[place] = (None, Null())


def item(value: Value) -> Any:
    """A value as it stands in the file."""
    import tomlkit

    if isinstance(value, Quantity):
        number, u = (repr(part).removesuffix(".0") for part in (value.value, value.u))
        origin = tomlkit.item(value.origin).as_string()
        return tomlkit.parse(f"item = {{ value = {number}, u = {u}, origin = {origin} }}\n")["item"]
    if not isinstance(value, tuple):
        return tomlkit.item(value)
    rows = tomlkit.item([list(row) for row in value])
    return rows.multiline(len(rows.as_string()) > _LONGEST_LINE)
