"""Sections of a bike file round the clutch: drive, oil, heat, clearance."""

from __future__ import annotations

from typing import Annotated, Literal

from clutchwright.quantity import Quantity
from clutchwright.tomlfile.keys import Assumption, Entry, Key
from clutchwright.tomlfile.section import Optional, Section


class Drive(Section):
    """Engine, primary drive and what hangs behind them."""

    engine_torque_Nm: Annotated[
        Quantity, Key("Peak crank torque", "Manual; a power run at the wheel says more.", (1, 400), share=0.05)
    ]
    primary_ratio: Annotated[
        Quantity,
        Key("Crank turns per clutch turn", "Manual, or count teeth: clutch gear / crank gear.", (1, 6), u=0.001),
    ]
    primary_efficiency: Annotated[
        Optional,
        Key(
            "Share of the torque that the primary drive passes on",
            "Nothing to measure.",
            (0.8, 1),
            u=0.01,
            assumed=Assumption(0.98, 0.01),
            ask=False,
        ),
    ] = None
    start_rpm: Annotated[
        Optional,
        Key(
            "Engine speed at which one starts from rest",
            "Read the tachometer while starting.",
            (800, 10000),
            u=300,
            assumed=Assumption(2500, 500),
            ask=False,
        ),
    ] = None
    drop_rpm: Annotated[
        Optional,
        Key(
            "Engine speed of a dropped clutch",
            "The worst that this bike is to stand.",
            (1000, 18000),
            u=500,
            assumed=Assumption(5000, 1000),
            ask=False,
        ),
    ] = None
    engine_inertia_kgm2: Annotated[
        Optional,
        Key(
            "Inertia of all that turns with the crank, at the crank",
            "Nothing to measure at home.",
            (0.0003, 0.3),
            share=0.3,
            assumed=Assumption(0.012, 0.005),
            ask=False,
        ),
    ] = None
    first_gear_ratio: Annotated[
        Optional,
        Key(
            "Clutch turns per gearbox output turn in first gear",
            "Manual.",
            (1, 6),
            u=0.001,
            assumed=Assumption(2.6, 0.3),
        ),
    ] = None
    final_ratio: Annotated[
        Optional,
        Key(
            "Gearbox output turns per wheel turn",
            "Count teeth: rear sprocket / front sprocket.",
            (1, 7),
            u=0.001,
            assumed=Assumption(2.8, 0.4),
        ),
    ] = None
    wheel_circumference_mm: Annotated[
        Optional,
        Key(
            "Rolling circumference of the driven wheel",
            "Chalk the tyre, push one turn with the rider on, tape measure.",
            (800, 2800),
            u=15,
            assumed=Assumption(1950, 80, "found: 1883 to 2034 mm for four common sizes, tyre size calculator"),
        ),
    ] = None
    mass_kg: Annotated[
        Optional,
        Key(
            "Machine and rider",
            "Bathroom scales, or manual and rider added.",
            (50, 900),
            u=10,
            assumed=Assumption(270, 50),
        ),
    ] = None
    driveline_stiffness_Nm_per_rad: Annotated[
        Optional,
        Key(
            "Torsional stiffness between clutch and road, at the clutch",
            "Nothing to measure at home.",
            (20, 50000),
            share=0.3,
            ask=False,
        ),
    ] = None
    creep_torque_Nm: Annotated[
        Optional,
        Key(
            "Torque at the clutch at which the machine creeps in first gear",
            "Spring scale: force to push it on the flat x wheel radius / (first gear x final ratio).",
            (0.05, 60),
            share=0.2,
            assumed=Assumption(2, 1),
            ask=False,
        ),
    ] = None
    top_rpm: Annotated[
        Optional,
        Key("Highest engine speed", "Manual, or where the red begins.", (2000, 20000), share=0.02, ask=False),
    ] = None
    clutch_mass_kg: Annotated[
        Optional,
        Key(
            "Mass that turns with the clutch: basket, hub, plates, springs",
            "Kitchen scale, all of it in one bag.",
            (0.3, 20),
            share=0.1,
            ask=False,
        ),
    ] = None


