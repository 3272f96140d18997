"""From a hand as measured, and the lever it pulls, to what the hand model asks for; SI units."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

from clutchwright.errors import InputError, ModelRangeError
from clutchwright.hand.estimate import Basis, Estimate
from clutchwright.hand.fingers import FINGERS, Finger
from clutchwright.hand.hand import HandFacts
from clutchwright.hand.norms import Sex
from clutchwright.hand.span import optimum_span, reach_from_feel, reach_from_length, span_factor_estimate
from clutchwright.hand.strength import (
    Strength,
    bathroom_scale_strength,
    dynamometer_strength,
    lever_scale_strength,
    norm_strength,
    painless_strength,
)
from clutchwright.handfile.measured import MeasuredHand, Posture
from clutchwright.handfile.schema import REACH_KEYS
from clutchwright.quantity import si_factor


@dataclass(frozen=True, slots=True)
class LeverPlace:
    """Where the lever stands: as the bike is, on which the hand was measured, and as it is to be assessed.

    Parameters
    ----------
    rest_span : float
        Span with the lever at rest, bike as it is [m].
    level : float | None
        Lever below the horizontal, bike as it is [rad]; None when not measured.
    level_now : float | None
        The same after the changes to be assessed [rad].
    """

    rest_span: float
    level: float | None
    level_now: float | None


def check_hand(measured: MeasuredHand) -> None:
    """Refuse values that do not fit each other.

    Parameters
    ----------
    measured : MeasuredHand
        Each value in its own range; of some sections only, then what hangs on the others is left unchecked.

    Raises
    ------
    InputError
        Naming one of them; the source is left open.
    """
    given = tuple(key for key in REACH_KEYS if key in measured.quantities or measured.choices.get(key) is True)
    if len(given) > 1:
        allowed = f"stands beside {given[0].partition('.')[2]}, and both say how far the hand reaches; give one of them"
        raise InputError(given[1], None, allowed, others=given[:1])
    if "strength.kind" not in measured.choices:
        return
    try:
        strength(measured)
    except ModelRangeError as error:
        age = "rider.age_years"
        raise InputError(age, measured.choices[age], _advice(error), others=("strength.kind",)) from None


def _advice(error: ModelRangeError) -> str:
    """What is allowed, without the value that the message begins with."""
    return str(error).partition(": ")[2]


def strength(measured: MeasuredHand) -> Strength:
    """Strength of a hand as its file tells it.

    Parameters
    ----------
    measured : MeasuredHand
        The hand.

    Returns
    -------
    Strength
        Grip [N], and which factors it contains.

    Raises
    ------
    ModelRangeError
        For an age outside the norms, where they are needed.
    """
    match measured.choices["strength.kind"]:
        case "dynamometer":
            grip = _estimate(measured, "strength.grip_kgf")
            return dynamometer_strength(grip.value, grip.u)
        case "painless":
            grip = _estimate(measured, "strength.grip_kgf")
            return painless_strength(grip.value, grip.u)
        case "bathroom_scale":
            squeeze = _estimate(measured, "strength.scale_kgf")
            hands = int(measured.choices["strength.hands"])
            return bathroom_scale_strength(squeeze.value, hands, squeeze.relative)
        case "lever_scale":
            return _lever_scale(measured)
    choices: dict[str, Any] = dict(measured.choices)
    return norm_strength(_sex(measured), choices.get("rider.age_years"), choices.get("strength.percentile"))


def _lever_scale(measured: MeasuredHand) -> Strength:
    force, hook, finger, span = (
        _estimate(measured, f"strength.{name}")
        for name in ("scale_kgf", "hook_radius_mm", "finger_radius_mm", "span_mm")
    )
    factor = span_factor_estimate(span.value, optimum_span(_sex(measured), _known(measured, "size.hand_span_mm")))
    return lever_scale_strength(
        force=force.value,
        hook_radius=hook.value,
        finger_radius=finger.value,
        span_factor=factor,
        reading_spread=math.hypot(force.relative, hook.relative, finger.relative),
    )


def facts(measured: MeasuredHand, place: LeverPlace, posture: Posture = "seated") -> HandFacts:
    """What the hand model asks for.

    Parameters
    ----------
    measured : MeasuredHand
        The hand.
    place : LeverPlace
        The lever [m, rad].
    posture : str
        ``seated`` or ``standing``.

    Returns
    -------
    HandFacts
        SI units.

    Raises
    ------
    InputError
        Where the wrist's angle cannot be worked out from what is given.
    """
    extension = wrist_extension(measured, place, posture)
    deviation = _estimate(measured, "wrist.deviation_deg")
    words = measured.choices
    own = _known(measured, "condition.factor")
    return HandFacts(
        strength=strength(measured),
        sex=_sex(measured),
        hand_span=_known(measured, "size.hand_span_mm"),
        reach=_reach(measured, place.rest_span),
        finger_thickness=_known(measured, "size.finger_thickness_mm"),
        pulling=pulling_fingers(measured),
        dominant=words["rider.dominant_hand"] == "left",
        wrist_extension=extension.value,
        wrist_deviation=deviation.value,
        wrist_uncertainty=extension.u,
        trial_extension=wrist_extension(measured, replace(place, level_now=place.level), "seated").value,
        gloved=bool(words["pull.glove"]),
        condition=own if own is not None else str(words["condition.kind"]),
    )


def pulling_fingers(measured: MeasuredHand) -> tuple[Finger, ...]:
    """Fingers on the lever, from index to little."""
    named = str(measured.choices["pull.fingers"]).split("+")
    return FINGERS if named == ["all"] else tuple(finger for finger in FINGERS if finger in named)


def wrist_extension(measured: MeasuredHand, place: LeverPlace, posture: Posture) -> Estimate:
    """Wrist extension with the lever as it is to be assessed.

    Parameters
    ----------
    measured : MeasuredHand
        The hand.
    place : LeverPlace
        The lever [rad].
    posture : str
        ``seated`` or ``standing``.

    Returns
    -------
    Estimate
        Extension [rad], flexion below 0: the forearm's slope less the lever's. The forearm keeps its slope while the
        lever turns, so a lever raised by some angle bends the wrist up by as much. Own derivation.

    Raises
    ------
    InputError
        Where the lever's angle is needed and was not measured.
    """
    angle = _estimate(measured, measured.wrist_key(posture))
    by_forearm = measured.choices["wrist.kind"] == "forearm"
    if place.level is None or place.level_now is None:
        if by_forearm or place.level_now is not None:
            why = (
                "missing in the bike file, and the wrist's angle needs it; lay a phone's level on the blade and add it"
            )
            raise InputError("lever.level_angle_deg", None, why)
        return angle
    turned = place.level_now if by_forearm else place.level_now - place.level
    return Estimate(angle.value - turned, angle.u, angle.source, angle.basis)


def _reach(measured: MeasuredHand, rest_span: float) -> Estimate | None:
    if measured.choices.get("size.lever_feels_far"):
        return reach_from_feel(rest_span)
    length = _known(measured, "size.hand_length_mm")
    return _known(measured, "size.reach_mm") if length is None else reach_from_length(length)


def _sex(measured: MeasuredHand) -> Sex | None:
    sex = measured.choices.get("rider.sex")
    return None if sex is None else "man" if sex == "man" else "woman"


def _known(measured: MeasuredHand, key: str) -> Estimate | None:
    return _estimate(measured, key) if key in measured.quantities else None


def _estimate(measured: MeasuredHand, key: str) -> Estimate:
    """A quantity of the file as an estimate, in SI."""
    quantity, factor = measured.quantities[key], si_factor(key)
    basis: Basis = "assumed" if quantity.assumed else "measured"
    return Estimate(quantity.value * factor, quantity.u * factor, quantity.origin, basis)
