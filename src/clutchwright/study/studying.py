"""A whole study: the search, what to do where no setup keeps the limits, its budget and its hand."""

from __future__ import annotations

from dataclasses import dataclass, replace

from clutchwright.bikefile import MeasuredBike
from clutchwright.hand.hand import EstimatedHand, Hand
from clutchwright.study.catalogue import Catalogue
from clutchwright.study.limits import ANY_BUDGET, Budget, Limits
from clutchwright.study.progress import Progress, unheard
from clutchwright.study.refine import refine
from clutchwright.study.search import SearchResult, search
from clutchwright.study.tolerance import Sample


@dataclass(frozen=True, slots=True)
class Reach:
    """How far a hand reaches: its doubt is given to the lever, so that no guess refuses a setup.

    Parameters
    ----------
    hand : Hand
        Nominal, its reach longer by one standard uncertainty.
    reach, u : float
        Rest span that it reaches, nominal, and its standard uncertainty [m].
    """

    hand: Hand
    reach: float
    u: float


def reach_of(hand: EstimatedHand) -> Reach:
    """Reach of a hand as it is known."""
    part, nominal = hand.parts["reach"], hand.nominal()
    return Reach(replace(nominal, reach=part.value + part.u), float(part.value), float(part.u))


def study(
    measured: MeasuredBike,
    options: Catalogue,
    *,
    sample: Sample,
    limits: Limits,
    reach: Reach | None = None,
    budget: Budget | None = None,
    progress: Progress = unheard,
) -> SearchResult:
    """Find the best compromises.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.
    options : Catalogue
        What could be done.
    sample : Sample
        Possible bikes.
    limits : Limits
        How often things may go wrong. Where no setup keeps them, because the bike as it is misses them, setups count
        that make nothing worse.
    reach : Reach | None
        Of the hand that pulls; None for nobody's.
    budget : Budget | None
        What may be spent; None for no limit.
    progress : Progress
        Told how far it is.

    Returns
    -------
    SearchResult
        Its free values refined.
    """
    hand = None if reach is None else reach.hand
    result = search(measured, options, sample=sample, limits=limits, hand=hand, progress=progress)
    loosened = limits.no_worse(result.today.probability, sample.size)
    if not result.front and loosened != limits:
        result = search(measured, options, sample=sample, limits=loosened, hand=hand, progress=progress)
        result = replace(result, asked=limits)
    if any(option.free is not None for option in options.options):
        result = refine(measured, result, sample=sample, hand=hand, progress=progress)
    if reach is not None:
        result = replace(result, reach_mm=reach.reach * 1e3, reach_u_mm=reach.u * 1e3)
    return within(result, budget or ANY_BUDGET)


def within(result: SearchResult, budget: Budget) -> SearchResult:
    """What of a search may be spent on."""
    front = tuple(setup for setup in result.front if budget.keeps(setup.price, setup.hours))
    return replace(result, front=front, budget=budget)
