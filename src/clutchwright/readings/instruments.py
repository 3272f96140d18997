"""What an instrument is worth: its resolution, and how far its readings stray, one by one and all together."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Instrument:
    """One instrument.

    Parameters
    ----------
    name : str
        What it is called; readings with one name share its zero and its gain.
    resolution : float
        Step of its scale or display [SI].
    scatter : float
        Standard uncertainty of a single reading beside that: hand, hook, eye [SI].
    zero_u : float
        Standard uncertainty of its zero, common to all its readings [SI].
    gain_u : float
        Standard uncertainty of its gain, common to all its readings [-].
    """

    name: str
    resolution: float
    scatter: float
    zero_u: float
    gain_u: float

    @property
    def rounding(self) -> float:
        """Standard uncertainty of a number rounded to the resolution [SI]: resolution/sqrt(12), GUM F.2.2.1."""
        return self.resolution / math.sqrt(12.0)

    @property
    def offset_u(self) -> float:
        """Standard uncertainty of its zero [SI], never below its rounding: no number of readings beats the display."""
        return max(self.zero_u, self.rounding)


def _grams_force(grams: float) -> float:
    return grams * 9.80665e-3


# By name and dimension. Common practice, no source; the files may say otherwise.
USUAL: dict[tuple[str, str], Instrument] = {
    (instrument.name, dimension): instrument
    for dimension, instrument in (
        ("force", Instrument("luggage scale", _grams_force(50.0), 1.0, 0.3, 0.01)),
        ("force", Instrument("kitchen scale", _grams_force(1.0), 0.05, 0.02, 0.005)),
        ("force", Instrument("bathroom scales", _grams_force(100.0), 1.0, 0.5, 0.01)),
        ("length", Instrument("ruler", 1e-3, 3e-4, 3e-4, 0.0)),
        ("length", Instrument("calliper", 5e-5, 1e-4, 3e-5, 0.0)),
        ("length", Instrument("dial gauge", 1e-5, 2e-5, 1e-5, 0.0)),
        ("length", Instrument("feeler gauge", 5e-5, 3e-5, 0.0, 0.0)),
        ("angle", Instrument("protractor", math.radians(1.0), math.radians(0.5), math.radians(0.5), 0.0)),
        ("torque", Instrument("torque wrench", 1.0, 1.0, 0.0, 0.04)),
    )
}
