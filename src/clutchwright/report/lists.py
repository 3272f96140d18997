"""Changes, checks and assumed values as tables."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from clutchwright.assess.checks import Check
from clutchwright.bikefile import LAYOUT
from clutchwright.changes import Step, find
from clutchwright.numbers import against, quantity_text, rounded, with_unit
from clutchwright.report.table import Column, Row, Table
from clutchwright.report.words import share, step_text
from clutchwright.study.assessment import Assessment, Assumption

# Checks of what is a figure as well, which has an uncertainty to be rounded by.
_FIGURES = {"start_energy": "start_energy_J_per_mm2", "start_power": "start_power_W_per_mm2"}
_YES_OR_NO = {True: "yes", False: "no"}


def changes_table(steps: Sequence[Step]) -> Table:
    """Changes made, each with what it gives, takes and asks to be minded.

    Parameters
    ----------
    steps : sequence of Step
        In their order.

    Returns
    -------
    Table
        What it is, with its values.
    """
    rows = []
    for step in steps:
        change = find(step.kind)
        rows.append(Row((step_text(step), change.gives, change.takes), note=change.caution))
    return Table("Changed", (Column("Change"), Column("Gives"), Column("Takes")), tuple(rows))


def checks_table(assessment: Assessment) -> Table:
    """Checks of the geometry, those that ask for something first.

    Parameters
    ----------
    assessment : Assessment
        Its checks, and the uncertainty of those that are figures too.

    Returns
    -------
    Table
        State, what was checked, the number and its limit; the limit's source as the note.
    """
    order = ("failed", "tight", "not checked", "passed")
    rows = [
        Row((check.label, check.state, *_numbers(check, assessment.u)), note=check.note)
        for check in sorted(assessment.checks, key=lambda check: order.index(check.state))
    ]
    columns = (Column("Check"), Column("State"), Column("Found", number=True), Column("Limit", number=True))
    return Table("Checks", columns, tuple(rows))


def _numbers(check: Check, u: Mapping[str, float]) -> tuple[str, str]:
    """What was found and its limit."""
    if check.value is None or check.limit is None:
        return "", ""
    found, limit = against(check.value, check.limit)
    doubt = u.get(_FIGURES.get(check.key, ""), 0.0)
    if doubt > 0.0:
        found, _ = rounded(check.value, doubt)
    return with_unit(found, check.unit), with_unit(limit, check.unit)


def assumed_table(assumed: Sequence[Assumption]) -> Table:
    """Values nobody measured, the one that matters most first.

    Parameters
    ----------
    assumed : sequence of Assumption
        As found.

    Returns
    -------
    Table
        What it is, with its key in the bike file as a note; value, shares of the variance of the figure that decides
        and of the peak pull.
    """
    columns = (
        Column("What"),
        Column("Assumed", number=True),
        Column("Margin's doubt", number=True),
        Column("Pull's doubt", number=True),
    )
    return Table("Assumed, not measured", columns, tuple(map(_assumed_row, assumed)), "Nothing was assumed.")


def _assumed_row(row: Assumption) -> Row:
    """What it is, value and shares; a word has no share."""
    label = LAYOUT.label(row.key)
    if row.u is None:
        word = _YES_OR_NO[row.value] if isinstance(row.value, bool) else str(row.value).lower()
        return Row((label, word, "", ""), note=row.key)
    value = quantity_text(row.key, float(row.value), row.u)
    return Row((label, value, share(row.share), share(row.pull_share)), note=row.key)
