"""A catalogue for a bike: each kind of change that it allows, from its own lengths and springs, at invented prices."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from clutchwright.assess.figures import measure
from clutchwright.bike import Bike
from clutchwright.bikefile import MeasuredBike, assemble
from clutchwright.chain import respond
from clutchwright.changes import CHANGES, Change, Step, Value, apply
from clutchwright.changes.change import Parameter, Usual
from clutchwright.changes.limits import EMPTY_UNBALANCE, LEAST_FITTED
from clutchwright.errors import Refusal
from clutchwright.physics.plate_tilt import patterns
from clutchwright.physics.springs import CoilSet

SHARES = (1 / 3, 2 / 3)  # of the way from what the bike has to the end of what is usual; own judgement
FELT = 1e-3  # share of a figure from which a change is one; own judgement
COUNTED = ("pull_peak_N", "slip_margin_hot", "release_margin_mm")


@dataclass(frozen=True, slots=True)
class _Offer:
    """A kind of change with the values that the bike allows; ``name`` is that of the value left open."""

    change: Change
    name: str
    steps: tuple[Step, ...]


def own_list(measured: MeasuredBike) -> str:
    """Text of a catalogue for a bike.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.

    Returns
    -------
    str
        TOML: each kind of change that the bike allows and that changes pull, grip, release or reach, cheapest first,
        at the middle of the price that is typical of its kind.
    """
    bike = assemble(measured)
    order = sorted(CHANGES.values(), key=lambda change: (sum(change.price), change.hours, change.kind))
    offers = [offer for change in order if (offer := _offer(measured, bike, change)).steps]
    apart = [pair for pair in combinations(offers, 2) if not _together(bike, *(offer.steps[0] for offer in pair))]
    head = (
        f"# What could be done to {_quoted(measured.name)}: lengths, springs and their count are its own.\n"
        "# Prices and hours are invented, the middle of what is typical of each kind of change: put your own in.\n\n"
        f"schema = 1\nname = {_quoted(f'What could be done to {measured.name} (invented prices)')}\n"
    )
    return head + "".join(f"\n{_written(offer, apart)}" for offer in offers)


def _offer(measured: MeasuredBike, bike: Bike, change: Change) -> _Offer:
    needed = [parameter for parameter in change.parameters if parameter.default is None]
    if len(needed) == 1:
        name = needed[0].name
        steps = [Step(change.kind, {name: value}) for value in _values(measured, bike, needed[0])]
    else:
        name = ""
        steps = [Step(change.kind, {each.name: change.example[each.name] for each in needed})]
    return _Offer(change, name, tuple(step for step in steps if _counts(bike, step)))


def _values(measured: MeasuredBike, bike: Bike, parameter: Parameter) -> Iterator[Value]:
    """Values between what the bike has and what is usual; of positions, those that balance."""
    usual = parameter.usual
    if parameter.form == "positions":
        if isinstance(bike.springs, CoilSet):
            yield from _left_out(bike.springs.bosses)
    elif usual is not None and usual.of and usual.of in measured.quantities:
        today, far = measured.quantities[usual.of].value, _far(usual)
        yield from (_rounded(today * (1.0 + share * (far - 1.0)), 3) for share in SHARES)
    elif usual is not None and not usual.of:
        yield from (_rounded(usual.low + share * (usual.high - usual.low), 2) for share in SHARES)


def _far(usual: Usual) -> float:
    """The end that is further from what the bike has, as a share of it."""
    return usual.low if 1.0 - usual.low >= usual.high - 1.0 else usual.high


def _left_out(bosses: int) -> Iterator[tuple[int, ...]]:
    for count in range(1, bosses + 1):
        if bosses - count >= LEAST_FITTED * bosses:
            for found in patterns(bosses, count):
                if found.unbalance <= EMPTY_UNBALANCE:
                    yield tuple(position + 1 for position in found.left_out)


def _rounded(value: float, digits: int) -> float:
    return float(f"{value:.{digits}g}")


def _counts(bike: Bike, step: Step) -> bool:
    """Whether a bike allows a change and feels it."""
    try:
        changed = apply(bike, [step])
    except Refusal:
        return False
    before, after = (measure(each, respond(each)) for each in (bike, changed))
    felt = any(not abs(float(after[key]) - float(before[key])) <= FELT * abs(float(before[key])) for key in COUNTED)
    return felt or changed.lever.rest_span != bike.lever.rest_span


def _together(bike: Bike, one: Step, other: Step) -> bool:
    for steps in ((one, other), (other, one)):
        try:
            apply(bike, steps)
        except Refusal:
            continue
        return True
    return False


def _written(offer: _Offer, apart: Sequence[tuple[_Offer, _Offer]]) -> str:
    change = offer.change
    lines = ["[[option]]", f"name = {_quoted(change.title)}", f"change = {_quoted(change.kind)}"]
    first = offer.steps[0].parameters
    if offer.name and len(offer.steps) > 1:
        values = ", ".join(_value(step.parameters[offer.name]) for step in offer.steps)
        lines.append(f"{offer.name} = {{ values = [{values}] }}")
    else:
        lines += [f"{name} = {_value(value)}" for name, value in first.items()]
    price = round(sum(change.price) / 2.0)
    lines += [f"price = {price}{'  # invented' if price else ''}", f"hours = {change.hours:g}"]
    others = [_quoted(second.change.title) for start, second in apart if start is offer]
    if others:
        lines.append(f"excludes = [{', '.join(others)}]")
    return "\n".join(lines) + "\n"


def _value(value: Value) -> str:
    return f"[{', '.join(map(str, value))}]" if isinstance(value, tuple) else f"{value:g}"


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
