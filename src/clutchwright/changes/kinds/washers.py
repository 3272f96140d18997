"""Washers under the spring bolts' shoulders: less preload."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter, Usual
from clutchwright.changes.parts import coils_of, each_spring, typical
from clutchwright.errors import Refusal
from clutchwright.physics.springs import CoilSet, CoilSpring
from clutchwright.quantity import Number

SPRING_GAP = 0.5e-3  # washer to spring, on the diameter; common practice, no source


def put_under(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike with washers under spring bolts.

    Parameters
    ----------
    bike : Bike
        The clutch.
    values : mapping
        ``thickness``, ``outer`` and ``bore`` of the washer [m], the ``positions`` that get one, all when empty.

    Returns
    -------
    Bike
        Preload travel p shortened by the thickness t: pull falls by t/(p + h), clamp by t/p, which is more. EN 13906-1,
        linear spring.

    Raises
    ------
    Refusal
        For a washer too wide for the spring or too narrow for the bolt, a position without a spring, and a diaphragm
        spring.
    """
    springs, thickness = coils_of(bike), values["thickness"]
    _require_fit(bike, springs, values["outer"], values["bore"])

    def looser(spring: CoilSpring) -> CoilSpring:
        return replace(spring, washer=spring.washer + thickness)

    return replace(bike, springs=replace(springs, springs=each_spring(springs, values["positions"], looser)))


def _require_fit(bike: Bike, springs: CoilSet, outer: float, bore: float) -> None:
    inside = _spring_inside(bike, springs)
    if inside is not None and outer >= (widest := typical(inside) - SPRING_GAP):
        message = (
            f"washer {outer * 1e3:.1f} mm wide, but inside the spring it must stay below {widest * 1e3:.1f} mm "
            f"({typical(inside) * 1e3:.1f} mm less {SPRING_GAP * 1e3:.1f} mm); give a smaller outer_mm"
        )
        raise Refusal(message)
    bolt = bike.clearance.bolt_diameter
    if bolt is not None and bore <= typical(bolt):
        message = (
            f"washer bore {bore * 1e3:.1f} mm, but the bolt is {typical(bolt) * 1e3:.1f} mm; give a larger bore_mm"
        )
        raise Refusal(message)


def _spring_inside(bike: Bike, springs: CoilSet) -> Number | None:
    measured = bike.clearance.spring_inner
    return measured if measured is not None or springs.wire is None else springs.wire.inner_diameter


CHANGE = Change(
    kind="washers",
    title="Washers under the spring bolts",
    touches="preload of the springs",
    gives="force, by thickness/(preload + lift)",
    takes="clamp, by thickness/preload: more than the lever gains; bolt room; thread engagement",
    price=(1.0, 5.0),
    hours=1.0,
    reversible=True,
    caution=(
        "A worn pack takes preload in the same way: check the slip margin at the wear limit. Hardened washers of one "
        "thickness; measure bolt room and thread first."
    ),
    apply=put_under,
    parameters=(
        Parameter("thickness_mm", 0.1, 5.0, "thickness of the washer", usual=Usual(0.1, 2.0)),
        Parameter("positions", 1, 12, "bosses that get one", (), "positions"),
        Parameter("outer_mm", 4.0, 40.0, "outer diameter; 12 mm is ISO 7089 for M6, from memory", 12.0),
        Parameter("bore_mm", 2.0, 30.0, "bore; 6.4 mm is ISO 7089 for M6, from memory", 6.4),
    ),
    example={"thickness_mm": 0.5},
)
