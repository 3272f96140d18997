"""A leverage unit put into the cable."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter, Usual
from clutchwright.changes.parts import cable_of


def put_in_line(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike with a leverage unit in its cable.

    Parameters
    ----------
    bike : Bike
        The clutch.
    values : mapping
        ``ratio`` [-], ``drag`` [N] and ``play`` [m], the last two on the lever's side.

    Returns
    -------
    Bike
        Cable drawn times the ratio, tension over it; drag and play added. Own derivation (virtual work).

    Raises
    ------
    Refusal
        For a hydraulic line.
    """
    cable, lever = cable_of(bike), bike.lever
    return replace(
        bike,
        line=replace(cable, ratio=cable.ratio * values["ratio"], drag=cable.drag + values["drag"]),
        lever=replace(lever, free_play=lever.travel(lever.free_draw + values["play"])),
    )


CHANGE = Change(
    kind="inline-unit",
    title="Leverage unit in the cable",
    touches="ratio, drag and play of the cable",
    gives="force",
    takes="lift, drag, free play, room along the cable",
    price=(30.0, 150.0),
    hours=1.0,
    reversible=True,
    caution="It needs room along the cable and must not bind at either lock of the bar; check the release margin.",
    apply=put_in_line,
    parameters=(
        Parameter("ratio", 1.0, 2.0, "cable drawn at the lever per cable moved at the arm", usual=Usual(1.0, 1.5)),
        Parameter(
            "drag_N", 0.0, 30.0, "constant drag it adds; 2 N is an assumption, no source", 2.0, usual=Usual(0.0, 10.0)
        ),
        Parameter(
            "play_mm",
            0.0,
            5.0,
            "play it adds to the cable; 0.5 mm is an assumption, no source",
            0.5,
            usual=Usual(0.0, 3.0),
        ),
    ),
    example={"ratio": 1.2},
)
