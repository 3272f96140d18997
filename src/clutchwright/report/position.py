"""Where the lever should stand, in sentences and as data."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from rich.console import Console

from clutchwright.changes import find
from clutchwright.hand.day import MEDICAL_CAUTION
from clutchwright.numbers import decimal_text, with_unit
from clutchwright.plain import printable
from clutchwright.report.data import to_json
from clutchwright.report.figures import shown
from clutchwright.report.hand import effort_text, hours_text, riding_text
from clutchwright.report.terminal import STYLES, Terminal
from clutchwright.study.lever_position import FINGER_MARGIN, LeverPosition, Limit

_NONE_SUITS = "No place suits this hand"
_LIMITS: dict[Limit, str] = {
    "blade": "Further inboard the fingers would leave the blade.",
    "blade unknown": "The perch is left where it is, since lever.blade_length_mm is not in the bike file: measure it.",
    "reach": "Further inboard the hand would no longer reach a lever that still releases.",
    "margin": (
        "With the screw further in, less than {lift} mm of lift would be left beyond a clean release, which 19 in 20 "
        f"bikes with such measurements need, or less than {FINGER_MARGIN * 1e3:g} mm at the finger."
    ),
}
_LESS_NOW = "As it is, the clutch releases with less to spare than is asked for here."
_NO_TURN = "Its angle is left: the lever's angle, or the wrist's, was not measured."


def shortfall(position: LeverPosition) -> str:
    """What even the best place does not do, in one sentence; empty where it does all."""
    hand = position.assessment.hand
    if "out of reach" in position.limits:
        return f"{_NONE_SUITS}: wherever it stands, a lever that still releases is beyond its reach. The nearest:"
    if hand is None or hand.light_enough:
        return ""
    if not hand.seated.day.pulled:
        return f"{_NONE_SUITS}: wherever it stands, the pull is more than it has in the saddle. The least:"
    return (
        f"{_NONE_SUITS}: wherever it stands, it is not light enough for {hand.hours:g} h of {riding_text(hand)}. Best:"
    )


def advice(position: LeverPosition) -> str:
    """What to do, in one sentence."""
    parts = {step.kind: step.parameters for step in position.steps}
    does = []
    if "perch-shift" in parts:
        does.append(f"move the perch {_mm(position.shift_mm, 0)} inboard")
    if "reach-screw" in parts:
        does.append(f"set the reach screw to a rest span of {_mm(position.rest_span_mm, 1)}")
    if "lever-turn" in parts and position.turn_deg is not None:
        way = "up" if position.turn_deg > 0.0 else "down"
        does.append(f"turn the lever {way} by {decimal_text(abs(position.turn_deg), 0)}°")
    if not does:
        return "Leave the lever where it is: no other place is worth it."
    return "; ".join([does[0][:1].upper() + does[0][1:], *does[1:]]) + "."


def gains(position: LeverPosition) -> tuple[str, ...]:
    """What that is worth, what limits it, and what is left beyond a clean release."""
    now = position.assessment
    before = now.before or now
    if now.hand is None or before.hand is None:
        return ()
    figures = now.figures
    hours = f"{hours_text(now.hand.seated.hours_p50)} of {riding_text(now.hand)}"
    pull = f"{decimal_text(before.figures['pull_peak_N'], 0)} to {decimal_text(figures['pull_peak_N'], 0)}"
    lift = decimal_text(position.lift_margin_mm, 2)
    margin = " and ".join(shown(now, key) for key in ("release_margin_mm", "release_margin_finger_mm"))
    return (
        f"Peak effort from {effort_text(before.hand.seated)} to {effort_text(now.hand.seated)} of what the "
        f"hand can do in the saddle, peak pull from {with_unit(pull, 'N')}; light enough for {hours} "
        f"(as it is: {hours_text(before.hand.seated.hours_p50)}).",
        f"Beyond a clean release it leaves {margin} at the finger. The clutch is then {now.verdict.word}.",
        *((_LESS_NOW,) if before.figures["release_margin_mm"] < position.lift_margin_mm else ()),
        *(_LIMITS[limit].format(lift=lift) for limit in position.limits if limit in _LIMITS),
        *((_NO_TURN,) if position.turn_deg is None else ()),
    )


def cautions(position: LeverPosition) -> tuple[str, ...]:
    """What to mind when doing it."""
    return (*(find(step.kind).caution for step in position.steps), MEDICAL_CAUTION)


def print_position(position: LeverPosition, console: Console) -> None:
    """Print a lever position.

    Parameters
    ----------
    position : LeverPosition
        What was found.
    console : rich.console.Console
        Where to.
    """
    page, now = Terminal(console), position.assessment
    hand = "" if now.hand is None else f" in the hand: {printable(now.hand.told.name)}"
    page.line(f"{printable(now.name)}{hand}", "bold")
    short = shortfall(position)
    if short:
        page.line(short, STYLES["marginal"])
    page.line(advice(position), STYLES["sound"])
    page.points(gains(position))
    if position.steps:
        page.heading("All about it")
        page.line("clutchwright assess BIKE --hand HAND " + " ".join(f"--with {step}" for step in position.steps))
    page.heading("Mind")
    page.points(cautions(position))


def position_data(position: LeverPosition) -> dict[str, Any]:
    """A lever position as data.

    Parameters
    ----------
    position : LeverPosition
        What was found.

    Returns
    -------
    dict
        With the assessment of the bike so changed under ``assessment``.
    """
    return {
        "shortfall": shortfall(position),
        "advice": advice(position),
        "shift_mm": position.shift_mm,
        "rest_span_mm": position.rest_span_mm,
        "lift_margin_mm": position.lift_margin_mm,
        "turn_deg": position.turn_deg,
        "effort_peak": position.effort_peak,
        "farthest_mm": position.farthest_mm,
        "limits": list(position.limits),
        "steps": [str(step) for step in position.steps],
        "trade": {key: list(values) for key, values in asdict(position.trade).items()},
        "cautions": list(cautions(position)),
        "assessment": to_json(position.assessment),
    }


def _mm(length: float, decimals: int) -> str:
    return with_unit(decimal_text(length, decimals), "mm")
