"""Sections of a bike file of the clutch itself: springs and pack."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, Tag, model_validator

from clutchwright.quantity import Quantity
from clutchwright.tomlfile.keys import Assumption, Count, Entry, Key, Pairs, Points, refuse
from clutchwright.tomlfile.section import Optional, Section, chosen_by

KIND_OF_SPRING = Entry(
    "Kind of clutch spring",
    "Look under the cover, or in the workshop manual.",
    words=(("coil", "coil springs under bolts round the plate"), ("diaphragm", "one diaphragm spring")),
)

RATE = Key(
    "Spring rate",
    "Press one spring on bathroom scales in a drill stand or vice; rate = (force 2 - force 1) / (length 1 - length 2), "
    "1 kg is 9.81 N.",
    (0.5, 200),
    share=0.03,
)
FREE_LENGTH = Key(
    "Length of a spring unloaded", "Calliper along the spring, at three places; the mean.", (10, 150), u=0.15
)


class OneSpring(Section):
    """A spring that differs from the others, counted round the circle from 1."""

    position: Annotated[int, Count("Place of the spring", "Count the bolts round the circle, any one is 1.", 1, 12)]
    rate_N_per_mm: Annotated[Optional, RATE] = None
    free_length_mm: Annotated[Optional, FREE_LENGTH] = None
    fitted: Annotated[bool, Entry("Whether a spring is fitted in this place", "Look.")] = True


class CoilSprings(Section):
    """Coil springs round a circle, their rate measured or found from the wire."""

    kind: Annotated[Literal["coil"], KIND_OF_SPRING]
    count: Annotated[int, Count("Places for springs", "Count the spring bolts.", 3, 12)]
    rate_N_per_mm: Annotated[Optional, RATE] = None
    free_length_mm: Annotated[Quantity, FREE_LENGTH]
    installed_length_mm: Annotated[
        Quantity,
        Key(
            "Length of a spring with the clutch engaged",
            "Depth gauge of the calliper: bolted spring seat to the bottom of the spring's pocket, cover off.",
            (8, 140),
            u=0.3,
        ),
    ]
    solid_length_mm: Annotated[
        Optional,
        Key("Length of a spring with all coils touching", "Press a spring shut in a vice; calliper.", (4, 130), u=0.2),
    ] = None
    circle_radius_mm: Annotated[
        Optional,
        Key(
            "Clutch axis to spring axis",
            "Calliper across two opposite bolts, middle to middle, halved. With an odd count across two neighbours, "
            "divided by 1.732 for 3 springs, 1.176 for 5, 0.868 for 7, 0.684 for 9, 0.563 for 11.",
            (15, 150),
            u=0.5,
            assumed=Assumption(45, 8),
        ),
    ] = None
    inner_mm: Annotated[Optional, Key("Inside diameter of a spring", "Calliper.", (3, 60), u=0.1)] = None
    mass_g: Annotated[
        Optional, Key("Mass of one spring with its bolt", "Kitchen or letter scale.", (1, 300), u=1, ask=False)
    ] = None
    wire_mm: Annotated[
        Optional, Key("Wire diameter of a spring", "Calliper across the wire, paint scraped off.", (0.5, 10), u=0.02)
    ] = None
    outer_mm: Annotated[Optional, Key("Outside diameter of a spring", "Calliper.", (4, 80), u=0.1)] = None
    total_turns: Annotated[
        Optional,
        Key("All turns of a spring, end to end", "Count round with a marker, to a quarter turn.", (2.5, 30), u=0.15),
    ] = None
    ends: Annotated[
        Literal["plain", "plain ground", "squared", "squared ground"] | None,
        Entry("Ends of a spring", "Squared: the last turn lies flat on its neighbour. Ground: the end face is flat."),
    ] = None
    material: Annotated[
        Literal["music", "oil tempered", "hard drawn", "chrome vanadium", "chrome silicon", "patented drawn"] | None,
        Entry(
            "Spring wire", "Ask the maker, or take oil tempered: the rate hardly depends on it, the stress limit does."
        ),
    ] = None
    each: list[OneSpring] = Field(default_factory=list)

    @model_validator(mode="after")
    def _complete(self) -> CoilSprings:
        wire = {name: getattr(self, name) for name in ("wire_mm", "outer_mm", "total_turns", "ends", "material")}
        given = [name for name, value in wire.items() if value is not None]
        lacking = [name for name in wire if name not in given]
        if self.rate_N_per_mm is None and not given:
            refuse(
                "missing; measure it, or give the wire: wire_mm, outer_mm, total_turns, ends, material",
                "rate_N_per_mm",
                None,
            )
        if lacking and (self.rate_N_per_mm is None or self.wire_mm is not None):
            refuse(f"missing; the wire needs all of {', '.join(wire)}", lacking[0], None)
        return self

    @model_validator(mode="after")
    def _placed(self) -> CoilSprings:
        positions = [spring.position for spring in self.each]
        for position in positions:
            if position > self.count:
                refuse(f"must be from 1 to {self.count}, the count of places", "each.position", position)
            if positions.count(position) > 1:
                refuse("given twice; give each place one table", "each.position", position)
        fitted = self.count - sum(not spring.fitted for spring in self.each)
        if fitted < 3:
            refuse("at least 3 springs must be fitted, as a plate does not stand on two", "each.fitted", False)
        return self


class DiaphragmSpring(Section):
    """One diaphragm spring."""

    kind: Annotated[Literal["diaphragm"], KIND_OF_SPRING]
    outer_mm: Annotated[
        Quantity, Key("Outer diameter of the closed ring", "Calliper or ruler across it.", (40, 400), u=0.3)
    ]
    inner_mm: Annotated[
        Quantity,
        Key(
            "Inner diameter of the closed ring, where the slots end",
            "Calliper across two opposite slots' ends.",
            (20, 380),
            u=0.5,
        ),
    ]
    thickness_mm: Annotated[Quantity, Key("Thickness", "Calliper or micrometer, at three places.", (0.5, 6), u=0.02)]
    cone_height_mm: Annotated[
        Quantity,
        Key(
            "Free cone height of the closed ring",
            "Lay it on glass; depth gauge at the ring's inner edge, less the thickness.",
            (0.3, 20),
            u=0.06,
        ),
    ]
    deflection_mm: Annotated[
        Quantity,
        Key(
            "Deflection between its two rings with the clutch engaged",
            "Height of plate against hub with the spring loose, less the height with it bolted down.",
            (0.2, 25),
            u=0.1,
        ),
    ]
    plate_radius_mm: Annotated[
        Quantity,
        Key("Axis to the ring on the pressure plate", "Calliper across the bright track, halved.", (15, 200), u=0.3),
    ]
    pivot_radius_mm: Annotated[
        Quantity, Key("Axis to the ring it rocks on", "Calliper across the bright track, halved.", (12, 198), u=0.3)
    ]
    tip_radius_mm: Annotated[
        Quantity,
        Key(
            "Axis to where the bearing touches the fingers",
            "Calliper across two bright spots, halved.",
            (3, 150),
            u=0.3,
        ),
    ]
    modulus_GPa: Annotated[
        Optional,
        Key(
            "Modulus of elasticity of the spring steel",
            "Nothing to measure: spring steel.",
            (180, 220),
            u=3,
            assumed=Assumption(206, 4, "from memory: EN 16984 (DIN 2092), 206 GPa"),
            ask=False,
        ),
    ] = None


Springs = Annotated[
    Annotated[CoilSprings, Tag("coil")] | Annotated[DiaphragmSpring, Tag("diaphragm")], chosen_by("kind")
]


class Pack(Section):
    """The friction and steel plates."""

    faces: Annotated[
        int, Count("Friction faces", "Count the friction plates; each has two faces (8 plates are 16 faces).", 1, 40)
    ]
    outer_mm: Annotated[
        Quantity, Key("Outer diameter of the friction ring", "Calliper across a plate.", (40, 300), u=0.3)
    ]
    inner_mm: Annotated[
        Quantity,
        Key("Inner diameter of the friction ring", "Calliper across the lining's inner edge.", (20, 290), u=0.3),
    ]
    friction_static: Annotated[
        Optional,
        Key(
            "Friction coefficient before slipping, warm",
            "From the lining's maker, or from the engine torque at which it just slips.",
            (0.03, 0.6),
            u=0.012,
            assumed=Assumption(0.13, 0.015, "from memory: paper in oil, static 0.11-0.16; low confidence"),
        ),
    ] = None
    friction_sliding: Annotated[
        Optional,
        Key(
            "Friction coefficient while slipping, warm",
            "From the lining's maker.",
            (0.03, 0.6),
            u=0.012,
            assumed=Assumption(0.12, 0.012, "from memory: paper in oil, dynamic 0.10-0.14; low confidence"),
        ),
    ] = None
    hot_factor: Annotated[
        Optional,
        Key(
            "Friction hot over friction warm",
            "Best left unknown unless a test is at hand.",
            (0.4, 1.2),
            u=0.05,
            assumed=Assumption(0.9, 0.05),
            ask=False,
        ),
    ] = None
    compression_mm: Annotated[
        Optional,
        Key(
            "Squash of the pack at full clamp",
            "Dial gauge on the plate: lift from first movement of the lever to where the hub just turns in gear.",
            (0.01, 2),
            u=0.05,
            assumed=Assumption(0.25, 0.1),
        ),
    ] = None
    curve: Annotated[
        Points,
        Pairs(
            "Squash of the pack and the clamp that makes it, in place of compression_mm",
            "Press the pack on scales in a vice or press; calliper at each step, up to the full clamp and beyond.",
            ("squash in mm", "clamp in N"),
            (5, 50000),
        ),
    ] = ()
    face_gap_mm: Annotated[
        Optional,
        Key(
            "Gap wanted at each face when released",
            "Nothing to measure: as much as it takes to run free.",
            (0.005, 0.5),
            u=0.015,
            assumed=Assumption(0.05, 0.02),
            ask=False,
        ),
    ] = None
    flatness_mm: Annotated[
        Optional,
        Key(
            "Lift spent on plates that are not flat",
            "Steel plates on glass, feeler gauge at the widest gap; take the worst plate.",
            (0, 2),
            u=0.03,
            assumed=Assumption(0.05, 0.03),
        ),
    ] = None
    wear_limit_mm: Annotated[
        Optional,
        Key(
            "Thickness the pack may lose, new to limit",
            "Manual: (new - least thickness of a friction plate) x number of plates.",
            (0.05, 10),
            share=0.05,
            assumed=Assumption(0.9, 0.3),
        ),
    ] = None
    stack_mm: Annotated[
        Optional,
        Key(
            "Thickness of the whole pack when new",
            "Manual: thickness of each plate, friction and steel, times their number; or a calliper over a new pack.",
            (5, 200),
            u=0.1,
            ask=False,
        ),
    ] = None
    wear_mm: Annotated[
        Optional,
        Key(
            "Thickness lost since the springs' installed length (or deflection) was true",
            "Calliper over the stack of plates, new less now; 0 when both were measured on the same pack.",
            (0, 10),
            u=0.05,
            assumed=Assumption(0, 0, "taken as measured on the same pack"),
        ),
    ] = None
    wear_closes_free_play: Annotated[
        bool,
        Entry("Whether wear closes the free play", "True in the usual push design, false in a pull design.", ask=False),
    ] = True
    assist: Annotated[
        Optional,
        Key(
            "Extra clamp of an assist hub under drive, as a share",
            "0 for a plain hub; for ramped hubs from their maker.",
            (0, 2),
            share=0.2,
            assumed=Assumption(0, 0, "taken as a plain hub"),
            ask=False,
        ),
    ] = None
    friction_radius: Annotated[
        Literal["wear", "pressure"],
        Entry("Model of the friction radius", 'Run-in faces ("wear") or new, flat faces ("pressure").', ask=False),
    ] = "wear"

    @model_validator(mode="after")
    def _one_squash(self) -> Pack:
        if self.curve and self.compression_mm is not None:
            refuse("given beside curve; leave one of them out", "compression_mm", self.compression_mm.value)
        return self
