"""A terminal as we print on it: bounded width, only characters it can show, our tables."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table as RichTable
from rich.text import Text

from clutchwright.report.table import Row, Table

WIDEST = 120
LEAST_WORDS = 10  # narrowest column of words; below it rows are stacked [characters]
NOTES_FROM = 110  # width from which notes get a column of their own [characters]
STYLES = {"sound": "bold green", "marginal": "bold yellow", "unsafe": "bold red", "failed": "red", "tight": "yellow"}
_PLAINER: dict[str, str | int | None] = {
    "±": "+/-",
    "\N{MINUS SIGN}": "-",
    "\N{MULTIPLICATION SIGN}": "x",
    "÷": "/",
    "°": "deg",
    "²": "2",
    "\N{BALLOT BOX}": "[ ]",
    "\N{INFINITY}": "inf",
}
_SPECIAL = "".join(_PLAINER) + "●○│└─"


class Terminal:
    """A console of a bounded width that gets only characters it can show.

    Parameters
    ----------
    console : rich.console.Console
        Where to print; its width and encoding decide the layout and the characters.
    """

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
        """An empty line."""
        self._console.print()

    def line(self, text: str, style: str = "", indent: int = 0) -> None:
        """Text, wrapped."""
        self._console.print(Padding(self._text(text, style), (0, 0, 0, indent), expand=False), width=self.width)

    def verbatim(self, text: str) -> None:
        """One line as it is, cut where the console ends."""
        self._console.print(self._text(text), no_wrap=True, overflow="crop", crop=True)

    def heading(self, text: str) -> None:
        """A heading after an empty line."""
        self.gap()
        self.line(text, "bold")

    def points(self, texts: Sequence[str], mark: str = "-") -> None:
        """Sentences, each with a mark and hanging indent."""
        for text in texts:
            grid = RichTable.grid(padding=(0, 1, 0, 0))
            grid.add_row(self._text(mark), self._text(text))
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
        if not any(table.rows for table in tables):
            self.line(tables[0].empty, indent=2)
            return
        self.gap()
        self._print([(table.title, table) for table in tables], columns, noted)

    def _print(
        self, parts: Sequence[tuple[str, Table]], columns: tuple[int, ...], noted: Callable[[Row], bool]
    ) -> None:
        first = parts[0][1]
        shown = columns or tuple(range(len(first.columns)))
        if not self._fits([table for _, table in parts], shown):
            self._stack(parts, shown, noted)
            return
        beside = self.width >= NOTES_FROM and any(noted(row) and row.note for _, table in parts for row in table.rows)
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

    def _fits(self, tables: Sequence[Table], shown: tuple[int, ...]) -> bool:
        """Whether numbers, which are not broken, leave room for words."""
        needed = 2 * len(shown)
        for place in shown:
            column = tables[0].columns[place]
            cells = [column.heading, *(row.cells[place] for table in tables for row in table.rows)]
            longest = max(map(len, cells))
            needed += longest if column.number else min(longest, LEAST_WORDS)
        return needed <= self.width

    def _stack(self, parts: Sequence[tuple[str, Table]], shown: tuple[int, ...], noted: Callable[[Row], bool]) -> None:
        """Rows as lines below one another: the first cell, and each other one under it with its heading."""
        for title, table in parts:
            if title:
                self.line(title, "bold")
            for row in table.rows:
                style = "bold" if row.total else ""
                self.line(row.cells[shown[0]], STYLES.get(row.cells[shown[0]], style), indent=2)
                for place in shown[1:]:
                    if row.cells[place]:
                        text = f"{table.columns[place].heading}: {row.cells[place]}".removeprefix(": ")
                        self.line(text, STYLES.get(row.cells[place], style), indent=4)
                if noted(row) and row.note:
                    self.line(row.note, "dim", indent=4)

    def _add(self, grid: RichTable, row: Row, shown: tuple[int, ...], *, beside: bool, noted: bool) -> None:
        style = "bold" if row.total else ""
        cells: list[RenderableType] = [
            self._text(row.cells[place], STYLES.get(row.cells[place], style)) for place in shown
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
