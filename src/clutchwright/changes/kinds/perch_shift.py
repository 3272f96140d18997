"""Perch moved inboard: the same fingers pull further out on the same lever."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter, Usual


def shift_inboard(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike with its perch moved inboard.

    Parameters
    ----------
    bike : Bike
        The clutch.
    values : mapping
        ``shift`` [m].

    Returns
    -------
    Bike
        Finger radius r + shift. Lever rotation and cable slack stay, so the lift stays, and finger travel and free play
        grow with the radius. Own derivation; the blade is taken as parallel to the grip at its stop, so that the span
        grows at rest, not at the stop.
    """
    lever = bike.lever
    radius = lever.finger_radius + values["shift"]
    wider = radius / lever.finger_radius
    return replace(
        bike,
        lever=replace(
            lever,
            finger_radius=radius,
            rest_span=lever.stop_span + lever.full_travel * wider,
            free_play=lever.free_play * wider,
        ),
    )


CHANGE = Change(
    kind="perch-shift",
    title="Perch moved inboard, so that the fingers pull further out",
    touches="finger radius",
    gives="force",
    takes="finger travel for the same lift, reach, blade length",
    price=(0.0, 0.0),
    hours=0.3,
    reversible=True,
    caution=(
        "Check that mirror, switches and hoses keep their room and that the lever's end does not catch other fingers; "
        "free play set to the old figure at the fingers would leave less slack at the clutch."
    ),
    apply=shift_inboard,
    parameters=(Parameter("shift_mm", 1.0, 80.0, "how far inboard the perch moves", usual=Usual(1.0, 40.0)),),
    example={"shift_mm": 10.0},
)
