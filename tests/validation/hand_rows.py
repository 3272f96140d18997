"""A row of a table of outside values for the hand: what we get against what a source says."""

from collections.abc import Callable, Iterable
from typing import Any, NamedTuple

import pytest


class Row(NamedTuple):
    """One outside value: row id, what it is, our result, theirs, tolerance, citation, confidence word.

    Confidence: ``found`` (published, seen in a copy), ``memory`` (published, recalled), ``derived`` (arithmetic on
    a published formula), ``identity`` (follows from the formula itself).
    """

    id: str
    what: str
    ours: Callable[[], Any]
    theirs: float
    tolerance: float
    citation: str
    confidence: str


def rows(table: Iterable[Row]) -> pytest.MarkDecorator:
    """Parametrise a test by a table."""
    return pytest.mark.parametrize("row", [pytest.param(row, id=f"{row.id} {row.confidence}") for row in table])


def check(row: Row) -> None:
    """Compare one row."""
    ours = float(row.ours())
    assert abs(ours - row.theirs) <= row.tolerance, f"{row.what}: {ours:.6g}, {row.citation}: {row.theirs:g}"
