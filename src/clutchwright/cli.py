"""The command line: parse, call one use case, print."""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NoReturn

import typer

from clutchwright import __version__
from clutchwright.cli_bench import compare, diagnose, fit, readings
from clutchwright.cli_shared import (
    AsJson,
    BikePath,
    ChangeList,
    FigurePath,
    HandPath,
    Hours,
    PagePath,
    RidingText,
    Samples,
    Seed,
    With,
    check_outputs,
    console,
    print_json,
    write,
    write_figure,
)
from clutchwright.cli_study import claim, measure, patterns, plan, study
from clutchwright.cli_web import open_workbench
from clutchwright.errors import ClutchwrightError, InputError
from clutchwright.plain import escaped

if TYPE_CHECKING:
    from clutchwright.study.assessment import Assessment
    from clutchwright.study.hand_assessment import Rider

WRONG_USE = 2
STOPPED = 130  # what a shell says of a program that Ctrl-C ended: 128 + SIGINT

UsageError: type[Exception] = typer.BadParameter.__mro__[1]  # a wrong option and the like; not public by its name

app = typer.Typer(
    help="Make a motorcycle's cable-clutch lever light enough for the hand that pulls it.",
    epilog=f"Exit status: 0 answered, 1 the input cannot be used, {WRONG_USE} wrong use, {STOPPED} stopped by Ctrl-C.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    add_completion=False,
    rich_markup_mode=None,
)


@app.command(short_help="How heavy, why, does it slip or drag, what would help.")
def assess(
    bike: BikePath,
    with_: With = None,
    changes: ChangeList = None,
    as_json: AsJson = False,
    samples: Samples = 0,
    seed: Seed = 1,
    figure: FigurePath = None,
    page: PagePath = None,
    hand: HandPath = None,
    riding: RidingText = None,
    hours: Hours = None,
    every: Annotated[
        bool, typer.Option("--all", help="Print every figure, check, assumed value and caution, not the short answer.")
    ] = False,
) -> None:
    """Say how heavy the lever is and why, whether the clutch slips or drags, and what changes would do."""
    from clutchwright import usecases
    from clutchwright.changes import parse

    check_outputs(bike, changes, hand, figure=figure, page=page)
    steps = (*(usecases.read_changes(changes) if changes else ()), *(parse(text) for text in with_ or ()))
    if hand is None and (riding is not None or hours is not None):
        raise InputError("--hand", None, "is missing; --riding and --hours say what a hand is to do")
    who = None if hand is None else _rider(hand, riding, hours, samples=samples, seed=seed)
    assessment = usecases.assess_bike(usecases.read_bike(bike), steps, samples=samples, seed=seed, rider=who)
    _write_outputs(assessment, figure, page)
    _print(assessment, as_json, every=every)


@app.command(short_help="Where perch, reach screw and angle cost a hand least.")
def position(
    bike: BikePath,
    hand: Annotated[Path, typer.Option("--hand", help="Hand file (TOML) that pulls the lever.", show_default=False)],
    riding: RidingText = None,
    hours: Hours = None,
    as_json: AsJson = False,
    figure: FigurePath = None,
) -> None:
    """Find where perch, reach screw and lever angle cost a hand the least effort while the clutch still releases."""
    from clutchwright import usecases
    from clutchwright.report.position import position_data, print_position

    check_outputs(bike, hand, figure=figure)
    found = usecases.lever_position(usecases.read_bike(bike), _rider(hand, riding, hours))
    if figure is not None:
        from clutchwright.picture import lever_trade

        write_figure(figure, lever_trade(found))
    if as_json:
        print_json(position_data(found))
    else:
        print_position(found, console())


