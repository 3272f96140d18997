"""Free play set to the low end of what is allowed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter, Usual
from clutchwright.changes.parts import require_no_worse


def adjust(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike adjusted to a free play of ``free_play`` [m] at the finger point; refused for more than now."""
    require_no_worse("free_play_mm", values["free_play"], bike.lever.free_play)
    return replace(bike, lever=replace(bike.lever, free_play=values["free_play"]))


CHANGE = Change(
    kind="free-play",
    title="Free play set to the low end",
    touches="free play",
    gives="lift",
    takes="wear that the free play lasts",
    price=(0.0, 0.0),
    hours=0.1,
    reversible=True,
    caution=(
        "Stay within the workshop manual's range: the release bearing must still run free, hot and at both locks of "
        "the bar. Check more often, as the free play closes sooner with wear."
    ),
    apply=adjust,
    parameters=(
        Parameter(
            "free_play_mm",
            0.5,
            30.0,
            "finger-point travel before the arm turns, after the change",
            usual=Usual(0.3, 1.5, "lever.free_play_mm"),
        ),
    ),
    example={"free_play_mm": 2.0},
    sets_length=True,
)
