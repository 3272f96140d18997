"""What is known about one key of a file: its range, how to measure it, what a bare number is worth."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, NoReturn

from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from clutchwright.quantity import Quantity, unit_of

Points = tuple[tuple[float, float], ...]

ORIGIN = r"^(measured|manual|estimated|assumed|fitted)(: [^\x00-\x1f\x7f]{1,80})?$"
ORIGIN_WORDS = 'one of "measured", "manual", "estimated", "assumed", "fitted", each with ": how" after it if you like'


@dataclass(frozen=True, slots=True)
class Assumption:
    """What stands in for a value that nobody gave.

    Parameters
    ----------
    value : float
        In the unit of the key.
    u : float
        One standard uncertainty, wide, same unit.
    source : str
        Where it is from, with its confidence word.
    """

    value: float
    u: float
    source: str = "common practice, no source"

    @property
    def quantity(self) -> Quantity:
        """The same as a quantity."""
        return Quantity(float(self.value), float(self.u), "assumed")


@dataclass(frozen=True, slots=True)
class Entry:
    """A key whose value is a word, a yes or no, or a table of numbers.

    Parameters
    ----------
    label : str
        What it is.
    how : str
        How to find it out.
    ask : bool
        Whether the interview asks for it.
    words : tuple of tuple of str
        Each word of a file that does not say enough by itself, with what it stands for.
    """

    label: str
    how: str
    ask: bool = True
    words: tuple[tuple[str, str], ...] = ()

    def in_words(self, word: str) -> str:
        """What a word of a file stands for."""
        return dict(self.words).get(word, word.replace("_", " ").replace("+", ", "))

    @property
    def told(self) -> str:
        """How to find it out, and what each word stands for."""
        return " ".join([self.how, *(f'"{word}": {what}.' for word, what in self.words)])

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: Any) -> dict[str, Any]:
        """How an editor checks the field."""
        return handler(schema) | {"description": f"{self.label}. {self.told}"}


@dataclass(frozen=True, slots=True)
class Count:
    """A key whose value is a whole number, known without uncertainty.

    Parameters
    ----------
    label : str
        What it is.
    how : str
        How to find it out.
    low, high : int
        Allowed range.
    ask : bool
        Whether the interview asks for it.
    """

    label: str
    how: str
    low: int
    high: int
    ask: bool = True

    def parse(self, value: Any) -> int:
        """The value, when it is a whole number in range."""
        if isinstance(value, bool) or not isinstance(value, int) or not self.low <= value <= self.high:
            refuse(f"must be a whole number from {self.low} to {self.high}; count again")
        return value

    def __get_pydantic_core_schema__(self, _source: Any, _handler: Any) -> CoreSchema:
        """How pydantic checks the field."""
        return core_schema.no_info_plain_validator_function(self.parse)

    def __get_pydantic_json_schema__(self, _schema: CoreSchema, _handler: Any) -> dict[str, Any]:
        """How an editor checks the field."""
        return {
            "type": "integer",
            "minimum": self.low,
            "maximum": self.high,
            "description": f"{self.label}. {self.how}",
        }


@dataclass(frozen=True, slots=True)
class Pairs:
    """A key whose value is a measured curve: pairs of numbers that rise together from [0, 0].

    Parameters
    ----------
    label : str
        What it is.
    how : str
        How to measure it.
    names : tuple of str
        What the two numbers of a pair are, each with its unit.
    highs : tuple of float
        The largest each may be.
    ask : bool
        Whether the interview asks for it.
    """

    label: str
    how: str
    names: tuple[str, str]
    highs: tuple[float, float]
    ask: bool = False

    def parse(self, given: Any) -> Points:
        """The pairs, when they rise from [0, 0] and stay in range."""
        form = f"must be a list of at least 3 pairs [{', '.join(self.names)}]"
        if not isinstance(given, list) or not 3 <= len(given) <= 200:
            refuse(f"{form}, the first [0, 0]")
        for pair in given:
            if not isinstance(pair, list) or len(pair) != 2 or not all(map(self._fits, pair, self.highs)):
                highs = " and ".join(f"{high:g}" for high in self.highs)
                refuse(f"{form}, each from 0 to {highs}", "", pair)
        pairs = tuple((float(first), float(second)) for first, second in given)
        if pairs[0] != (0.0, 0.0):
            refuse(f"{form}, the first [0, 0]", "", given[0])
        for before, after in pairwise(pairs):
            if not (before[0] < after[0] and before[1] < after[1]):
                refuse("must rise from pair to pair in both numbers; sort them or measure again", "", list(after))
        return pairs

    @staticmethod
    def _fits(number: Any, high: float) -> bool:
        return isinstance(number, int | float) and not isinstance(number, bool) and 0 <= number <= high

    def __get_pydantic_core_schema__(self, _source: Any, _handler: Any) -> CoreSchema:
        """How pydantic checks the field."""
        return core_schema.no_info_plain_validator_function(self.parse)

    def __get_pydantic_json_schema__(self, _schema: CoreSchema, _handler: Any) -> dict[str, Any]:
        """How an editor checks the field."""
        numbers = [{"type": "number", "minimum": 0, "maximum": high} for high in self.highs]
        pair = {"type": "array", "prefixItems": numbers, "minItems": 2, "maxItems": 2}
        return {
            "type": "array",
            "items": pair,
            "minItems": 3,
            "maxItems": 200,
            "description": f"{self.label}. {self.how}",
        }


@dataclass(frozen=True, slots=True)
class Key:
    """A key whose value is a quantity.

    Parameters
    ----------
    label : str
        What it is.
    how : str
        How to measure it with tools from the kitchen and the garage.
    limits : tuple of float
        Smallest and largest allowed, in the unit of the key.
    u : float
        Standard uncertainty of a bare number, in the unit of the key.
    share : float
        The same as a share of the value; the larger of the two counts.
    assumed : Assumption | None
        What stands in for a missing value; None where it is required or may stay unknown.
    ask : bool
        Whether the interview asks for it.
    bounded : bool
        Whether nothing lies beyond the range, so that no uncertainty reaches out of it by more than that of a bare
        number.
    """

    label: str
    how: str
    limits: tuple[float, float]
    u: float = 0.0
    share: float = 0.0
    assumed: Assumption | None = None
    ask: bool = True
    bounded: bool = False

    def range_text(self, unit: str) -> str:
        """Allowed range in words, such as ``from 5 to 100 mm``."""
        low, high = self.limits
        return f"from {low:g} to {high:g} {unit}".rstrip()

    @property
    def width(self) -> float:
        """Width of the range, which no uncertainty exceeds, in the unit of the key: 1.2 - 0.4 is 0.8."""
        return float(f"{self.limits[1] - self.limits[0]:.12g}")

    def bare_u(self, value: float) -> float:
        """Standard uncertainty of a bare number, in the unit of the key."""
        return float(f"{max(self.u, self.share * abs(value)):.3g}")

    def parse(self, given: Any, unit: str) -> Quantity:
        """Quantity from what the file gives: a number, or a table with value, u and origin.

        Parameters
        ----------
        given : object
            As read from TOML.
        unit : str
            Unit of the key, for messages.

        Returns
        -------
        Quantity
            In the unit of the key.

        Raises
        ------
        PydanticCustomError
            With the allowed range, and the part of the table that is wrong.
        """
        table = given if isinstance(given, dict) else {"value": given}
        for part in table:
            if part not in ("value", "u", "origin"):
                refuse("unknown key; a quantity has value, u and origin", part, table[part])
        if "value" not in table:
            refuse(f"value is missing; give a number {self.range_text(unit)}", "value", None)
        part = "value" if table is given else ""
        value = _number(table["value"], f"must be a number {self.range_text(unit)}", part)
        if not self.limits[0] <= value <= self.limits[1]:
            advice = f"measure again, and check that it is in {unit}" if unit else "check it"
            refuse(f"must be {self.range_text(unit)}; {advice}", part, table["value"])
        return Quantity(value, self._uncertainty(table, value, unit), self._origin(table))

    def _uncertainty(self, table: dict[str, Any], value: float, unit: str) -> float:
        if "u" not in table:
            return self.bare_u(value)
        most = self._most_u(value)
        wanted = f"must be a number from 0 to {most:.12g} {unit}".rstrip() + ", one standard uncertainty"
        if self.bounded:
            wanted += f", since with more {value:g} {unit} would reach out of the range, {self.range_text(unit)}"
        u = _number(table["u"], wanted, "u")
        if not 0.0 <= u <= most:
            refuse(wanted, "u", table["u"])
        return u

    def _most_u(self, value: float) -> float:
        """Largest standard uncertainty of a value, in the unit of the key."""
        if not self.bounded:
            return self.width
        return min(value - self.limits[0], self.limits[1] - value) + self.bare_u(value)

    def _origin(self, table: dict[str, Any]) -> str:
        origin = table.get("origin", "estimated")
        if not isinstance(origin, str) or re.match(ORIGIN, origin) is None:
            refuse(f"must be {ORIGIN_WORDS}", "origin", origin)
        return origin

    def __get_pydantic_core_schema__(self, _source: Any, _handler: Any) -> CoreSchema:
        """How pydantic checks the field."""

        def parse(given: Any, info: core_schema.ValidationInfo) -> Quantity:
            return self.parse(given, unit_of(info.field_name or ""))

        return core_schema.with_info_plain_validator_function(parse)

    def __get_pydantic_json_schema__(self, _schema: CoreSchema, _handler: Any) -> dict[str, Any]:
        """How an editor checks the field."""
        low, high = self.limits
        number = {"type": "number", "minimum": low, "maximum": high}
        parts = {
            "value": number,
            "u": {"type": "number", "minimum": 0, "maximum": self._most_u((low + high) / 2.0)},
            "origin": {"type": "string", "pattern": ORIGIN},
        }
        table = {"type": "object", "properties": parts, "required": ["value"], "additionalProperties": False}
        return {"description": f"{self.label}. {self.how}", "anyOf": [number, table]}


def _number(given: Any, wanted: str, part: str) -> float:
    """A finite number; refused with what is wanted, and with advice where a text holds a number."""
    if isinstance(given, str):
        start = re.match(r"\s*[-+]?\d+(\.\d+)?", given)
        advice = f"; write {start[0].strip()} without quotes or unit, the key names the unit" if start else ""
        refuse(wanted + advice, part, given)
    if isinstance(given, bool) or not isinstance(given, int | float):
        refuse(wanted, part, given)
    try:
        value = float(given)
    except OverflowError:
        value = math.inf
    if not math.isfinite(value):
        refuse(wanted, part, value)
    return value


def refuse(allowed: str, part: str = "", given: Any = ...) -> NoReturn:
    """Refuse a whole value, or one part of its table.

    Parameters
    ----------
    allowed : str
        What is allowed, and what to do.
    part : str
        Key within the value; empty for all of it.
    given : object
        What stands in that part; the whole value when left out.

    Raises
    ------
    PydanticCustomError
        Always; pydantic adds where it was.
    """
    context: dict[str, Any] = {"allowed": allowed, "part": part}
    raise PydanticCustomError("refused", "{allowed}", context if given is ... else context | {"given": given})
