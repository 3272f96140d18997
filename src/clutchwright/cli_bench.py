"""Commands of the bench: readings, fit, diagnose, compare."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from clutchwright.cli_shared import (
    AsJson,
    BikePath,
    ChangeList,
    FigurePath,
    Seed,
    SheetPath,
    With,
    check_outputs,
    show,
    working,
    write,
    write_figure,
)

if TYPE_CHECKING:
    from clutchwright.changes import Step

ReadingFiles = Annotated[
    list[Path], typer.Argument(help="Files of readings (.csv or .toml), one or more.", show_default=False)
]

readings = typer.Typer(help="Take readings: an empty file and a sheet to fill in.")


@readings.command("new")
def new(
    bike: BikePath,
    file: Annotated[Path, typer.Argument(help="File to write (.csv); it must not exist yet.", show_default=False)],
    sheet: Annotated[Path | None, typer.Option("--sheet", help="Also write a sheet to fill in by hand (.pdf).")] = None,
) -> None:
    """Write an empty file of readings for a bike, and a sheet to print."""
    from clutchwright import usecases
    from clutchwright.files import Output
    from clutchwright.readings import template

    sheets = [Output("--sheet", sheet, (".pdf",), new=True)] if sheet else []
    check_outputs(bike, new=[Output("FILE", file, (".csv",), new=True), *sheets])
    measured = usecases.read_bike(bike)
    write("Readings", file, template(measured).encode(), new=True)
    if sheet is not None:
        from clutchwright.report.readings_sheet import readings_pdf

        write("Sheet", sheet, readings_pdf(measured), new=True)


def fit(
    bike: BikePath,
    files: ReadingFiles,
    with_: With = None,
    changes: ChangeList = None,
    save: Annotated[Path | None, typer.Option("--save", help="Write the calibrated bike file; a new one.")] = None,
    seed: Seed = 1,
    as_json: AsJson = False,
    figure: FigurePath = None,
    page: SheetPath = None,
) -> None:
    """Fit a bike to readings: what they say, what they cannot tell apart, and a calibrated bike file."""
    from clutchwright import usecases_bench
    from clutchwright.bikefile import loads
    from clutchwright.files import Output
    from clutchwright.report.calibration import calibration_figure, calibration_sheet, calibration_to_json

    saved = [Output("--save", save, new=True)] if save else []
    check_outputs(bike, changes, *files, figure=figure, page=page, new=saved)
    text = usecases_bench.read_text(bike)
    with working("Fitting"):
        found = usecases_bench.fit_bike(
            loads(text, str(bike)), usecases_bench.read_readings(files), _steps(with_, changes), seed=seed
        )
    if save is not None:
        write("Calibrated bike", save, usecases_bench.calibrated_text(text, found, str(save)).encode(), new=True)
    if figure is not None:
        write_figure(figure, calibration_figure(found))
    show(calibration_sheet(found), calibration_to_json(found) if as_json else None, page)


def diagnose(
    bike: BikePath,
    files: ReadingFiles,
    with_: With = None,
    changes: ChangeList = None,
    seed: Seed = 1,
    as_json: AsJson = False,
    figure: FigurePath = None,
    page: SheetPath = None,
) -> None:
    """Find what is wrong, the bike file saying what is healthy: faults with their evidence, free remedies first."""
    from clutchwright import usecases, usecases_bench
    from clutchwright.report.diagnosis import diagnosis_figure, diagnosis_sheet, diagnosis_to_json

    check_outputs(bike, changes, *files, figure=figure, page=page)
    measured = usecases.read_bike(bike)
    with working("Looking for faults"):
        found = usecases_bench.diagnose_bike(
            measured, usecases_bench.read_readings(files), _steps(with_, changes), seed=seed
        )
    if figure is not None:
        write_figure(figure, diagnosis_figure(found))
    show(diagnosis_sheet(found), diagnosis_to_json(found) if as_json else None, page)


def compare(
    bike: BikePath,
    files: ReadingFiles,
    with_: With = None,
    changes: ChangeList = None,
    seed: Seed = 1,
    as_json: AsJson = False,
    figure: FigurePath = None,
    page: SheetPath = None,
) -> None:
    """Hold readings taken after a change against what was predicted, with the chance that they differ so much."""
    from clutchwright import usecases, usecases_bench
    from clutchwright.report.comparison import comparison_figure, comparison_sheet, comparison_to_json

    check_outputs(bike, changes, *files, figure=figure, page=page)
    measured = usecases.read_bike(bike)
    with working("Predicting"):
        found = usecases_bench.compare_readings(
            measured, usecases_bench.read_readings(files), _steps(with_, changes), seed=seed
        )
    if figure is not None:
        write_figure(figure, comparison_figure(found))
    data = comparison_to_json(measured.name, found) if as_json else None
    show(comparison_sheet(measured.name, found), data, page)


def _steps(with_: Sequence[str] | None, changes: Path | None) -> tuple[Step, ...]:
    from clutchwright import usecases
    from clutchwright.changes import parse

    return (*(usecases.read_changes(changes) if changes else ()), *(parse(text) for text in with_ or ()))
