"""What a fit leaves in a bike file: which readings went into it, and how the fitted values hang together."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Any

import numpy as np
from pydantic_core import CoreSchema, core_schema

from clutchwright.quantity import Array
from clutchwright.tomlfile.keys import Entry, refuse
from clutchwright.tomlfile.section import Section

_KEY = re.compile(r"[a-z]+\.[A-Za-z0-9_.]{1,60}")
_SHA256 = re.compile(r"[0-9a-f]{64}")
MOST_ROWS = 200


@dataclass(frozen=True, slots=True)
class FilesRead(Entry):
    """A key that lists the files of readings that went into a fit, each with its SHA-256."""

    def parse(self, given: Any) -> tuple[tuple[str, str], ...]:
        """Pairs of name and fingerprint."""
        form = 'must be a list of pairs ["file name", "its SHA-256, 64 digits of hexadecimal"]'
        if not isinstance(given, list) or len(given) > MOST_ROWS:
            refuse(form)
        for row in given:
            whole = isinstance(row, list) and len(row) == 2 and all(isinstance(part, str) for part in row)
            if not whole or not row[0].isprintable() or not _SHA256.fullmatch(row[1]):
                refuse(form, "", row)
        return tuple((name, fingerprint) for name, fingerprint in given)

    def __get_pydantic_core_schema__(self, _source: Any, _handler: Any) -> CoreSchema:
        """How pydantic checks the field."""
        return core_schema.no_info_plain_validator_function(self.parse)

    def __get_pydantic_json_schema__(self, _schema: CoreSchema, _handler: Any) -> dict[str, Any]:
        """How an editor checks the field."""
        pair = {"type": "array", "items": {"type": "string"}, "minItems": 2, "maxItems": 2}
        return {"type": "array", "items": pair, "maxItems": MOST_ROWS, "description": f"{self.label}. {self.how}"}


@dataclass(frozen=True, slots=True)
class Triangle(Entry):
    """A key that holds a correlation matrix as its lower triangle: rows of a key and its correlations so far."""

    def parse(self, given: Any) -> tuple[tuple[str | float, ...], ...]:
        """The rows, when they make a correlation matrix."""
        form = 'must be rows ["key", r, .., 1], each with one number more than the row before, from -1 to 1'
        if not isinstance(given, list) or len(given) > MOST_ROWS:
            refuse(form)
        for place, row in enumerate(given):
            if not isinstance(row, list) or len(row) != place + 2 or not _is_row(row):
                refuse(form, "", row)
        rows: tuple[tuple[str | float, ...], ...] = tuple((str(row[0]), *map(float, row[1:])) for row in given)
        if len({row[0] for row in rows}) != len(rows):
            refuse("must name each key once")
        try:
            np.linalg.cholesky(_square(rows))
        except np.linalg.LinAlgError:
            refuse("is no correlation matrix: some sum of the quantities would have no variance; fit again")
        return rows

    def __get_pydantic_core_schema__(self, _source: Any, _handler: Any) -> CoreSchema:
        """How pydantic checks the field."""
        return core_schema.no_info_plain_validator_function(self.parse)

    def __get_pydantic_json_schema__(self, _schema: CoreSchema, _handler: Any) -> dict[str, Any]:
        """How an editor checks the field."""
        row = {
            "type": "array",
            "prefixItems": [{"type": "string"}],
            "items": {"type": "number", "minimum": -1, "maximum": 1},
            "minItems": 2,
        }
        return {"type": "array", "items": row, "maxItems": MOST_ROWS, "description": f"{self.label}. {self.how}"}


def _is_row(row: list[Any]) -> bool:
    numbers = row[1:]
    return (
        isinstance(row[0], str)
        and _KEY.fullmatch(row[0]) is not None
        and all(isinstance(each, int | float) and not isinstance(each, bool) and -1 <= each <= 1 for each in numbers)
        and numbers[-1] == 1
    )


def _square(rows: Sequence[Sequence[Any]]) -> Array:
    matrix = np.eye(len(rows))
    for place, row in enumerate(rows):
        matrix[place, : place + 1] = matrix[: place + 1, place] = row[1:]
    return matrix


class Fitted(Section):
    """Written by a fit; not for typing."""

    readings: Annotated[
        tuple[tuple[str, str], ...],
        FilesRead("Files of readings that went into it, with their SHA-256", "Written by a fit.", ask=False),
    ] = ()
    correlation: Annotated[
        tuple[tuple[str | float, ...], ...],
        Triangle(
            "Correlation of the fitted values, as the lower triangle of its matrix",
            "Written by a fit; a value that is typed over later no longer counts as fitted.",
            ask=False,
        ),
    ] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Correlation:
    """How uncertain quantities hang together.

    Parameters
    ----------
    keys : tuple of str
        Names of lots.
    matrix : Array
        Their correlation [-], of standard normal scores.
    """

    keys: tuple[str, ...]
    matrix: Array

    def mixing(self, names: Sequence[str]) -> Array:
        """Matrix that makes correlated scores of independent ones.

        Parameters
        ----------
        names : sequence of str
            Names of lots; those without a correlation stand for themselves.

        Returns
        -------
        Array
            Lower triangular [-], shape (n, n): scores = mixing @ independent; Cholesky factor of the correlation.
        """
        whole = np.eye(len(names))
        known = [place for place, name in enumerate(names) if name in self.keys]
        of = [self.keys.index(names[place]) for place in known]
        whole[np.ix_(known, known)] = self.matrix[np.ix_(of, of)]
        return np.asarray(np.linalg.cholesky(whole), dtype=np.float64)


def correlation_of(rows: Sequence[Sequence[Any]], keys: Sequence[str]) -> Correlation:
    """Correlation from the rows of a file, of those quantities that still are as they were fitted.

    Parameters
    ----------
    rows : sequence of rows
        Lower triangle, each row after its key [-].
    keys : sequence of str
        Lots whose values are fitted.

    Returns
    -------
    Correlation
        See there.
    """
    names = [str(row[0]) for row in rows]
    kept = [place for place, name in enumerate(names) if name in keys]
    return Correlation(tuple(names[place] for place in kept), _square(rows)[np.ix_(kept, kept)])


def triangle(correlation: Correlation) -> tuple[tuple[str | float, ...], ...]:
    """Rows of a file from a correlation, at six decimals; see `correlation_of`."""
    return tuple(
        (key, *(round(float(each), 6) for each in correlation.matrix[place, : place + 1]))
        for place, key in enumerate(correlation.keys)
    )
