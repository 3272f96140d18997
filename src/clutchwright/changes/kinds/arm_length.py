"""A longer release arm on the engine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter, Usual
from clutchwright.changes.parts import require_no_worse


def fit_arm(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike whose release arm is ``length`` [m] long.

    Force and lift fall in the ratio old/new. Own derivation (virtual work); cable angle at rest taken as the old arm's.
    Refused for a shorter one.
    """
    require_no_worse("length_mm", values["length"], bike.arm.length, more=True)
    return replace(bike, arm=replace(bike.arm, length=values["length"]))


CHANGE = Change(
    kind="arm-length",
    title="Longer release arm",
    touches="length of the arm",
    gives="force",
    takes="lift in the same ratio, and wear that the free play lasts; room at the case; angle of the cable",
    price=(15.0, 100.0),
    hours=1.5,
    reversible=True,
    caution=(
        "Measure the arm's room at the case again, keep the cable square to the arm near the release point, and check "
        "the release margin; an arm that is welded must be welded by someone who can."
    ),
    apply=fit_arm,
    parameters=(
        Parameter(
            "length_mm", 10.0, 100.0, "shaft to cable end, after the change", usual=Usual(1.0, 1.6, "arm.length_mm")
        ),
    ),
    example={"length_mm": 36.0},
)
