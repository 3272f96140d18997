"""Setups that keep all limits and have nothing against them, so that limits drawn tighter need no new search.

The search looks no closer at a setup that another one beats. That other one may fall to a tighter limit, so here those
that were beaten are held against the checks as well.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import reduce

import numpy as np

from clutchwright.assess.checks import Stroke
from clutchwright.bike import Bike
from clutchwright.bikefile import MeasuredBike, assemble
from clutchwright.chain import respond
from clutchwright.changes import Step, apply
from clutchwright.errors import Refusal
from clutchwright.hand.hand import Hand
from clutchwright.quantity import Array
from clutchwright.study.progress import Progress, unheard
from clutchwright.study.search import SearchResult
from clutchwright.study.sweep import BEATEN, failing, objection
from clutchwright.study.task import Places
from clutchwright.study.variants import make, making_order

CHECKING = "checking the setups that others beat"
MOST = 10_000  # setups looked at, the lightest ones; a few milliseconds each


@dataclass(frozen=True, slots=True)
class Kept:
    """Setups of a search that keep all limits.

    Parameters
    ----------
    rows : Places
        Their rows in its table, in the table's order.
    rest_span_mm : Array
        Grip to lever at the finger point of each, lever at rest, nominal [mm].
    whole : bool
        Whether there are no others.
    """

    rows: Places
    rest_span_mm: Array
    whole: bool


def kept_setups(
    measured: MeasuredBike, result: SearchResult, *, hand: Hand | None = None, progress: Progress = unheard
) -> Kept:
    """Find all setups that keep the limits of a search.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.
    result : SearchResult
        What the search found for it.
    hand : Hand | None
        The same hand as in the search.
    progress : Progress
        Told how many setups are looked at.

    Returns
    -------
    Kept
        See there.
    """
    reasons = np.array(result.table.reason, dtype=np.str_)
    beaten = np.flatnonzero(reasons == BEATEN)
    lightest = beaten[np.argsort(result.table.columns["pull_peak_N"][beaten], kind="stable")][:MOST]
    bike = assemble(measured)
    already = failing(bike)
    fine = np.flatnonzero(reasons == "").tolist()
    for count, row in enumerate(lightest.tolist()):
        progress(CHECKING, count, len(lightest))
        if not _objection(bike, row_steps(result, row), already=already, hand=hand):
            fine.append(row)
    fine.sort()
    spans = [float(reduce(make, row_steps(result, row), bike).lever.rest_span) * 1e3 for row in fine]
    return Kept(np.array(fine, dtype=np.intp), np.array(spans), whole=len(lightest) == result.counts[BEATEN])


def row_steps(result: SearchResult, row: int) -> tuple[Step, ...]:
    """Steps of a row of the search's table, in the order in which they are made."""
    choices, options = result.table.choices[row].tolist(), result.options
    return tuple(options[place].choices[choices[place] - 1] for place in making_order(options) if choices[place])


def _objection(bike: Bike, steps: tuple[Step, ...], *, already: set[str], hand: Hand | None) -> str:
    try:
        changed = apply(bike, steps)
    except Refusal as refusal:
        return str(refusal)
    response = respond(changed)
    stroke = Stroke(float(response.lift[-1]), float(response.full_angle[0]))
    return objection(changed, stroke, already=already, hand=hand)
