"""A cable that gives less: thicker inner wire, stiffer conduit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter, Usual
from clutchwright.changes.parts import cable_of


def stiffen(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike whose cable gives ``compliance_share`` [-] of what it gave; refused for a hydraulic line."""
    cable = cable_of(bike)
    return replace(bike, line=replace(cable, compliance=cable.compliance * values["compliance_share"]))


CHANGE = Change(
    kind="cable-stiffer",
    title="Stiffer cable or conduit",
    touches="compliance of the cable",
    gives="lift",
    takes="nothing mechanical",
    price=(20.0, 60.0),
    hours=0.7,
    reversible=True,
    caution="A thicker wire wants wider bends and an end that fits the lever's barrel.",
    apply=stiffen,
    parameters=(
        Parameter(
            "compliance_share",
            0.2,
            1.0,
            "give of the new cable over the old; 0.6 is an assumption, no source",
            0.6,
            usual=Usual(0.2, 1.0),
        ),
    ),
)
