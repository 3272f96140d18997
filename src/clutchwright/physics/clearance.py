"""Measured room around the clutch; what is None was not measured and counts as not checked, never as fine."""

from __future__ import annotations

from dataclasses import dataclass

from clutchwright.quantity import Number


@dataclass(frozen=True, slots=True)
class Clearance:
    """Room to move, as measured.

    Parameters
    ----------
    bolt_to_cover : Number | None
        Spring bolt heads to the cover, clutch engaged [m].
    plate_moves : str
        ``outward`` (the plate and bolts move towards the cover when released) or ``inward``.
    thread_engagement : Number | None
        Thread of a spring bolt in its boss, no washer [m].
    bolt_diameter : Number | None
        Thread diameter [m].
    boss : str | None
        ``aluminium`` or ``steel``.
    spring_inner : Number | None
        Inside diameter of the springs [m].
    arm_room : Number | None
        Movement of the arm's end, from rest, until it touches the case [m].
    arm_past_square : Number
        Greatest angle of the cable past square to the arm [rad].
    """

    bolt_to_cover: Number | None
    plate_moves: str
    thread_engagement: Number | None
    bolt_diameter: Number | None
    boss: str | None
    spring_inner: Number | None
    arm_room: Number | None
    arm_past_square: Number
