"""Sections of a bike file from the hand to the engine: lever, cable, arm."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Tag

from clutchwright.quantity import Quantity
from clutchwright.tomlfile.keys import Assumption, Entry, Key
from clutchwright.tomlfile.section import Optional, Section, chosen_by


class AnyLever(Section):
    """Keys of every hand lever."""

    finger_radius_mm: Annotated[
        Quantity,
        Key(
            "Pivot to finger point, square to the pull",
            "Mark where the middle of the pulling fingers lies; ruler from the middle of the pivot bolt to the mark.",
            (30, 200),
            u=1.5,
        ),
    ]
    cable_radius_mm: Annotated[
        Quantity,
        Key(
            "Pivot to cable end on the lever",
            "Take the lever off; calliper from the middle of the pivot hole to the middle of the barrel's hole.",
            (8, 80),
            u=0.3,
        ),
    ]

    rest_span_mm: Annotated[
        Quantity,
        Key(
            "Span at the finger point, lever at rest",
            "Ruler from the back of the grip to the front of the lever at the mark.",
            (30, 150),
            u=1,
        ),
    ]
    stop_span_mm: Annotated[
        Quantity,
        Key(
            "Span at the finger point, lever stopped",
            "Pull the lever until it stops on the grip, or on the fingers left on the grip; ruler as before.",
            (5, 120),
            u=1,
        ),
    ]
    free_play_mm: Annotated[
        Optional,
        Key(
            "Finger-point travel before the arm starts to turn",
            "Pull with one finger until the arm at the engine just moves; ruler at the mark.",
            (0, 30),
            u=0.5,
            assumed=Assumption(3, 1.2),
        ),
    ] = None
    pivot_friction: Annotated[
        Optional,
        Key(
            "Share of the pull lost in the lever's pivot",
            "Cable off: a clean, greased pivot swings freely and loses 0.01 to 0.03; a dry one up to 0.1.",
            (0, 0.3),
            u=0.01,
            assumed=Assumption(0.02, 0.01),
            ask=False,
        ),
    ] = None
    hook_radius_mm: Annotated[
        Optional,
        Key(
            "Pivot to where a scale was hooked, for readings of the pull taken there",
            "Ruler from the middle of the pivot bolt to the hook.",
            (30, 250),
            u=1,
            ask=False,
        ),
    ] = None
    blade_length_mm: Annotated[
        Optional,
        Key(
            "Pivot to the farthest point where a finger can pull",
            "Ruler from the middle of the pivot bolt to just inside the ball at the lever's end.",
            (50, 250),
            u=2,
        ),
    ] = None
    level_angle_deg: Annotated[
        Optional,
        Key(
            "Lever below the horizontal, seen from the side, rider seated",
            "Photograph from the side with a spirit level in the picture, or lay a phone's level on the blade.",
            (-60, 90),
            u=3,
        ),
    ] = None


CABLE_END = Entry(
    "How the cable sits on the lever",
    "Far away means: bare wire from lever to adjuster is at least three times as long as from the lever's pivot to the "
    "cable's end.",
    words=(
        ("far", "on a pin, the adjuster far away"),
        ("near", "on a pin, the adjuster close by"),
        ("cam", "round a cam or quadrant"),
    ),
)


class PinLever(AnyLever):
    """Keys of a lever with the cable end on a pin."""

    cable_angle_deg: Annotated[
        Optional,
        Key(
            "Pivot-to-cable-end line, drawn on, against the cable, lever at rest",
            "Photograph the lever from straight above and lay a protractor on the picture; 90 is square.",
            (20, 160),
            u=4,
            assumed=Assumption(85, 8),
        ),
    ] = None


class FarLever(PinLever):
    """Lever with the cable end on a pin, the adjuster far away."""

    cable_end: Annotated[Literal["far"], CABLE_END] = "far"


class NearLever(PinLever):
    """Lever with the cable end on a pin, the adjuster close by."""

    cable_end: Annotated[Literal["near"], CABLE_END]
    adjuster_distance_mm: Annotated[
        Quantity,
        Key("Cable end to adjuster, lever at rest", "Ruler along the bare inner wire.", (5, 500), u=1),
    ]


class CamLever(AnyLever):
    """Lever with the cable wrapped round a cam."""

    cable_end: Annotated[Literal["cam"], CABLE_END]


Lever = Annotated[
    Annotated[FarLever, Tag("far")] | Annotated[NearLever, Tag("near")] | Annotated[CamLever, Tag("cam")],
    chosen_by("cable_end", "far"),
]


class Cable(Section):
    """The sheathed cable."""

    bend_deg: Annotated[
        Optional,
        Key(
            "All bends added up",
            "Follow the cable with bars straight; add the angle by which each bend turns it (a quarter turn is 90).",
            (0, 720),
            u=20,
            assumed=Assumption(150, 50),
        ),
    ] = None
    friction: Annotated[
        Optional,
        Key(
            "Friction coefficient of inner wire on liner",
            "Best from a pull and return reading at the lever; new PTFE liner about 0.08, nylon 0.15, dry steel 0.2.",
            (0, 0.6),
            u=0.03,
            assumed=Assumption(0.12, 0.04, "from memory: PTFE liner 0.04-0.12, nylon 0.10-0.20; low confidence"),
        ),
    ] = None
    drag_N: Annotated[
        Optional,
        Key(
            "Constant drag of seals and boots, at the lever end",
            "Unhook the arm end; pull the inner wire slowly from the lever end with a kitchen scale (1 kg is 9.8 N).",
            (0, 40),
            u=1,
            assumed=Assumption(2, 1),
        ),
    ] = None
    compliance_mm_per_N: Annotated[
        Optional,
        Key(
            "Movement lost per newton of mean tension, inner wire and conduit together",
            "Block the arm; pull the lever with a scale and read the movement at the cable end; divide.",
            (0, 0.05),
            share=0.25,
            assumed=Assumption(0.004, 0.002),
        ),
    ] = None
    service_share: Annotated[
        Optional,
        Key(
            "Friction and drag of the cable once serviced, per what is expected of a service",
            "Leave it out before a service; readings taken after one tell it.",
            (0.1, 10),
            u=0.1,
            ask=False,
        ),
    ] = None


class Arm(Section):
    """The release arm on the engine."""

    length_mm: Annotated[
        Quantity,
        Key(
            "Shaft to cable end on the arm",
            "Calliper from the middle of the shaft to the middle of the cable's nipple or clevis.",
            (10, 120),
            u=0.4,
        ),
    ]
    cable_angle_deg: Annotated[
        Optional,
        Key(
            "At the cable end, between the arm (towards its shaft) and the cable, arm at rest",
            "Photograph the arm along its shaft and lay a protractor on the picture; 90 is square.",
            (20, 160),
            u=4,
            assumed=Assumption(80, 8),
        ),
    ] = None
    play_deg: Annotated[
        Optional,
        Key(
            "Turn of the arm on its shaft before the shaft turns with it",
            "Cable slack, shaft held or marked: rock the arm and lay a protractor on it. A sound serration has none; "
            "the travel it costs comes on top of lever.free_play_mm.",
            (0, 30),
            u=0.5,
            ask=False,
        ),
    ] = None
