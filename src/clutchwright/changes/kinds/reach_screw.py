"""Reach screw: the lever rests nearer to the grip."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter, Usual


def set_reach(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike whose lever rests at ``rest_span`` [m] from the grip; the stop stays, so the stroke changes by as much.

    Own derivation. The screw sits between blade and cable end, so the cable's angle at rest stays.
    """
    return replace(bike, lever=replace(bike.lever, rest_span=values["rest_span"]))


CHANGE = Change(
    kind="reach-screw",
    title="Reach screw turned",
    touches="rest span",
    gives="reach",
    takes="stroke, so lift",
    price=(0.0, 0.0),
    hours=0.1,
    reversible=True,
    caution="A lever that touches the grip before the clutch releases is a crash: check the release margin.",
    apply=set_reach,
    parameters=(
        Parameter(
            "rest_span_mm",
            25.0,
            150.0,
            "grip to finger point, lever at rest, after the change",
            usual=Usual(0.75, 1.0, "lever.rest_span_mm"),
        ),
    ),
    example={"rest_span_mm": 74.0},
    sets_length=True,
)
