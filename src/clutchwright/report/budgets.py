"""The two budgets and the force at each place as tables, rounded so that what is read adds up."""

from __future__ import annotations

from collections.abc import Sequence

from clutchwright.assess.budgets import FORCE_LABELS, PLACE_LABELS, TRAVEL_LABELS, Item, Place
from clutchwright.numbers import apportioned, decimal_text, with_unit
from clutchwright.report.table import Column, Row, Table
from clutchwright.study.assessment import Assessment

_OUT_OF_REACH = "The lever never gets to a clean release, so there is nothing to share out."
_MISSING_NOTE = "below zero: missing"
_TIMES = "\N{MULTIPLICATION SIGN}"
_AT_ARM = ("arm_end", "slave")


def force_table(assessment: Assessment) -> Table:
    """What the pull at release is made of.

    Parameters
    ----------
    assessment : Assessment
        What was found.

    Returns
    -------
    Table
        Newton at the finger and per cent; rows that are zero before and now are left out.
    """
    labels = FORCE_LABELS | {"total": "Pull at release"}
    return _budget_table(
        "Where the force goes (at release)", labels, "N", _force(assessment), _force(assessment.before)
    )


def travel_table(assessment: Assessment) -> Table:
    """What the finger's travel is spent on.

    Parameters
    ----------
    assessment : Assessment
        What was found.

    Returns
    -------
    Table
        Millimetre at the finger and per cent; a last part below zero is missing.
    """
    labels = TRAVEL_LABELS | {"total": "Full travel"}
    return _budget_table("Where the travel goes", labels, "mm", _travel(assessment), _travel(assessment.before))


def _force(assessment: Assessment | None) -> tuple[Item, ...]:
    return assessment.force if assessment else ()


def _travel(assessment: Assessment | None) -> tuple[Item, ...]:
    return tuple(Item(item.key, item.value * 1e3) for item in assessment.travel) if assessment else ()


def _budget_table(title: str, labels: dict[str, str], unit: str, now: Sequence[Item], before: Sequence[Item]) -> Table:
    if not now:
        return Table(title, (), (), _OUT_OF_REACH)
    columns = [Column("Part"), Column("Now" if before else f"{unit}", number=True), Column("%", number=True)]
    parts = [_texts(now)]
    if before:
        columns[1:1] = [Column("Before", number=True), Column("%", number=True)]
        parts.insert(0, _texts(before))
    some = {item.key for item in (*now, *before) if item.value != 0.0} | {"total"}
    nothing = decimal_text(0.0, 1), decimal_text(0.0, 0)
    rows = []
    for key, label in labels.items():
        if key in some:
            pairs = [texts.get(key, nothing) for texts in parts]
            cells = [text for value, part in pairs for text in (with_unit(value, unit), part)]
            short = key == "spare" and any(cell.startswith("\N{MINUS SIGN}") for cell in cells)
            rows.append(Row((label, *cells), note=_MISSING_NOTE if short else "", total=key == "total"))
    return Table(title, tuple(columns), tuple(rows))


def _texts(items: Sequence[Item]) -> dict[str, tuple[str, str]]:
    """Value and per cent of each part, and of the sum."""
    values = apportioned([item.value for item in items], 1)
    total = sum(item.value for item in items)
    shares = apportioned([100.0 * item.value / total for item in items], 0)
    texts = {
        item.key: (decimal_text(value, 1), decimal_text(part, 0))
        for item, value, part in zip(items, values, shares, strict=True)
    }
    return texts | {"total": (decimal_text(sum(values), 1), "100")}


def places_table(assessment: Assessment) -> Table:
    """Force at each place from the springs to the finger, with what makes it of the force before.

    Parameters
    ----------
    assessment : Assessment
        What was found.

    Returns
    -------
    Table
        Each force is the one above times ratio and friction, and what drag or an assist spring adds. Those before the
        changes, where there are any, come first.
    """
    title, before = "From the springs to the finger (at release)", assessment.before
    if not assessment.places:
        return Table(title, (), (), _OUT_OF_REACH)
    columns = [
        Column("Place"),
        Column("Ratio", number=True),
        Column("Friction, drag", number=True),
        Column("Now" if before else "Force", number=True),
    ]
    cells = [[PLACE_LABELS[place.key], *_way(place)] for place in assessment.places]
    if before and before.places:
        columns[1:1] = [
            Column("Ratio before", number=True),
            Column("Friction before", number=True),
            Column("Before", number=True),
        ]
        for row, now, was in zip(cells, assessment.places, before.places, strict=True):
            row[:1] = [_place_label(was, now), *_way(was)]
    return Table(title, tuple(columns), tuple(Row(tuple(row)) for row in cells))


def _place_label(was: Place, now: Place) -> str:
    label = PLACE_LABELS[now.key]
    return label if was.key == now.key else f"{PLACE_LABELS[was.key]}, now {label[0].lower()}{label[1:]}"


def _way(place: Place) -> tuple[str, str, str]:
    """Ratio, friction with what is added, and the force or moment."""
    return _ratio(place), _friction(place), _force_text(place.value, place.unit)


def _force_text(value: float, unit: str) -> str:
    return with_unit(decimal_text(value, 1 if unit == "N" else 3), unit)


def _friction(place: Place) -> str:
    """Factor of the friction on the way to a place, and what drag adds there or an assist spring takes off."""
    parts = [f"{_TIMES}\N{NO-BREAK SPACE}{decimal_text(place.friction, 3)}"] if place.friction != 1.0 else []
    if place.added:
        sign = "+" if place.added > 0.0 else "\N{MINUS SIGN}"
        parts.append(f"{sign}\N{NO-BREAK SPACE}{_force_text(abs(place.added), place.unit)}")
    return "\N{NO-BREAK SPACE}".join(parts) + ("\N{NO-BREAK SPACE}assist" if place.key in _AT_ARM and parts else "")


def _ratio(place: Place) -> str:
    """The step from the place before: times a plain ratio, times the shaft's lever arm, over the arm's."""
    if place.key == "springs":
        return ""
    if place.key == "shaft":
        return f"{_TIMES} {decimal_text(place.ratio * 1e3, 2)} mm".replace(" ", "\N{NO-BREAK SPACE}")
    if place.key in _AT_ARM:
        return f"÷ {decimal_text(1e3 / place.ratio, 2)} mm".replace(" ", "\N{NO-BREAK SPACE}")
    return f"{_TIMES}\N{NO-BREAK SPACE}{decimal_text(place.ratio, 4)}"