class Oil(Section):
    """The oil between the faces."""

    cold_viscosity_mPas: Annotated[
        Optional,
        Key(
            "Dynamic viscosity at a cold start",
            "From the oil's data sheet.",
            (5, 5000),
            share=0.2,
            assumed=Assumption(200, 80),
            ask=False,
        ),
    ] = None
    hot_viscosity_mPas: Annotated[
        Optional,
        Key(
            "Dynamic viscosity warmed up",
            "From the oil's data sheet.",
            (2, 200),
            share=0.2,
            assumed=Assumption(12, 4),
            ask=False,
        ),
    ] = None
    idle_rpm: Annotated[
        Optional,
        Key(
            "Engine speed at idle", "Read the tachometer.", (400, 3000), u=50, assumed=Assumption(1300, 150), ask=False
        ),
    ] = None


class Heat(Section):
    """What takes up the heat, and the limits to hold it against: guide values only."""

    steel_mass_kg: Annotated[
        Optional,
        Key("Mass of all steel plates", "Kitchen scales.", (0.02, 20), u=0.01, assumed=Assumption(0.8, 0.3), ask=False),
    ] = None
    energy_limit_J_per_mm2: Annotated[
        Optional,
        Key(
            "Slip energy per face area in one go",
            "From the lining's maker.",
            (0.02, 10),
            share=0.2,
            assumed=Assumption(0.8, 0.25, "from memory: paper in oil 0.5-1.2 J/mm2; low confidence, a guide only"),
            ask=False,
        ),
    ] = None
    power_limit_W_per_mm2: Annotated[
        Optional,
        Key(
            "Slip power per face area",
            "From the lining's maker.",
            (0.02, 20),
            share=0.2,
            assumed=Assumption(1.5, 0.4, "from memory: paper in oil 1-2 W/mm2; low confidence, a guide only"),
            ask=False,
        ),
    ] = None


class Clearance(Section):
    """Measured room; what is missing is not checked, never fine."""

    bolt_to_cover_mm: Annotated[
        Optional,
        Key(
            "Spring bolt heads to the cover, clutch engaged",
            "Stick modelling clay on the heads, fit and remove the cover, calliper the clay.",
            (0, 60),
            u=0.3,
        ),
    ] = None
    plate_moves: Annotated[
        Literal["outward", "inward"],
        Entry(
            "Where the pressure plate moves when released",
            "Cover off, pull the lever.",
            words=(("outward", "out of the engine"), ("inward", "into the engine")),
        ),
    ] = "outward"
    thread_engagement_mm: Annotated[
        Optional,
        Key(
            "Thread of a spring bolt in its boss, without washer",
            "Count the turns until it is free; turns x pitch (M6 is 1.0 mm).",
            (0.5, 60),
            u=0.3,
        ),
    ] = None
    bolt_diameter_mm: Annotated[Optional, Key("Thread diameter of a spring bolt", "Calliper.", (3, 16), u=0.05)] = None
    boss: Annotated[
        Literal["aluminium", "steel"] | None, Entry("Material of the bosses", "A magnet sticks to steel.")
    ] = None
    arm_room_mm: Annotated[
        Optional,
        Key(
            "Movement of the arm's end, from rest, until it touches the case",
            "Unhook the cable, swing the arm, ruler along the arc.",
            (0, 200),
            u=1,
        ),
    ] = None
    arm_past_square_deg: Annotated[
        Optional,
        Key(
            "Greatest angle of the cable past square to the arm that is wanted",
            "Nothing to measure: where the cable begins to pull along the arm.",
            (0, 60),
            u=3,
            assumed=Assumption(20, 5),
            ask=False,
        ),
    ] = None
