"""Readings written as CSV: blocks with an empty line between them, each with a header that names the units."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator

from clutchwright.errors import InputError
from clutchwright.readings.blocks import Block, Row
from clutchwright.readings.columns import INSTRUMENT_WORDS, NOTE

_DELIMITERS = (";", "\t", ",")
_NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?")
Line = tuple[int, list[str]]


def blocks(text: str, source: str) -> list[Block]:
    """Blocks of a CSV file.

    Parameters
    ----------
    text : str
        Comma, semicolon or tab between cells, a decimal point in numbers; a line that starts with # is a comment.
    source : str
        Name of the file.

    Returns
    -------
    list of Block
        In order.

    Raises
    ------
    InputError
        With the line and the column.
    """
    return [_block(lines, source) for lines in _parts(text, source)]


def _parts(text: str, source: str) -> Iterator[list[Line]]:
    """Lines that belong together, as cells."""
    part: list[tuple[int, str]] = []
    for number, line in enumerate([*text.splitlines(), ""], 1):
        if line.strip().startswith("#"):
            continue
        if line.strip(" ,;\t"):
            part.append((number, line))
        elif part:
            delimiter = next((mark for mark in _DELIMITERS if mark in part[0][1]), ",")
            yield [(where, _cells(each, delimiter, where, source)) for where, each in part]
            part = []


def _cells(line: str, delimiter: str, number: int, source: str) -> list[str]:
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=delimiter, strict=True))]
    except csv.Error as error:
        raise InputError("row", line, f"no row of cells: {error}", f"{source}: line {number}") from None


def _block(lines: list[Line], source: str) -> Block:
    (first, header), *rest = lines
    while header and not header[-1]:
        header = header[:-1]
    words: dict[str, dict[str, str | float]] = {}
    rows = []
    for number, cells in rest:
        where = f"{source}: line {number}"
        if any(cells[len(header) :]):
            comma = "; a decimal comma? write 12.5" if len(cells) > len(header) else ""
            message = f"has {len(cells)} cells and the header above it {len(header)}{comma}"
            raise InputError("row", ", ".join(cells), message, where)
        named = {title: cell for title, cell in zip(header, cells, strict=False) if cell}
        word = named.pop(NOTE, "")
        if word in INSTRUMENT_WORDS:
            said = (
                named if word == "instrument" else {title: _number(title, cell, where) for title, cell in named.items()}
            )
            words[word] = dict(said)
        else:
            rows.append(Row(number, {title: _number(title, cell, where) for title, cell in named.items()}))
    return Block(first, [title for title in header if title != NOTE], words, rows)


def _number(title: str, cell: str, where: str) -> float:
    if _NUMBER.fullmatch(cell):
        return float(cell)
    if re.fullmatch(r"[-+]?\d+,\d+", cell):
        advice = f"write a decimal point: {cell.replace(',', '.')}"
    elif start := _NUMBER.match(cell):
        advice = f"write {start[0]} alone; the header names the unit"
    else:
        advice = "must be a number, or empty where nothing was read"
    raise InputError(title, cell, advice, where)
