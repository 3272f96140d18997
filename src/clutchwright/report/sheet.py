"""A sheet: an answer, what decides it, and parts of sentences, tables and figures, for the terminal and as a page."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Literal

from rich.console import Console

from clutchwright.plain import printable
from clutchwright.report.cautions import BRIEF, CAUTIONS
from clutchwright.report.html import figure, fill
from clutchwright.report.table import Table
from clutchwright.report.terminal import STYLES, Terminal

Tone = Literal["sound", "marginal", "unsafe"]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A figure of a sheet: from the width [px] to a chart, and what it shows in words."""

    draw: Callable[[int], Any]
    words: str


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a sheet.

    Parameters
    ----------
    heading : str
        What it is about.
    sentences : tuple of str
        Read first, as running text.
    points : tuple of str
        Read next, as a list.
    ticks : tuple of str
        To be done, each with a box to tick.
    tables : tuple of Table
        Their titles are captions on the page; in the terminal the heading must do.
    drawing : Drawing | None
        Shown on the page only, as is a part that has nothing else.
    """

    heading: str
    sentences: tuple[str, ...] = ()
    points: tuple[str, ...] = ()
    ticks: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()
    drawing: Drawing | None = None


@dataclass(frozen=True, slots=True)
class Sheet:
    """Something worked out, ready to be read.

    Parameters
    ----------
    name : str
        The bike's name.
    word : str
        The verdict in one word.
    tone : str
        The colour of the word.
    answer : str
        One or two sentences.
    points : tuple of str
        What decides.
    parts : tuple of Part
        All else, in order.
    """

    name: str
    word: str
    tone: Tone
    answer: str
    points: tuple[str, ...]
    parts: tuple[Part, ...]


def print_sheet(sheet: Sheet, console: Console) -> None:
    """Print a sheet.

    Parameters
    ----------
    sheet : Sheet
        What to show.
    console : rich.console.Console
        Where to; its width and encoding decide the layout and the characters.
    """
    page = Terminal(console)
    page.line(printable(sheet.name), "bold")
    page.line(f"{sheet.word.upper()}. {sheet.answer}", STYLES[sheet.tone])
    page.points(sheet.points)
    for part in sheet.parts:
        if not (part.sentences or part.points or part.ticks or part.tables):
            continue
        page.heading(part.heading)
        for sentence in part.sentences:
            page.line(sentence, indent=2)
        page.points(part.points)
        page.points(part.ticks, mark="\N{BALLOT BOX}")
        for table in part.tables:
            page.tables((replace(table, title=""),), columns=(), noted=lambda row: bool(row.note))
    page.heading("Mind")
    page.points(BRIEF)


def sheet_page(sheet: Sheet) -> str:
    """A sheet as one HTML page that needs nothing beside itself.

    Parameters
    ----------
    sheet : Sheet
        What to show.

    Returns
    -------
    str
        HTML, with its figures drawn.
    """
    return fill("sheet.html", **sheet_values(sheet))


def sheet_values(sheet: Sheet) -> dict[str, Any]:
    """What the template of a sheet shows: its text, and its figures drawn."""
    figures = {
        part.heading: figure(part.drawing.draw, part.drawing.words) for part in sheet.parts if part.drawing is not None
    }
    return {"sheet": sheet, "name": printable(sheet.name), "figures": figures, "cautions": CAUTIONS}
