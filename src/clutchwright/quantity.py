"""A measured value, and the units that stand in names at the edges.

Inside the package every number is in SI (metre, newton, radian, kilogram, second). At an edge (file key, table column,
option) the unit is the end of the name, and `si_factor` is the one place that knows what it is worth.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Number = float | Array

_DEGREE = math.pi / 180.0

# name ending -> (unit as written, worth in SI); the longest ending that fits counts
_UNITS: dict[str, tuple[str, float]] = {
    "_N_per_mm": ("N/mm", 1e3),
    "_mm_per_N": ("mm/N", 1e-3),
    "_Nm_per_rad": ("N m/rad", 1.0),
    "_J_per_mm2": ("J/mm²", 1e6),
    "_W_per_mm2": ("W/mm²", 1e6),
    "_kgm2": ("kg m²", 1.0),
    "_mPas": ("mPa s", 1e-3),
    "_GPa": ("GPa", 1e9),
    "_MPa": ("MPa", 1e6),
    "_Nm": ("N m", 1.0),
    "_mm": ("mm", 1e-3),
    "_kgf": ("kgf", 9.80665),
    "_kg": ("kg", 1.0),
    "_deg": ("°", _DEGREE),
    "_rpm": ("1/min", 2.0 * math.pi / 60.0),
    "_N": ("N", 1.0),
    "_J": ("J", 1.0),
    "_g": ("g", 1e-3),
    "_K": ("K", 1.0),
    "_h": ("h", 3600.0),
    "_s": ("s", 1.0),
}

# name ending -> other units that people measure in, and what each is worth in the unit of the ending. Exact: the inch
# is 25.4 mm and the pound 0.45359237 kg (international yard and pound, 1959), standard gravity is 9.80665 m/s^2
# (3rd CGPM, 1901), so the pound-force is 4.4482216152605 N.
_INCH, _POUND, _GRAVITY = Decimal("25.4"), Decimal("0.45359237"), Decimal("9.80665")
_OTHER_UNITS: dict[str, dict[str, Decimal]] = {
    "_N_per_mm": {"kgf/mm": _GRAVITY, "lbf/inch": _POUND * _GRAVITY / _INCH},
    "_Nm": {"kgf m": _GRAVITY, "lbf ft": _POUND * _GRAVITY * 12 * _INCH / 1000},
    "_mm": {"inch": _INCH},
    "_kgf": {"N": 1 / _GRAVITY, "lbf": _POUND},
    "_kg": {"lb": _POUND},
    "_N": {"kgf": _GRAVITY, "lbf": _POUND * _GRAVITY},
}


def unit_of(name: str) -> str:
    """Unit that a name ends in, as written for people; empty for a plain number.

    Parameters
    ----------
    name : str
        A key such as ``lever.finger_radius_mm``.

    Returns
    -------
    str
        For instance ``mm``.
    """
    return next((unit for ending, (unit, _) in _UNITS.items() if name.endswith(ending)), "")


@cache
def si_factor(name: str) -> float:
    """What one unit of a named quantity is worth in SI.

    Parameters
    ----------
    name : str
        A key such as ``lever.finger_radius_mm``.

    Returns
    -------
    float
        Factor from the unit in the name to SI; 1 for a plain number.
    """
    return next((factor for ending, (_, factor) in _UNITS.items() if name.endswith(ending)), 1.0)


def other_units(name: str) -> dict[str, Decimal]:
    """Other units in which people measure a named quantity.

    Parameters
    ----------
    name : str
        A key such as ``lever.finger_radius_mm``.

    Returns
    -------
    dict of str to Decimal
        What each is worth in the unit of the name, such as 25.4 for ``inch``; none where there is no other.
    """
    ending = next((ending for ending in _UNITS if name.endswith(ending)), "")
    return _OTHER_UNITS.get(ending, {})


def bare_name(name: str) -> str:
    """Name without its unit: ``finger_radius_mm`` becomes ``finger_radius``."""
    ending = next((ending for ending in _UNITS if name.endswith(ending)), "")
    return name.removesuffix(ending)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value with one standard uncertainty, in the unit of its key, and where it came from.

    Parameters
    ----------
    value : float
        Best estimate.
    u : float
        One standard uncertainty, same unit; 0 when taken as exact.
    origin : str
        ``measured: <tool>``, ``manual``, ``estimated``, ``assumed`` or ``fitted``.
    """

    value: float
    u: float = 0.0
    origin: str = "estimated"

    @property
    def assumed(self) -> bool:
        """Whether nobody measured or looked this value up."""
        return self.origin.startswith("assumed")
