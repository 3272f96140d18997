"""Cable laid in gentler bends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter
from clutchwright.changes.parts import cable_of


def lay(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike whose cable turns by ``bend`` [rad] in all: tension grows by exp(mu bend), capstan law.

    Refused for a hydraulic line.
    """
    return replace(bike, line=replace(cable_of(bike), bend=values["bend"]))


CHANGE = Change(
    kind="cable-routing",
    title="Cable laid in gentler bends",
    touches="sum of the cable's bends",
    gives="force",
    takes="nothing: always first",
    price=(0.0, 0.0),
    hours=0.5,
    reversible=True,
    caution="Keep the cable off hot and moving parts, and free at both locks of the bar.",
    apply=lay,
    parameters=(Parameter("bend_deg", 0.0, 720.0, "all bends added up, after it"),),
)
