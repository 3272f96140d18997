"""Commands that study one bike or many: study, measure, claim, patterns, plan."""

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
    Samples,
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
    from clutchwright.study.catalogue import Wished

Slips = Annotated[
    str, typer.Option(help="Possible bikes that may slip, worn and hot, such as 1% or 0.01; 100% is no limit.")
]
Drags = Annotated[str, typer.Option(help="Possible bikes that may not release; 100% is no limit.")]
Prices = Annotated[list[str] | None, typer.Option("--price", help="Your own price, as name=price.")]
TellingSamples = Annotated[
    int,
    typer.Option(
        min=1,
        max=MOST_SAMPLES,
        help="Possible bikes to draw, at least 10 over the smaller limit: 1000 for 1 %, 100 for 10 %.",
    ),
]
_MOST_NAMED = 10  # of those passed over


def study(
    bike: Annotated[
        Path | None, typer.Argument(help="Bike file (TOML); leave it out with --bikes.", show_default=False)
    ] = None,
    *,
    options: Annotated[Path, typer.Option("--catalogue", help="What could be done (TOML).", show_default=False)],
    price: Prices = None,
    target: Target = None,
    slips: Slips = "1%",
    drags: Drags = "1%",
    money: Annotated[float | None, typer.Option("--money", help="Money at most; no limit without it.")] = None,
    hours: Annotated[float | None, typer.Option("--hours", help="Hours of work at most; no limit without it.")] = None,
    without: Annotated[
        list[str] | None, typer.Option("--without", help="A job to leave out, by its name; may be given again.")
    ] = None,
    only: Annotated[
        list[str] | None, typer.Option("--only", help="A job that may be done, no other; may be given again.")
    ] = None,
    hand: HandPath = None,
    samples: TellingSamples = 1024,
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
    from clutchwright.study.catalogue import Wished
    from clutchwright.study.limits import Budget, Limits, read_limit

    given = {"--figure": figure, "--page": page, "--table": table}
    _require_one_or_many(bike, bikes, given if bikes else {"--out": out, "--scheduler": scheduler})
    check_outputs(bike, options, hand, figure=figure, page=page, table=table)
    limits = Limits(read_limit("--slips", slips), read_limit("--drags", drags))
    wished = Wished(tuple(price or ()), tuple(without or ()), tuple(only or ()))
    budget = Budget(money, hours)
    asked = {"limits": limits, "budget": budget, "target_N": target, "samples": samples, "seed": seed}
    if bike is not None:
        _study_one(bike, options, wished, hand, asked, figure=figure, page=page, table=table, as_json=as_json)
    elif bikes is not None and out is not None:
        _study_many(bikes, options, wished, hand, asked, out=out, scheduler=scheduler, as_json=as_json)
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
    wished: Wished,
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
            wished.of(usecases.read_catalogue(options, wished.prices)),
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
    wished: Wished,
    hand: Path | None,
    asked: Mapping[str, Any],
    *,
    out: Path,
    scheduler: str | None,
    as_json: bool,
) -> None:
    from clutchwright import manybikes

    request = manybikes.read_request(options, wished, hand, **asked)
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


def claim(
    bike: BikePath,
    says: Annotated[str, typer.Option("--says", help="Share of the pull said to come off, such as 50%.")],
    by: Annotated[
        str, typer.Option("--by", help="leverage, springs, friction, hydraulic, assist, anything; or a kind of change.")
    ] = "anything",
    as_json: AsJson = False,
    samples: Samples = 1024,
    seed: Seed = 1,
    page: SheetPath = None,
) -> None:
    """Say whether a claim is possible on this bike, why not, how far one can get, and what it costs."""
    from clutchwright import usecases
    from clutchwright.report.claim import claim_sheet, claim_to_json

    check_outputs(bike, page=page)
    found = usecases.check_claim(usecases.read_bike(bike), says, by, samples=samples, seed=seed)
    show(claim_sheet(found), claim_to_json(found) if as_json else None, page)


def patterns(
    bike: BikePath,
    softer: Annotated[
        float, typer.Option("--softer", help="Rate of the softer springs, % of the fitted ones'.")
    ] = 80.0,
    every: Annotated[bool, typer.Option("--all", help="Also list those that no one should ride.")] = False,
    as_json: AsJson = False,
    samples: Samples = 1024,
    seed: Seed = 1,
    page: SheetPath = None,
) -> None:
    """List the ways to leave out or soften coil springs, the even ones first, with verdict, pull and margins."""
    from clutchwright import usecases
    from clutchwright.report.patterns import patterns_sheet, patterns_to_json

    check_outputs(bike, page=page)
    measured = usecases.read_bike(bike)
    found, share = usecases.list_patterns(measured, softer, samples=samples, seed=seed), softer / 100.0
    data = patterns_to_json(measured.name, found, rate_share=share) if as_json else None
    show(patterns_sheet(measured.name, found, rate_share=share, samples=samples, every=every), data, page)


def plan(
    bike: BikePath,
    with_: With = None,
    changes: ChangeList = None,
    target: Target = None,
    options: Annotated[
        Path | None, typer.Option("--catalogue", help="Whose prices, hours and names count (TOML); typical without it.")
    ] = None,
    price: Prices = None,
    slips: Slips = "1%",
    drags: Drags = "1%",
    samples: TellingSamples = 1024,
    seed: Seed = 1,
    as_json: AsJson = False,
    figure: FigurePath = None,
    page: SheetPath = None,
) -> None:
    """Put changes in the best order, each with the reading that should follow, what to check and when to stop."""
    from clutchwright import usecases
    from clutchwright.changes import parse
    from clutchwright.report.plan import plan_sheet, plan_to_json
    from clutchwright.study.limits import Limits, read_limit

    check_outputs(bike, changes, options, figure=figure, page=page)
    if options is None and price:
        raise InputError("--price", price[0], "goes with --catalogue only, which names what it is the price of")
    steps = (*(usecases.read_changes(changes) if changes else ()), *(parse(text) for text in with_ or ()))
    measured = usecases.read_bike(bike)
    found = usecases.plan_changes(
        measured,
        steps,
        options=None if options is None else usecases.read_catalogue(options, price or ()),
        target_N=target,
        limits=Limits(read_limit("--slips", slips), read_limit("--drags", drags)),
        samples=samples,
        seed=seed,
    )
    if figure is not None:
        from clutchwright.picture.steps import plan_steps

        write_figure(figure, plan_steps(found))
    show(plan_sheet(found, measured), plan_to_json(found) if as_json else None, page)
