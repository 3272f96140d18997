"""The catalogue: what could be done to a bike, at what price and in how many hours.

An option is one change. It is taken or not; where one of its values is left open, it is taken with one of several
values, or with any value of a range. Prices are in whatever money the catalogue is written in.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from clutchwright.changes import Change, Parameter, Step, find
from clutchwright.changes.change import nearest
from clutchwright.errors import InputError
from clutchwright.tomlfile.parsing import parse

# Prices and hours are added up as whole thousandths, so that equal sums are equal in whatever order they are added.
PARTS = 1000
GRID = 9  # values that stand for a range until it is refined
MOST_CHOICES = 200
DEAREST = 1_000_000.0
KEYS = {
    "name": "what you call it, unlike any other option",
    "change": "kind of the change, see below",
    "price": "money for all of it, in whatever you count in; without it, the middle of what the kind of change names",
    "hours": "work [h]; without it, what the kind of change names",
    "reversible": "`true` or `false`: whether it can be undone; without it, as the kind of change says",
    "parts": 'list of what must be bought or found, such as `["lever", "6 springs"]`',
    "excludes": "list of names of options that cannot go with it; to say it on one of two is enough",
}


@dataclass(frozen=True, slots=True)
class Range:
    """A value that may lie anywhere between two bounds.

    Parameters
    ----------
    parameter : str
        Its name, ending in its unit.
    low, high : float
        Bounds, in that unit.
    """

    parameter: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Option:
    """One thing that could be done.

    Parameters
    ----------
    name : str
        What the catalogue calls it.
    choices : tuple of Step
        The change, once for each value that was left open; one of them when the option is taken.
    price : float
        Money for all of it.
    hours : float
        Work [h].
    reversible : bool
        Whether the bike can be put back as it was.
    parts : tuple of str
        What must be bought or found.
    excludes : tuple of str
        Names of options that cannot go with it.
    free : Range | None
        Where a value may lie anywhere in a range, of which ``choices`` are a grid.
    """

    name: str
    choices: tuple[Step, ...]
    price: float
    hours: float
    reversible: bool
    parts: tuple[str, ...] = ()
    excludes: tuple[str, ...] = ()
    free: Range | None = None

    def offers(self, step: Step) -> bool:
        """Whether the option can be taken with just this change."""
        if step.kind != self.choices[0].kind:
            return False
        change, free = find(step.kind), self.free
        asked = change.values(step.parameters)
        if any(change.values(choice.parameters) == asked for choice in self.choices):
            return True
        value = None if free is None else step.parameters.get(free.parameter)
        if free is None or not isinstance(value, float) or not free.low <= value <= free.high:
            return False
        rest = dict(self.choices[0].parameters) | {free.parameter: value}
        return change.values(rest) == asked


@dataclass(frozen=True, slots=True)
class Catalogue:
    """All options, in the order in which they would be made.

    Parameters
    ----------
    name : str
        What its owner calls it.
    options : tuple of Option
        No two of one name.
    """

    name: str
    options: tuple[Option, ...]

    @property
    def combinations(self) -> int:
        """Ways to choose, exclusions not counted."""
        return math.prod(len(option.choices) + 1 for option in self.options)

    def priced(self, prices: Mapping[str, float]) -> Catalogue:
        """Put other prices on some options.

        Parameters
        ----------
        prices : mapping of str to float
            Price by name of the option.

        Returns
        -------
        Catalogue
            With these prices.

        Raises
        ------
        InputError
            For an option that is not in it, or no price.
        """
        known = [option.name for option in self.options]
        for name in prices:
            if name not in known:
                raise InputError("price", name, f"no such option in {self.name!r}; {nearest(name, known)}")
        amounts = {name: _amount("price", price, f"price of {name!r}") for name, price in prices.items()}
        options = tuple(replace(option, price=amounts.get(option.name, option.price)) for option in self.options)
        return replace(self, options=options)

    def without(self, names: Collection[str]) -> Catalogue:
        """Leave some options out.

        Parameters
        ----------
        names : collection of str
            Names of the options.

        Returns
        -------
        Catalogue
            The others, as if the file had never held more.

        Raises
        ------
        InputError
            For an option that is not in it, or where none is left.
        """
        known = [option.name for option in self.options]
        for name in names:
            if name not in known:
                raise InputError("without", name, f"no such option in {self.name!r}; {nearest(name, known)}")
        rest = tuple(option for option in self.options if option.name not in names)
        if not rest:
            raise InputError("without", None, "leaves nothing that could be done; leave at least one job in")
        return replace(
            self,
            options=tuple(
                replace(option, excludes=tuple(other for other in option.excludes if other not in names))
                for option in rest
            ),
        )


@dataclass(frozen=True, slots=True)
class Wished:
    """Which of a catalogue's options count, at whose prices.

    Parameters
    ----------
    prices : tuple of str
        Prices of one's own, each as ``name=price``.
    without : tuple of str
        Names of options left out.
    only : tuple of str
        Names of options that alone count; empty for all.
    """

    prices: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    only: tuple[str, ...] = ()

    def of(self, catalogue: Catalogue) -> Catalogue:
        """A catalogue with the options that count; raises `InputError` for names that are not in it."""
        known = [option.name for option in catalogue.options]
        for name in self.only:
            if name not in known:
                raise InputError("only", name, f"no such option in {catalogue.name!r}; {nearest(name, known)}")
        others = [name for name in known if self.only and name not in self.only]
        left_out = dict.fromkeys((*self.without, *others))
        return catalogue.without(left_out) if left_out else catalogue


def thousandths(amount: float) -> int:
    """Price or hours as whole thousandths."""
    return round(amount * PARTS)


def loads(text: str, source: str) -> Catalogue:
    """Catalogue from the text of a TOML file.

    Parameters
    ----------
    text : str
        ``schema``, ``name`` and one ``[[option]]`` table for each option.
    source : str
        Name of the file, for messages.

    Returns
    -------
    Catalogue
        With checked values.

    Raises
    ------
    InputError
        Where it cannot be read, with what is known or allowed.
    """
    table = parse(text, source)
    for key in table:
        if key not in ("schema", "name", "option"):
            raise InputError(key, None, f"unknown; {nearest(key, ('schema', 'name', 'option'))}", source)
    if table.get("schema") != 1 or isinstance(table["schema"], bool):
        raise InputError("schema", table.get("schema"), "must be 1; write schema = 1 at the top of the file", source)
    name, items = table.get("name"), table.get("option")
    if not isinstance(name, str) or not name.strip():
        raise InputError("name", name, 'give the catalogue a name: name = "..."', source)
    if not isinstance(items, list) or not items:
        raise InputError("option", None, "write one table [[option]] for each thing that could be done", source)
    options = tuple(_option(item, f"{source}: [[option]] {number}") for number, item in enumerate(items, 1))
    _require_names(options, source)
    return Catalogue(name, options)


def _require_names(options: Sequence[Option], source: str) -> None:
    names = [option.name for option in options]
    for option in options:
        if names.count(option.name) > 1:
            raise InputError("name", option.name, "two options have this name; give each its own", source)
        for other in option.excludes:
            if other not in names or other == option.name:
                others = [name for name in names if name != option.name]
                message = f"{option.name!r} excludes no other option of this name; {nearest(other, others)}"
                raise InputError("excludes", other, message, source)


def _option(item: Any, source: str) -> Option:
    if not isinstance(item, Mapping):
        raise InputError("option", item, 'write a table [[option]] with name = "..." and change = "..."', source)
    kind, name = item.get("change"), item.get("name")
    if not isinstance(name, str) or not name.strip():
        raise InputError("name", name, 'is missing or no text; write name = "..."', source)
    if not isinstance(kind, str):
        raise InputError("change", kind, 'is missing or no text; write change = "..."', source)
    change = find(kind, source)
    known = [*KEYS, *(parameter.name for parameter in change.parameters)]
    for key in item:
        if key not in known:
            raise InputError(key, item[key], f"unknown; {nearest(key, known)}", source)
    choices, free = _choices(change, item, source)
    reversible = item.get("reversible", change.reversible)
    if not isinstance(reversible, bool):
        raise InputError("reversible", reversible, "must be true or false, without quotes", source)
    return Option(
        name=name,
        choices=choices,
        price=_amount("price", item.get("price", 0.5 * sum(change.price)), source),
        hours=_amount("hours", item.get("hours", change.hours), source),
        reversible=reversible,
        parts=_texts("parts", item.get("parts", []), source),
        excludes=_texts("excludes", item.get("excludes", []), source),
        free=free,
    )


def _choices(change: Change, item: Mapping[str, Any], source: str) -> tuple[tuple[Step, ...], Range | None]:
    """The change with each of its open values, and the range that they stand for."""
    given = {key: value for key, value in item.items() if key not in KEYS}
    open_keys = [key for key, value in given.items() if isinstance(value, Mapping)]
    if not open_keys:
        return (Step(change.kind, change.check(given, source)),), None
    if len(open_keys) > 1:
        message = "only one value of an option may be left open; write more options, excluding each other"
        raise InputError(", ".join(open_keys), None, message, source)
    key = open_keys[0]
    parameter = next(parameter for parameter in change.parameters if parameter.name == key)
    values, free = _open_values(parameter, given[key], source)
    steps = tuple(Step(change.kind, change.check({**given, key: value}, source)) for value in values)
    if len({step.parameters[key] for step in steps}) < len(steps):
        raise InputError(key, values, "one value stands twice; give each once", source)
    return steps, free


def _open_values(parameter: Parameter, table: Mapping[str, Any], source: str) -> tuple[list[Any], Range | None]:
    key, advice = parameter.name, "write { values = [...] } or { range = [low, high] }"
    if set(table) == {"values"}:
        values = table["values"]
        if not isinstance(values, list) or not 0 < len(values) <= MOST_CHOICES:
            raise InputError(key, values, f"as values give a list of 1 to {MOST_CHOICES} values", source)
        return values, None
    if set(table) != {"range"} or parameter.form != "number":
        advice = advice if parameter.form == "number" else "write { values = [...] }"
        raise InputError(key, dict(table), advice, source)
    bounds = table["range"]
    checked = [parameter.checked(bound) for bound in bounds] if isinstance(bounds, list) else []
    match checked:
        case [float(low), float(high)] if low < high:
            return np.linspace(low, high, GRID).tolist(), Range(key, low, high)
    raise InputError(key, bounds, f"as range give [low, high], low below high, each {parameter.allowed}", source)


def _amount(key: str, given: Any, source: str) -> float:
    fine = isinstance(given, int | float) and not isinstance(given, bool) and 0 <= given <= DEAREST
    if not fine or abs(given * PARTS - round(given * PARTS)) > 1e-6:
        raise InputError(key, given, f"give a number from 0 to {DEAREST:.0f} with at most three decimals", source)
    return float(given)


def _texts(key: str, given: Any, source: str) -> tuple[str, ...]:
    if not isinstance(given, list) or not all(isinstance(text, str) and text.strip() for text in given):
        raise InputError(key, given, 'give a list of texts, such as ["..."]', source)
    return tuple(given)
