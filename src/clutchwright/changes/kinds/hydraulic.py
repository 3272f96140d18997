"""The cable replaced by a master and a slave cylinder; the slave pulls the same arm."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter, Usual
from clutchwright.changes.parts import cable_of
from clutchwright.physics.cable import Hydraulic


def convert(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike with a hydraulic line in its cable's place.

    Parameters
    ----------
    bike : Bike
        The clutch.
    values : mapping
        ``area_ratio`` [-], ``seal_loss`` [-] and ``expansion`` [m/N].

    Returns
    -------
    Bike
        Bends and drag gone, two seals in their place (Pascal's law with losses). The lever's push rod sits where the
        cable end was, and the master's free travel is taken as the old free play.

    Raises
    ------
    Refusal
        Where the line is hydraulic already.
    """
    cable_of(bike)
    return replace(bike, line=Hydraulic(values["area_ratio"], values["seal_loss"], values["expansion"]))


CHANGE = Change(
    kind="hydraulic",
    title="Hydraulic conversion, the slave on the same arm",
    touches="the cable, replaced by an area ratio and two seals",
    gives="friction of the cable; the line sets itself as the pack wears",
    takes="cost; gains little over a good cable",
    price=(200.0, 600.0),
    hours=4.0,
    reversible=True,
    caution="Bleed it well: air is lost lift. A leak leaves no clutch at all.",
    apply=convert,
    parameters=(
        Parameter("area_ratio", 0.5, 3.0, "slave piston area over master piston area", 1.0, usual=Usual(0.7, 1.5)),
        Parameter(
            "seal_loss",
            0.0,
            0.3,
            "share of the force lost at each of two seals; 0.03 to 0.08, from memory",
            0.05,
            usual=Usual(0.0, 0.2),
        ),
        Parameter(
            "expansion_mm_per_N",
            0.0,
            0.05,
            "travel lost to hose and air; 0.001 is an assumption, no source",
            0.001,
            usual=Usual(0.0, 0.005),
        ),
    ),
)
