"""How the hand's size meets the lever's span: best span, loss at wide spans, reach, fingers left on the grip."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from clutchwright.errors import ModelRangeError
from clutchwright.hand.estimate import Basis, Estimate
from clutchwright.hand.fingers import FINGERS, Finger
from clutchwright.hand.norms import Sex
from clutchwright.quantity import Number

MEN_OPTIMUM = 0.055  # [m] Ruiz-Ruiz et al. (2002)
# assumed: best spans of 50-60 mm (women) and 55-65 mm (men) in Fransson & Winkel (1991) round the formula's value
OPTIMUM_SPREAD = 0.005  # [m]
SPAN_SLOPE = Estimate(
    10.0, 3.0, "Fransson & Winkel 1991, Ergonomics 34:881: 10 % a centimetre; spread assumed", "found"
)  # [1/m]
LEAST_SPAN_FACTOR = 0.3  # [-] our reading: nothing is published that far out
WIDEST_TESTED = 0.100  # [m] span the slope is known to hold to, about
WIDEST = 0.125  # [m] span at which the nominal line has come down to the least factor

# thumb tip to little finger tip, hand wide open [m]
HAND_SPANS: dict[Sex, Estimate] = {
    "man": Estimate(0.1974, 0.01751, "MASS::survey (Venables & Ripley), students", "found", 0.170, 0.228),
    "woman": Estimate(0.176, 0.01315, "MASS::survey (Venables & Ripley), students", "found", 0.155, 0.195),
}
# wrist crease to middle finger tip [m]
HAND_LENGTHS: dict[Sex, Estimate] = {
    "man": Estimate(0.1934, 0.0099, "ANSUR II 2012, Gordon et al. 2014", "memory", 0.177, 0.210),
    "woman": Estimate(0.1809, 0.0097, "ANSUR II 2012, Gordon et al. 2014", "memory", 0.165, 0.197),
}
HAND_LENGTH_PER_STATURE = Estimate(
    0.108, 0.0036, "Drillis & Contini 1966; spread from the USAF survey of 1967", "found"
)  # [-]
# 89 mm, the widest opening advised for two-handle tools (NIOSH 2004-164, from memory), over a mean hand length of
# 189.3 mm (ANSUR II)
REACH_PER_LENGTH = Estimate(
    0.47, 0.07, "assumed: no published relation; widest tool opening advised over mean hand length", "assumed"
)  # [-]
FEELS_FAR = 0.010  # [m] assumed: a lever that feels far is this much outside the comfortable reach
FEEL_SPREAD = 0.010  # [m] assumed
# assumed; finger depth round a grip, no table was found
FINGER_THICKNESSES: dict[Sex, Estimate] = {
    "man": Estimate(0.017, 0.002, "assumed", "assumed"),
    "woman": Estimate(0.015, 0.002, "assumed", "assumed"),
}


def typical(table: dict[Sex, Estimate], sex: Sex | None) -> Estimate:
    """Entry of a table by sex, or the mixture of both.

    Parameters
    ----------
    table : dict[Sex, Estimate]
        One estimate for each sex, any unit.
    sex : Sex | None
        None: women and men in equal parts.

    Returns
    -------
    Estimate
        Same unit; the mixture's spread holds the difference of the sexes (law of total variance, own derivation).
    """
    if sex is not None:
        return table[sex]
    man, woman = table["man"], table["woman"]
    half = (man.value - woman.value) / 2.0
    u = ((man.u**2 + woman.u**2) / 2.0 + half**2) ** 0.5
    basis: Basis = "assumed" if man.basis == "assumed" else "derived"
    return Estimate((man.value + woman.value) / 2.0, u, f"{man.source}; sex not given", basis)


def optimum_span(sex: Sex | None, hand_span: Estimate | None = None) -> Estimate:
    """Grip span at which this hand is strongest.

    Parameters
    ----------
    sex : Sex | None
        Men: 55 mm whatever the hand. Women, and riders who do not say: by hand span.
    hand_span : Estimate | None
        Thumb tip to little finger tip, hand wide open [m]; None: typical.

    Returns
    -------
    Estimate
        x/5 + 15 mm, or 55 mm [m].

    References
    ----------
    Ruiz-Ruiz et al. (2002), J Hand Surg Am 27:897 (40 women, 30 men, 20-80 years).
    """
    source = "Ruiz-Ruiz et al. 2002, J Hand Surg Am 27:897; spread assumed"
    if sex == "man":
        return Estimate(MEN_OPTIMUM, OPTIMUM_SPREAD, source, "found", 0.055, 0.065)
    size = typical(HAND_SPANS, sex) if hand_span is None else hand_span
    u = float(np.hypot(OPTIMUM_SPREAD, size.u / 5.0))
    return Estimate(size.value / 5.0 + 0.015, u, source, "found", 0.050, 0.060)


def span_factor(span: Number, optimum: Number, slope: Number = SPAN_SLOPE.value) -> Number:
    """Share of the greatest grip that is left at a span.

    Parameters
    ----------
    span : Number
        Back of the grip to the front of the lever at the finger point [m], up to 125 mm; tested to about 100 mm.
    optimum : Number
        Best span [m].
    slope : Number
        Loss per span beyond the best [1/m].

    Returns
    -------
    Number
        k = 1 - slope max(0, span - optimum), never below 0.3 [-]. Below the best span the published curves differ and
        fall little to about 45 mm, so 1 is used there; a hand nearly closed is weaker than this says.

    Raises
    ------
    ModelRangeError
        For a span beyond 125 mm.

    References
    ----------
    Fransson & Winkel (1991), Ergonomics 34:881, abstract (plier jaws, 8 women, 8 men). Whether the 10 % a centimetre
    are of the peak or compound is not stated there; of the peak is used.
    """
    if np.any(np.asarray(span) > WIDEST):
        message = (
            f"span = {1e3 * np.max(span):.0f} mm: the loss of grip is known to about {1e3 * WIDEST_TESTED:.0f} mm and "
            f"not used beyond {1e3 * WIDEST:.0f} mm; measure from the back of the grip to the front of the lever"
        )
        raise ModelRangeError(message)
    return np.maximum(LEAST_SPAN_FACTOR, 1.0 - slope * np.maximum(0.0, np.asarray(span) - optimum))[()]


def span_factor_estimate(span: float, optimum: Estimate, slope: Estimate = SPAN_SLOPE) -> Estimate:
    """Span factor with its spread.

    Parameters
    ----------
    span : float
        Span [m].
    optimum : Estimate
        Best span [m].
    slope : Estimate
        Loss per span [1/m].

    Returns
    -------
    Estimate
        Span factor [-]; spread to first order, own derivation.
    """
    value = span_factor(span, optimum.value, slope.value)
    beyond = max(0.0, span - optimum.value)
    u = float(np.hypot(beyond * slope.u, slope.value * optimum.u)) if beyond > 0.0 else 0.0
    return Estimate(float(value), u, slope.source, slope.basis)


def beyond_tested(span: Number) -> NDArray[np.bool_]:
    """Whether a span is so wide that no test backs the loss of grip.

    Parameters
    ----------
    span : Number
        Span [m].

    Returns
    -------
    array of bool
        True beyond about 100 mm [-].

    References
    ----------
    Fransson & Winkel (1991), Ergonomics 34:881.
    """
    return np.asarray(span) > WIDEST_TESTED


def length_from_stature(stature: float) -> Estimate:
    """Hand length from body height.

    Parameters
    ----------
    stature : float
        Body height [m].

    Returns
    -------
    Estimate
        0.108 stature [m].

    References
    ----------
    Drillis & Contini (1966); spread of the ratio from the USAF survey of 1967.
    """
    ratio = HAND_LENGTH_PER_STATURE
    return Estimate(ratio.value * stature, ratio.u * stature, ratio.source, "derived")


def reach_from_length(hand_length: Estimate) -> Estimate:
    """Farthest span the hand takes comfortably.

    Parameters
    ----------
    hand_length : Estimate
        Wrist crease to middle finger tip [m].

    Returns
    -------
    Estimate
        0.47 hand length [m].

    References
    ----------
    Assumed: no published relation of hand length to comfortable lever reach was found. See `REACH_PER_LENGTH`.
    """
    ratio = REACH_PER_LENGTH
    return hand_length.scaled(ratio.value, ratio.relative, source=ratio.source, basis="assumed")


def reach_from_feel(rest_span: float) -> Estimate:
    """Farthest comfortable span of a rider who only says that the lever feels far.

    Parameters
    ----------
    rest_span : float
        Span of that lever at rest [m].

    Returns
    -------
    Estimate
        10 mm less, +/- 10 mm [m].

    References
    ----------
    Assumed.
    """
    return Estimate(rest_span - FEELS_FAR, FEEL_SPREAD, "assumed: the lever feels far", "assumed")


def stop_span(bare_stop: Number, finger_thickness: Number, pulling: tuple[Finger, ...]) -> Number:
    """Span at which the lever stops, fingers left on the grip counted.

    Parameters
    ----------
    bare_stop : Number
        Span at which the lever meets the bare grip [m].
    finger_thickness : Number
        Depth of a finger lying round the grip [m].
    pulling : tuple[Finger, ...]
        Fingers on the lever.

    Returns
    -------
    Number
        Bare stop, plus a finger unless all four pull [m]. Own derivation; the lever is taken as parallel to the grip.
    """
    return bare_stop if pulling == FINGERS else bare_stop + finger_thickness
