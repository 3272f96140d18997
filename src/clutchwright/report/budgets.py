"""The two budgets and the force at each place as tables, rounded so that what is read adds up."""

from __future__ import annotations

from collections.abc import Sequence

from clutchwright.assess.budgets import FORCE_LABELS, PLACE_LABELS, TRAVEL_LABELS, Item, Place
from clutchwright.numbers import apportioned, decimal_text, with_unit
from clutchwright.report.table import Column, Row, Table
from clutchwright.study.assessment import Assessment

_OUT_OF_REACH = "The lever never gets to a clean release, so there is nothing to share out."
_MISSING_NOTE = "below zero: missing"


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
    zero = {item.key for item in now if item.value == 0.0} & {item.key for item in before or now if item.value == 0.0}
    rows = []
    for key, label in labels.items():
        if key not in zero:
            cells = [text for texts in parts for text in (with_unit(texts[key][0], unit), texts[key][1])]
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
    """Force at each place from the springs to the finger, with the ratio on the way to it.

    Parameters
    ----------
    assessment : Assessment
        What was found.

    Returns
    -------
    Table
        Friction makes each force larger than the ratio alone would.
    """
    title, before = "From the springs to the finger (at release)", assessment.before
    if not assessment.places:
        return Table(title, (), (), _OUT_OF_REACH)
    columns = [Column("Place"), Column("Ratio", number=True), Column("Now" if before else "Force", number=True)]
    cells = [[PLACE_LABELS[place.key], _ratio(place), _force_text(place)] for place in assessment.places]
    if before and before.places:
        columns[1:1] = [Column("Ratio before", number=True), Column("Before", number=True)]
        for row, place in zip(cells, before.places, strict=True):
            row[1:1] = [_ratio(place), _force_text(place)]
    return Table(title, tuple(columns), tuple(Row(tuple(row)) for row in cells))


def _force_text(place: Place) -> str:
    return with_unit(decimal_text(place.value, 1 if place.unit == "N" else 2), place.unit)


def _ratio(place: Place) -> str:
    """The step from the place before: times a plain ratio, times the shaft's lever arm, over the arm's."""
    if place.key == "springs":
        return ""
    if place.key == "shaft":
        return f"\N{MULTIPLICATION SIGN} {decimal_text(place.ratio * 1e3, 2)} mm".replace(" ", "\N{NO-BREAK SPACE}")
    if place.key == "arm_end":
        return f"÷ {decimal_text(1e3 / place.ratio, 2)} mm".replace(" ", "\N{NO-BREAK SPACE}")
    return f"\N{MULTIPLICATION SIGN}\N{NO-BREAK SPACE}{decimal_text(place.ratio, 3)}"
