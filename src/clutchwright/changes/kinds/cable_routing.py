"""Cable laid in gentler bends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter, Usual
from clutchwright.changes.parts import cable_of, require_no_worse


def lay(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike whose cable turns by ``bend`` [rad] in all: tension grows by exp(mu bend), capstan law.

    Refused for more bends than now, and for a hydraulic line.
    """
    cable = cable_of(bike)
    require_no_worse("bend_deg", values["bend"], cable.bend)
    return replace(bike, line=replace(cable, bend=values["bend"]))


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
    parameters=(
        Parameter(
            "bend_deg", 0.0, 720.0, "all bends added up, after the change", usual=Usual(0.4, 1.0, "cable.bend_deg")
        ),
    ),
    example={"bend_deg": 100.0},
)
