"""Hands that are not well: published shares of the expected grip, to be set by the rider, never by the program.

Not medical advice. Groups differ widely inside; where a hand hurts, measure the hardest squeeze that does not hurt.
"""

from __future__ import annotations

from dataclasses import dataclass

from clutchwright.errors import InputError, ModelRangeError
from clutchwright.hand.estimate import Estimate
from clutchwright.hand.fingers import Finger

_VILLAFANE = "Villafane 2014, HAND 9:191, 19 patients and 18 healthy people of 60-88 years; spread assumed"
_RYDHOLM = "Rydholm 2023, Arthritis Res Ther, n = 215; spread assumed"

# points of the expected grip lost for each swollen knuckle (MCP) joint in early rheumatoid arthritis
SWOLLEN_KNUCKLE = Estimate(0.028, 0.0125, "Rydholm 2019, Rheumatol Int 39", "found", 0.004, 0.053)


@dataclass(frozen=True, slots=True)
class Condition:
    """A condition of the hand with the share of the expected grip that is left.

    Parameters
    ----------
    key : str
        Name in a hand file.
    title : str
        Name for people.
    factor : Estimate
        Share left with four fingers [-].
    without_little : Estimate | None
        Share left when the little finger does not pull [-], where a study says so.
    index_and_middle : Estimate | None
        Share left when only these pull [-], where a study says so.
    """

    key: str
    title: str
    factor: Estimate
    without_little: Estimate | None = None
    index_and_middle: Estimate | None = None


CONDITIONS = (
    Condition("none", "none", Estimate(1.0, 0.0, "healthy hand", "found")),
    Condition(
        "rheumatoid_early",
        "rheumatoid arthritis, at diagnosis",
        Estimate(0.39, 0.15, _RYDHOLM, "found"),
    ),
    Condition(
        "rheumatoid_5_years",
        "rheumatoid arthritis, after five years of treatment",
        Estimate(0.56, 0.15, _RYDHOLM, "found"),
    ),
    Condition(
        "thumb_base",
        "osteoarthritis at the base of the thumb",
        Estimate(1.0 - 0.456, 0.10, _VILLAFANE, "found"),
        Estimate(1.0 - 0.355, 0.10, _VILLAFANE, "found"),
        Estimate(1.0 - 0.288, 0.10, _VILLAFANE, "found"),
    ),
    Condition(
        "hand_osteoarthritis",
        "osteoarthritis of the hand, with symptoms",
        Estimate(0.90, 0.10, "Zhang 2002 (Framingham), from memory; spread assumed", "memory"),
    ),
    Condition(
        "lateral_elbow",
        "pain at the outer elbow, painless grip",
        Estimate(0.5, 0.1, "share of the good side, from memory, low confidence", "memory", 0.4, 0.6),
    ),
)


def condition_factor(key: str, pulling: tuple[Finger, ...]) -> Estimate:
    """Published share of the expected grip left with a condition.

    Parameters
    ----------
    key : str
        Key of one of `CONDITIONS`.
    pulling : tuple[Finger, ...]
        Fingers on the lever; at the base of the thumb, fewer fingers lose less.

    Returns
    -------
    Estimate
        Factor [-].

    Raises
    ------
    InputError
        For an unknown key.

    References
    ----------
    Each estimate carries its own; see `CONDITIONS`.
    """
    found = next((condition for condition in CONDITIONS if condition.key == key), None)
    if found is None:
        field, known = "condition", "known: " + ", ".join(condition.key for condition in CONDITIONS)
        raise InputError(field, key, known)
    if found.index_and_middle is not None and set(pulling) <= {"index", "middle"}:
        return found.index_and_middle
    if found.without_little is not None and "little" not in pulling:
        return found.without_little
    return found.factor


def swollen_knuckles_loss(joints: int) -> Estimate:
    """Grip lost with swollen knuckle joints in early rheumatoid arthritis.

    Parameters
    ----------
    joints : int
        Swollen MCP joints of the hand, 0 to 5 [-].

    Returns
    -------
    Estimate
        Loss, as a share of the expected grip [-].

    Raises
    ------
    ModelRangeError
        For more joints than a hand has.

    References
    ----------
    Rydholm et al. (2019), Rheumatol Int 39: 2.8 points a joint (0.4 to 5.3).
    """
    if not 0 <= joints <= 5:
        message = f"joints = {joints}: a hand has five knuckle joints; give 0 to 5"
        raise ModelRangeError(message)
    one = SWOLLEN_KNUCKLE
    return Estimate(joints * one.value, joints * one.u, one.source, one.basis)
