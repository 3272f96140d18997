"""Springs left out in a balanced pattern."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter
from clutchwright.changes.parts import coils_of, require_fitted
from clutchwright.errors import Refusal


def leave_out(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike without the springs on the positions ``left_out``.

    Of n equal springs m left out take m/n of pull and clamp: own derivation, the load is the sum over the springs.
    Refused for a position without a spring, for all springs and for a diaphragm spring.
    """
    springs, left_out = coils_of(bike), values["left_out"]
    require_fitted(springs, left_out)
    kept = tuple(spring for spring in springs.springs if spring.position not in left_out)
    if not kept:
        message = f"all {len(left_out)} springs would be left out, and nothing would clamp the plates; leave out fewer"
        raise Refusal(message)
    return replace(bike, springs=replace(springs, springs=kept))


CHANGE = Change(
    kind="springs-fewer",
    title="Fewer springs, in a balanced pattern",
    touches="number of springs",
    gives="force",
    takes="clamp in the same fraction, evenness of the plate, unused bosses",
    price=(0.0, 0.0),
    hours=1.0,
    reversible=True,
    caution=(
        "The clutch may slip at full torque, hot or worn: check the slip margin. Bolts and collars of empty bosses "
        "come out with their springs or are fastened so that they cannot come loose."
    ),
    apply=leave_out,
    parameters=(Parameter("left_out", 1, 12, "bosses that lose their spring", None, "positions"),),
    example={"left_out": (1, 4)},
)
