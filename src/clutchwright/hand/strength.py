"""Grip strength: from norms by sex, age and percentile, or from the rider's own reading.

The norms hold for the best of both hands, neutral forearm, handle at the best span; what a reading already contains
of the rider's real posture is listed with it, so that no factor counts twice.
"""

from __future__ import annotations

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from clutchwright.errors import ModelRangeError
from clutchwright.hand.estimate import Basis, Estimate
from clutchwright.hand.norms import AGE_BANDS, GRIP_KGF, KILOGRAM_FORCE, NORM_SOURCE, PERCENTILES, Sex
from clutchwright.quantity import Array, Number

SEXES: tuple[Sex, ...] = ("man", "woman")

# Dodds 2014 against Tomkinson 2025, men of 65, median: 43 against 40.1 kgf
NORM_TO_NORM = 0.07
# our reading of the smallest important difference, 5.0 to 6.5 kgf (Bohannon 2019, from memory), against a median grip
OWN_READING = 0.10
# assumed: hook slipping, scale not square to the lever, short hold
LEVER_SCALE = 0.10
# assumed: flat plates instead of a handle, the scale's thickness as span, the scale not made for it
BATHROOM_SCALE = 0.20

_STANDARD = NormalDist()
_NORMAL = np.array([_STANDARD.inv_cdf(percentile / 100.0) for percentile in PERCENTILES])
_AGES = np.array([(first + last) / 2.0 for first, last in AGE_BANDS])
_FIRST_AGE, _LAST_AGE = AGE_BANDS[0][0], AGE_BANDS[-1][1]


@dataclass(frozen=True, slots=True)
class Strength:
    """Grip strength at the best span, and the factors its way of measuring already contains.

    Parameters
    ----------
    grip : Estimate
        Grip strength [N].
    covers : frozenset[str]
        Names of the factors (``side``, ``condition``, ...) that must not be applied once more.
    """

    grip: Estimate
    covers: frozenset[str] = frozenset()


def _row(sex: Sex, age_years: float) -> Array:
    """Norm grips [N] at the table's percentiles, linear between the middles of the age bands."""
    if not _FIRST_AGE <= age_years < _LAST_AGE + 1:
        message = (
            f"age = {age_years:g}: the norms cover {_FIRST_AGE} to {_LAST_AGE} years; "
            "give a reading of your own instead of an age"
        )
        raise ModelRangeError(message)
    table = np.array(GRIP_KGF[sex])
    # before the first and after the last middle the band's own value stands
    return KILOGRAM_FORCE * np.array([np.interp(age_years, _AGES, column) for column in table.T])


def norm_grip(sex: Sex, age_years: float, percentile: Number = 50.0) -> Number:
    """Grip strength of a percentile of the norm population.

    Parameters
    ----------
    sex : Sex
        ``man`` or ``woman``.
    age_years : float
        Completed years of life, 20 to 84 [a].
    percentile : Number
        5 to 95 [%].

    Returns
    -------
    Number
        Grip strength [N], linear in the normal deviate z between the table's percentiles.

    Raises
    ------
    ModelRangeError
        Outside the table; nothing is extrapolated.

    References
    ----------
    Tomkinson et al. (2025), J Sport Health Sci 14:101014, Table 2.
    """
    row = _row(sex, age_years)
    if not np.all((np.asarray(percentile) >= PERCENTILES[0]) & (np.asarray(percentile) <= PERCENTILES[-1])):
        message = (
            f"percentile = {percentile}: the norms cover {PERCENTILES[0]:g} to {PERCENTILES[-1]:g} %; "
            "give a reading of your own instead"
        )
        raise ModelRangeError(message)
    deviate = np.vectorize(_STANDARD.inv_cdf, otypes=[float])(np.asarray(percentile) / 100.0)
    return np.asarray(np.interp(deviate, _NORMAL, row))[()]


