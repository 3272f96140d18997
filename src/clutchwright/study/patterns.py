"""Which spring on which boss: every way of leaving out and softening equal coil springs, held against one bike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from clutchwright.assess.checks import BALANCE_GRADE
from clutchwright.assess.figures import measure
from clutchwright.assess.verdict import Word
from clutchwright.bike import Bike
from clutchwright.bikefile import MeasuredBike, assemble
from clutchwright.chain import respond
from clutchwright.changes import Step, apply, find
from clutchwright.errors import Refusal
from clutchwright.physics.balance import permissible_unbalance, static_unbalance
from clutchwright.physics.plate_tilt import arrangements, centroid, places, softness
from clutchwright.physics.springs import CoilSet
from clutchwright.study.assessment import Assessment, assess
from clutchwright.study.tolerance import Sample

STANDARD, SOFTER, EMPTY = range(3)
MOST_BOSSES = 8
SHOWN = ("pull_peak_N", "clamp_new_N", "clamp_worn_N", "slip_margin_new", "slip_margin_hot", "release_margin_mm")


@dataclass(frozen=True, slots=True)
class SpringPattern:
    """One way of filling the bosses, up to rotation and reflection.

    Parameters
    ----------
    kinds : tuple of int
        ``STANDARD``, ``SOFTER`` or ``EMPTY`` for each boss.
    steps : tuple of Step
        The changes that make it; none where nothing changes.
    unbalance : float
        Static unbalance of the empty bosses, in springs on the circle [-].
    unbalance_share : float | None
        The same over what ISO 21940-11 allows for grade G 6.3 [-]; None where masses or speed are not known.
    off_centre : float
        How far off centre the springs press, over the circle's radius [-].
    softness : float
        How much easier the plate tilts about its softest axis than with the full set [-].
    figures : dict of str to float
        By the keys of ``SHOWN``, nominal.
    refusal : str
        Why no one should ride it; empty where it keeps all limits of a change.
    """

    kinds: tuple[int, ...]
    steps: tuple[Step, ...]
    unbalance: float
    unbalance_share: float | None
    off_centre: float
    softness: float
    figures: dict[str, float]
    refusal: str


@dataclass(frozen=True, slots=True)
class JudgedPattern:
    """A pattern and what an assessment of the bike with it comes to.

    Parameters
    ----------
    pattern : SpringPattern
        Which.
    word : str
        Verdict, with the doubt that the measurements leave; ``refused`` where no one should ride it.
    probability : dict of str to float | None
        ``slips``, ``does_not_release``, ``touches`` [-], as in `Sampled`; None where refused or without possible bikes.
    """

    pattern: SpringPattern
    word: Word | Literal["refused"]
    probability: dict[str, float] | None


def judge_patterns(
    measured: MeasuredBike, *, rate_share: float, sample: Sample | None = None
) -> tuple[JudgedPattern, ...]:
    """Every pattern with its verdict.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.
    rate_share : float
        Rate of a softer spring over a fitted one's [-].
    sample : Sample | None
        Possible bikes for the chances, the same for all patterns; None for no chances.

    Returns
    -------
    tuple of JudgedPattern
        In the order of `spring_patterns`.

    Raises
    ------
    Refusal
        See `spring_patterns`.
    """
    known: dict[tuple[int, int], Assessment] = {}
    judged, today = [], assess(measured)
    for pattern in spring_patterns(assemble(measured), rate_share=rate_share):
        if pattern.refusal:
            judged.append(JudgedPattern(pattern, "refused", None))
            continue
        # equal springs, so only how many of each kind counts
        counts = pattern.kinds.count(SOFTER), pattern.kinds.count(EMPTY)
        if counts not in known:
            known[counts] = assess(measured, pattern.steps, sample, before=today)
        found = known[counts]
        chances = None if found.sampled is None else found.sampled.probability
        judged.append(JudgedPattern(pattern, found.verdict.word, chances))
    return tuple(judged)


def spring_patterns(bike: Bike, *, rate_share: float) -> tuple[SpringPattern, ...]:
    """Every pattern of fitted, softer and left out springs.

    Parameters
    ----------
    bike : Bike
        The clutch, nominal, equal coil springs on all bosses.
    rate_share : float
        Rate of a softer spring over a fitted one's [-].

    Returns
    -------
    tuple of SpringPattern
        One of each that differ by more than a rotation or a reflection, at least one spring left. Those that keep the
        limits of a change first, from the heaviest pull to the lightest; those with the same springs by unbalance,
        then off-centre force, then softness.

    Raises
    ------
    Refusal
        For a diaphragm spring, springs that differ, empty bosses, or more than ``MOST_BOSSES``.
    """
    springs = _equal_coils(bike)
    known: dict[tuple[int, int], dict[str, float]] = {}
    found = []
    for kinds in arrangements(springs.bosses, 3):
        counts = kinds.count(SOFTER), kinds.count(EMPTY)
        if counts[1] == springs.bosses:
            continue
        steps = _steps(kinds, rate_share)
        if counts not in known:
            known[counts] = _figures(bike, steps)
        found.append(_judged(bike, kinds, steps, known[counts], rate_share))
    return tuple(sorted(found, key=_rank))


def _equal_coils(bike: Bike) -> CoilSet:
    springs = bike.springs
    if not isinstance(springs, CoilSet):
        message = "this clutch has a diaphragm spring, not coil springs on bosses"
        raise Refusal(message)
    unlike = len({replace(spring, position=0) for spring in springs.springs}) > 1
    if unlike or len(springs.springs) < springs.bosses:
        message = "springs that differ or are left out already have no patterns to count; describe the clutch as built"
        raise Refusal(message)
    if springs.bosses > MOST_BOSSES:
        message = f"{springs.bosses} springs; patterns are counted for up to {MOST_BOSSES}"
        raise Refusal(message)
    return springs


def _steps(kinds: Sequence[int], rate_share: float) -> tuple[Step, ...]:
    softer, empty = (tuple(place + 1 for place, kind in enumerate(kinds) if kind == one) for one in (SOFTER, EMPTY))
    steps = []
    if softer:
        steps.append(Step("springs-softer", {"rate_share": rate_share, "positions": softer}))
    if empty:
        steps.append(Step("springs-fewer", {"left_out": empty}))
    return tuple(steps)


def _figures(bike: Bike, steps: Sequence[Step]) -> dict[str, float]:
    """Figures whatever the limits say; equal springs, so only how many of each kind counts, not where they sit."""
    for step in steps:
        change = find(step.kind)
        bike = change.apply(bike, change.values(step.parameters))
    figures = measure(bike, respond(bike))
    return {key: float(figures[key]) for key in SHOWN}


def _judged(
    bike: Bike, kinds: tuple[int, ...], steps: tuple[Step, ...], figures: dict[str, float], rate_share: float
) -> SpringPattern:
    bosses = len(kinds)
    x, y = places(range(bosses), bosses=bosses, circle_radius=1.0)
    rates = np.array([(1.0, rate_share, 0.0)[kind] for kind in kinds])
    empty = np.array([float(kind == EMPTY) for kind in kinds])
    unbalance = float(static_unbalance(empty, x=x, y=y))
    return SpringPattern(
        kinds=kinds,
        steps=steps,
        unbalance=unbalance,
        unbalance_share=_share_of_grade(bike, unbalance),
        off_centre=float(np.hypot(*centroid(rates, x=x, y=y))),
        softness=softness(rates, bosses=bosses, x=x, y=y),
        figures=figures,
        refusal=_refusal(bike, steps),
    )


def _share_of_grade(bike: Bike, unbalance: float) -> float | None:
    springs, drive = bike.springs, bike.drive
    if not isinstance(springs, CoilSet) or springs.mass is None or drive.clutch_mass is None or drive.top_speed is None:
        return None
    speed = drive.top_speed / drive.primary_ratio
    allowed = permissible_unbalance(grade=BALANCE_GRADE, mass=drive.clutch_mass, speed=speed)
    return float(unbalance * springs.mass * springs.circle_radius / allowed)


def _refusal(bike: Bike, steps: Sequence[Step]) -> str:
    try:
        apply(bike, steps)
    except Refusal as refusal:
        return str(refusal)
    return ""


def _rank(found: SpringPattern) -> tuple[object, ...]:
    evenness = (round(value, 9) for value in (found.unbalance, found.off_centre, found.softness))
    return bool(found.refusal), -round(found.figures["pull_peak_N"], 9), *evenness, found.kinds
