"""All setups of a search that keep its limits, as data small enough for a browser; and a search read back from data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

import numpy as np

from clutchwright.changes import parse
from clutchwright.report.data import finite
from clutchwright.report.study import option_words
from clutchwright.study.catalogue import Catalogue
from clutchwright.study.kept import Kept, row_steps
from clutchwright.study.limits import EVENTS, Budget, Limits
from clutchwright.study.search import OBJECTIVES, SearchResult, Setup, Table
from clutchwright.study.variants import Refused, making_order

COLUMNS = (*(name for name, _ in OBJECTIVES), *EVENTS)


def setups_to_json(result: SearchResult, kept: Kept) -> dict[str, Any]:
    """Setups that keep the limits, and the words for them.

    Parameters
    ----------
    result : SearchResult
        What was found.
    kept : Kept
        Its setups that keep the limits.

    Returns
    -------
    dict
        ``options``: in the order in which they are made, each with its name and its choices, each with its step and
        words. ``setups``: ``choices`` (a row each: 0 for not taken, else counted from 1) and a column for each figure.
        ``front``: the best, whose values may lie between those of the choices, with words and steps of their own.
        ``whole``: whether the setups are all that keep the limits.
        ``loosened``: limits that were loosened, as the bike misses those asked for; null elsewhere.
    """
    table = result.table
    order = making_order(result.options)
    own = [setup.steps for setup in result.front]
    places = [
        place for place, row in enumerate(kept.rows.tolist()) if table.reason[row] or row_steps(result, row) not in own
    ]
    rows = kept.rows[places]
    options = [
        {
            "name": result.options[place].name,
            "choices": [
                {"step": str(step), "words": option_words(result.options[place], step)}
                for step in result.options[place].choices
            ],
        }
        for place in order
    ]
    return finite(
        {
            "today_N": result.today.pull_peak_N,
            "samples": result.samples,
            "whole": kept.whole,
            "loosened": None if result.asked is None else asdict(result.limits),
            "ranges": any(option.free is not None for option in result.options),
            "options": options,
            "setups": {
                "choices": table.choices[rows][:, order].tolist(),
                **{name: table.columns[name][rows].tolist() for name in COLUMNS},
                "rest_span_mm": kept.rest_span_mm[places].tolist(),
            },
            "front": [_best(result, order, setup) for setup in result.front],
        }
    )


def _best(result: SearchResult, order: list[int], setup: Setup) -> dict[str, Any]:
    by_name = {option.name: option for option in result.options}
    names = [result.options[place].name for place in order]
    return {
        **{name: getattr(setup, name) for name, _ in OBJECTIVES},
        **setup.probability,
        "rest_span_mm": setup.rest_span_mm,
        "taken": [names.index(name) for name in setup.options],
        "steps": [str(step) for step in setup.steps],
        "words": [option_words(by_name[name], step) for name, step in zip(setup.options, setup.steps, strict=True)],
    }


def study_from_json(found: Mapping[str, Any], options: Catalogue) -> SearchResult:
    """A search read back from `study_to_json`, without the table of all setups.

    Parameters
    ----------
    found : mapping
        The data.
    options : Catalogue
        That it was made with.

    Returns
    -------
    SearchResult
        What `study_sheet` says in words is the same as of the search itself.
    """
    return SearchResult(
        name=found["name"],
        catalogue=found["catalogue"],
        samples=found["samples"],
        seed=found["seed"],
        limits=Limits(**found["limits"]),
        reach_mm=found["reach_mm"],
        reach_u_mm=found["reach_u_mm"],
        today=_setup(found["today"]),
        front=tuple(map(_setup, found["front"])),
        counts=found["counts"],
        refused=tuple(Refused((), reason) for reason in found["refused"]),
        options=options.options,
        asked=None if found["asked"] is None else Limits(**found["asked"]),
        budget=Budget(**found["budget"]),
        table=Table(np.zeros((0, len(options.options)), dtype=np.int32), {}, []),
    )


def _setup(found: Mapping[str, Any]) -> Setup:
    lists = {"options": tuple(found["options"]), "parts": tuple(found["parts"])}
    return Setup(**{**found, **lists, "steps": tuple(map(parse, found["steps"]))})
