"""Changes, checks and assumed values as tables."""

from __future__ import annotations

from collections.abc import Sequence

from clutchwright.assess.checks import Check
from clutchwright.changes import Step, find
from clutchwright.numbers import decimal_text, quantity_text, with_unit
from clutchwright.report.table import Column, Row, Table
from clutchwright.report.words import share
from clutchwright.study.assessment import Assumption


def changes_table(steps: Sequence[Step]) -> Table:
    """Changes made, each with what it gives, takes and asks to be minded.

    Parameters
    ----------
    steps : sequence of Step
        In their order.

    Returns
    -------
    Table
        The step as it is written on the command line, and what it is.
    """
    rows = []
    for step in steps:
        change = find(step.kind)
        rows.append(Row((str(step), change.title, change.gives, change.takes), note=change.caution))
    return Table("Changed", (Column("Change"), Column("What"), Column("Gives"), Column("Takes")), tuple(rows))


def checks_table(checks: Sequence[Check]) -> Table:
    """Checks of the geometry, those that ask for something first.

    Parameters
    ----------
    checks : sequence of Check
        As made.

    Returns
    -------
    Table
        State, what was checked, the number and its limit; the limit's source as the note.
    """
    order = ("failed", "tight", "not checked", "passed")
    rows = [
        Row((check.label, check.state, _number(check, check.value), _number(check, check.limit)), note=check.note)
        for check in sorted(checks, key=lambda check: order.index(check.state))
    ]
    columns = (Column("Check"), Column("State"), Column("Found", number=True), Column("Limit", number=True))
    return Table("Checks", columns, tuple(rows))


def _number(check: Check, value: float | None) -> str:
    return "" if value is None else with_unit(decimal_text(value, 2), check.unit)


def assumed_table(assumed: Sequence[Assumption]) -> Table:
    """Values nobody measured, the one that matters most first.

    Parameters
    ----------
    assumed : sequence of Assumption
        As found.

    Returns
    -------
    Table
        Key of the bike file, value, share of the variance of the figure that decides.
    """
    rows = [Row((row.key, quantity_text(row.key, row.value, row.u), share(row.share))) for row in assumed]
    columns = (Column("Key"), Column("Assumed", number=True), Column("Share of the doubt", number=True))
    return Table("Assumed, not measured", columns, tuple(rows), "Nothing was assumed.")
