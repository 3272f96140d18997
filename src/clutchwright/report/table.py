"""A table of text, for any renderer."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, and whether it holds numbers, which stand on the right."""

    heading: str
    number: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """One row: a cell for each column, a note to the first, and whether it sums up those before."""

    cells: tuple[str, ...]
    note: str = ""
    total: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A table.

    Parameters
    ----------
    title : str
        What it shows.
    columns : tuple of Column
        From left to right.
    rows : tuple of Row
        From top to bottom.
    empty : str
        What to say when there are no rows.
    """

    title: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    empty: str = ""
