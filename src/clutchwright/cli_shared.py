"""Options that several commands share, and how a command shows what it found."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from clutchwright.errors import InputError

if TYPE_CHECKING:
    from altair import TopLevelMixin
    from rich.console import Console
    from rich.progress import Progress, ProgressColumn

    from clutchwright.report.sheet import Sheet

BikePath = Annotated[Path, typer.Argument(help="Bike file (TOML).", show_default=False)]
With = Annotated[
    list[str] | None,
    typer.Option("--with", help="A change, as kind:name=value,...; may be given again. See: clutchwright changes."),
]
ChangeList = Annotated[Path | None, typer.Option("--changes", help="File with a list of changes (TOML, [[change]]).")]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON object instead of tables.")]
Samples = Annotated[int, typer.Option(min=0, max=1_000_000, help="Possible bikes to draw for probabilities.")]
Seed = Annotated[int, typer.Option(min=0, help="Seed of the draw; the same seed gives the same answer.")]
FigurePath = Annotated[Path | None, typer.Option("--figure", help="Write the figures: .svg, .png or .pdf.")]
HandPath = Annotated[Path | None, typer.Option("--hand", help="Hand file (TOML) to hold the lever against.")]
RidingText = Annotated[
    str | None,
    typer.Option(
        "--riding",
        help="town (what counts without it), town_neutral, town_held, trail, technical, closed_course, highway, or "
        "own:pulls_per_hour=..,hold_s=..",
    ),
]
Hours = Annotated[float | None, typer.Option("--hours", help="Riding time wanted, up to 8; 4 without it.")]
PagePath = Annotated[Path | None, typer.Option("--page", help="Write the assessment as one HTML page.")]
Target = Annotated[float | None, typer.Option("--target", help="Pull wanted at the finger, N.")]
SheetPath = Annotated[Path | None, typer.Option("--page", help="Write it as one HTML page, to read or to print.")]


def console() -> Console:
    """Where tables go: stdout."""
    from rich.console import Console

    return Console()


def print_json(data: object) -> None:
    """Print data as one JSON object."""
    typer.echo(json.dumps(data, ensure_ascii=False, allow_nan=False, indent=1))


@contextmanager
def working(what: str) -> Iterator[None]:
    """A bar on stderr while something goes on; nothing where stderr is no terminal."""
    with _bar() as progress:
        progress.add_task(what, total=None)
        yield


@contextmanager
def counting(what: str, total: int) -> Iterator[Callable[[], None]]:
    """A bar on stderr that fills by each call of what it gives; nothing where stderr is no terminal."""
    from rich.progress import MofNCompleteColumn

    with _bar(MofNCompleteColumn()) as progress:
        task = progress.add_task(what, total=total)
        yield lambda: progress.advance(task)


def _bar(*counts: ProgressColumn) -> Progress:
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    columns = (TextColumn("{task.description}"), BarColumn(), *counts, TimeElapsedColumn())
    return Progress(*columns, console=Console(stderr=True), transient=True, disable=not sys.stderr.isatty())


def show(sheet: Sheet, data: object | None, page: Path | None) -> None:
    """Print a sheet, or its data where there are any, and write its page."""
    from clutchwright.report.sheet import print_sheet, sheet_page

    if page is not None:
        from clutchwright import usecases

        usecases.write_whole(page_path(page), sheet_page(sheet).encode())
        typer.echo(f"Page: {page.resolve()}", err=True)
    if data is not None:
        print_json(data)
    else:
        print_sheet(sheet, console())


def write_figure(path: Path, chart: TopLevelMixin) -> None:
    """Write a figure in the format that its name ends in."""
    from clutchwright import usecases
    from clutchwright.picture import FORMATS, render

    kind = path.suffix.lower().lstrip(".")
    if kind not in FORMATS:
        raise InputError("--figure", path.name, f"must end in one of: {', '.join('.' + f for f in FORMATS)}")
    usecases.write_whole(path, render(chart, kind))
    typer.echo(f"Figure: {path.resolve()}", err=True)


def page_path(path: Path) -> Path:
    """The path, where it ends as a page does; so no file of another kind is ever written over with a page."""
    if path.suffix.lower() not in (".html", ".htm"):
        raise InputError("--page", path.name, "must end in .html or .htm")
    return path
