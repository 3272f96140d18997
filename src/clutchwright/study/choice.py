"""What to make of a search: the setup to choose, how sure it is, what to measure first, and in which order to go."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from clutchwright.bikefile import MeasuredBike
from clutchwright.quantity import Array
from clutchwright.study.limits import EVENTS
from clutchwright.study.next_measurement import NextMeasurements, next_measurements
from clutchwright.study.order import MOST_JOBS, job_of
from clutchwright.study.outcomes import outcomes
from clutchwright.study.plan import Held, Plan, make_plan
from clutchwright.study.search import SearchResult, Setup
from clutchwright.study.tolerance import Sample
from clutchwright.study.variance import VarianceShares, variance_shares


@dataclass(frozen=True, slots=True)
class Closer:
    """The chosen setup looked at more closely.

    Parameters
    ----------
    bike : MeasuredBike
        The bike as filed.
    pulls_before, pulls_now : Array
        Peak pull of each possible bike today and with the setup [N].
    shares : VarianceShares
        What matters for each figure of the setup.
    first : NextMeasurements
        What to measure next.
    plan : Plan | None
        Its changes in order; None where there are none, or too many to put in order.
    """

    bike: MeasuredBike
    pulls_before: Array
    pulls_now: Array
    shares: VarianceShares
    first: NextMeasurements
    plan: Plan | None


def choose(front: Sequence[Setup], target_N: float | None = None) -> int | None:
    """Place of the setup to choose among the best.

    Parameters
    ----------
    front : sequence of Setup
        The best, lightest first.
    target_N : float | None
        Pull wanted [N].

    Returns
    -------
    int | None
        The cheapest that is light enough, of equal price the quickest, then the lightest; without a pull wanted, or
        where none gets there, the lightest of all. None for an empty front.
    """
    enough = [place for place, setup in enumerate(front) if target_N is not None and setup.pull_peak_N <= target_N]
    if enough:
        return min(enough, key=lambda place: (front[place].price, front[place].hours, front[place].pull_peak_N, place))
    return 0 if front else None


def least_loosened(result: SearchResult) -> int | None:
    """Place of the setup that needs the limits asked for loosened least, of equal need the lightest; None for none."""
    if result.asked is None or not result.front:
        return None

    def missing(place: int) -> tuple[float, float]:
        found = result.front[place]
        over = (found.probability[event] - getattr(result.asked, event) for event in EVENTS)
        return sum(max(each, 0.0) for each in over), found.pull_peak_N

    return min(range(len(result.front)), key=missing)


def chosen_of(result: SearchResult, target_N: float | None = None) -> int | None:
    """Place of the setup to choose among the best of a study; None for an empty front."""
    return choose(result.front, target_N) if result.asked is None else least_loosened(result)


def look_closer(
    measured: MeasuredBike, result: SearchResult, place: int, sample: Sample, *, target_N: float | None = None
) -> Closer:
    """Look at one of the best setups more closely.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.
    result : SearchResult
        What the search found.
    place : int
        Which of its front.
    sample : Sample
        Possible bikes.
    target_N : float | None
        Pull wanted [N].

    Returns
    -------
    Closer
        See there.
    """
    setup = result.front[place]
    before, now = (outcomes(measured, steps, sample.values, size=sample.size) for steps in ((), setup.steps))
    return Closer(
        bike=measured,
        pulls_before=before.figures["pull_peak_N"],
        pulls_now=now.figures["pull_peak_N"],
        shares=variance_shares(measured, setup.steps, rng=np.random.Generator(np.random.PCG64(sample.seed))),
        first=next_measurements(measured, setup.steps, sample),
        plan=_plan(measured, setup, result, sample, target_N),
    )


def _plan(
    measured: MeasuredBike, setup: Setup, result: SearchResult, sample: Sample, target_N: float | None
) -> Plan | None:
    """The setup's plan, at the catalogue's prices."""
    if not 0 < len(setup.steps) <= MOST_JOBS:
        return None
    by_name = {option.name: option for option in result.options}
    jobs = [job_of(step, [by_name[name]]) for step, name in zip(setup.steps, setup.options, strict=True)]
    return make_plan(measured, jobs, target_N=target_N, held=Held(result.limits, sample), catalogue=result.catalogue)
