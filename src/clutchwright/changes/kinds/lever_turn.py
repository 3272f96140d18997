"""Lever turned on the bar, towards level with the forearm."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter, Usual


def turn_level(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike with its lever at another angle, ``level_angle`` [rad]; only the wrist notices."""
    return replace(bike, lever=replace(bike.lever, level_angle=values["level_angle"]))


CHANGE = Change(
    kind="lever-turn",
    title="Lever turned on the bar towards level",
    touches="level angle of the lever",
    gives="grip strength, as the wrist is straighter",
    takes="nothing mechanical",
    price=(0.0, 0.0),
    hours=0.1,
    reversible=True,
    caution="Tighten the perch again, and make sure that the cable still runs free with the bar at both locks.",
    apply=turn_level,
    parameters=(
        Parameter(
            "level_angle_deg",
            -30.0,
            60.0,
            "lever below the horizontal, from the side, after the change",
            0.0,
            usual=Usual(-20.0, 40.0),
        ),
    ),
    example={"level_angle_deg": 5.0},
)
