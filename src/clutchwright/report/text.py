"""What the terminal shows."""

from __future__ import annotations

from collections.abc import Iterable

from rich.console import Console

from clutchwright.changes import Change
from clutchwright.quantity import unit_of
from clutchwright.report.cautions import BRIEF
from clutchwright.report.document import Document, document
from clutchwright.report.drawing import ASCII, UNICODE, drawing
from clutchwright.report.hand import HandText
from clutchwright.report.table import Table
from clutchwright.report.terminal import NOTES_FROM, STYLES, Terminal
from clutchwright.study.assessment import Assessment

_SHOWN_ASSUMED = 6


def to_console(assessment: Assessment, console: Console, *, every: bool = False) -> None:
    """Print an assessment.

    Parameters
    ----------
    assessment : Assessment
        What was found.
    console : rich.console.Console
        Where to; its width and encoding decide the layout and the characters.
    every : bool
        Print every figure, check, assumed value and caution; else what decides, and why.
    """
    text, page = document(assessment), Terminal(console)
    page.line(text.name, "bold")
    page.line(f"{text.word.upper()}. {text.answer}", STYLES[text.word])
    page.points(text.reasons)
    if text.changes.rows:
        page.table(text.changes, columns=(0, 1), noted=lambda row: True)
    page.gap()
    for line in drawing(assessment, min(page.width, 100), UNICODE if page.unicode else ASCII):
        page.verbatim(line)
    if text.hand is not None:
        _print_hand(text.hand, page, every=every)
    if every:
        _print_all(text, page, changed=assessment.before is not None)
    else:
        _print_short(text, page)


def _print_all(text: Document, page: Terminal, *, changed: bool) -> None:
    # with values before and now, a narrow console has no room for the quantiles
    wide = page.width >= NOTES_FROM
    columns = (0, 1, 2) if changed and not wide else ()
    page.tables(text.figures, columns=columns, noted=lambda row: wide and not changed)
    page.table(text.places, columns=(0, 4, 5, 6) if not wide and len(text.places.columns) > 4 else ())
    for table in (text.force, text.travel):
        page.table(table, noted=lambda row: bool(row.note))
    page.table(text.checks, noted=lambda row: row.cells[1] != "passed")
    page.heading("How sure")
    page.points(text.certainty)
    _print_assumed(text, page)
    page.heading("Mind")
    page.points((*text.warnings, *text.cautions))


def _print_short(text: Document, page: Terminal) -> None:
    page.table(text.deciding, columns=tuple(range(min(len(text.deciding.columns), 3))))
    for table in (text.force, text.travel):
        page.table(table)
    page.heading("How sure")
    page.points(text.certainty)
    page.heading("Mind")
    page.points((*text.warnings, *BRIEF))
    page.gap()
    page.line("All figures, checks, assumed values and cautions: --all, or --page FILE.", "dim")


def _print_hand(hand: HandText, page: Terminal, *, every: bool) -> None:
    page.heading(f"The hand: {hand.name}")
    page.line(hand.answer, STYLES["sound" if hand.light else "marginal"])
    page.points(hand.points)
    for table in (hand.effort, hand.opinions, hand.parts) if every else (hand.effort,):
        page.table(table, noted=lambda row: page.width >= NOTES_FROM)
    page.points(hand.cautions if every else hand.cautions[-1:])


def _print_assumed(text: Document, page: Terminal) -> None:
    table = text.assumed
    first, rest = table.rows[:_SHOWN_ASSUMED], table.rows[_SHOWN_ASSUMED:]
    page.table(Table(table.title, table.columns, first, table.empty), noted=lambda row: True)
    if rest:
        page.line(f"and {len(rest)} more that matter less: " + ", ".join(row.note for row in rest), indent=2)


def print_changes(changes: Iterable[Change], console: Console) -> None:
    """Print all kinds of change.

    Parameters
    ----------
    changes : iterable of Change
        The kinds.
    console : rich.console.Console
        Where to.
    """
    page = Terminal(console)
    for change in changes:
        page.heading(f"{change.kind}: {change.title}")
        page.line(f"Gives {change.gives}; takes {change.takes}.")
        low, high = change.price
        price = "nothing but" if change.free else f"{low:g} to {high:g} units of money and"
        page.line(f"Costs {price} {change.hours:g} h; {'can' if change.reversible else 'cannot'} be undone.")
        for value in change.parameters:
            default = "must be given" if value.default is None else f"else {value.default}"
            unit = f" {unit_of(value.name)}" if unit_of(value.name) else ""
            page.line(f"{value.name}: {value.low:g} to {value.high:g}{unit}, {default}; {value.meaning}", indent=2)
        page.line(f"Caution: {change.caution}")
