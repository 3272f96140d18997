"""Numbers as they are written for people, in pictures and reports alike."""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import ROUND_HALF_EVEN, Decimal

from clutchwright.quantity import unit_of

NOT_REACHED = "not reached"
_PLAIN_DIGITS = 4  # of a value known exactly
_DOUBTFUL_DIGITS = 3  # of one whose uncertainty is not known


def rounded(value: float, u: float) -> tuple[str, str]:
    """A value and its standard uncertainty, both cut at the second significant digit of the uncertainty.

    Parameters
    ----------
    value : float
        Finite, in any unit.
    u : float
        One standard uncertainty, same unit, above 0.

    Returns
    -------
    tuple of str
        Value and uncertainty with the same decimals.

    References
    ----------
    JCGM 100:2008, 7.2.6: at most two significant digits of the uncertainty, the estimate rounded to match.
    """
    place = _leading(u) - 1
    # 0.0996 rounds to 0.100, which would be three digits
    place = _leading(_cut(u, place)) - 1
    return decimal_text(value, -place), decimal_text(u, -place)


def decimal_text(value: float, decimals: int) -> str:
    """A value rounded to some decimals (below 0: to tens, hundreds, ...), with a true minus sign and never "-0"."""
    if not math.isfinite(value):
        return NOT_REACHED
    return f"{_cut(value, -decimals) + 0:f}".replace("-", "\N{MINUS SIGN}")


def plain_text(value: float, digits: int = _PLAIN_DIGITS) -> str:
    """A value without uncertainty, at four significant digits or as many as asked for; plain ``0`` for 0."""
    return decimal_text(value, digits - 1 - _leading(value) if value else 0)


def against(value: float, limit: float) -> tuple[str, str]:
    """A value and the limit it is held against, both to the third digit of the larger of them.

    Parameters
    ----------
    value, limit : float
        In the same unit; NaN for a value that is not reached.

    Returns
    -------
    tuple of str
        The value, and the limit without zeros that only fill up decimals.
    """
    tenths = -1  # a limit of 0 has no leading digit of its own
    decimals = _DOUBTFUL_DIGITS - 1 - max(_leading(value) if value else tenths, _leading(limit) if limit else tenths)
    bound = decimal_text(limit, decimals)
    return decimal_text(value, decimals), bound.rstrip("0").rstrip(".") if "." in bound else bound


def with_unit(text: str, unit: str) -> str:
    """A number's text and its unit, which the line does not break apart."""
    return f"{text}\N{NO-BREAK SPACE}{unit}" if unit and text != NOT_REACHED else text


def quantity_text(key: str, value: float, u: float) -> str:
    """A figure as it is written: value, uncertainty and the unit its key ends in.

    Parameters
    ----------
    key : str
        Key whose ending names the unit.
    value, u : float
        Value and one standard uncertainty, in the unit of the key; a u of 0 is left out, one of NaN is not known.

    Returns
    -------
    str
        For instance ``98.1 ± 5.6 N``, or ``98.1 N (u unknown)``; ``not reached`` for NaN.
    """
    if not math.isfinite(value):
        return NOT_REACHED
    space = "\N{NO-BREAK SPACE}"
    if not math.isfinite(u):
        return f"{with_unit(plain_text(value, _DOUBTFUL_DIGITS), unit_of(key))}{space}(u{space}unknown)"
    if not u > 0.0:
        return with_unit(plain_text(value), unit_of(key))
    estimate, doubt = rounded(value, u)
    return with_unit(f"{estimate}{space}±{space}{doubt}", unit_of(key))


def estimate_text(value: float, u: float) -> str:
    """A figure as `quantity_text` rounds it, without its uncertainty and unit: the same digits wherever it stands."""
    if not math.isfinite(value):
        return NOT_REACHED
    if not math.isfinite(u):
        return plain_text(value, _DOUBTFUL_DIGITS)
    return rounded(value, u)[0] if u > 0.0 else plain_text(value)


def apportioned(values: Sequence[float], decimals: int) -> tuple[float, ...]:
    """Values rounded so that they add up to their rounded sum; none moves by a whole step.

    Parameters
    ----------
    values : sequence of float
        Parts of a whole, in any unit; some may be below 0.
    decimals : int
        Decimals to keep.

    Returns
    -------
    tuple of float
        In the same order. The method of largest remainders: all are rounded down, and what is missing from the sum is
        given, one step each, to those that lost most.
    """
    step = 10.0**-decimals
    floors = [math.floor(value / step) for value in values]
    missing = round(math.fsum(values) / step) - sum(floors)
    by_loss = sorted(range(len(values)), key=lambda place: floors[place] - values[place] / step)
    raised = set(by_loss[:missing])
    return tuple((floor + (place in raised)) * step for place, floor in enumerate(floors))


def _leading(value: float | Decimal) -> int:
    """Power of ten of the first significant digit; 0 for 0."""
    number = Decimal(repr(float(value)))
    return number.adjusted() if number else 0


def _cut(value: float, place: int) -> Decimal:
    """A value rounded, half to even as written, at a power of ten."""
    return Decimal(repr(float(value))).quantize(Decimal(1).scaleb(place), ROUND_HALF_EVEN)
