"""Lever with its cable end nearer to the pivot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter, Usual


def fit_lever(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike with a lever whose cable end lies at ``radius`` [m] from the pivot.

    Force and lift fall in the ratio of the radii. Own derivation (virtual work); cable angle at rest and free play at
    the finger taken as the old lever's.
    """
    lever = bike.lever
    return replace(bike, lever=replace(lever, cable_end=replace(lever.cable_end, radius=values["radius"])))


CHANGE = Change(
    kind="cable-radius",
    title="Lever with a shorter cable radius",
    touches="cable radius of the lever",
    gives="force",
    takes="lift in the same ratio, and wear that the free play lasts",
    price=(20.0, 120.0),
    hours=0.5,
    reversible=True,
    caution="The clutch must still release fully: check the release margin before riding.",
    apply=fit_lever,
    parameters=(
        Parameter(
            "radius_mm",
            8.0,
            60.0,
            "pivot to cable end of the new lever",
            usual=Usual(0.6, 1.0, "lever.cable_radius_mm"),
        ),
    ),
    example={"radius_mm": 24.0},
)
