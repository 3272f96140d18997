"""The panel of changes: what can be switched on for a bike, with the values that a slider offers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from clutchwright.bikefile import MeasuredBike
from clutchwright.changes import CHANGES, Change, Step
from clutchwright.changes.change import Parameter
from clutchwright.numbers import plain_text
from clutchwright.quantity import bare_name, unit_of

# Sliders within what the bike has: key of the bike file, and the range as shares of it. They begin at what the change
# usually gives, or else at what the bike has. Own judgement.
_FROM_BIKE: dict[tuple[str, str], tuple[str, float, float]] = {
    ("arm-length", "length_mm"): ("arm.length_mm", 1.0, 1.6),
    ("cable-radius", "radius_mm"): ("lever.cable_radius_mm", 0.6, 1.0),
    ("cable-routing", "bend_deg"): ("cable.bend_deg", 0.4, 1.0),
    ("cable-service", "friction"): ("cable.friction", 0.4, 1.0),
    ("cable-service", "drag_N"): ("cable.drag_N", 0.0, 1.0),
    ("free-play", "free_play_mm"): ("lever.free_play_mm", 0.3, 1.5),
    ("reach-screw", "rest_span_mm"): ("lever.rest_span_mm", 0.75, 1.0),
    ("springs-fewer", "left_out"): ("springs.count", 0.0, 0.5),
}
# Sliders that a bike does not decide: from, to, where it begins. Own judgement.
_USUAL: dict[tuple[str, str], tuple[float, float, float]] = {
    ("perch-shift", "shift_mm"): (1.0, 40.0, 10.0),
    ("lever-turn", "level_angle_deg"): (-20.0, 40.0, 0.0),
    ("inline-unit", "ratio"): (1.0, 1.5, 1.2),
    ("inline-unit", "drag_N"): (0.0, 10.0, 2.0),
    ("inline-unit", "play_mm"): (0.0, 3.0, 0.5),
    ("hydraulic", "area_ratio"): (0.7, 1.5, 1.0),
    ("hydraulic", "seal_loss"): (0.0, 0.2, 0.05),
    ("hydraulic", "expansion_mm_per_N"): (0.0, 0.005, 0.001),
    ("springs-softer", "rate_share"): (0.6, 1.0, 0.9),
    ("washers", "thickness_mm"): (0.1, 2.0, 0.5),
    ("plates", "friction_share"): (1.0, 1.3, 1.1),
    ("plates", "extra_pairs"): (0.0, 2.0, 0.0),
    ("cable-stiffer", "compliance_share"): (0.2, 1.0, 0.6),
    ("assist-spring", "rate_N_per_mm"): (0.0, 5.0, 1.0),
    ("assist-spring", "pretension_N"): (1.0, 120.0, 20.0),
    ("assist-spring", "hook_radius_mm"): (3.0, 40.0, 12.0),
    ("assist-spring", "post_radius_mm"): (10.0, 100.0, 60.0),
    ("assist-spring", "before_centre_deg"): (0.5, 20.0, 5.0),
}
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
    has_positions : bool
        Whether it can be done to some springs only.
    positions : str
        Spring positions as on the command line; empty where all are meant.
    """

    change: Change
    on: bool
    sliders: tuple[Slider, ...]
    has_positions: bool
    positions: str


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


def _switch(bike: MeasuredBike, change: Change, step: Step | None) -> Switch:
    sliders = tuple(
        _slider(bike, change, p, step) for p in change.parameters if p.form != "positions" and _known(change, p)
    )
    given = () if step is None else step.parameters.get("positions", ())
    positions = "+".join(map(str, given)) if isinstance(given, tuple) else ""
    some = any(parameter.form == "positions" for parameter in change.parameters)
    return Switch(change, step is not None, sliders, some, positions)


def _known(change: Change, parameter: Parameter) -> bool:
    return (change.kind, parameter.name) in _FROM_BIKE or (change.kind, parameter.name) in _USUAL


def _slider(bike: MeasuredBike, change: Change, parameter: Parameter, step: Step | None) -> Slider:
    low, high, begin = _range(bike, change.kind, parameter)
    # a bike may leave no room, as without drag that service could lessen
    size = 1.0 if parameter.form == "whole" or high <= low else _round_step((high - low) / _STEPS)
    given = None if step is None else step.parameters.get(parameter.name)
    value = float(given) if isinstance(given, int | float) else begin
    return Slider(
        name=parameter.name,
        label=bare_name(parameter.name).replace("_", " "),
        unit=unit_of(parameter.name),
        meaning=parameter.meaning,
        low=min(_on_grid(low, size), value),
        high=max(_on_grid(high, size), value),
        step=size,
        value=float(plain_text(value, 6).replace("\N{MINUS SIGN}", "-")),
    )


def _range(bike: MeasuredBike, kind: str, parameter: Parameter) -> tuple[float, float, float]:
    """Where a slider goes from and to, within what the change allows, and where it begins."""
    if (kind, parameter.name) in _USUAL:
        low, high, begin = _USUAL[kind, parameter.name]
    else:
        key, least, most = _FROM_BIKE[kind, parameter.name]
        now = _now(bike, key)
        usual = parameter.default
        low, high, begin = least * now, most * now, usual if isinstance(usual, float) else now
    low, high = max(low, parameter.low), max(min(high, parameter.high), parameter.low)
    whole = parameter.form == "whole"
    return (
        (round(low), round(high), min(2.0, high))
        if whole and kind == "springs-fewer"
        else (low, high, min(max(begin, low), high))
    )


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
