"""What a healthy bike is where the bike file does not know: parts that dry or wear, taken as good ones in good order.

What the bike file assumes of a part that nobody measured is as wide as any such part, dry ones included; right for a
forecast, but no reference for what is healthy.
"""

from __future__ import annotations

from dataclasses import replace

from clutchwright.bikefile import MeasuredBike
from clutchwright.quantity import Quantity

# Ranges of parts in good order, taken as two standard uncertainties to either side of their middle. From memory, low
# confidence: liners of PTFE 0.04 to 0.12 and of nylon 0.10 to 0.20, dry steel from 0.15 on, so a good cable has 0.06 to
# 0.14; a greased screw 0.10 to 0.16; a greased rack or cam loses 0.03 to 0.12; clean greased balls 0.005 to 0.015.
_GOOD = {
    "cable.friction": (0.06, 0.14),
    "lift.thread_friction": (0.10, 0.16),
    "lift.friction": (0.03, 0.12),
    "lift.rolling_friction": (0.005, 0.015),
}


def in_good_order(measured: MeasuredBike) -> MeasuredBike:
    """The bike that readings are held against when one asks what is wrong.

    Parameters
    ----------
    measured : MeasuredBike
        As filed.

    Returns
    -------
    MeasuredBike
        The same, but for what is only assumed of parts that dry or wear: that of good ones in good order.
    """
    good = {
        key: Quantity(0.5 * (low + high), 0.25 * (high - low), "assumed: in good order")
        for key, (low, high) in _GOOD.items()
        if key in measured.quantities and measured.quantities[key].assumed
    }
    return replace(measured, quantities={**measured.quantities, **good})
