"""Where the lever should stand: the perch, the reach screw and the lever's angle that cost a hand the least effort.

Three findings make it small. The wrist alone feels the lever's angle, so that is found by itself. At one place of the
perch a smaller rest span only helps: each position of the stroke comes nearer to the hand's best span, and nothing else
changes. So the best rest span is the least one from which the clutch still releases with margin, and that is explicit
in the chain. What remains is one unknown, the shift of the perch.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from clutchwright import handfile
from clutchwright.assess.verdict import RULES
from clutchwright.bike import Bike
from clutchwright.bikefile import MeasuredBike, assemble
from clutchwright.chain import at_lift, respond
from clutchwright.changes import Step, find
from clutchwright.errors import Refusal
from clutchwright.hand.effort import effort
from clutchwright.hand.hand import Hand, estimate_hand
from clutchwright.hand.span import WIDEST
from clutchwright.handfile import LeverPlace
from clutchwright.physics import PULL
from clutchwright.study.assessment import Assessment, assess
from clutchwright.study.hand_assessment import Rider, lever_place
from clutchwright.study.tolerance import Sample

Limit = Literal["blade", "blade unknown", "reach", "margin", "out of reach"]

_COMFORT = {rule.key: rule.comfort for rule in RULES}
LIFT_MARGIN = _COMFORT["release_margin_mm"] * 1e-3  # [m]
NINETEEN_IN_TWENTY = 1.6448536269514722  # normal deviate of 95 %
FINGER_MARGIN = _COMFORT["release_margin_finger_mm"] * 1e-3  # [m]
# own judgement, no source: so little effort is not worth margin given away, nor a screw or a perch moved
WORTH = 0.005
TRADE_POINTS = 33
_TURNS = np.radians(np.arange(-60.0, 61.0))  # lever raised above 0
_MOST_SHIFT = next(value.high for value in find("perch-shift").parameters) * 1e-3  # [m]


@dataclass(frozen=True, slots=True)
class Trade:
    """What a shift of the perch buys and costs; tuples of the same length.

    Parameters
    ----------
    shift_mm : tuple of float
        Perch moved inboard.
    effort_screw_left : tuple of float
        Peak effort with the reach screw left as it is [-].
    effort_least : tuple of float
        Peak effort at the least rest span [-].
    rest_span_left_mm : tuple of float
        Rest span with the reach screw left as it is.
    rest_span_least_mm : tuple of float
        Least rest span from which the clutch still releases with margin.
    """

    shift_mm: tuple[float, ...]
    effort_screw_left: tuple[float, ...]
    effort_least: tuple[float, ...]
    rest_span_left_mm: tuple[float, ...]
    rest_span_least_mm: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class LeverPosition:
    """The best place for the lever, and what it is worth.

    Parameters
    ----------
    shift_mm : float
        Perch moved inboard.
    rest_span_mm : float
        Rest span after it.
    lift_margin_mm : float
        Lift to spare that was asked for: what is comfortable, or what 19 in 20 possible bikes need if that is more.
    effort_peak : float
        Peak effort share there in the saddle, before the lever is turned [-].
    farthest_mm : float
        Farthest shift from which the hand still reaches a lever that releases, on the blade.
    turn_deg : float | None
        Lever raised by this angle; None where the wrist's or the lever's angle was not measured.
    limits : tuple of str
        What kept it from being better still.
    steps : tuple of Step
        The changes that bring the lever there.
    trade : Trade
        What a shift of the perch buys and costs.
    assessment : Assessment
        Of the bike so changed; the bike as it is in ``before``, unless nothing is to be changed.
    """

    shift_mm: float
    rest_span_mm: float
    lift_margin_mm: float
    effort_peak: float
    farthest_mm: float
    turn_deg: float | None
    limits: tuple[Limit, ...]
    steps: tuple[Step, ...]
    trade: Trade
    assessment: Assessment


def find_position(measured: MeasuredBike, rider: Rider, sample: Sample | None = None) -> LeverPosition:
    """Find the place of the lever that costs a hand the least peak effort while the clutch releases with margin.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.
    rider : Rider
        Whose hand pulls.
    sample : Sample | None
        Possible bikes, for the assessment of the result.

    Returns
    -------
    LeverPosition
        In steps that hands can set: whole millimetres of the perch, half ones of the screw, whole degrees.

    Raises
    ------
    Refusal
        Where the clutch does not release with margin wherever the lever stands.
    """
    bike = assemble(measured)
    hand = estimate_hand(handfile.facts(rider.hand, lever_place(bike, bike))).nominal()
    u = assess(measured).u["release_margin_mm"] * 1e-3
    room = _Room(bike, max(LIFT_MARGIN, NINETEEN_IN_TWENTY * u), float(hand.reach))
    least = room.least(0.0)
    if not least <= WIDEST:
        what = "no rest span at all" if math.isnan(least) else f"only a rest span of {least * 1e3:.0f} mm"
        message = f"{what} would let the clutch release with margin (at most {WIDEST * 1e3:.0f}); change something else"
        raise Refusal(message)
    farthest, limit = room.farthest()
    shift = math.floor(_best_shift(room, hand, farthest) * 1e3 + 1e-6) / 1e3
    rest_span = _best_rest_span(room, hand, shift)
    turn = _best_turn(rider, bike)
    steps = _steps(bike, shift, rest_span, turn)
    limits: list[Limit] = [limit] if shift > farthest - 1.5e-3 else []
    if rest_span < room.least(shift) + 1e-3 and limit != "out of reach":
        limits.append("margin")
    return LeverPosition(
        shift_mm=round(shift * 1e3, 3),
        rest_span_mm=round(rest_span * 1e3, 3),
        lift_margin_mm=room.lift_margin * 1e3,
        effort_peak=peak_effort(placed(bike, shift, rest_span), hand),
        farthest_mm=farthest * 1e3,
        turn_deg=None if turn is None else math.degrees(turn),
        limits=tuple(limits),
        steps=steps,
        trade=_trade(room, hand),
        assessment=assess(measured, steps, sample, rider),
    )


def placed(bike: Bike, shift: float, rest_span: float) -> Bike:
    """The bike with its perch moved inboard [m], then its reach screw set to a rest span [m]."""
    return find("reach-screw").apply(shifted(bike, shift), {"rest_span": rest_span})


def shifted(bike: Bike, shift: float) -> Bike:
    """The bike with its perch moved inboard [m], its reach screw left."""
    return find("perch-shift").apply(bike, {"shift": shift})


def least_rest_span(bike: Bike, shift: float, lift_margin: float = LIFT_MARGIN) -> float:
    """Least rest span from which the clutch still releases with margin.

    Parameters
    ----------
    bike : Bike
        The bike as it is.
    shift : float
        Perch moved inboard [m].
    lift_margin : float
        Lift to spare beyond a clean release [m].

    Returns
    -------
    float
        Stop span plus the larger of two travels [m]: to a clean release and 3 mm more, and to a clean release with that
        lift to spare. NaN where the lever cannot draw so much cable.

    References
    ----------
    Own derivation: finger travel at a lift does not depend on the rest span.
    """
    moved = shifted(bike, shift)
    lift = moved.pack.release_lift(moved.engaged_clamp)
    travels = [float(at_lift(moved, lift + more, PULL).travel) for more in (0.0, lift_margin)]
    return float(moved.lever.stop_span) + float(np.maximum(travels[0] + FINGER_MARGIN, travels[1]))


def peak_effort(bike: Bike, hand: Hand) -> float:
    """Peak effort share of a hand on a bike [-]."""
    response = respond(bike)
    spans = bike.lever.rest_span - response.travel
    return float(effort(hand, span=spans, pull=response.pull, release=response.pull).peak)


@dataclass(frozen=True, slots=True)
class _Room:
    """Where the lever may stand: lift to spare, and comfortable reach, both [m]."""

    bike: Bike
    lift_margin: float
    reach: float

    def least(self, shift: float) -> float:
        """Least rest span at a shift of the perch [m]."""
        return least_rest_span(self.bike, shift, self.lift_margin)

    @property
    def blade(self) -> float:
        """How far the perch can move inboard before the fingers leave the blade [m]; 0 where that is not known."""
        lever = self.bike.lever
        if lever.blade_length is None:
            return 0.0
        return max(0.0, min(float(lever.blade_length - lever.finger_radius), _MOST_SHIFT))

    def farthest(self) -> tuple[float, Limit]:
        """Farthest shift [m] from which the hand still reaches a lever that releases, and what sets it."""

        def spare(shift: float) -> float:
            return self.reach - self.least(shift)

        if spare(0.0) < 0.0:
            return 0.0, "out of reach"
        if spare(self.blade) >= 0.0:
            return self.blade, "blade" if self.bike.lever.blade_length is not None else "blade unknown"
        from scipy.optimize import brentq

        return float(brentq(spare, 0.0, self.blade, xtol=1e-6)), "reach"


def _best_shift(room: _Room, hand: Hand, farthest: float) -> float:
    """Shift with the least effort at the least rest span [m]; none where it is not worth it."""

    def cost(shift: float) -> float:
        return peak_effort(placed(room.bike, shift, room.least(shift)), hand)

    if farthest < 1e-3:
        return 0.0
    from scipy.optimize import minimize_scalar

    grid = np.linspace(0.0, farthest, TRADE_POINTS)
    costs = np.array([cost(shift) for shift in grid])
    best = int(np.argmin(costs))
    around = (grid[max(0, best - 1)], grid[min(best + 1, len(grid) - 1)])
    refined = minimize_scalar(cost, bounds=around, method="bounded", options={"xatol": 1e-5})
    if costs[0] <= min(costs[best], refined.fun) * (1.0 + WORTH):
        return 0.0
    return float(refined.x) if refined.fun < costs[best] else float(grid[best])


def _best_rest_span(room: _Room, hand: Hand, shift: float) -> float:
    """Rest span with the least effort at a shift, the nearest such to what the screw gives now, in half mm [m]."""
    least, left = room.least(shift), _left(room, shift)
    tightest = math.ceil(least * 2e3 - 1e-6)
    spans = [half / 2e3 for half in range(tightest, math.floor(min(room.reach, left) * 2e3 + 1e-6) + 1)]
    if least <= left <= room.reach:
        spans.append(left)
    if not spans:  # the screw must be turned out, or the lever is out of reach anyway
        return tightest / 2e3
    worth = peak_effort(placed(room.bike, shift, spans[0]), hand) * (1.0 + WORTH)
    return next(span for span in reversed(spans) if peak_effort(placed(room.bike, shift, span), hand) <= worth)


def _best_turn(rider: Rider, bike: Bike) -> float | None:
    """Least turn of the lever [rad], raised above 0, that leaves the wrist strongest in its weaker posture."""
    level = bike.lever.level_angle
    if level is None or rider.hand.quantities[rider.hand.wrist_key("seated")].assumed:
        return None
    limits = next(value for value in find("lever-turn").parameters if value.name == "level_angle_deg")
    best, strongest = 0.0, 0.0
    for turn in sorted(_TURNS, key=abs):
        place = LeverPlace(float(bike.lever.rest_span), float(level), float(level - turn))
        angles = [handfile.wrist_extension(rider.hand, place, posture).value for posture in rider.hand.postures]
        in_range = turn == 0.0 or limits.low <= math.degrees(level - turn) <= limits.high
        if not in_range or max(map(abs, angles)) > math.radians(65.0):
            continue
        hands = [estimate_hand(handfile.facts(rider.hand, place, posture)) for posture in rider.hand.postures]
        weakest = min(hand.parts["wrist"].value for hand in hands)
        if weakest > strongest * (1.0 + WORTH):
            best, strongest = float(turn), weakest
    return best


def _steps(bike: Bike, shift: float, rest_span: float, turn: float | None) -> tuple[Step, ...]:
    """The changes to make, without those too small to set."""
    steps = [Step("perch-shift", {"shift_mm": round(shift * 1e3, 3)})] if shift >= 1e-3 else []
    left = float(shifted(bike, shift if steps else 0.0).lever.rest_span)
    if abs(rest_span - left) >= 0.5e-3:
        steps.append(Step("reach-screw", {"rest_span_mm": round(rest_span * 1e3, 3)}))
    if turn and bike.lever.level_angle is not None:
        level = math.degrees(float(bike.lever.level_angle) - turn)
        steps.append(Step("lever-turn", {"level_angle_deg": round(level, 3)}))
    return tuple(steps)


def _trade(room: _Room, hand: Hand) -> Trade:
    every = np.linspace(0.0, room.blade, TRADE_POINTS if room.blade > 0.0 else 1)
    # the hand model knows no wider spans
    shifts = [shift for shift in every.tolist() if max(_left(room, shift), room.least(shift)) <= WIDEST]
    least = [room.least(shift) for shift in shifts]
    at_least = [placed(room.bike, shift, span) for shift, span in zip(shifts, least, strict=True)]
    return Trade(
        shift_mm=_millimetres(shifts),
        effort_screw_left=tuple(peak_effort(shifted(room.bike, shift), hand) for shift in shifts),
        effort_least=tuple(peak_effort(bike, hand) for bike in at_least),
        rest_span_left_mm=_millimetres([_left(room, shift) for shift in shifts]),
        rest_span_least_mm=_millimetres(least),
    )


def _left(room: _Room, shift: float) -> float:
    """Rest span at a shift with the reach screw left [m]."""
    return float(shifted(room.bike, shift).lever.rest_span)


def _millimetres(lengths: Sequence[float]) -> tuple[float, ...]:
    return tuple(length * 1e3 for length in lengths)
