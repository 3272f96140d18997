"""What a kind of change is, what it takes, and a step: one change with its values as given."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from clutchwright.bike import Bike
from clutchwright.errors import InputError
from clutchwright.quantity import Quantity, bare_name, si_factor, unit_of

Value = float | tuple[int, ...]


def nearest(word: str, known: Iterable[str]) -> str:
    """Which known words there are, the one most likely meant first: ``did you mean mass? (known: mass, speed)``."""
    names = list(known)
    close = difflib.get_close_matches(word, names, n=1)
    listed = ", ".join(names) or "none"
    return f"did you mean {close[0]}? (known: {listed})" if close else f"known: {listed}"


@dataclass(frozen=True, slots=True)
class Usual:
    """Where a value usually lies, as a slider offers it; own judgement.

    Parameters
    ----------
    low, high : float
        In the unit of the parameter; or, with ``of``, as shares of what the bike has.
    of : str
        Key of the bike file; empty where the bike does not decide.
    """

    low: float
    high: float
    of: str = ""


@dataclass(frozen=True, slots=True)
class Parameter:
    """One value that a change takes.

    Parameters
    ----------
    name : str
        Its name, ending in its unit.
    low, high : float
        Allowed range, ends included, in the unit of the name.
    meaning : str
        What it is; for a default, where it comes from.
    default : float | tuple of int | None
        What counts when it is not given; None when it must be given.
    form : str
        ``number``, ``whole`` number, or ``positions``: whole numbers from 1 joined by + (in TOML, an array).
    usual : Usual | None
        Where it usually lies; None where it is seldom given.
    """

    name: str
    low: float
    high: float
    meaning: str
    default: Value | None = None
    form: Literal["number", "whole", "positions"] = "number"
    usual: Usual | None = None

    @property
    def allowed(self) -> str:
        """Allowed values in words, such as ``a number from 0.1 to 5 mm``."""
        what = {"number": "a number", "whole": "a whole number", "positions": "whole numbers joined by +, each"}
        return f"{what[self.form]} from {self.low:g} to {self.high:g} {unit_of(self.name)}".rstrip()

    def checked(self, given: Any) -> Value | None:
        """The value as a float or a tuple of positions, in the unit of the name; None when it is not allowed."""
        if self.form != "positions":
            return self._number(given)
        if isinstance(given, str) or not isinstance(given, Iterable):
            given = (given,)
        numbers = [self._number(item) for item in given]
        positions = tuple(int(number) for number in numbers if number is not None and number == int(number))
        fine = 0 < len(positions) == len(numbers) == len(set(positions))
        return positions if fine else None

    def _number(self, given: Any) -> float | None:
        if isinstance(given, bool) or not isinstance(given, int | float):
            return None
        in_range = self.low <= given <= self.high
        return float(given) if in_range and (self.form == "number" or given == int(given)) else None


@dataclass(frozen=True, slots=True)
class Change:
    """A kind of change: a pure function from a bike to a bike, and all one must know before doing it.

    Parameters
    ----------
    kind : str
        Name to call it by.
    title : str
        What is done.
    touches : str
        Which part of the chain it changes.
    gives, takes : str
        What one gets for it and what one pays with.
    price : tuple of float
        From and to, in units of money: a rough assumption, no source.
    hours : float
        Work, a rough assumption.
    reversible : bool
        Whether the bike can be put back as it was.
    caution : str
        What to mind.
    apply : callable
        From a bike and the values by bare name, in SI, to the changed bike; raises Refusal where it cannot be done.
    parameters : tuple of Parameter
        What it takes.
    example : mapping of str to float or tuple of int
        Values that suit many bikes, by parameter name; of all that must be given at least.
    sets_length : bool
        Whether it sets a length to what one then measures, so that it is made after all that would move it.
    last : bool
        Whether what it may do depends on all other changes, so that it is made last.
    unknown : mapping of str to Quantity
        What nobody knows of its outcome before it is done, by key of the bike file [unit of the key].
    """

    kind: str
    title: str
    touches: str
    gives: str
    takes: str
    price: tuple[float, float]
    hours: float
    reversible: bool
    caution: str
    apply: Callable[[Bike, Mapping[str, Any]], Bike]
    parameters: tuple[Parameter, ...] = ()
    example: Mapping[str, Value] = field(default_factory=dict)
    sets_length: bool = False
    last: bool = False
    unknown: Mapping[str, Quantity] = field(default_factory=dict)

    @property
    def turn(self) -> tuple[bool, bool]:
        """Smaller is made first."""
        return self.last, self.sets_length

    @property
    def free(self) -> bool:
        """Whether it costs no money."""
        return self.price[1] == 0.0

    def check(self, given: Mapping[str, Any], source: str = "") -> dict[str, Value]:
        """Values that were given, checked.

        Parameters
        ----------
        given : mapping of str to float or to a sequence of int
            Values by parameter name, in the unit of the name.
        source : str
            Where they were given, for messages.

        Returns
        -------
        dict of str to float or to tuple of int
            The same, in the order of the parameters.

        Raises
        ------
        InputError
            For an unknown, missing or wrong value.
        """
        known = {parameter.name: parameter for parameter in self.parameters}
        for name in given:
            if name not in known:
                raise self._wrong(name, given[name], f"no such value; {nearest(name, known)}", source)
        checked = {}
        for name, parameter in known.items():
            if name in given:
                value = parameter.checked(given[name])
                if value is None:
                    raise self._wrong(name, given[name], f"give {parameter.allowed}", source)
                checked[name] = value
            elif parameter.default is None:
                raise self._wrong(name, None, f"missing; give {parameter.allowed}: {parameter.meaning}", source)
        return checked

    def _wrong(self, name: str, value: object, allowed: str, source: str) -> InputError:
        return InputError(f"{self.kind}: {name}", value, allowed, source)

    def values(self, given: Mapping[str, Any]) -> dict[str, Any]:
        """All values by bare name, as the core counts them: in SI, positions from 0, defaults filled in.

        From those given; raises InputError like `check`.
        """
        checked = self.check(given)
        found: dict[str, Any] = {}
        for parameter in self.parameters:
            value = checked.get(parameter.name, parameter.default)
            if isinstance(value, tuple):
                found[bare_name(parameter.name)] = tuple(position - 1 for position in value)
            else:
                found[bare_name(parameter.name)] = None if value is None else value * si_factor(parameter.name)
        return found


@dataclass(frozen=True, slots=True)
class Step:
    """One change to make.

    Parameters
    ----------
    kind : str
        Which kind of change.
    parameters : mapping of str to float or to tuple of int
        Values as given, in the unit of their name; what is missing takes its default.
    """

    kind: str
    parameters: Mapping[str, Value] = field(default_factory=dict)

    def __str__(self) -> str:
        """The step as it is written on the command line."""
        given = ",".join(f"{name}={_written(value)}" for name, value in self.parameters.items())
        return f"{self.kind}:{given}" if given else self.kind


def _written(value: Value) -> str:
    return "+".join(map(str, value)) if isinstance(value, tuple) else repr(float(value)).removesuffix(".0")
