"""The values that parts and labels of the drawing go by, and how they are written."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from clutchwright.numbers import decimal_text, with_unit
from clutchwright.picture.mechanism.parts import Label
from clutchwright.quantity import Array
from clutchwright.study.mechanism import Mechanism


def pose(mechanism: Mechanism, travel_mm: float) -> dict[str, float]:
    """Values of the pose at a finger travel, pulled in from rest.

    Parameters
    ----------
    mechanism : Mechanism
        Whose.
    travel_mm : float
        Finger travel; beyond the stop it stays there.

    Returns
    -------
    dict of str to float
        By the names that parts and labels go by, in the units of the poses.
    """
    poses = mechanism.poses
    travel = min(travel_mm, mechanism.places.stop_mm)

    def at(values: Array, places: Array = poses.travel_mm) -> float:
        return float(np.interp(travel, places, values))

    return {
        "travel": travel,
        "pull": at(poses.pull_N),
        "return": at(poses.return_N, poses.return_travel_mm),
        **{name: at(values) for name, values in _moved(mechanism).items()},
    }


def _moved(mechanism: Mechanism) -> dict[str, Array]:
    poses = mechanism.poses
    relax = poses.lift_mm / float(mechanism.bike.pack.faces) - poses.gap_mm
    return {
        "arm": poses.arm_deg,
        "lift": poses.lift_mm,
        "gap": poses.gap_mm,
        "relax": relax,
        "clamp": poses.clamp_N,
        "cable": poses.cable_mm,
    }


def label_text(label: Label, values: Mapping[str, Mapping[str, float]]) -> str:
    """What a label says at a pose."""
    if label.live is None:
        return label.text
    whose, key, decimals, unit = label.live
    return f"{label.text} {value_text(values[whose][key], decimals, unit)}"


def value_text(value: float, decimals: int, unit: str) -> str:
    """A live value with its unit."""
    text = decimal_text(value, decimals)
    return f"{text}{unit}" if unit == "°" else with_unit(text, unit)
