"""Sections of a hand file: who pulls, how strong, how large, with which fingers, at which wrist angle, how well."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Tag

from clutchwright.quantity import Quantity
from clutchwright.tomlfile.keys import Assumption, Count, Entry, Key
from clutchwright.tomlfile.section import Optional, Section, chosen_by


class Rider(Section):
    """Who pulls. All of it may be left out; sex and age serve the norms of strength and hand size alone."""

    sex: Annotated[
        Literal["man", "woman"] | None,
        Entry("Sex", "As in the norms of strength and hand size; not said, both count alike."),
    ] = None
    age_years: Annotated[
        int | None,
        Count("Age", "Completed years; the norms cover 20 to 84. Not said, the middle of all ages counts.", 8, 110),
    ] = None
    dominant_hand: Annotated[
        Literal["right", "left"], Entry("Hand you write with", "The clutch is pulled with the left hand.")
    ] = "right"


STRENGTH_KIND = Entry(
    "How the strength is known",
    "What you have to measure it with, and how hard you squeeze. A hand that hurts is measured until just before it "
    "hurts.",
    words=(
        ("dynamometer", "a hand dynamometer, squeezed as hard as you can"),
        ("painless", "a hand dynamometer, squeezed until just before it hurts"),
        ("lever_scale", "a luggage scale that holds the lever, pulled as hard as does not hurt"),
        ("bathroom_scale", "a bathroom scale, squeezed as hard as you can; rough"),
        ("norm", "not measured: the norm for age and sex"),
    ),
)
GRIP_LIMITS = (1.0, 100.0)


class Dynamometer(Section):
    """Strength by a hand dynamometer. It holds what this hand is, so its side and its condition count no more."""

    kind: Annotated[Literal["dynamometer"], STRENGTH_KIND]
    grip_kgf: Annotated[
        Quantity,
        Key(
            "Reading of the left hand",
            "Sit, elbow bent, thumb up, handle at its best width; the best of three, a minute apart. 1 kgf is 9.81 N.",
            GRIP_LIMITS,
            share=0.10,
        ),
    ]


class LeverScale(Section):
    """Strength by a luggage scale that holds the lever back. It holds all but the span."""

    kind: Annotated[Literal["lever_scale"], STRENGTH_KIND]
    scale_kgf: Annotated[
        Quantity,
        Key(
            "Hardest pull on a luggage scale that holds the lever back",
            "Engine off, cable slack. Hook the scale to the lever and to something fixed in front of it, square to the "
            "lever, so that the lever cannot move. Sit as for riding, glove on, same fingers; pull as hard as does not "
            "hurt for two seconds; the best of three, a minute apart.",
            GRIP_LIMITS,
            share=0.03,
        ),
    ]
    hook_radius_mm: Annotated[
        Quantity,
        Key("Pivot to the scale's hook", "Ruler from the middle of the pivot bolt to the hook.", (30, 250), u=1),
    ]
    finger_radius_mm: Annotated[
        Quantity,
        Key(
            "Pivot to finger point in that trial",
            "Ruler from the middle of the pivot bolt to the middle of the pulling fingers.",
            (30, 200),
            u=3,
        ),
    ]
    span_mm: Annotated[
        Quantity,
        Key(
            "Span at the finger point in that trial",
            "Ruler from the back of the grip to the front of the lever, as the scale held it.",
            (25, 125),
            u=2,
        ),
    ]


class BathroomScale(Section):
    """Strength by squeezing a bathroom scale; rough, since its flat plates are no handle."""

    kind: Annotated[Literal["bathroom_scale"], STRENGTH_KIND]
    scale_kgf: Annotated[
        Quantity,
        Key(
            "Hardest squeeze of a bathroom scale",
            "Hold it upright between fingers and palm, thumb side up, arms bent; the best of three, a minute apart.",
            (1, 200),
            share=0.05,
        ),
    ]
    hands: Annotated[int, Count("Hands that squeezed together", "1 or 2; with 2 each counts half.", 1, 2)] = 1


class Painless(Section):
    """The hardest squeeze that does not hurt, taken as the strength of a hand that hurts."""

    kind: Annotated[Literal["painless"], STRENGTH_KIND]
    grip_kgf: Annotated[
        Quantity,
        Key(
            "Hardest squeeze that does not hurt, left hand",
            "On a hand dynamometer; stop before it hurts. Not on a day that is better or worse than most.",
            GRIP_LIMITS,
            share=0.10,
        ),
    ]


class Norm(Section):
    """Strength by the norms for sex and age, as far as they are given; the spread between people goes with it."""

    kind: Annotated[Literal["norm"], STRENGTH_KIND]
    percentile: Annotated[
        int | None,
        Count("Per cent of people who are weaker", "50 is the middle, which counts when you do not know.", 5, 95),
    ] = None


Strength = Annotated[
    Annotated[Dynamometer, Tag("dynamometer")]
    | Annotated[Painless, Tag("painless")]
    | Annotated[LeverScale, Tag("lever_scale")]
    | Annotated[BathroomScale, Tag("bathroom_scale")]
    | Annotated[Norm, Tag("norm")],
    chosen_by("kind"),
]


class Size(Section):
    """How large the hand is. Of reach, hand length and "feels far" give one; missing sizes are typical ones."""

    reach_mm: Annotated[
        Optional,
        Key(
            "Farthest span that the fingers take comfortably",
            "Palm on the grip as for riding: move the lever by its reach screw, or hold a ruler in its place, until "
            "the first finger joints just lie over it.",
            (30, 125),
            u=5,
        ),
    ] = None
    hand_length_mm: Annotated[
        Optional,
        Key("Crease of the wrist to tip of the middle finger", "Hand flat on the table, ruler.", (110, 250), u=3),
    ] = None
    lever_feels_far: Annotated[
        bool | None,
        Entry("The lever of this bike, as it is, feels too far away", "When you know neither of the two before."),
    ] = None
    hand_span_mm: Annotated[
        Optional,
        Key("Thumb tip to little finger tip, hand wide open", "Hand flat on a ruler.", (110, 280), u=5),
    ] = None
    finger_thickness_mm: Annotated[
        Optional,
        Key("Depth of a finger lying round the grip", "Calliper over the middle of the ring finger.", (8, 30), u=1),
    ] = None


class Pull(Section):
    """How the lever is pulled."""

    fingers: Annotated[
        Literal[
            "all",
            "index",
            "middle",
            "index+middle",
            "middle+ring",
            "ring+little",
            "index+middle+ring",
            "middle+ring+little",
        ],
        Entry("Fingers on the lever", "The others stay round the grip."),
    ] = "all"
    glove: Annotated[bool, Entry("A riding glove is worn", "The one you ride with most.")] = True


WRIST_KIND = Entry(
    "How the wrist angle is known",
    "From the forearm's slope the lever's angle in the bike file is taken.",
    words=(("angle", "the wrist's own angle"), ("forearm", "the forearm's slope")),
)
DEVIATION = Key(
    "Hand turned towards the little finger, against the forearm, seen from above",
    "Photograph from above, protractor on the picture; towards the thumb is below 0.",
    (-25, 40),
    u=5,
    assumed=Assumption(5, 5, "assumed: within what most hands choose"),
    ask=False,
    bounded=True,
)


class WristAngle(Section):
    """The wrist's own angle, hand on the lever as the bike stands now."""

    kind: Annotated[Literal["angle"], WRIST_KIND] = "angle"
    seated_extension_deg: Annotated[
        Optional,
        Key(
            "Back of the hand bent up against the forearm, seated",
            "Photograph from the side, hand on the lever, protractor on the picture; bent down is below 0.",
            (-65, 65),
            u=5,
            assumed=Assumption(20, 10, "assumed: between straight and the 35 degrees that hands choose"),
            bounded=True,
        ),
    ] = None
    standing_extension_deg: Annotated[
        Optional,
        Key(
            "The same, standing on the footrests",
            "As before; not known if you never stand.",
            (-65, 65),
            u=5,
            bounded=True,
        ),
    ] = None
    deviation_deg: Annotated[Optional, DEVIATION] = None


