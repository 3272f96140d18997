"""From blocks of numbers, however they were written, to readings."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from clutchwright.errors import InputError
from clutchwright.readings.columns import SPRING, Column, Table, table
from clutchwright.readings.kinds import PAIRS
from clutchwright.readings.reading import Reading, Readings

# Fewer tell nothing that is not simpler written into the bike file.
FEWEST = 3
_MOST_SPRINGS = 12


class BegunError(InputError):
    """A file with too few readings yet.

    Parameters
    ----------
    count : int
        How many it has [-].
    source : str
        Its name.
    """

    def __init__(self, count: int, source: str) -> None:
        few = f"only {count} in the file, at least {FEWEST} needed; a single value goes into the bike file"
        none = f"none in the file; fill in the sheet and give at least {FEWEST}"
        super().__init__("readings", None, few if count else none, source)
        self.begun = f"begun, {count} of {FEWEST} readings that are needed at least"


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its line, and a number for each column that has one."""

    line: int
    numbers: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Block:
    """A table of numbers.

    Parameters
    ----------
    line : int
        Line of its header.
    titles : list of str
        Names of its columns.
    words : mapping
        What is said of the instruments: by word of ``INSTRUMENT_WORDS``, then by column.
    rows : list of Row
        What was read.
    """

    line: int
    titles: list[str]
    words: Mapping[str, Mapping[str, str | float]]
    rows: list[Row]


def gathered(blocks: Sequence[Block], data: bytes, source: str) -> Readings:
    """All readings of a file.

    Parameters
    ----------
    blocks : sequence of Block
        Its tables.
    data : bytes
        The file itself.
    source : str
        Its name.

    Returns
    -------
    Readings
        Rows with the same place in the same column taken as repeats.

    Raises
    ------
    InputError
        With file, line and column.
    """
    readings = tuple(reading for block in blocks for reading in _readings(block, source))
    if len(readings) < FEWEST:
        raise BegunError(len(readings), source)
    _check_pairs(readings, source)
    return Readings(source, hashlib.sha256(data).hexdigest(), readings)


def _readings(block: Block, source: str) -> Iterator[Reading]:
    for word, said in block.words.items():
        _check_words(word, said, f"{source}: line {block.line}")
    columns = table(block.titles, block.words, f"{source}: line {block.line}")
    groups: dict[tuple[str, float, int], list[tuple[int, float]]] = {}
    for row in block.rows:
        read = [column for column in columns.values if column.title in row.numbers]
        if not read:
            continue  # a line of the sheet that was not filled in
        where = f"{source}: line {row.line}"
        at, spring = _place(columns, row, where), _spring(row, where)
        for column in read:
            value = _checked(column, row.numbers[column.title], where)
            groups.setdefault((column.title, at, spring), []).append((row.line, value))
    by_title = {column.title: column for column in columns.values}
    for (title, at, spring), repeats in groups.items():
        column = by_title[title]
        yield Reading(
            name=column.name,
            dimension=column.dimension,
            position="" if column.direct else columns.position_name,
            at=at,
            spring=spring,
            repeats=tuple(value for _, value in repeats),
            instrument=column.instrument,
            at_instrument=columns.position.instrument if columns.position and not column.direct else None,
            line=repeats[0][0],
            written="" if column.direct else column.title.removeprefix(column.name),
            at_written=columns.position.title.removeprefix(columns.position.name) if columns.position else "",
        )


def _place(columns: Table, row: Row, where: str) -> float:
    position = columns.position
    if position is None:
        return 0.0
    if position.title not in row.numbers:
        raise InputError(position.title, None, "missing in this row; it says where the others were read", where)
    return _checked(position, row.numbers[position.title], where)


def _spring(row: Row, where: str) -> int:
    place = row.numbers.get(SPRING, 0.0)
    if place != int(place) or not 0 <= place <= _MOST_SPRINGS:
        allowed = f"must be a place from 1 to {_MOST_SPRINGS}, counted round the circle, or empty"
        raise InputError(SPRING, place, allowed, where)
    return int(place)


def _checked(column: Column, number: float, where: str) -> float:
    """A number in its range [SI]; a key of the bike file has its own, which the bike file checks."""
    if not math.isfinite(number) or (not column.direct and not 0.0 <= number <= column.high):
        allowed = f"must be from 0 to {column.high:.4g}; check the unit, the zero and the columns"
        raise InputError(column.title, number, allowed, where)
    return number * column.factor


def _check_words(word: str, said: Mapping[str, str | float], source: str) -> None:
    """Refuse numbers that no instrument has; every display and scale has steps."""
    steps = word == "resolution"
    allowed = "must be above 0; give the step of its scale or display" if steps else "must be 0 or more"
    for title, value in said.items():
        if isinstance(value, float) and not (math.isfinite(value) and value >= 0.0 and (value > 0.0 or not steps)):
            field = f"{word} of {title}"
            raise InputError(field, value, allowed, source)


def _check_pairs(readings: Sequence[Reading], source: str) -> None:
    """Refuse a pull below the return at the same place by more than the instruments' doubt: friction only adds."""
    by_place = {(each.name, each.position, each.at): each for each in readings}
    for reading in readings:
        other = by_place.get((PAIRS.get(reading.name, ""), reading.position, reading.at))
        if other is not None and reading.value < other.value - 3.0 * math.hypot(reading.u, other.u):
            given, limit = (f"{reading.shown(each.value):.4g}" for each in (reading, other))
            allowed = (
                f"{given} is below {other.name} = {limit} at {reading.where}, and friction only adds to a pull; "
                "are the two columns swapped?"
            )
            raise InputError(reading.name, None, allowed, f"{source}: line {reading.line}")
