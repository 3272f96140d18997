"""The panel of changes: what can be switched on for a bike, with the values that a slider offers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from clutchwright.bike import Bike
from clutchwright.bikefile import MeasuredBike, assemble
from clutchwright.changes import CHANGES, Change, Step, apply
from clutchwright.changes.change import Parameter, Usual, Value
from clutchwright.errors import Refusal
from clutchwright.numbers import plain_text
from clutchwright.quantity import bare_name, unit_of

_STEPS = 60  # about so many places of a slider


@dataclass(frozen=True, slots=True)
class Slider:
    """One value of a change.

    Parameters
    ----------
    name, label, unit, meaning : str
        Name as on the command line; what to call it; its unit; what it is.
    low, high, step, value : float
        Where it may stand, and where it stands [in its unit].
    """

    name: str
    label: str
    unit: str
    meaning: str
    low: float
    high: float
    step: float
    value: float


@dataclass(frozen=True, slots=True)
class Field:
    """Spring positions of a change.

    Parameters
    ----------
    name, meaning : str
        Name as on the command line; what they are.
    needed : bool
        Whether they must be given; otherwise none means all.
    value : str
        As on the command line.
    """

    name: str
    meaning: str
    needed: bool
    value: str


@dataclass(frozen=True, slots=True)
class Switch:
    """One change that can be switched on.

    Parameters
    ----------
    change : Change
        What it is.
    on : bool
        Whether it is.
    sliders : tuple of Slider
        Its values.
    places : Field | None
        Spring positions; None where it has none to choose.
    """

    change: Change
    on: bool
    sliders: tuple[Slider, ...]
    places: Field | None


def panel(bike: MeasuredBike, steps: Sequence[Step]) -> tuple[Switch, ...]:
    """Every kind of change for a bike, those made to it switched on.

    Parameters
    ----------
    bike : MeasuredBike
        The bike as filed.
    steps : sequence of Step
        Changes that are on; of one kind given twice the last counts.

    Returns
    -------
    tuple of Switch
        In the order of the registry; free ones first.
    """
    made = {step.kind: step for step in steps}
    kinds = sorted(CHANGES.values(), key=lambda change: not change.free)
    return tuple(_switch(bike, change, made.get(change.kind)) for change in kinds)


def steps_given(bike: MeasuredBike, fields: Mapping[str, str]) -> tuple[str, ...]:
    """Changes that a form has switched on, each as on the command line.

    Parameters
    ----------
    bike : MeasuredBike
        The bike as filed.
    fields : mapping of str to str
        The form: a field of the kind's name for each that is on, and ``kind.name`` for its values.

    Returns
    -------
    tuple of str
        In the order of the panel.
    """
    steps = []
    for switch in panel(bike, ()):
        kind = switch.change.kind
        if kind not in fields:
            continue
        names = [each.name for each in (*switch.sliders, switch.places) if each is not None]
        given = [f"{name}={value}" for name in names if (value := fields.get(f"{kind}.{name}", "").strip())]
        steps.append(f"{kind}:{','.join(given)}" if given else kind)
    return tuple(steps)


def _switch(bike: MeasuredBike, change: Change, step: Step | None) -> Switch:
    sliders = tuple(_slider(bike, change, each, each.usual, step) for each in change.parameters if each.usual)
    places = next((each for each in change.parameters if each.form == "positions"), None)
    return Switch(change, step is not None, sliders, None if places is None else _field(bike, change, places, step))


def _field(bike: MeasuredBike, change: Change, parameter: Parameter, step: Step | None) -> Field:
    """Field for spring positions; those that must be given begin with some that this bike allows."""
    needed = parameter.default is None
    given = () if step is None else step.parameters.get(parameter.name, ())
    if step is None and needed:
        given = next(filter(partial(_allowed, assemble(bike), change, parameter), _beginnings(change, parameter)), ())
    text = "+".join(map(str, given)) if isinstance(given, tuple) else ""
    return Field(parameter.name, parameter.meaning, needed, text)


def _beginnings(change: Change, parameter: Parameter) -> Iterator[Value]:
    """The example, then the first boss with each other."""
    yield change.example[parameter.name]
    yield from ((1, other) for other in range(2, int(parameter.high) + 1))


def _allowed(bike: Bike, change: Change, parameter: Parameter, positions: Value) -> bool:
    try:
        apply(bike, [Step(change.kind, {parameter.name: positions})])
    except Refusal:
        return False
    return True


def _slider(bike: MeasuredBike, change: Change, parameter: Parameter, usual: Usual, step: Step | None) -> Slider:
    low, high, begin = _range(bike, change, parameter, usual)
    # a bike may leave no room, as without drag that service could lessen
    size = 1.0 if parameter.form == "whole" or high <= low else _round_step((high - low) / _STEPS)
    given = None if step is None else step.parameters.get(parameter.name)
    value = float(given) if isinstance(given, int | float) else begin
    return Slider(
        name=parameter.name,
        label=bare_name(parameter.name).replace("_", " "),
        unit=unit_of(parameter.name),
        meaning=parameter.meaning,
        low=max(min(_on_grid(low, size), value), parameter.low),
        high=min(max(_on_grid(high, size), value), parameter.high),
        step=size,
        value=float(plain_text(value, 6).replace("\N{MINUS SIGN}", "-")),
    )


def _range(bike: MeasuredBike, change: Change, parameter: Parameter, usual: Usual) -> tuple[float, float, float]:
    """Where a slider goes from and to, within what the change allows, and where it begins.

    It begins at what the change takes where nothing is given, else at what the bike has, or as in the example.
    """
    now = _now(bike, usual.of) if usual.of else 1.0
    begin = parameter.default if parameter.default is not None else now
    if not usual.of:
        begin = change.example.get(parameter.name, begin)
    low, high = max(usual.low * now, parameter.low), max(min(usual.high * now, parameter.high), parameter.low)
    begin = min(max(begin if isinstance(begin, float) else now, parameter.low), high)
    return min(low, begin), high, begin


def _now(bike: MeasuredBike, key: str) -> float:
    quantity = bike.quantities.get(key)
    if quantity is not None:
        return quantity.value
    word = bike.choices.get(key)
    return float(word) if isinstance(word, int | float) else 1.0


def _round_step(size: float) -> float:
    """The next smaller of 1, 2 and 5 times a power of ten."""
    power = 10.0 ** int(f"{size:e}".split("e")[1])
    return max(step for step in (power, 2.0 * power, 5.0 * power) if step <= size * 1.0000001)


def _on_grid(value: float, step: float) -> float:
    return float(f"{round(value / step) * step:.9g}")
