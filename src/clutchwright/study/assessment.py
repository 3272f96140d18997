"""The whole assessment of a measured bike, with or without changes, and how sure each figure is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from clutchwright.assess.budgets import Item, Place, force_budget, force_places, travel_budget
from clutchwright.assess.checks import Check, run_checks
from clutchwright.assess.figures import measure
from clutchwright.assess.verdict import Verdict, judge, warnings, worst_rule
from clutchwright.bike import Bike
from clutchwright.bikefile import MeasuredBike, assemble
from clutchwright.chain import Response, respond
from clutchwright.changes import Step, apply, with_unknowns
from clutchwright.quantity import Array
from clutchwright.study.hand_assessment import HandAssessment, Rider, Stroke, assess_hand, lever_place
from clutchwright.study.outcomes import Outcomes, outcomes
from clutchwright.study.tolerance import Sample, combined, halves, one_at_a_time, uncertain
from clutchwright.tomlfile.values import Choice


@dataclass(frozen=True, slots=True)
class Curve:
    """The stroke at even steps for drawing, in the units of the keys; all tuples of the same length."""

    travel_mm: tuple[float, ...]
    span_mm: tuple[float, ...]
    pull_N: tuple[float, ...]
    return_N: tuple[float, ...]
    lift_mm: tuple[float, ...]
    clamp_N: tuple[float, ...]
    capacity_Nm: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Assumption:
    """A value nobody measured: its key, its shares of two variances.

    Parameters
    ----------
    key : str
        In the bike file.
    value : float, str, int or bool
        In the unit of the key; or the usual word.
    u : float | None
        One standard uncertainty in the unit of the key; None for a word, which then has no share either.
    share : float
        Of the variance of the figure that decides [-].
    pull_share : float
        Of the variance of the peak pull [-].
    """

    key: str
    value: float | Choice
    u: float | None
    share: float
    pull_share: float


@dataclass(frozen=True, slots=True)
class Sampled:
    """What many possible bikes say: quantiles of each figure, and how often things go wrong.

    Parameters
    ----------
    samples : int
        How many.
    seed : int
        Seed of the generator.
    p05, p50, p95 : dict of str to float
        Quantiles by key of ``FIGURES``, in the key's unit.
    probability : dict of str to float
        ``slips`` (worn and hot, full torque), ``does_not_release``, ``touches`` (any measured gap) [-].
    """

    samples: int
    seed: int
    p05: dict[str, float]
    p50: dict[str, float]
    p95: dict[str, float]
    probability: dict[str, float]


@dataclass(frozen=True, slots=True)
class Assessment:
    """Everything known about one setup.

    Parameters
    ----------
    name : str
        The bike's name.
    changes : tuple of Step
        Changes made to it.
    figures : dict of str to float
        Nominal values by key of ``FIGURES``.
    u : dict of str to float
        One standard uncertainty of each, first order.
    deciding : str
        Key of the figure that is nearest to its limit, counted in its own uncertainty.
    curve : Curve
        The stroke.
    places, force, travel : tuple
        The two budgets at the release point; empty where the mechanism cannot get there.
    checks : tuple of Check
        Passed, tight, failed or not checked.
    verdict : Verdict
        One word and its reasons.
    warnings : tuple of str
        What else to keep in mind.
    assumed : tuple of Assumption
        Values nobody measured, the one that matters most first.
    sampled : Sampled | None
        None unless asked for.
    before : Assessment | None
        The same bike without the changes; None when there are none.
    hand : HandAssessment | None
        What the lever asks of a hand; None without one.
    """

    name: str
    changes: tuple[Step, ...]
    figures: dict[str, float]
    u: dict[str, float]
    deciding: str
    curve: Curve
    places: tuple[Place, ...]
    force: tuple[Item, ...]
    travel: tuple[Item, ...]
    checks: tuple[Check, ...]
    verdict: Verdict
    warnings: tuple[str, ...]
    assumed: tuple[Assumption, ...]
    sampled: Sampled | None
    before: Assessment | None
    hand: HandAssessment | None = None


def assess(
    measured: MeasuredBike,
    changes: Sequence[Step] = (),
    sample: Sample | None = None,
    rider: Rider | None = None,
    *,
    before: Assessment | None = None,
) -> Assessment:
    """Assess a bike.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.
    changes : sequence of Step
        Changes to make to it, in order.
    sample : Sample | None
        Possible bikes for quantiles and probabilities, the same ones before and after; None for neither.
    rider : Rider | None
        Hand to hold the lever against; None for none.
    before : Assessment | None
        Of the same bike without the changes, where it has been worked out already.

    Returns
    -------
    Assessment
        Of the changed bike, with the unchanged one in ``before``.

    Raises
    ------
    Refusal
        Where a change cannot be done.
    """
    if changes and before is None:
        before = assess(measured, sample=sample, rider=rider)
    bike = apply(assemble(measured), changes)
    response = respond(bike)
    figures = {key: float(value) for key, value in measure(bike, response).items()}
    checks = run_checks(bike, response)
    contributions = _contributions(measured, changes)
    u = {key: combined(parts) for key, parts in contributions.items()}
    deciding = worst_rule(figures, u).key
    # no budget where the lever does not get there, nor where a spring that snaps through pulls it on
    reachable = not np.isnan(figures["release_travel_mm"]) and figures["pull_at_release_N"] > 0.0
    possible = outcomes(measured, changes, sample.values, size=sample.size) if sample is not None else None
    return Assessment(
        name=measured.name,
        changes=tuple(changes),
        figures=figures,
        u=u,
        deciding=deciding,
        curve=_curve(bike, response),
        places=force_places(bike) if reachable else (),
        force=force_budget(bike) if reachable else (),
        travel=travel_budget(bike) if reachable else (),
        checks=checks,
        verdict=judge(figures, checks, u, {} if possible is None else possible.short),
        warnings=warnings(figures, checks),
        assumed=_assumed(with_unknowns(measured, changes), contributions[deciding], contributions["pull_peak_N"]),
        sampled=_sampled(possible, sample) if possible is not None and sample is not None else None,
        before=before if changes else None,
        hand=None if rider is None else _hand(rider, _stroke(measured, bike, response, figures, u, possible)),
    )


def _stroke(
    measured: MeasuredBike,
    bike: Bike,
    response: Response,
    figures: Mapping[str, float],
    u: Mapping[str, float],
    possible: Outcomes | None,
) -> Stroke:
    """What the lever asks of a hand; the hand was measured on the bike as it is."""
    peak = "pull_peak_N"
    return Stroke(
        place=lever_place(assemble(measured), bike),
        rest_span=float(bike.lever.rest_span),
        stop_span=float(bike.lever.stop_span),
        release_travel=figures["release_travel_mm"] * 1e-3,
        response=response,
        pull_spread=u[peak] / figures[peak],
        possible_pulls=None if possible is None else possible.figures[peak] / figures[peak],
    )


def _hand(rider: Rider, lever: Stroke) -> HandAssessment:
    return assess_hand(rider, lever, _travels(lever.response))


def _contributions(measured: MeasuredBike, changes: Sequence[Step]) -> dict[str, dict[str, float]]:
    """Signed first-order contribution of each uncertain quantity to each figure, by figure key, then quantity key."""
    measured = with_unknowns(measured, changes)
    lots = uncertain(measured.quantities)
    values = one_at_a_time(measured.quantities, measured.correlation)
    moved = outcomes(measured, changes, values, size=2 * len(lots))
    return {key: dict(zip(lots, halves(figure), strict=True)) for key, figure in moved.figures.items()}


def _assumed(
    measured: MeasuredBike, deciding: Mapping[str, float], pull: Mapping[str, float]
) -> tuple[Assumption, ...]:
    """What nobody measured, with its shares of the variance of the deciding figure and of the peak pull."""
    by_margin, by_pull = _shares(deciding), _shares(pull)
    rows = [
        Assumption(key, quantity.value, quantity.u, by_margin.get(key, 0.0), by_pull.get(key, 0.0))
        for key, quantity in measured.quantities.items()
        if quantity.assumed
    ]
    words = [
        Assumption(key, word, None, 0.0, 0.0)
        for key, word in measured.choices.items()
        if key in measured.assumed_choices
    ]
    return (*sorted(rows, key=lambda row: -max(row.share, row.pull_share)), *words)


def _shares(contributions: Mapping[str, float]) -> dict[str, float]:
    """Shares of the variance by name; empty where nothing is known of it."""
    squares = {key: part**2 for key, part in contributions.items() if not np.isnan(part)}
    total = sum(squares.values())
    return {key: square / total for key, square in squares.items()} if total else {}


def _sampled(found: Outcomes, sample: Sample) -> Sampled:
    quantiles = {key: _quantiles(value) for key, value in found.figures.items()}
    return Sampled(
        samples=sample.size,
        seed=sample.seed,
        p05={key: value[0] for key, value in quantiles.items()},
        p50={key: value[1] for key, value in quantiles.items()},
        p95={key: value[2] for key, value in quantiles.items()},
        probability=found.probability,
    )


def _quantiles(values: Array) -> tuple[float, float, float]:
    """The 5, 50 and 95 % quantiles of the bikes that have such a figure; NaN where none has."""
    known = values[~np.isnan(values)]
    low, middle, high = np.quantile(known, (0.05, 0.5, 0.95)).tolist() if known.size else [np.nan] * 3
    return low, middle, high


def _travels(response: Response) -> Array:
    """Even steps along the stroke [m]."""
    return np.linspace(0.0, response.travel[-1], 101)


def _curve(bike: Bike, response: Response) -> Curve:
    travel = _travels(response)
    capacity = bike.pack.capacity(response.clamp, bike.pack.friction_static)

    def at_travel(values: Array, places: Array = response.travel) -> tuple[float, ...]:
        return tuple(np.interp(travel, places, values).tolist())

    return Curve(
        travel_mm=tuple((travel * 1e3).tolist()),
        span_mm=tuple(((bike.lever.rest_span - travel) * 1e3).tolist()),
        pull_N=at_travel(response.pull),
        return_N=at_travel(response.returning, response.return_travel),
        lift_mm=at_travel(response.lift * 1e3),
        clamp_N=at_travel(response.clamp),
        capacity_Nm=at_travel(np.asarray(capacity)),
    )
