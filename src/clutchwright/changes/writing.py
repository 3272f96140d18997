"""Steps as people write them: on the command line, and as a TOML list."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from clutchwright.changes.change import Step
from clutchwright.changes.registry import CHANGES, find
from clutchwright.errors import InputError
from clutchwright.tomlfile.parsing import parse as toml

OPTION = "--with"


def parse(text: str) -> Step:
    """Step from the command line.

    Parameters
    ----------
    text : str
        ``kind`` or ``kind:name=value,name=value``; positions are joined by +: ``springs-fewer:left_out=1+4``.

    Returns
    -------
    Step
        With checked values.

    Raises
    ------
    InputError
        Where it cannot be read, with what is known or allowed.
    """
    kind, colon, rest = text.strip().partition(":")
    _with_colon(kind)
    given: dict[str, Any] = {}
    for item in rest.split(",") if colon else ():
        name, equals, value = (part.strip() for part in item.partition("="))
        if not (name and equals and value):
            raise InputError(kind, item, "write kind:name=value,name=value, positions as 1+4", OPTION)
        if name in given:
            raise InputError(name, value, "given twice; give it once", OPTION)
        given[name] = _value(value)
    return _step(kind.strip(), given, OPTION)


def loads(text: str, source: str) -> tuple[Step, ...]:
    """Steps from the text of a TOML file.

    Parameters
    ----------
    text : str
        With one ``[[change]]`` table for each step and nothing else.
    source : str
        Name of the file, for messages.

    Returns
    -------
    tuple of Step
        With checked values, in the file's order.

    Raises
    ------
    InputError
        Where it cannot be read, with what is known or allowed.
    """
    table = toml(text, source)
    items = table.get("change")
    if set(table) != {"change"} or not isinstance(items, list):
        message = "write one table [[change]] for each step, and nothing else"
        raise InputError("file", next((name for name in table if name != "change"), None), message, source)
    return from_table(items, source)


def from_table(items: Sequence[Any], source: str = "") -> tuple[Step, ...]:
    """Steps from the TOML list ``[[change]]``.

    Parameters
    ----------
    items : sequence of mapping
        Each with ``kind`` and its values: numbers, and arrays of whole numbers for positions.
    source : str
        Name of the file, for messages.

    Returns
    -------
    tuple of Step
        With checked values, in the list's order.

    Raises
    ------
    InputError
        Where an item cannot be read, with what is known or allowed.
    """
    steps = []
    for number, item in enumerate(items, 1):
        where = f"{source}: [[change]] {number}".removeprefix(": ")
        if not isinstance(item, Mapping):
            raise InputError("change", item, 'write a table [[change]] with kind = "..." and its values', where)
        kind = item.get("kind")
        if not isinstance(kind, str):
            raise InputError("kind", kind, 'is missing or no text; write kind = "..."', where)
        steps.append(_step(kind, {name: value for name, value in item.items() if name != "kind"}, where))
    return tuple(steps)


def _step(kind: str, given: Mapping[str, Any], source: str) -> Step:
    return Step(kind, find(kind, source).check(given, source))


def _with_colon(kind: str) -> None:
    """Refuse ``arm-length=50``, which names a kind but not which of its values, with what is most likely meant."""
    name, equals, value = (part.strip() for part in kind.partition("="))
    if equals and name in CHANGES:
        first = [f"{parameter.name}={value or '...'}" for parameter in CHANGES[name].parameters[:1]]
        raise InputError("change", kind, f"write {':'.join([name, *first])}", OPTION)


def _value(text: str) -> Any:
    """A number, or positions; the text itself where it is neither, for the message."""
    try:
        return float(text)
    except ValueError:
        pass
    try:
        return tuple(int(part) for part in text.split("+"))
    except ValueError:
        return text
