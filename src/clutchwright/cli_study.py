"""Commands that study one bike or many: study, measure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from clutchwright.cli_shared import (
    MOST_SAMPLES,
    AsJson,
    BikePath,
    ChangeList,
    FigurePath,
    HandPath,
    Seed,
    SheetPath,
    Target,
    With,
    check_outputs,
    counting,
    print_json,
    show,
    working,
    write_figure,
)
from clutchwright.errors import InputError
from clutchwright.plain import escaped

if TYPE_CHECKING:
    from clutchwright.manybikes import Finished

_MOST_NAMED = 10  # of those passed over


def study(
    bike: Annotated[
        Path | None, typer.Argument(help="Bike file (TOML); leave it out with --bikes.", show_default=False)
    ] = None,
    *,
    options: Annotated[Path, typer.Option("--catalogue", help="What could be done (TOML).", show_default=False)],
    price: Annotated[list[str] | None, typer.Option("--price", help="Your own price, as name=price.")] = None,
    target: Target = None,
    slips: Annotated[
        float, typer.Option(help="Share of possible bikes that may slip, worn and hot; 1 is no limit.")
    ] = 0.01,
    drags: Annotated[float, typer.Option(help="Share of possible bikes that may not release; 1 is no limit.")] = 0.01,
    hand: HandPath = None,
    samples: Annotated[
        int,
        typer.Option(
            min=1,
            max=MOST_SAMPLES,
            help="Possible bikes to draw, at least 10 over the smaller limit: 1000 for 1 %, 100 for 10 %.",
        ),
    ] = 1024,
    seed: Seed = 1,
    as_json: AsJson = False,
    figure: FigurePath = None,
    page: SheetPath = None,
    table: Annotated[Path | None, typer.Option("--table", help="Write every setup worked out (Parquet).")] = None,
    bikes: Annotated[Path | None, typer.Option("--bikes", help="Study every bike file of this folder instead.")] = None,
    out: Annotated[
        Path | None, typer.Option("--out", help="Folder for a result file per bike, with --bikes; kept ones count.")
    ] = None,
    scheduler: Annotated[
        str | None, typer.Option("--scheduler", help="Dask cluster that does it, with --bikes; all cores without it.")
    ] = None,
) -> None:
    """Find the best compromises between pull, price, work and slip margin of all that could be done."""
    from clutchwright.study.search import Limits

    given = {"--figure": figure, "--page": page, "--table": table}
    _require_one_or_many(bike, bikes, given if bikes else {"--out": out, "--scheduler": scheduler})
    check_outputs(bike, options, hand, figure=figure, page=page, table=table)
    asked = {"limits": Limits(slips, drags), "target_N": target, "samples": samples, "seed": seed}
    if bike is not None:
        _study_one(bike, options, price or (), hand, asked, figure=figure, page=page, table=table, as_json=as_json)
    elif bikes is not None and out is not None:
        _study_many(bikes, options, price or (), hand, asked, out=out, scheduler=scheduler, as_json=as_json)
    else:
        raise InputError("--out", None, "is missing; name a folder for the results")


def _require_one_or_many(bike: Path | None, bikes: Path | None, unfit: Mapping[str, object]) -> None:
    if (bike is None) == (bikes is None):
        raise InputError("BIKE", None, "give one bike file, or a folder of them with --bikes")
    for option, value in unfit.items():
        if value is not None:
            fits = "one bike" if bikes else "--bikes"
            raise InputError(option, None, f"goes with {fits} only; leave it out")


def _study_one(
    bike: Path,
    options: Path,
    prices: Sequence[str],
    hand: Path | None,
    asked: Mapping[str, Any],
    *,
    figure: Path | None,
    page: Path | None,
    table: Path | None,
    as_json: bool,
) -> None:
    from clutchwright import usecases
    from clutchwright.report.study import study_figure, study_sheet, study_to_json

    target = asked["target_N"]
    with working("Going through the combinations"):
        found, chosen, closer = usecases.study_bike(
            usecases.read_bike(bike),
            usecases.read_catalogue(options, prices),
            hand=None if hand is None else usecases.read_hand(hand),
            closely=figure is not None or page is not None,
            **asked,
        )
    if table is not None:
        usecases.write_table(table, found)
        typer.echo(f"Table: {escaped(str(table.resolve()))}", err=True)
    if figure is not None:
        write_figure(figure, study_figure(found, target_N=target, closer=closer))
    data = study_to_json(found, chosen, target_N=target, closer=closer) if as_json else None
    show(study_sheet(found, chosen, target_N=target, closer=closer), data, page)


def _study_many(
    bikes: Path,
    options: Path,
    prices: Sequence[str],
    hand: Path | None,
    asked: Mapping[str, Any],
    *,
    out: Path,
    scheduler: str | None,
    as_json: bool,
) -> None:
    from clutchwright import manybikes

    request = manybikes.read_request(options, prices, hand, **asked)
    files = manybikes.bike_files(bikes)
    finished = []
    with counting("Studying bikes", len(files)) as step:
        for one in manybikes.study_bikes(files, request, out, scheduler=scheduler):
            finished.append(one)
            step()
    finished.sort(key=lambda one: one.name)
    _show_finished(finished, manybikes.passed_over(bikes), out, as_json=as_json)


def _show_finished(finished: Sequence[Finished], rest: Mapping[str, str], out: Path, *, as_json: bool) -> None:
    """Print what became of many bikes, in order; raises `typer.Exit` with 1 where some cannot be used."""
    names = {state: [one.name for one in finished if one.state == state] for state in ("studied", "kept", "unusable")}
    errors = {one.name: one.error for one in finished if one.error}
    lines = {one.name: one.line for one in finished if one.line}
    if as_json:
        print_json({**names, "unusable": errors, "lines": lines, "passed_over": rest, "out": str(out.resolve())})
    else:
        for name, line in lines.items():
            typer.echo(f"{escaped(name)}: {line}")
        typer.echo(
            f"{len(finished)} bikes: {len(names['studied'])} studied, {len(names['kept'])} kept from before, "
            f"{len(errors)} cannot be used. Results: {escaped(str(out.resolve()))}"
        )
        if rest:
            listed = [f"{name} ({why})" for name, why in list(rest.items())[:_MOST_NAMED]]
            more = f" and {len(rest) - _MOST_NAMED} more" if len(rest) > _MOST_NAMED else ""
            typer.echo(escaped(f"{len(rest)} passed over: {', '.join(listed)}{more}"))
    for error in errors.values():
        typer.echo(escaped(error), err=True)
    if errors:
        raise typer.Exit(1)


def measure(
    bike: BikePath,
    with_: With = None,
    changes: ChangeList = None,
    samples: Annotated[
        int,
        typer.Option(
            min=0,
            max=65_536,
            help="Also find what acts together: so many bikes, up to the next power of 2, for each unknown.",
        ),
    ] = 0,
    seed: Seed = 1,
    as_json: AsJson = False,
    page: SheetPath = None,
) -> None:
    """Say what to measure next to be surer of the decision, and what the decision and the pull hang on."""
    from clutchwright import usecases
    from clutchwright.changes import parse
    from clutchwright.report.measure import measure_sheet, measure_to_json

    check_outputs(bike, changes, page=page)
    steps = (*(usecases.read_changes(changes) if changes else ()), *(parse(text) for text in with_ or ()))
    measured = usecases.read_bike(bike)
    with working("Weighing what is not known"):
        found = usecases.find_doubts(measured, steps, samples=samples, seed=seed)
    show(measure_sheet(found, measured), measure_to_json(found) if as_json else None, page)
