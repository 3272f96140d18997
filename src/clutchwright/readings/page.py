"""The reference of files of readings."""

from __future__ import annotations

from collections.abc import Iterator

from clutchwright.quantity import si_factor
from clutchwright.readings.blocks import FEWEST
from clutchwright.readings.columns import INSTRUMENT_WORDS
from clutchwright.readings.instruments import USUAL
from clutchwright.readings.kinds import ENDINGS, KINDS, POSITIONS, shown_ending, shown_unit

_OPENING = """# Files of readings

What was read at the bench, of one bike and one state of it; another state, such as after a change, is another file.
`clutchwright readings new BIKE.toml readings.csv --sheet sheet.pdf` writes an empty one for your bike with a sheet to
fill in by hand.

## CSV

    # a comment
    note,travel_mm,hook_pull_kg,hook_return_kg
    instrument,ruler,luggage scale,luggage scale
    resolution,1,0.05,0.05
    ,6,2.95,0.80
    ,6,2.50,0.65

    spring,spring_free_mm
    1,41.00
    2,40.95

* Blocks have an empty line between them; each begins with its header. Cells are separated by comma, semicolon or tab;
  numbers have a decimal point and no unit. An empty cell is no reading; at least {fewest} readings make a file.
* The header names each column and, at its end, the unit: {endings}. A kilogram on a scale is its weight.
* The first column says where the others were read, such as `travel_mm`. Columns that stand for themselves have none.
* The same place again is a repeat: keep all of them.
* `spring` says which spring it was, counted round the circle from 1.
* A key of the [bike file](bike-file.md), such as `lever.free_play_mm`, may be a column too: then it was measured again.
* In the column `note` a row may say something about the instruments in place of readings: {words}. `instrument` is a
  name; the others are in the unit of their column, `gain_u` is a share. Columns with one instrument share its zero and
  its gain.

## TOML

    schema = 1

    [[block]]
    travel_mm = [6, 11, 16]
    hook_pull_kg = [[2.95, 2.50], [6.3, 7.1], 9.0]
    instrument = {{ hook_pull_kg = "luggage scale" }}
    resolution = {{ hook_pull_kg = 0.05 }}

The same columns as lists of equal length; repeats stand in a list of their own.

## Columns

"""

_INSTRUMENTS = """
## Instruments

What the usual ones are worth where the file does not say otherwise; common practice, no source. "Scatter" is hand, hook
and eye at a single reading; zero and gain are errors that all readings of the instrument share.

| instrument | reads | resolution | scatter | zero | gain |
|---|---|---|---|---|---|
"""


def reference_page() -> str:
    """Reference of files of readings.

    Returns
    -------
    str
        Markdown, for docs/reference/readings-file.md.
    """
    endings = "; ".join(f"{dimension} {' or '.join(map(_code, each))}" for dimension, each in ENDINGS.items())
    words = ", ".join(map(_code, INSTRUMENT_WORDS))
    opening = _OPENING.format(fewest=FEWEST, endings=endings, words=words)
    return opening + "\n".join(_columns()) + "\n" + _INSTRUMENTS + "\n".join(_instruments()) + "\n"


def _code(text: str) -> str:
    return f"`{text}`"


def _columns() -> Iterator[str]:
    yield "| read at | column | what it is, and how to take it | usual instrument |"
    yield "|---|---|---|---|"
    for kind in KINDS.values():
        place = _code(kind.at + shown_ending(POSITIONS[kind.at].dimension)) if kind.at else ""
        column = _code(kind.name + shown_ending(kind.dimension))
        yield f"| {place} | {column} | {kind.label}. {kind.how} | {kind.tool} |"
    yield ""
    yield "| place | what it is | usual instrument |"
    yield "|---|---|---|"
    for position in POSITIONS.values():
        yield f"| {_code(position.name + shown_ending(position.dimension))} | {position.label} | {position.tool} |"


def _instruments() -> Iterator[str]:
    for (name, dimension), tool in USUAL.items():
        unit, worth = shown_unit(dimension), si_factor(shown_ending(dimension))
        cells = (f"{value / worth:.2g} {unit}" for value in (tool.resolution, tool.scatter, tool.zero_u))
        yield f"| {name} | {dimension} | {' | '.join(cells)} | {tool.gain_u * 100.0:g} % |"
