"""Which fingers pull: what is left of a four-finger grip."""

from __future__ import annotations

import math
from typing import Literal

from clutchwright.errors import InputError
from clutchwright.hand.estimate import Estimate

Finger = Literal["index", "middle", "ring", "little"]

FINGERS: tuple[Finger, ...] = ("index", "middle", "ring", "little")

# share of the four-finger force, index to little [%], by study
FINGER_SHARES = {
    "MacDermid 2004": (25.0, 35.0, 25.0, 14.0),
    "Li 2002, J Hand Surg Am 27:886": (32.2, 32.6, 23.5, 11.7),
    "Lee 2009, second-hand": (20.2, 37.5, 28.7, 13.6),
    "Amis 1987, second-hand": (30.0, 30.0, 22.0, 18.0),
}

TWO_FINGERS = Estimate(
    0.55,
    0.07,
    "between Methot 2010 (0.46), Villafane 2014 (0.50 healthy, 0.66 thumb-base arthritis) and summed shares (0.61)",
    "derived",
    0.46,
    0.66,
)  # [-]


def checked_fingers(names: tuple[str, ...], key: str = "fingers") -> tuple[Finger, ...]:
    """Fingers on the lever, side by side and in order.

    Parameters
    ----------
    names : tuple[str, ...]
        ``index``, ``middle``, ``ring``, ``little``, any order.
    key : str
        Name of the field, for the message.

    Returns
    -------
    tuple[Finger, ...]
        From index to little.

    Raises
    ------
    InputError
        For an unknown name, no finger, one named twice, or a gap between them.

    References
    ----------
    Own derivation.
    """
    fingers = tuple(finger for finger in FINGERS if finger in names)
    first = FINGERS.index(fingers[0]) if fingers else 0
    neighbours = fingers == FINGERS[first : first + len(fingers)]
    if not fingers or len(fingers) != len(names) or not neighbours:
        allowed = "give neighbouring fingers, each once, of " + ", ".join(FINGERS)
        raise InputError(key, list(names), allowed)
    return fingers


def share(pulling: tuple[Finger, ...]) -> float:
    """Sum of the finger shares, mean of the four studies.

    Parameters
    ----------
    pulling : tuple[Finger, ...]
        Fingers on the lever.

    Returns
    -------
    float
        Share of the four-finger force [-], each study brought to a sum of 1.

    References
    ----------
    See `FINGER_SHARES`.
    """
    used = [FINGERS.index(finger) for finger in pulling]
    shares = [sum(study[i] for i in used) / sum(study) for study in FINGER_SHARES.values()]
    return math.fsum(shares) / len(shares)


def fingers_factor(pulling: tuple[Finger, ...]) -> Estimate:
    """What the pulling fingers give of a four-finger grip.

    Parameters
    ----------
    pulling : tuple[Finger, ...]
        Fingers on the lever.

    Returns
    -------
    Estimate
        share^p [-], p such that index and middle give the measured 0.55 instead of their summed share of 0.61:
        fingers left out cost more than their share, for the fingers help each other. The spread grows from 0 with four
        fingers to 0.07 with those two, in proportion to what is missing.

    References
    ----------
    Shares: MacDermid (2004), Li (2002), Lee (2009), Amis (1987). Two fingers: Methot (2010), Villafane (2014).
    The power law is our own assumption.
    """
    power = math.log(TWO_FINGERS.value) / math.log(share(("index", "middle")))
    value = share(pulling) ** power
    if pulling == FINGERS:
        return Estimate(1.0, 0.0, "all four fingers", "found")
    if pulling == ("index", "middle"):
        return TWO_FINGERS
    u = TWO_FINGERS.u * (1.0 - value) / (1.0 - TWO_FINGERS.value)
    return Estimate(value, u, "assumed: power law of finger shares through the two-finger value", "assumed")