def norm_deviate(sex: Sex, age_years: float, grip: float) -> float:
    """Where a grip stands among people of that sex and age.

    Parameters
    ----------
    sex : Sex
        ``man`` or ``woman``.
    age_years : float
        Completed years of life, 20 to 84 [a].
    grip : float
        Grip strength [N].

    Returns
    -------
    float
        Normal deviate z [-]; 0 is the median, -1.645 the weakest 5 %.

    Raises
    ------
    ModelRangeError
        Below the 5th or above the 95th percentile, or outside the ages of the table.

    References
    ----------
    Tomkinson et al. (2025), J Sport Health Sci 14:101014, Table 2.
    """
    row = _row(sex, age_years)
    if not row[0] <= grip <= row[-1]:
        message = (
            f"grip = {grip:.0f} N: the norms for this sex and age cover {row[0]:.0f} to {row[-1]:.0f} N "
            f"({PERCENTILES[0]:g} to {PERCENTILES[-1]:g} %); no percentile can be given"
        )
        raise ModelRangeError(message)
    return float(np.interp(grip, row, _NORMAL))


def norm_percentile(sex: Sex, age_years: float, grip: float) -> float:
    """Percentile of a grip in its norm population; the reverse of `norm_grip`.

    Parameters
    ----------
    sex : Sex
        ``man`` or ``woman``.
    age_years : float
        Completed years of life, 20 to 84 [a].
    grip : float
        Grip strength [N].

    Returns
    -------
    float
        5 to 95 [%].

    Raises
    ------
    ModelRangeError
        As in `norm_deviate`.

    References
    ----------
    Tomkinson et al. (2025), J Sport Health Sci 14:101014, Table 2.
    """
    return 100.0 * _STANDARD.cdf(norm_deviate(sex, age_years, grip))


def norm_spread(sex: Sex, age_years: float) -> float:
    """Standard deviation of grip strength among people.

    Parameters
    ----------
    sex : Sex
        ``man`` or ``woman``.
    age_years : float
        Completed years of life, 20 to 84 [a].

    Returns
    -------
    float
        (P95 - P5)/3.29 [N]; the rows of the table are nearly normal.

    References
    ----------
    Derived from Tomkinson et al. (2025), J Sport Health Sci 14:101014, Table 2.
    """
    row = _row(sex, age_years)
    return float((row[-1] - row[0]) / (_NORMAL[-1] - _NORMAL[0]))


def norm_strength(sex: Sex | None = None, age_years: float | None = None, percentile: float | None = None) -> Strength:
    """Strength of a rider nobody has measured.

    Parameters
    ----------
    sex : Sex | None
        None: women and men in equal parts.
    age_years : float | None
        Completed years [a]; None: all age bands in equal parts.
    percentile : float | None
        [%]; None: the median, with the whole spread between people.

    Returns
    -------
    Strength
        Covers nothing. The spread holds people (unless a percentile is given), what is not known of sex and age, and
        the 7 % between one norm and another; mixing is our own derivation (law of total variance).

    References
    ----------
    Tomkinson et al. (2025), J Sport Health Sci 14:101014, Table 2; Dodds et al. (2014), PLoS ONE 9:e113637.
    """
    cells = [
        (one_sex, age)
        for one_sex in (SEXES if sex is None else (sex,))
        for age in (_AGES if age_years is None else (age_years,))
    ]
    wanted = 50.0 if percentile is None else percentile
    grips = np.array([norm_grip(one_sex, age, wanted) for one_sex, age in cells])
    within = np.array([norm_spread(one_sex, age) for one_sex, age in cells]) if percentile is None else np.zeros(1)
    grip = float(grips.mean())
    variance = float(np.mean(within**2) + grips.var()) + (NORM_TO_NORM * grip) ** 2
    basis: Basis = "found" if sex is not None and age_years is not None else "derived"
    return Strength(Estimate(grip, variance**0.5, NORM_SOURCE, basis))