app.command(short_help="Is a claim possible on this bike, and at what cost.")(claim)
app.command(short_help="Which springs may stay out or be softer.")(patterns)
app.command(short_help="Changes in the best order, with what to check after each.")(plan)
app.command(short_help="The best compromises of all that could be done.")(study)
app.add_typer(readings, name="readings", short_help="An empty file of readings, and a sheet to fill in.")
app.command(short_help="Fit a bike to readings.")(fit)
app.command(short_help="What is wrong with a bike, by its readings.")(diagnose)
app.command(short_help="Did a change do what was predicted.")(compare)
app.command(short_help="What to measure next to be surer.")(measure)
app.command("open", short_help="Open the workbench in the browser.")(open_workbench)


@app.command(short_help="Try it on an invented bike, or save that bike's files.")
def demo(
    name: Annotated[str, typer.Argument(help="Which demo bike; leave it out for the first.")] = "",
    page: PagePath = None,
    save: Annotated[Path | None, typer.Option("--save", help="Save the bike file, to try things on.")] = None,
    hand: Annotated[
        str, typer.Option("--hand", help="Hold it against an invented hand: small-hand, sore-thumb, large-hand, ...")
    ] = "",
    save_hand: Annotated[Path | None, typer.Option("--save-hand", help="Save that hand's file.")] = None,
    save_catalogue: Annotated[
        Path | None, typer.Option("--save-catalogue", help="Save an invented catalogue for the first bike.")
    ] = None,
    save_readings: Annotated[
        Path | None, typer.Option("--save-readings", help="Save invented readings of the first bike (.csv).")
    ] = None,
) -> None:
    """Assess an invented bike; or save its files, and then nothing else unless a page is asked for."""
    from clutchwright import usecases
    from clutchwright.files import Output

    given = {"--save": save, "--save-hand": save_hand, "--save-catalogue": save_catalogue}
    new = [Output(option, path, new=True) for option, path in given.items() if path]
    new += [Output("--save-readings", save_readings, (".csv",), new=True)] if save_readings else []
    check_outputs(page=page, new=new)
    name = name or usecases.DEMOS[0]
    bike = usecases.read_demo(name)
    who = usecases.rider(usecases.read_demo_hand(hand), samples=4096) if hand else None
    _save_demo(name, hand, save, save_hand, save_catalogue, save_readings)
    if page is not None or not new:
        assessment = usecases.assess_bike(bike, samples=4096, rider=who)
        _print(assessment, as_json=False)
        _write_outputs(assessment, None, page)


def _save_demo(
    name: str, hand: str, bike: Path | None, hand_file: Path | None, catalogue: Path | None, readings_file: Path | None
) -> None:
    from clutchwright import usecases, usecases_bench

    if bike is not None:
        write("Bike", bike, usecases.demo_text(name).encode(), new=True)
    if hand_file is not None:
        write("Hand", hand_file, usecases.demo_hand_text(hand or usecases.DEMO_HANDS[0]).encode(), new=True)
    if catalogue is not None:
        write("Catalogue", catalogue, usecases.demo_catalogue_text(name).encode(), new=True)
    if readings_file is not None:
        write("Readings", readings_file, usecases_bench.demo_readings(name), new=True)


@app.command(short_help="Every kind of change: what it gives and takes.")
def changes(as_json: AsJson = False) -> None:
    """List every kind of change with its parameters, what it gives and what it takes."""
    from clutchwright.changes import CHANGES
    from clutchwright.report.text import print_changes

    if as_json:
        from clutchwright.report.data import changes_to_json

        print_json(changes_to_json(CHANGES.values()))
        return
    print_changes(CHANGES.values(), console())


@app.command(short_help="Write a file of your bike or hand, question by question.")
def new(
    path: Annotated[Path, typer.Argument(help="File to write; it must not exist yet.", show_default=False)],
    hand: Annotated[bool, typer.Option("--hand", help="Write a hand file instead of a bike file.")] = False,
    catalogue_for: Annotated[
        Path | None,
        typer.Option("--catalogue-for", help="Ask nothing; write what could be done to this bike, prices invented."),
    ] = None,
) -> None:
    """Ask for the values in the order one would measure them, and write a bike file or a hand file."""
    from clutchwright import bikefile, handfile, usecases
    from clutchwright.report.ask import ask

    if catalogue_for is not None:
        if hand:
            raise InputError("--hand", None, "does not go with --catalogue-for; leave one of them out")
        write("Catalogue", path, usecases.catalogue_for(usecases.read_bike(catalogue_for)).encode(), new=True)
        return
    kind = handfile if hand else bikefile
    ask(path, kind.interview, console())


