"""Section of a bike file for the lift: what turns the arm's rotation into travel of the plate, in each of its forms."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Tag

from clutchwright.quantity import Quantity
from clutchwright.tomlfile.keys import Assumption, Entry, Key, Pairs, Points
from clutchwright.tomlfile.section import Optional, Section, chosen_by

KIND_OF_LIFT = Entry(
    "Kind of lift mechanism",
    "Look it up in the workshop manual's exploded view, or take the cover off. A lift measured point by point goes "
    "into the file by hand.",
    words=(
        ("rack", "a toothed rod (rack)"),
        ("screw", "a coarse thread (screw)"),
        ("ramp", "balls between two discs (ramp)"),
        ("cam", "a shaft with a flat or an eccentric (cam)"),
        ("table", "measured point by point"),
    ),
)


class FrictionLift(Section):
    """Keys of a lift whose friction is given as a share."""

    friction: Annotated[
        Optional,
        Key(
            "Share of the ideal moment lost to friction in the lift",
            "Best from a pull and return reading at the arm; a greased rack or cam loses 0.03 to 0.12.",
            (0, 0.6),
            u=0.02,
            assumed=Assumption(0.08, 0.04),
        ),
    ] = None


class RackLift(FrictionLift):
    """Rack and pinion."""

    kind: Annotated[Literal["rack"], KIND_OF_LIFT]
    pinion_radius_mm: Annotated[
        Quantity,
        Key(
            "Pitch radius of the pinion",
            "Turn the arm by a known angle, read the rod's travel: radius = travel / angle in radians (57.3 degrees).",
            (1.5, 25),
            u=0.1,
        ),
    ]


class ScrewLift(Section):
    """Quick screw in a fixed nut."""

    kind: Annotated[Literal["screw"], KIND_OF_LIFT]
    lead_mm: Annotated[
        Quantity,
        Key(
            "Travel per full turn",
            "Turn the arm by a known angle and read the travel: lead = travel x 360 / degrees.",
            (3, 150),
            share=0.03,
        ),
    ]
    thread_diameter_mm: Annotated[
        Quantity,
        Key(
            "Mean diameter of the thread", "Calliper over the thread, less half the depth on each side.", (6, 80), u=0.4
        ),
    ]
    thread_friction: Annotated[
        Optional,
        Key(
            "Friction coefficient in the thread",
            "Greased steel on steel is 0.10 to 0.16; dry is more.",
            (0.01, 0.4),
            u=0.03,
            assumed=Assumption(0.13, 0.03, "from memory: greased steel on steel 0.10-0.16; low confidence"),
        ),
    ] = None
    flank_deg: Annotated[
        Optional,
        Key(
            "Half the angle between the thread's flanks",
            "Hold a protractor or a paper pattern into the thread; 0 is a square thread, 15 a trapezoidal one.",
            (0, 45),
            u=3,
            assumed=Assumption(15, 5),
        ),
    ] = None


class RampLift(Section):
    """Balls between ramped discs."""

    kind: Annotated[Literal["ramp"], KIND_OF_LIFT]
    ramp_radius_mm: Annotated[
        Quantity,
        Key("Shaft to the middle of the balls' track", "Calliper across two opposite tracks, halved.", (4, 60), u=0.3),
    ]
    ramp_angle_deg: Annotated[
        Quantity,
        Key(
            "Angle of the ramp",
            "Turn the arm by a known angle and read the travel: tangent = travel / (radius x angle in radians).",
            (2, 45),
            u=0.5,
        ),
    ]
    rolling_friction: Annotated[
        Optional,
        Key(
            "Friction coefficient of the rolling balls",
            "Clean and greased 0.005 to 0.015; rusty or pitted more.",
            (0, 0.15),
            u=0.004,
            assumed=Assumption(0.01, 0.005),
        ),
    ] = None


class CamLift(FrictionLift):
    """Eccentric or flat on the shaft."""

    kind: Annotated[Literal["cam"], KIND_OF_LIFT]
    eccentricity_mm: Annotated[
        Quantity,
        Key(
            "Shaft axis to the centre of the eccentric",
            "Calliper: half the difference between the largest and the least reach of the cam, over a full turn.",
            (0.5, 25),
            u=0.1,
        ),
    ]
    start_angle_deg: Annotated[
        Optional,
        Key(
            "Eccentric before (below 0) or past square to the push rod, arm at rest",
            "Mark the shaft's end in line with the eccentric and photograph it along the shaft, arm at rest.",
            (-70, 60),
            u=5,
            assumed=Assumption(-5, 10),
        ),
    ] = None


class TableLift(FrictionLift):
    """A lift measured point by point."""

    kind: Annotated[Literal["table"], KIND_OF_LIFT]
    points: Annotated[
        Points,
        Pairs(
            "Arm rotation from rest and bearing travel",
            "Protractor on the arm, dial gauge or calliper on the push rod, every 5 degrees, beyond the full stroke.",
            ("arm angle in degrees", "bearing travel in mm"),
            (170, 30),
        ),
    ]


Lift = Annotated[
    Annotated[RackLift, Tag("rack")]
    | Annotated[ScrewLift, Tag("screw")]
    | Annotated[RampLift, Tag("ramp")]
    | Annotated[CamLift, Tag("cam")]
    | Annotated[TableLift, Tag("table")],
    chosen_by("kind"),
]
