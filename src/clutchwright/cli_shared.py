"""Options that several commands share, and how a command shows what it found."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from clutchwright.plain import escaped

if TYPE_CHECKING:
    from altair import TopLevelMixin
    from rich.console import Console
    from rich.progress import Progress, ProgressColumn

    from clutchwright.files import Output
    from clutchwright.picture.look import Picture
    from clutchwright.report.sheet import Sheet

BikePath = Annotated[Path, typer.Argument(help="Bike file (TOML).", show_default=False)]
With = Annotated[
    list[str] | None,
    typer.Option(
        "--with",
        metavar="CHANGE",
        help="A change, as kind:name=value,...; may be given again. See: clutchwright changes.",
    ),
]
ChangeList = Annotated[
    Path | None, typer.Option("--changes", help="File with a list of changes (TOML, a table for each).")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON object instead of tables.")]
MOST_SAMPLES = 100_000  # they take half a gigabyte
Samples = Annotated[
    int, typer.Option(metavar="COUNT", min=0, max=MOST_SAMPLES, help="Possible bikes to draw for probabilities.")
]
Seed = Annotated[
    int, typer.Option(metavar="NUMBER", min=0, help="Seed of the draw; the same seed gives the same answer.")
]
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
Hours = Annotated[float | None, typer.Option("--hours", help="Riding time wanted, from 0.1 to 8; 4 without it.")]
PagePath = Annotated[Path | None, typer.Option("--page", help="Write the assessment as one HTML page.")]
Target = Annotated[float | None, typer.Option("--target", help="Pull wanted at the finger, 1 to 500 N.")]
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
        write("Page", page, sheet_page(sheet).encode())
    if data is not None:
        print_json(data)
    else:
        print_sheet(sheet, console())


def write_figure(path: Path, chart: TopLevelMixin | Picture) -> None:
    """Write a figure in the format that its name ends in."""
    from clutchwright.picture import render

    write("Figure", path, render(chart, path.suffix.lower().lstrip(".")))


def write(what: str, path: Path, content: bytes, *, new: bool = False) -> None:
    """Write a file, which must not be there yet where it is to be new, and say where it is."""
    from clutchwright import files

    (files.write_new if new else files.write_whole)(path, content)
    typer.echo(f"{what}: {escaped(str(path.resolve()))}", err=True)


def check_outputs(
    *inputs: Path | None,
    figure: Path | None = None,
    page: Path | None = None,
    table: Path | None = None,
    new: Sequence[Output] = (),
) -> None:
    """Refuse outputs that cannot or must not be written, all of them before any work is done; see `require_outputs`."""
    from clutchwright.files import Output, require_outputs
    from clutchwright.picture import FORMATS

    named = (
        ("--figure", figure, tuple(f".{ending}" for ending in FORMATS)),
        ("--page", page, (".html", ".htm")),
        ("--table", table, (".parquet",)),
    )
    outputs = [Output(option, path, endings) for option, path, endings in named if path is not None]
    require_outputs([*outputs, *new], [path for path in inputs if path is not None])
