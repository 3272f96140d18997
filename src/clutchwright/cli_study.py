"""Commands that study one bike or many: study, measure."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from clutchwright.cli_shared import (
    AsJson,
    BikePath,
    ChangeList,
    FigurePath,
    HandPath,
    Seed,
    SheetPath,
    Target,
    With,
    show,
    working,
    write_figure,
)


def study(
    bike: BikePath,
    options: Annotated[Path, typer.Option("--catalogue", help="What could be done (TOML).", show_default=False)],
    price: Annotated[list[str] | None, typer.Option("--price", help="Your own price, as name=price.")] = None,
    target: Target = None,
    slips: Annotated[float, typer.Option(help="Share of possible bikes that may slip, worn and hot.")] = 0.01,
    drags: Annotated[float, typer.Option(help="Share of possible bikes that may not release.")] = 0.01,
    hand: HandPath = None,
    samples: Annotated[int, typer.Option(min=1, max=1_000_000, help="Possible bikes to draw.")] = 1024,
    seed: Seed = 1,
    as_json: AsJson = False,
    figure: FigurePath = None,
    page: SheetPath = None,
    table: Annotated[Path | None, typer.Option("--table", help="Write every setup worked out (Parquet).")] = None,
) -> None:
    """Find the best compromises between pull, price, work and slip margin of all that could be done."""
    from clutchwright import usecases
    from clutchwright.report.study import study_figure, study_sheet, study_to_json
    from clutchwright.study.search import Limits

    closely = figure is not None or page is not None
    with working("Going through the combinations"):
        found, chosen, closer = usecases.study_bike(
            usecases.read_bike(bike),
            usecases.read_catalogue(options, price or ()),
            limits=Limits(slips, drags),
            target_N=target,
            hand=None if hand is None else usecases.read_hand(hand),
            samples=samples,
            seed=seed,
            closely=closely,
        )
    if table is not None:
        usecases.write_table(table, found)
        typer.echo(f"Table: {table.resolve()}", err=True)
    if figure is not None:
        write_figure(figure, study_figure(found, target_N=target, closer=closer))
    data = study_to_json(found, chosen, target_N=target, closer=closer) if as_json else None
    show(study_sheet(found, chosen, target_N=target, closer=closer), data, page)


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

    steps = (*(usecases.read_changes(changes) if changes else ()), *(parse(text) for text in with_ or ()))
    measured = usecases.read_bike(bike)
    with working("Weighing what is not known"):
        found = usecases.find_doubts(measured, steps, samples=samples, seed=seed)
    show(measure_sheet(found, measured), measure_to_json(found) if as_json else None, page)
