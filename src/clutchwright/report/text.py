"""What the terminal shows."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table as RichTable
from rich.text import Text

from clutchwright.changes import Change
from clutchwright.quantity import unit_of
from clutchwright.report.document import Document, document
from clutchwright.report.drawing import ASCII, UNICODE, drawing
from clutchwright.report.table import Row, Table
from clutchwright.study.assessment import Assessment

WIDEST = 120
_NOTES_FROM = 110  # width from which notes get a column of their own [characters]
_STYLES = {"sound": "bold green", "marginal": "bold yellow", "unsafe": "bold red", "failed": "red", "tight": "yellow"}
_SHOWN_ASSUMED = 6
_PLAINER: dict[str, str | int | None] = {
    "±": "+/-",
    "\N{MINUS SIGN}": "-",
    "\N{MULTIPLICATION SIGN}": "x",
    "÷": "/",
    "°": "deg",
    "²": "2",
}
_SPECIAL = "".join(_PLAINER) + "●○│└─"


def to_console(assessment: Assessment, console: Console) -> None:
    """Print an assessment.

    Parameters
    ----------
    assessment : Assessment
        What was found.
    console : rich.console.Console
        Where to; its width and encoding decide the layout and the characters.
    """
    text, page = document(assessment), _Page(console)
    page.line(text.name, "bold")
    page.line(f"{text.word.upper()}. {text.answer}", _STYLES[text.word])
    page.points(text.reasons)
    if text.changes.rows:
        page.table(text.changes, columns=(0, 1), noted=lambda row: True)
    page.gap()
    for line in drawing(assessment, min(page.width, 100), UNICODE if page.unicode else ASCII):
        page.verbatim(line)
    # with values before and now, a narrow console has no room for the quantiles
    wide, changed = page.width >= _NOTES_FROM, assessment.before is not None
    columns = (0, 1, 2) if changed and not wide else ()
    page.tables(text.figures, columns=columns, noted=lambda row: wide and not changed)
    for table in (text.places, text.force, text.travel):
        page.table(table, noted=lambda row: bool(row.note))
    page.table(text.checks, noted=lambda row: row.cells[1] != "passed")
    page.heading("How sure")
    page.points(text.certainty)
    _print_assumed(text, page)
    page.heading("Mind")
    page.points((*text.warnings, *text.cautions))


def _print_assumed(text: Document, page: _Page) -> None:
    table = text.assumed
    first, rest = table.rows[:_SHOWN_ASSUMED], table.rows[_SHOWN_ASSUMED:]
    page.table(Table(table.title, table.columns, first, table.empty))
    if rest:
        page.line(f"and {len(rest)} more that matter less: " + ", ".join(row.cells[0] for row in rest), indent=2)


def print_changes(changes: Iterable[Change], console: Console) -> None:
    """Print all kinds of change.

    Parameters
    ----------
    changes : iterable of Change
        The kinds.
    console : rich.console.Console
        Where to.
    """
    page = _Page(console)
    for change in changes:
        page.heading(f"{change.kind}: {change.title}")
        page.line(f"Gives {change.gives}; takes {change.takes}.")
        low, high = change.price
        price = "free" if change.free else f"{low:g} to {high:g} units of money"
        page.line(f"Costs {price} and {change.hours:g} h; {'can' if change.reversible else 'cannot'} be undone.")
        for value in change.parameters:
            default = "must be given" if value.default is None else f"else {value.default}"
            unit = f" {unit_of(value.name)}" if unit_of(value.name) else ""
            page.line(f"{value.name}: {value.low:g} to {value.high:g}{unit}, {default}; {value.meaning}", indent=2)
        page.line(f"Caution: {change.caution}")


class _Page:
    """A console of a bounded width that gets only characters it can show."""

    def __init__(self, console: Console) -> None:
        self._console = console
        self.width = min(console.width, WIDEST)
        self.unicode = _can_encode(_SPECIAL, console.encoding)

    def _text(self, text: str, style: str = "") -> Text:
        text = text.replace("\N{NO-BREAK SPACE}", " ")
        if not self.unicode:
            text = text.translate(str.maketrans(_PLAINER))
        return Text(text.encode(self._console.encoding, "replace").decode(self._console.encoding), style)

    def gap(self) -> None:
        self._console.print()

    def line(self, text: str, style: str = "", indent: int = 0) -> None:
        self._console.print(Padding(self._text(text, style), (0, 0, 0, indent), expand=False), width=self.width)

    def verbatim(self, text: str) -> None:
        self._console.print(self._text(text), no_wrap=True, overflow="crop", crop=True)

    def heading(self, text: str) -> None:
        self.gap()
        self.line(text, "bold")

    def points(self, texts: Sequence[str]) -> None:
        """Sentences, each with a dash and hanging indent."""
        for text in texts:
            grid = RichTable.grid(padding=(0, 1, 0, 0))
            grid.add_row(Text("-"), self._text(text))
            self._console.print(Padding(grid, (0, 0, 0, 2), expand=False), width=self.width)

    def table(
        self, table: Table, *, columns: tuple[int, ...] = (), noted: Callable[[Row], bool] = lambda row: False
    ) -> None:
        """One table under its title; the notes asked for stand beside or, on a narrow console, below their cells."""
        self.heading(table.title)
        if not table.rows:
            self.line(table.empty, indent=2)
            return
        self._print([("", table)], columns, noted)

    def tables(self, tables: Sequence[Table], *, columns: tuple[int, ...], noted: Callable[[Row], bool]) -> None:
        """Tables with the same columns as one, so that they line up."""
        self.gap()
        self._print([(table.title, table) for table in tables], columns, noted)

    def _print(
        self, parts: Sequence[tuple[str, Table]], columns: tuple[int, ...], noted: Callable[[Row], bool]
    ) -> None:
        first = parts[0][1]
        shown = columns or tuple(range(len(first.columns)))
        beside = self.width >= _NOTES_FROM and any(noted(row) and row.note for _, table in parts for row in table.rows)
        grid = RichTable(box=None, padding=(0, 2, 0, 0), pad_edge=False, header_style="", show_edge=False)
        for place in shown:
            column = first.columns[place]
            heading = self._text("" if column.heading == "Figure" else column.heading, "dim")
            grid.add_column(heading, justify="right" if column.number else "left", no_wrap=column.number)
        if beside:
            grid.add_column("")
        for title, table in parts:
            if title:
                grid.add_row(self._text(title, "bold"))
            for row in table.rows:
                self._add(grid, row, shown, beside=beside, noted=noted(row))
        self._console.print(Padding(grid, (0, 0, 0, 2), expand=False), width=self.width)

    def _add(self, grid: RichTable, row: Row, shown: tuple[int, ...], *, beside: bool, noted: bool) -> None:
        style = "bold" if row.total else ""
        cells: list[RenderableType] = [
            self._text(row.cells[place], _STYLES.get(row.cells[place], style)) for place in shown
        ]
        note = self._text(row.note, "dim") if noted and row.note else None
        if note is not None and beside:
            cells.append(note)
        elif note is not None:
            cells[0] = Group(cells[0], Padding(note, (0, 0, 0, 2)))
        grid.add_row(*cells)


def _can_encode(text: str, encoding: str) -> bool:
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        return False
    return True