@app.command(short_help="A schema of the files, for your editor.")
def schema(
    hand: Annotated[bool, typer.Option("--hand", help="The schema of hand files instead of bike files.")] = False,
) -> None:
    """Print the JSON Schema of bike files, for editors that check TOML while you type."""
    from clutchwright import bikefile, handfile

    print_json(handfile.json_schema() if hand else bikefile.json_schema())


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


def _print(assessment: Assessment, as_json: bool, *, every: bool = False) -> None:
    if as_json:
        from clutchwright.report.data import to_json

        print_json(to_json(assessment))
        return
    from clutchwright.report.text import to_console

    to_console(assessment, console(), every=every)


def _rider(hand: Path, riding: str | None, hours: float | None, *, samples: int = 0, seed: int = 1) -> Rider:
    from clutchwright import usecases
    from clutchwright.hand.riding import parse_riding

    kind = usecases.TOWN if riding is None else parse_riding(riding)
    wanted = 4.0 if hours is None else hours
    return usecases.rider(usecases.read_hand(hand), kind, hours=wanted, samples=samples, seed=seed)


def _write_outputs(assessment: Assessment, figure: Path | None, page: Path | None) -> None:
    if figure is not None:
        from clutchwright.picture import overview

        write_figure(figure, overview(assessment))
    if page is not None:
        from clutchwright.report.page import page as as_page

        write("Page", page, as_page(assessment).encode())


def main() -> None:
    """Run the command line, and end with its exit status."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        _run()
    except ClutchwrightError as error:
        _end(1, escaped(str(error)))
    except UsageError as error:
        _end(WRONG_USE, escaped(_wrong_use(error)))
    except typer.Abort:
        _end(1, "the input ended before the last answer")
    except MemoryError:
        _end(1, "not enough memory; close other programs, or ask for fewer --samples")
    except KeyboardInterrupt:
        _end(STOPPED, "stopped")
    except BrokenPipeError:
        _drop_output()
        _end(1)
    except OSError as error:
        _drop_output()
        _end(1, f"cannot go on: {escaped(error.strerror or str(error))}")


def _run() -> None:
    """Run the command that was asked for, all that it prints included."""
    try:
        status = app(standalone_mode=False)
    finally:
        if sys.stdout is not None:
            sys.stdout.flush()
    if status == STOPPED:
        raise KeyboardInterrupt
    sys.exit(status or 0)


def _wrong_use(error: Any) -> str:
    """What is wrong with the words after the program's name, and what to do; nothing where the help is the answer."""
    if error.ctx and error.format_message() == error.ctx.get_help():
        typer.echo(error.format_message())
        return ""
    message = " ".join(error.format_message().split())
    guesses, wanted = getattr(error, "possibilities", None), getattr(getattr(error, "param", None), "help", None)
    if guesses:
        message = f"{message.partition(' (')[0]}; did you mean {guesses[0]}?"
    elif wanted:
        message = f"{message.rstrip('.')} ({wanted.rstrip('.')})"
    command = error.ctx.command_path if error.ctx else "clutchwright"
    return f"{message.rstrip('.')}{'' if message.endswith('?') else ';'} see: {command} --help"


def _drop_output() -> None:
    """Let go of output that nobody takes, which would be tried again at the end."""
    with suppress(OSError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _end(status: int, message: str = "") -> NoReturn:
    with suppress(OSError):
        if message:
            typer.echo(message, err=True)
    sys.exit(status)
