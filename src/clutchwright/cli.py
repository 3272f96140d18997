"""The command line: parse, call one use case, print."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from clutchwright import __version__
from clutchwright.errors import ClutchwrightError, InputError

if TYPE_CHECKING:
    from rich.console import Console

    from clutchwright.study.assessment import Assessment

app = typer.Typer(
    help="Make a motorcycle's cable-clutch lever light enough for the hand that pulls it.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
)

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
PagePath = Annotated[Path | None, typer.Option("--page", help="Write the assessment as one HTML page.")]


@app.command()
def assess(
    bike: BikePath,
    with_: With = None,
    changes: ChangeList = None,
    as_json: AsJson = False,
    samples: Samples = 0,
    seed: Seed = 1,
    figure: FigurePath = None,
    page: PagePath = None,
) -> None:
    """Say how heavy the lever is and why, whether the clutch slips or drags, and what changes would do."""
    from clutchwright import usecases
    from clutchwright.changes import parse

    steps = (*(usecases.read_changes(changes) if changes else ()), *(parse(text) for text in with_ or ()))
    assessment = usecases.assess_bike(usecases.read_bike(bike), steps, samples=samples, seed=seed)
    _write_outputs(assessment, figure, page)
    _print(assessment, as_json)


@app.command()
def demo(
    name: Annotated[str, typer.Argument(help="Which demo bike; leave it out for the first.")] = "",
    page: Annotated[Path, typer.Option("--page", help="Where the page goes.")] = Path("clutchwright-demo.html"),
    save: Annotated[Path | None, typer.Option("--save", help="Also save the bike file, to try things on.")] = None,
) -> None:
    """Assess an invented bike, in the terminal and as a page."""
    from clutchwright import usecases

    name = name or usecases.DEMOS[0]
    bike = usecases.read_demo(name)
    assessment = usecases.assess_bike(bike, samples=4096)
    if save is not None:
        usecases.write_new(save, usecases.demo_text(name).encode())
    _print(assessment, as_json=False)
    _write_outputs(assessment, None, page)


@app.command()
def changes(as_json: AsJson = False) -> None:
    """List every kind of change with its parameters, what it gives and what it takes."""
    from clutchwright.changes import CHANGES
    from clutchwright.report.text import print_changes

    if as_json:
        from clutchwright.report.data import changes_to_json

        _print_json(changes_to_json(CHANGES.values()))
        return
    print_changes(CHANGES.values(), _console())


@app.command()
def new(
    bike: Annotated[Path, typer.Argument(help="Bike file to write; it must not exist yet.", show_default=False)],
) -> None:
    """Ask for the values in the order one would measure them, and write a bike file."""
    from clutchwright.bikefile import interview, loads
    from clutchwright.report.ask import ask

    ask(bike, interview, lambda text: loads(text, str(bike)), _console())


@app.command()
def schema() -> None:
    """Print the JSON Schema of bike files, for editors that check TOML while you type."""
    from clutchwright.bikefile import json_schema

    _print_json(json_schema())


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"clutchwright {__version__}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version and stop.")
    ] = False,
) -> None:
    del version


def _console() -> Console:
    from rich.console import Console

    return Console()


def _print_json(data: object) -> None:
    typer.echo(json.dumps(data, ensure_ascii=False, allow_nan=False, indent=1))


def _print(assessment: Assessment, as_json: bool) -> None:
    if as_json:
        from clutchwright.report.data import to_json

        _print_json(to_json(assessment))
        return
    from clutchwright.report.text import to_console

    to_console(assessment, _console())


def _write_outputs(assessment: Assessment, figure: Path | None, page: Path | None) -> None:
    from clutchwright import usecases

    if figure is not None:
        from clutchwright.picture import FORMATS, overview, render

        kind = figure.suffix.lower().lstrip(".")
        if kind not in FORMATS:
            raise InputError("--figure", str(figure), f"must end in one of: {', '.join('.' + f for f in FORMATS)}")
        usecases.write_whole(figure, render(overview(assessment), kind))
        typer.echo(f"Figure: {figure.resolve()}", err=True)
    if page is not None:
        from clutchwright.report.page import page as as_page

        usecases.write_whole(page, as_page(assessment).encode())
        typer.echo(f"Page: {page.resolve()}", err=True)


def main() -> None:
    """Run the command line: exit status 0 answered, 1 the input can't be used, 2 wrong use."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        app()
    except ClutchwrightError as error:
        typer.echo(str(error), err=True)
        sys.exit(1)
