"""Readings written as TOML: tables [[block]], each with lists of equal length that name their units."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from clutchwright.errors import InputError
from clutchwright.quantity import bare_name
from clutchwright.readings.blocks import Block, Row
from clutchwright.readings.columns import INSTRUMENT_WORDS, NOTE
from clutchwright.readings.kinds import POSITIONS
from clutchwright.tomlfile.parsing import parse

SCHEMA = 1


def blocks(text: str, source: str) -> list[Block]:
    """Blocks of a TOML file.

    Parameters
    ----------
    text : str
        ``schema = 1`` and tables ``[[block]]``.
    source : str
        Name of the file.

    Returns
    -------
    list of Block
        In order, numbered from 1 in place of lines.

    Raises
    ------
    InputError
        With the block and the key.
    """
    content = parse(text, source)
    if content.get("schema") != SCHEMA or isinstance(content["schema"], bool):
        message = f"must be {SCHEMA}; write schema = {SCHEMA} at the top of the file"
        raise InputError("schema", content.get("schema"), message, source)
    for key in content.keys() - {"schema", "block", NOTE}:
        raise InputError(key, None, "unknown key; readings stand in tables [[block]]", source)
    tables = content.get("block", [])
    if not isinstance(tables, list) or not all(isinstance(each, dict) for each in tables):
        raise InputError("block", None, "must be a list of tables, each written [[block]]", source)
    return [_block(number, each, source) for number, each in enumerate(tables, 1)]


def _block(number: int, content: dict[str, Any], source: str) -> Block:
    where = f"{source}: block {number}"
    said = {word: _words(word, content[word], where) for word in INSTRUMENT_WORDS if word in content}
    lists = {key: value for key, value in content.items() if key not in (*INSTRUMENT_WORDS, NOTE)}
    if not lists:
        raise InputError("block", None, "is empty; give lists of readings", where)
    columns = {title: _list(title, value, where) for title, value in lists.items()}
    longest = max(len(column) for column in columns.values())
    for title, column in columns.items():
        if len(column) != longest:
            raise InputError(title, len(column), f"all lists of a block must have the same length, {longest}", where)
    rows = [
        Row(number, numbers)
        for place in range(longest)
        for numbers in _rows({title: column[place] for title, column in columns.items()})
    ]
    return Block(number, list(columns), said, rows)


def _rows(cells: Mapping[str, list[float]]) -> list[dict[str, float]]:
    """Rows of one place: repeats, where a cell holds several, each in a row of its own."""
    first = next(iter(cells))
    place = {first: cells[first][0]} if bare_name(first) in POSITIONS and cells[first] else {}
    most = max(len(cell) for cell in cells.values())
    return [place | {title: cell[turn] for title, cell in cells.items() if turn < len(cell)} for turn in range(most)]


def _list(title: str, value: Any, where: str) -> list[list[float]]:
    cells = value if isinstance(value, list) else [value]
    return [[_number(title, each, where) for each in (cell if isinstance(cell, list) else [cell])] for cell in cells]


def _words(word: str, value: Any, where: str) -> dict[str, str | float]:
    if not isinstance(value, dict):
        raise InputError(word, value, f"must be a table, such as {word} = {{ pull_N = .. }}", where)
    if word == "instrument":
        return {title: str(name) for title, name in value.items()}
    return {title: _number(f"{word}.{title}", number, where) for title, number in value.items()}


def _number(title: str, value: Any, where: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise InputError(title, value, "must be a number, without quotes or unit", where)
    return float(value)