class WristFromForearm(Section):
    """The forearm's slope; its wrist is bent by as much as the forearm slopes more than the lever."""

    kind: Annotated[Literal["forearm"], WRIST_KIND]
    seated_forearm_deg: Annotated[
        Quantity,
        Key(
            "Forearm below the horizontal towards the hand, seen from the side, seated",
            "Photograph from the side with a spirit level in the picture; protractor.",
            (-30, 90),
            u=5,
            bounded=True,
        ),
    ]
    standing_forearm_deg: Annotated[
        Optional,
        Key(
            "The same, standing on the footrests",
            "As before; not known if you never stand.",
            (-30, 90),
            u=5,
            bounded=True,
        ),
    ] = None
    deviation_deg: Annotated[Optional, DEVIATION] = None


Wrist = Annotated[
    Annotated[WristAngle, Tag("angle")] | Annotated[WristFromForearm, Tag("forearm")], chosen_by("kind", "angle")
]


class Health(Section):
    """What a condition leaves of a healthy hand's strength; counts only where the strength was not measured."""

    kind: Annotated[
        Literal["none", "rheumatoid_early", "rheumatoid_5_years", "thumb_base", "hand_osteoarthritis", "lateral_elbow"],
        Entry(
            "Condition of the hand",
            "You set it, nobody else; its published share is taken unless you give a factor of your own.",
            words=(
                ("none", "none"),
                ("rheumatoid_early", "rheumatoid arthritis, its first years"),
                ("rheumatoid_5_years", "rheumatoid arthritis for five years"),
                ("thumb_base", "arthritis at the base of the thumb"),
                ("hand_osteoarthritis", "arthritis of the finger joints (osteoarthritis)"),
                ("lateral_elbow", "pain at the outside of the elbow (tennis elbow)"),
            ),
        ),
    ] = "none"
    factor: Annotated[
        Optional,
        Key(
            "Your own share of a healthy hand's strength",
            "This hand's reading over the other's, or over the one before the trouble; 1 is healthy.",
            (0.05, 1),
            u=0.1,
        ),
    ] = None