def dynamometer_strength(grip: float, u: float | None = None) -> Strength:
    """Strength from a hand dynamometer, the pulling hand, neutral forearm.

    Parameters
    ----------
    grip : float
        Reading [N].
    u : float | None
        Standard uncertainty [N]; None: 10 % of the reading.

    Returns
    -------
    Strength
        Covers side and condition: it is this hand as it is.

    References
    ----------
    10 %: our reading of Bohannon (2019), from memory.
    """
    u = OWN_READING * grip if u is None else u
    return Strength(Estimate(grip, u, "own dynamometer reading", "measured"), frozenset({"side", "condition"}))


def painless_strength(grip: float, u: float | None = None) -> Strength:
    """The hardest squeeze that does not hurt, taken as the strength of a hand that hurts.

    Parameters
    ----------
    grip : float
        Reading [N].
    u : float | None
        Standard uncertainty [N]; None: 10 % of the reading.

    Returns
    -------
    Strength
        Covers side and condition.

    References
    ----------
    No published ratio of painless to greatest grip in hand arthritis was found, so it is measured, not computed.
    """
    u = OWN_READING * grip if u is None else u
    source = "own reading: the hardest squeeze that does not hurt"
    return Strength(Estimate(grip, u, source, "measured"), frozenset({"side", "condition"}))


def lever_scale_strength(
    *, force: float, hook_radius: float, finger_radius: float, span_factor: Estimate, reading_spread: float = 0.0
) -> Strength:
    """Strength from a luggage scale that holds the lever while the rider pulls as hard as he can.

    Parameters
    ----------
    force : float
        Scale reading [N], cable slack, scale square to the lever.
    hook_radius : float
        Lever pivot to the scale's hook [m].
    finger_radius : float
        Lever pivot to the finger point [m].
    span_factor : Estimate
        Span factor at the span the lever was held at [-].
    reading_spread : float
        Relative standard uncertainty of the readings [-], added to that of the method.

    Returns
    -------
    Strength
        F r_hook/(r_finger k_span): moments about the pivot, brought to the best span. It is measured in place, so it
        covers everything but the span. Assumes that the lever was held with the fingers and posture of riding.

    References
    ----------
    Own derivation; the 10 % for the method is assumed.
    """
    at_finger = Estimate(force * hook_radius / finger_radius, 0.0, "", "measured")
    source = "own pull on a luggage scale at the lever, brought to the best span"
    spread = float(np.sqrt(LEVER_SCALE**2 + span_factor.relative**2 + reading_spread**2))
    grip = at_finger.scaled(1.0 / span_factor.value, spread, source=source, basis="measured")
    in_place = {"fingers", "wrist", "forearm", "side", "glove", "condition"}
    return Strength(grip, frozenset(in_place))


def bathroom_scale_strength(force: float, hands: int = 1, reading_spread: float = 0.0) -> Strength:
    """Strength from squeezing a bathroom scale between fingers and palms.

    Parameters
    ----------
    force : float
        Scale reading [N].
    hands : int
        Hands that squeezed together, 1 or 2 [-].
    reading_spread : float
        Relative standard uncertainty of the reading [-], added to that of the method.

    Returns
    -------
    Strength
        The reading a hand, +/- 20 %: flat plates as thick as a scale are taken as equal to a handle at the best span.
        Covers the condition, and with one hand the side.

    Raises
    ------
    ModelRangeError
        For any other number of hands.

    References
    ----------
    Assumed; no published comparison was found.
    """
    if hands not in (1, 2):
        message = f"hands = {hands}: one or two hands can squeeze a scale; say 1 or 2"
        raise ModelRangeError(message)
    covers = {"condition", "side"} if hands == 1 else {"condition"}
    share = force / hands
    source = "own squeeze of a bathroom scale, taken as grip strength"
    spread = float(np.hypot(BATHROOM_SCALE, reading_spread))
    return Strength(Estimate(share, spread * share, source, "assumed"), frozenset(covers))
