"""The loop of pull and return at the finger point: what was read, and what two sets of possible bikes would do."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from clutchwright.bikefile import MeasuredBike, assemble
from clutchwright.calibrate.fitted import Fit
from clutchwright.calibrate.forward import Situation, along, situation
from clutchwright.calibrate.posterior import Posterior, calibrated
from clutchwright.changes import Step, with_unknowns
from clutchwright.physics.lever import finger_force_from_hook
from clutchwright.quantity import Array, Quantity
from clutchwright.readings import Reading
from clutchwright.study.outcomes import outcomes
from clutchwright.study.tolerance import combined, first_order, one_at_a_time, possible_bikes, uncertain

BIKES = 512
PEAK = "pull_peak_N"
_PLACES = 61
_CHANCES = (0.05, 0.5, 0.95)


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """Force at the finger point along the travel [N]: the 5, 50 and 95 % quantiles of possible bikes."""

    low: Array
    middle: Array
    high: Array


@dataclass(frozen=True, slots=True, eq=False)
class Bands:
    """What possible bikes do: pull and return along the travel, and their peak pull up to the lever's stop [N]."""

    pull: Band
    returning: Band
    peak: Quantity


@dataclass(frozen=True, slots=True)
class Point:
    """One reading as a force at the finger point.

    Parameters
    ----------
    travel, force : float
        Where [m] and how much [N].
    pulling : bool
        Whether it was read pulling; else letting out.
    mistake : bool
        Whether it is more likely a mistake than not.
    """

    travel: float
    force: float
    pulling: bool
    mistake: bool


@dataclass(frozen=True, slots=True, eq=False)
class Loop:
    """Pull and return along the travel.

    Parameters
    ----------
    travel : Array
        Places [m].
    before, after : Bands
        Possible bikes by the file alone and with the readings; or without a change and with it.
    points : tuple of Point
        What was read, after a fit less what the fit found of hook and scale; empty where no force was read along the
        travel.
    """

    travel: Array
    before: Bands
    after: Bands
    points: tuple[Point, ...]


def loop_of_fit(found: Posterior, rng: np.random.Generator) -> Loop:
    """Pull and return of possible bikes before and after a fit.

    Parameters
    ----------
    found : Posterior
        What is known after it.
    rng : numpy.random.Generator
        Source of randomness, for what the readings do not touch.

    Returns
    -------
    Loop
        See there.
    """
    about = found.fit.bench
    prior = possible_bikes(about.measured, BIKES, rng)
    spread = np.linspace(0, len(found.scores) - 1, BIKES).astype(int)
    known = {key: value[spread] for key, value in found.values.items()}
    points = _points_of_fit(found.fit)
    travel = _travel(about.measured, points)
    bikes = ((about.measured, prior), (calibrated(found), {**prior, **known}))
    before, after = (_bands(bike, about.steps, values, travel) for bike, values in bikes)
    return Loop(travel, before, after, points)


def loop_of_change(
    measured: MeasuredBike, readings: Sequence[Reading], steps: Sequence[Step], rng: np.random.Generator
) -> Loop:
    """Pull and return of possible bikes without and with a change, beside what was read after it.

    Parameters
    ----------
    measured : MeasuredBike
        As filed.
    readings : sequence of Reading
        What was read after the change.
    steps : sequence of Step
        The change.
    rng : numpy.random.Generator
        Source of randomness.

    Returns
    -------
    Loop
        See there.
    """
    values = possible_bikes(measured, BIKES, rng)
    points = _points(situation(measured, {}, steps, 0.0), readings, [reading.value for reading in readings])
    travel = _travel(measured, points)
    before, after = (_bands(measured, made, values, travel) for made in ((), steps))
    return Loop(travel, before, after, points)


def _travel(measured: MeasuredBike, points: Sequence[Point]) -> Array:
    full = float(assemble(measured).lever.full_travel)
    return np.linspace(0.0, max([full, *(point.travel for point in points)]), _PLACES)


def _bands(measured: MeasuredBike, steps: Sequence[Step], values: Mapping[str, Array], travel: Array) -> Bands:
    now = situation(measured, values, steps, float(travel[-1]))
    stroke = now.stroke
    pull, back = (
        Band(*np.quantile(along(places, forces, travel[np.newaxis]), _CHANCES, axis=0))
        for places, forces in ((stroke.travel, stroke.pull), (stroke.return_travel, stroke.returning))
    )
    return Bands(pull, back, _peak(measured, steps))


def _peak(measured: MeasuredBike, steps: Sequence[Step]) -> Quantity:
    """Peak pull at the finger point [N], the figure and the uncertainty that an assessment gives."""
    known = with_unknowns(measured, steps)
    lots = uncertain(known.quantities)
    values = one_at_a_time(known.quantities, known.correlation)
    moved = outcomes(known, steps, values, size=2 * len(lots)).figures[PEAK]
    figure = float(outcomes(known, steps, {}, size=1).figures[PEAK][0])
    return Quantity(figure, combined(first_order(known.quantities, moved)))


def _points_of_fit(found: Fit) -> tuple[Point, ...]:
    """Points whose distance from the fitted bike's curve is what is left of the reading's once the tools are known."""
    about, scores = found.bench, found.mode.copy()
    scores[len(about.names) :] = 0.0
    left = about.values - found.predicted + about.predict(scores[np.newaxis])[0]
    now = situation(about.measured, about.values_of(scores[np.newaxis]), about.steps, 0.0)
    points = _points(now, about.readings, left.tolist())
    mistakes = [
        chance > 0.5 for reading, chance in zip(about.readings, found.mistake_chances, strict=True) if of_loop(reading)
    ]
    return tuple(replace(point, mistake=bool(wrong)) for point, wrong in zip(points, mistakes, strict=True))


def of_loop(reading: Reading) -> bool:
    """Whether a reading is a point of the loop: a force along the travel."""
    return reading.position == "travel" and reading.dimension == "force"


def _points(now: Situation, readings: Sequence[Reading], values: Sequence[float]) -> tuple[Point, ...]:
    def finger(reading: Reading, value: float) -> float:
        if not reading.name.startswith("hook_"):
            return value
        hook, radius = now.value("lever.hook_radius_mm"), now.bike.lever.finger_radius
        return float(np.squeeze(finger_force_from_hook(value, hook_radius=hook, finger_radius=radius)))

    return tuple(
        Point(reading.at, finger(reading, value), reading.name.endswith("pull"), mistake=False)
        for reading, value in zip(readings, values, strict=True)
        if of_loop(reading)
    )
