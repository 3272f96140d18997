"""An empty file of readings for a bike, and the same as a sheet to fill in by hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from typing import Any

from clutchwright.bikefile import MeasuredBike, find_key
from clutchwright.quantity import bare_name, unit_of
from clutchwright.readings.columns import NOTE, SPRING
from clutchwright.readings.instruments import USUAL
from clutchwright.readings.kinds import KINDS, POSITIONS, dimension_of, factor

REPEATS = 2
_LEVER_PLACES = 8


@dataclass(frozen=True, slots=True)
class _Plan:
    """One block of the sheet: what it is about, its columns and the places in its first column."""

    title: str
    columns: tuple[str, ...]
    places: tuple[float, ...] = ()
    springs: int = 0


@dataclass(frozen=True, slots=True)
class _Field:
    """One column as the sheet explains it."""

    column: str
    label: str
    unit: str
    how: str
    tool: str


def _plans(bike: MeasuredBike) -> Iterator[_Plan]:
    values = bike.quantities
    hook = "hook_" if "lever.hook_radius_mm" in values else ""
    full = values["lever.rest_span_mm"].value - values["lever.stop_span_mm"].value
    free = values["lever.free_play_mm"].value
    step = (full - free) / _LEVER_PLACES
    travels = tuple(dict.fromkeys(float(round(free + step * (place + 0.5))) for place in range(_LEVER_PLACES)))
    rest = max(float(round(0.3 * free)), 1.0)
    yield _Plan("The lever, as it stands", ("travel_mm", f"{hook}pull_kg", f"{hook}return_kg"), (rest, *travels))
    yield _Plan("Spans and free play", ("lever.rest_span_mm", "lever.stop_span_mm", "lever.free_play_mm"))
    yield _Plan("What reaches the arm", ("travel_mm", "arm_travel_mm"), travels[1::2])
    yield _Plan("Where it bites", ("bite_start_mm", "bite_creep_mm"))
    yield _Plan("The cable alone, unhooked at the arm", ("weight_kg", "cable_pull_kg", "cable_return_kg"), (2.0, 5.0))
    yield _Plan("The arm alone, cable unhooked", ("arm_turn_deg", "arm_pull_kg", "arm_return_kg"), (4.0, 8.0, 12.0))
    yield _Plan("Cover off: lift", ("travel_mm", "lift_mm"), travels[1::2])
    if bike.choices["springs.kind"] == "coil":
        installed, longest = (values[f"springs.{name}_length_mm"].value for name in ("installed", "free"))
        count = int(bike.choices["springs.count"])
        yield _Plan("Springs, unloaded", (SPRING, "spring_free_mm"), springs=count)
        lengths = (round(installed + 0.4 * (longest - installed), 1), installed, installed - 1.5)
        yield _Plan("Springs, pressed", ("length_mm", SPRING, "spring_load_kg"), lengths)
    alone = ("stack_mm", "hub_slip_Nm") if "pack.stack_mm" in values else ("hub_slip_Nm",)
    yield _Plan("Pack and torque", alone)


def template(bike: MeasuredBike) -> str:
    """An empty file of readings.

    Parameters
    ----------
    bike : MeasuredBike
        Decides what is asked for, and where.

    Returns
    -------
    str
        CSV: comments say what each block is and how it is taken; cells without a number are no readings.
    """
    lines = [
        f"# Readings for: {bike.name}",
        "# Fill in what you can, leave the rest empty; delete whole blocks if you like. A decimal point, no units:",
        "# the header names the unit, and _kg may be changed to _N. The same place again is a repeat. The rows",
        "# instrument and resolution say what each column was read with; resolution is the step of its display.",
    ]
    for plan in _plans(bike):
        lines += ["", *(f"# {line}" for line in _comment(plan, bike)), ",".join((NOTE, *plan.columns))]
        lines += [",".join((word, *cells)) for word, cells in _instrument_rows(plan)]
        lines += [",".join(("", *cells)) for cells in _rows(plan)]
    return "\n".join(lines) + "\n"


def sheet(bike: MeasuredBike) -> dict[str, Any]:
    """What the sheet to fill in by hand shows, as data.

    Parameters
    ----------
    bike : MeasuredBike
        Decides what is asked for, and where.

    Returns
    -------
    dict
        Ready to be written as JSON: name, and blocks, each with title, fields and places; a field is read so many
        times at each place, or not at all where it says the place itself.
    """
    return {"name": bike.name, "blocks": [_block(plan, bike) for plan in _plans(bike)]}


def _block(plan: _Plan, bike: MeasuredBike) -> dict[str, Any]:
    given = bool(plan.places or plan.springs)
    fields = [
        {
            **asdict(_field(column, plan, bike)),
            "times": 0 if number == 0 and given else 1 if column == SPRING else REPEATS,
        }
        for number, column in enumerate(plan.columns)
    ]
    places = [row[0] for row in _rows(plan)][:: 1 if plan.springs else REPEATS]
    return {"title": plan.title, "fields": fields, "places": places if given else [""]}


def _comment(plan: _Plan, bike: MeasuredBike) -> Iterator[str]:
    yield plan.title
    for column in plan.columns:
        field = _field(column, plan, bike)
        yield f"  {field.column}: {field.label}. {field.how}".rstrip()


def _rows(plan: _Plan) -> Iterator[tuple[str, ...]]:
    width = len(plan.columns)
    if plan.springs:
        for spring in range(1, plan.springs + 1):
            yield (str(spring), *[""] * (width - 1))
        return
    for place in plan.places or ("",):
        first = f"{place:g}" if isinstance(place, float) else ""
        for _ in range(REPEATS):
            yield (first, *[""] * (width - 1))


def _instrument_rows(plan: _Plan) -> Iterator[tuple[str, tuple[str, ...]]]:
    tools = [_tool(column, plan) for column in plan.columns]
    yield "instrument", tuple(tools)
    steps = []
    for column, tool in zip(plan.columns, tools, strict=True):
        usual = USUAL.get((tool, _dimension(column, plan)))
        worth = 1.0 if usual is None else usual.resolution / _worth(column, plan)
        steps.append("" if usual is None else f"{worth:.4g}")
    yield "resolution", tuple(steps)


def _entry(column: str, plan: _Plan) -> Any:
    name, first = bare_name(column), bare_name(plan.columns[0])
    at = first if first in POSITIONS else ""
    return POSITIONS[name] if column == plan.columns[0] and at else KINDS[name, at]


def _dimension(column: str, plan: _Plan) -> str:
    if column == SPRING:
        return ""
    return dimension_of(column) if "." in column else str(_entry(column, plan).dimension)


def _worth(column: str, plan: _Plan) -> float:
    return factor(column.removeprefix(bare_name(column)), _dimension(column, plan))


def _tool(column: str, plan: _Plan) -> str:
    if column == SPRING:
        return ""
    return "ruler" if "." in column else str(_entry(column, plan).tool)


def _field(column: str, plan: _Plan, bike: MeasuredBike) -> _Field:
    tool = _tool(column, plan)
    if column == SPRING:
        return _Field(column, "Which spring, counted round the circle from 1", "", "Mark them.", tool)
    unit = unit_of(column)
    if "." in column:
        key = find_key(column, bike.choices)
        return _Field(column, key.label, unit, key.how, tool)
    entry = _entry(column, plan)
    return _Field(column, entry.label, unit, getattr(entry, "how", ""), tool)
