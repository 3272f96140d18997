"""Cable cleaned and oiled, or renewed with a better liner."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter
from clutchwright.changes.parts import cable_of


def service(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike whose cable has at most ``friction`` [-] and ``drag`` [N]: what is better already stays as it is.

    Refused for a hydraulic line.
    """
    cable = cable_of(bike)
    friction, drag = np.minimum(cable.friction, values["friction"]), np.minimum(cable.drag, values["drag"])
    return replace(bike, line=replace(cable, friction=friction, drag=drag))


CHANGE = Change(
    kind="cable-service",
    title="Cable cleaned and oiled, or renewed with a better liner",
    touches="friction and drag of the cable",
    gives="force",
    takes="nothing: always first",
    price=(0.0, 40.0),
    hours=0.7,
    reversible=True,
    caution="Oil swells some lined cables: follow the maker's word. Renew a cable with a broken strand.",
    apply=service,
    parameters=(
        Parameter("friction", 0.02, 0.4, "friction after it; 0.08 suits a PTFE liner, from memory, not certain", 0.08),
        Parameter("drag_N", 0.0, 30.0, "drag after it; 1 N is an assumption, no source", 1.0),
    ),
)
