"""Cable cleaned and oiled, or renewed with a better liner."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter, Usual
from clutchwright.changes.parts import cable_of, require_no_worse
from clutchwright.quantity import Quantity

USUAL_FRICTION = 0.08  # PTFE liner; from memory, not certain
USUAL_DRAG_N = 1.0  # assumption, no source
# How a service turns out, per what is expected of it [-]. Own judgement: from memory, not certain, PTFE liners lie from
# 0.04 to 0.12 and nylon ones up to 0.20, so that 0.08 may as well become 0.05 or 0.11.
OUTCOME = Quantity(1.0, 0.35, "assumed: own judgement")


def service(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike whose cable has at most ``friction`` [-] and ``drag`` [N], each as a service of this cable turns out.

    What is better already than the usual outcome stays as it is. Refused for a worse outcome than both that and now,
    and for a hydraulic line.
    """
    cable = cable_of(bike)
    if values["friction"] > USUAL_FRICTION:
        require_no_worse("friction", values["friction"], cable.friction)
    if values["drag"] > USUAL_DRAG_N:
        require_no_worse("drag_N", values["drag"], cable.drag)
    friction = np.minimum(cable.friction, values["friction"] * cable.service_share)
    drag = np.minimum(cable.drag, values["drag"] * cable.service_share)
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
        Parameter(
            "friction",
            0.02,
            0.4,
            "friction after the change, taken as sure to 35 %; 0.08 suits a PTFE liner, from memory, not certain",
            USUAL_FRICTION,
            usual=Usual(0.4, 1.0, "cable.friction"),
        ),
        Parameter(
            "drag_N",
            0.0,
            30.0,
            "drag after the change, taken as sure to 35 % as well; 1 N is an assumption, no source",
            USUAL_DRAG_N,
            usual=Usual(0.0, 1.0, "cable.drag_N"),
        ),
    ),
    example={"friction": 0.06},
    unknown={"cable.service_share": OUTCOME},
)
