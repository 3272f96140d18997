"""Grippier plates or oil, more friction faces."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter, Usual


def fit_plates(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike with another pack.

    Parameters
    ----------
    bike : Bike
        The clutch.
    values : mapping
        ``friction_share`` [-] on both friction coefficients and ``extra_pairs`` of faces.

    Returns
    -------
    Bike
        Capacity z mu r F with the new z and mu (Shigley, ch. 16). Each face of the pack squashes alike, so the pack
        gives more in the ratio of the faces: own derivation, springs in series.
    """
    pack, share = bike.pack, values["friction_share"]
    faces = pack.faces + 2.0 * values["extra_pairs"]
    softer = faces / pack.faces
    return replace(
        bike,
        pack=replace(
            pack,
            faces=faces,
            friction_static=pack.friction_static * share,
            friction_sliding=pack.friction_sliding * share,
            stiffness=pack.stiffness / softer,
            curve=tuple((squash * softer, clamp) for squash, clamp in pack.curve),
        ),
    )


CHANGE = Change(
    kind="plates",
    title="Grippier plates or oil, or one more pair of friction faces",
    touches="friction and number of faces",
    gives="slip margin, to be spent on softer springs",
    takes="feel; with more faces, lift for their gaps",
    price=(60.0, 250.0),
    hours=2.0,
    reversible=True,
    caution=(
        "The pack must stay as thick as standard, so more faces need thinner steels; keep to oil made for wet clutches."
    ),
    apply=fit_plates,
    parameters=(
        Parameter(
            "friction_share",
            0.8,
            1.5,
            "friction after the change over before; 1.1 is an assumption, no source",
            1.1,
            usual=Usual(1.0, 1.3),
        ),
        Parameter("extra_pairs", 0, 2, "pairs of friction faces added", 0.0, "whole", usual=Usual(0.0, 2.0)),
    ),
    example={"extra_pairs": 1.0},
)
