"""Softer clutch springs: all of them, or a balanced subset."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter, Usual
from clutchwright.changes.parts import coils_of, each_spring
from clutchwright.physics.diaphragm import Diaphragm
from clutchwright.physics.springs import CoilSpring


def fit_softer(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike with softer springs.

    Parameters
    ----------
    bike : Bike
        The clutch.
    values : mapping
        ``rate_share`` [-] of the rate, or of a diaphragm spring's whole load; ``positions`` changed, all when empty.

    Returns
    -------
    Bike
        Springs of the same lengths and lower rate; EN 13906-1, load = rate x deflection. Their wire and solid length
        are not known.

    Raises
    ------
    Refusal
        For positions that carry no spring, and for positions on a diaphragm spring.
    """
    share, positions = values["rate_share"], values["positions"]
    if isinstance(bike.springs, Diaphragm) and not positions:
        return replace(bike, springs=replace(bike.springs, load_scale=bike.springs.load_scale * share))
    springs = coils_of(bike)

    def softer(spring: CoilSpring) -> CoilSpring:
        return replace(spring, rate=spring.rate * share, solid_length=None)

    return replace(bike, springs=replace(springs, springs=each_spring(springs, positions, softer), wire=None))


CHANGE = Change(
    kind="springs-softer",
    title="Softer springs, all or a balanced subset",
    touches="rate of the springs",
    gives="force",
    takes="clamp, in the same fraction when the preload length is the same",
    price=(15.0, 80.0),
    hours=1.0,
    reversible=True,
    caution=(
        "The clutch may slip at full torque, hot or worn: check the slip margin. Measure the new springs' solid "
        "length; until then coil bind and stress are not checked."
    ),
    apply=fit_softer,
    parameters=(
        Parameter("rate_share", 0.4, 1.0, "rate of the new spring over the old one's", usual=Usual(0.6, 1.0)),
        Parameter("positions", 1, 12, "bosses that get them", (), "positions"),
    ),
    example={"rate_share": 0.9},
)
