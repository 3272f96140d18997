"""Readings that a bike cannot have shown: wrong unit, swapped columns, a zero that was not taken off, used twice."""

from __future__ import annotations

from collections.abc import Sequence

from clutchwright.calibrate.bench import Bench
from clutchwright.readings import Readings


def check_before(about: Bench, files: Sequence[Readings]) -> None:
    """Stub."""
    del about, files
