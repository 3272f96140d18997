"""What a lever asks of one hand: effort along the stroke, reach, and the riding it is light enough for."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields

import numpy as np

from clutchwright import handfile
from clutchwright.bike import Bike
from clutchwright.chain import Response
from clutchwright.hand.acceptable import SHIFT
from clutchwright.hand.day import Day, effort_for, possible_times, ride_day, ride_fatigue
from clutchwright.hand.effort import Effort, effort, reach, target_pull
from clutchwright.hand.estimate import Estimate
from clutchwright.hand.fingers import FINGERS, Finger
from clutchwright.hand.hand import EstimatedHand, Hand, estimate_hand
from clutchwright.hand.riding import Riding
from clutchwright.handfile import LeverPlace, MeasuredHand, Posture
from clutchwright.quantity import Array

HOUR = 3600.0  # [s]
SHORT_RIDE = 0.5 * HOUR  # [s]
LONGEST_H = SHIFT / HOUR  # the models end here: this many hours means as many or more
TRACE_POINTS = 240

PARTS = tuple(field.name for field in fields(Hand) if field.name != "pulling")
SCORES = len(PARTS) + 2  # the parts of a hand, the acceptable effort, the models' disagreement


@dataclass(frozen=True, slots=True)
class Rider:
    """Whose hand pulls, and what for.

    Parameters
    ----------
    hand : MeasuredHand
        The hand as filed.
    riding : Riding
        Kind of riding.
    time : float
        Riding time wanted [s], up to eight hours.
    scores : Array | None
        Standard normal scores of possible hands, shape (samples, ``SCORES``) [-]; None for none.
    """

    hand: MeasuredHand
    riding: Riding
    time: float
    scores: Array | None = None


@dataclass(frozen=True, slots=True)
class Stroke:
    """What the lever asks, to be held against a hand.

    Parameters
    ----------
    place : LeverPlace
        Where the lever stands, as it is and as it is to be assessed [m, rad].
    rest_span, stop_span : float
        Span with the lever at rest and at its stop [m].
    release_travel : float
        Finger travel at a clean release [m]; NaN where it is never reached.
    response : Response
        Pull and return along the stroke [N].
    pull_spread : float
        Relative standard uncertainty of the pull [-].
    possible_pulls : Array | None
        Peak pulls of possible bikes over the nominal one, shape (samples,) [-]; None for none.
    """

    place: LeverPlace
    rest_span: float
    stop_span: float
    release_travel: float
    response: Response
    pull_spread: float
    possible_pulls: Array | None = None

    @property
    def spans(self) -> Array:
        """Span at each position of the pull [m]."""
        return self.rest_span - self.response.travel

    def returning(self) -> Array:
        """Least force that holds the lever, at the travels of the pull [N]."""
        return self.along(self.response.travel)[2]

    def along(self, travels: Array) -> tuple[Array, Array, Array]:
        """Span [m], pull [N] and return [N] at finger travels [m]."""
        pull = np.interp(travels, self.response.travel, self.response.pull)
        returning = np.interp(travels, self.response.return_travel, self.response.returning)
        return self.rest_span - travels, pull, returning


def lever_place(before: Bike, now: Bike) -> LeverPlace:
    """Where the lever stands on the bike as it is, on which the hand was measured, and on the one to be assessed."""
    level, level_now = before.lever.level_angle, now.lever.level_angle
    return LeverPlace(
        float(before.lever.rest_span),
        None if level is None else float(level),
        None if level_now is None else float(level_now),
    )


@dataclass(frozen=True, slots=True)
class PostureEffort:
    """Effort of the hand in one posture. Shares are of what the hand can do at that span; 1 is all it has.

    Parameters
    ----------
    posture : str
        ``seated`` or ``standing``.
    wrist_extension_deg : float
        Extension of the wrist, flexion below 0.
    parts : mapping of str to Estimate
        What the capacity is made of, SI units.
    spread : float
        Relative standard uncertainty of the effort shares [-].
    capacity_N : tuple of float
        Greatest pull at each travel of the assessment's curve.
    effort_share, hold_share : tuple of float
        Pull, and return, over it.
    effort_peak : float
        Greatest share while pulling.
    peak_span_mm : float
        Span where it is.
    effort_hold : float
        Share at the lever's stop with friction helping.
    effort_hold_unhelped : float
        The same without its help.
    hours_p50, hours_p10 : float
        Riding time the lever is light enough for: the median, and what nine in ten such hands last; 8 means 8 or more.
    target_pull_N, target_pull_p10_N : float
        Peak pull that would be light enough for the time wanted, for the median and for nine in ten.
    once_pull_N : float
        Peak pull that the hand can just do, once.
    short_pull_N : float
        Peak pull that would be light enough for ``SHORT_RIDE``, for the median.
    tires : float | None
        Share of possible hands and bikes that tire before the time wanted; None without samples.
    day : Day
        The day in the models' own figures, second opinions among them.
    """

    posture: Posture
    wrist_extension_deg: float
    parts: Mapping[str, Estimate]
    spread: float
    capacity_N: tuple[float, ...]
    effort_share: tuple[float, ...]
    hold_share: tuple[float, ...]
    effort_peak: float
    peak_span_mm: float
    effort_hold: float
    effort_hold_unhelped: float
    hours_p50: float
    hours_p10: float
    target_pull_N: float
    target_pull_p10_N: float
    once_pull_N: float
    short_pull_N: float
    tires: float | None
    day: Day


@dataclass(frozen=True, slots=True)
class HandReach:
    """Whether the hand gets to the lever; margins above 0 are good.

    Parameters
    ----------
    reach_mm, reach_u_mm : float
        Farthest comfortable span and its standard uncertainty.
    rest_span_mm : float
        Span with the lever at rest.
    release_span_mm : float
        Span at a clean release; NaN where it is never reached.
    to_rest_mm, to_release_mm : float
        Reach minus each of the two.
    after_release_mm : float
        Room between the release point and the lever's stop, less a finger where some stay on the grip.
    finger_mm : float
        Depth of a finger that stays on the grip; 0 where all four pull.
    """

    reach_mm: float
    reach_u_mm: float
    rest_span_mm: float
    release_span_mm: float
    to_rest_mm: float
    to_release_mm: float
    after_release_mm: float
    finger_mm: float

    @property
    def reaches(self) -> bool:
        """Whether the lever at rest lies inside the comfortable reach."""
        return self.to_rest_mm >= 0.0

    @property
    def releases(self) -> bool:
        """Whether the release point lies inside the reach and clear of what stops the lever."""
        return self.to_release_mm >= 0.0 and self.after_release_mm >= 0.0


@dataclass(frozen=True, slots=True)
class HandAssessment:
    """What a lever asks of one hand.

    Parameters
    ----------
    told : MeasuredHand
        The hand as filed.
    pulling : tuple of str
        Fingers on the lever.
    riding : Riding
        Kind of riding.
    hours : float
        Riding time wanted.
    seated : PostureEffort
        Effort in the saddle.
    standing : PostureEffort | None
        Effort on the footrests; None where that wrist angle is not given.
    reach : HandReach
        Whether the hand gets to the lever.
    ride_hours, remaining : tuple of float
        Capacity left over the wanted time after pulls in the saddle, by the three-compartment model [-]; empty where
        the hand cannot pull the lever in.
    assumed : tuple of str
        Keys of the hand file that nobody measured, and parts of the capacity that are assumptions.
    """

    told: MeasuredHand
    pulling: tuple[Finger, ...]
    riding: Riding
    hours: float
    seated: PostureEffort
    standing: PostureEffort | None
    reach: HandReach
    ride_hours: tuple[float, ...]
    remaining: tuple[float, ...]
    assumed: tuple[str, ...]

    @property
    def postures(self) -> tuple[PostureEffort, ...]:
        """Seated, and standing where it is known."""
        return (self.seated,) if self.standing is None else (self.seated, self.standing)

    @property
    def counting(self) -> tuple[PostureEffort, ...]:
        """Those known postures that this riding is done in."""
        return self.postures if self.riding.standing else (self.seated,)

    @property
    def light_enough(self) -> bool:
        """Whether the median of such hands lasts the wanted time in every posture that counts."""
        return all(posture.hours_p50 >= self.hours for posture in self.counting)


def assess_hand(rider: Rider, lever: Stroke, travels: Array) -> HandAssessment:
    """Hold a lever against a hand.

    Parameters
    ----------
    rider : Rider
        Hand, riding and time wanted.
    lever : Stroke
        What the lever asks.
    travels : Array
        Finger travels to give the curves at [m].

    Returns
    -------
    HandAssessment
        See there.

    Raises
    ------
    InputError
        For a wanted time outside the eight-hour day, or a wrist that cannot be worked out.
    ModelRangeError
        For a wrist or a span outside the tables.
    """
    seated = _posture(rider, lever, travels, "seated")
    hand = EstimatedHand(seated.parts, handfile.facts(rider.hand, lever.place).pulling)
    ride_hours, remaining = _ride(rider, seated) if seated.day.pulled else ((), ())
    known = "standing" in rider.hand.postures
    return HandAssessment(
        told=rider.hand,
        pulling=hand.pulling,
        riding=rider.riding,
        hours=rider.time / HOUR,
        seated=seated,
        standing=_posture(rider, lever, travels, "standing") if known else None,
        reach=_reach(hand, lever),
        ride_hours=ride_hours,
        remaining=remaining,
        assumed=(*rider.hand.assumed, *hand.assumed()),
    )


def _ride(rider: Rider, seated: PostureEffort) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Hours, and capacity left at them."""
    trace = ride_fatigue(seated.effort_hold, rider.riding, rider.time)
    shown = np.unique(np.linspace(0, (len(trace.time) - 1) // 2, TRACE_POINTS).round().astype(int)) * 2
    shown[1:] -= 1  # the end of a pull stands before the end of its rest
    return tuple((trace.time[shown] / HOUR).tolist()), tuple(trace.remaining[shown].tolist())


def _posture(rider: Rider, lever: Stroke, travels: Array, posture: Posture) -> PostureEffort:
    facts = handfile.facts(rider.hand, lever.place, posture)
    hand = estimate_hand(facts)
    pull, along = lever.response.pull, lever.along(travels)
    today = effort(hand.nominal(), span=lever.spans, pull=pull, release=lever.returning())
    curve = effort(hand.nominal(), span=along[0], pull=along[1], release=along[2])
    peak_span = float(lever.spans[int(np.argmax(today.pulling))])
    spread = float(np.hypot(hand.relative_spread(peak_span), lever.pull_spread))
    day = ride_day(
        peak=float(today.peak),
        hold=float(today.hold),
        riding=rider.riding,
        time=rider.time,
        spread=spread,
        wrist_extension=facts.wrist_extension,
    )
    shares = (*day.target_effort, 1.0, effort_for(SHORT_RIDE, rider.riding, spread)[0])
    target, target_p10, once, short = (float(target_pull(today, pull=pull, share=share)) for share in shares)
    times = _possible_times(rider, lever, hand)
    p50, p10 = (day.time.p50, day.time.p10) if times is None else np.quantile(times, (0.5, 0.1)).tolist()
    return PostureEffort(
        posture=posture,
        wrist_extension_deg=math.degrees(facts.wrist_extension),
        parts=hand.parts,
        spread=spread,
        capacity_N=tuple(curve.capacity.tolist()),
        effort_share=tuple(curve.pulling.tolist()),
        hold_share=tuple(curve.holding.tolist()),
        effort_peak=float(today.peak),
        peak_span_mm=peak_span * 1e3,
        effort_hold=float(today.hold),
        effort_hold_unhelped=float(today.hold_before_slip),
        hours_p50=float(p50) / HOUR,
        hours_p10=float(p10) / HOUR,
        target_pull_N=target,
        target_pull_p10_N=target_p10,
        once_pull_N=once,
        short_pull_N=short,
        tires=None if times is None else float(np.mean(times < rider.time)),
        day=day,
    )


def _possible_times(rider: Rider, lever: Stroke, hand: EstimatedHand) -> Array | None:
    """Riding times [s] of possible hands on possible bikes, whose pull curves keep their shape; None without them."""
    if rider.scores is None or lever.possible_pulls is None:
        return None
    columns = dict(zip(PARTS, rider.scores.T[..., np.newaxis], strict=False))
    uncertain = {name: column for name, column in columns.items() if hand.parts[name].u > 0.0}
    drawn: Effort = effort(hand.drawn(uncertain), span=lever.spans, pull=lever.response.pull, release=0.0)
    peaks = np.broadcast_to(drawn.peak, lever.possible_pulls.shape) * lever.possible_pulls
    return possible_times(peaks, rider.riding, rider.scores.T[-2:])


def _reach(hand: EstimatedHand, lever: Stroke) -> HandReach:
    release_span = lever.rest_span - lever.release_travel
    found = reach(hand.nominal(), rest_span=lever.rest_span, release_span=release_span, bare_stop=lever.stop_span)
    return HandReach(
        reach_mm=hand.parts["reach"].value * 1e3,
        reach_u_mm=hand.parts["reach"].u * 1e3,
        rest_span_mm=lever.rest_span * 1e3,
        release_span_mm=release_span * 1e3,
        to_rest_mm=float(found.to_rest) * 1e3,
        to_release_mm=float(found.to_release) * 1e3,
        after_release_mm=float(found.after_release) * 1e3,
        finger_mm=0.0 if hand.pulling == FINGERS else hand.parts["finger_thickness"].value * 1e3,
    )
