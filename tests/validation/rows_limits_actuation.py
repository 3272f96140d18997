"""Lever, cable, arm and lift: limit cases, virtual work, inverses, whatever any book says."""

import math
from dataclasses import replace

from scipy.integrate import quad

from clutchwright.physics import PULL, RETURN
from clutchwright.physics.arm import Arm
from clutchwright.physics.assist import AssistSpring
from clutchwright.physics.cable import Cable, Hydraulic
from clutchwright.physics.lever import CamEnd, FarCable, Lever, NearCable, finger_force_from_hook
from clutchwright.physics.lift import Cam, LiftTable, Rack, Ramp, Screw, thread_friction_angle
from tests.validation.rows import identity
from tests.validation.units import MM

DEGREE = math.pi / 180.0
WORK = "virtual work: the slope of the movement, by differences, over what the formula gives"
BACK = "the inverse undoes the movement"


def slope(function, at, step=1e-6):
    return (function(at + step) - function(at - step)) / (2.0 * step)


def moving(kind, stage, *, forward, arm, at=0.3):
    """Rows that every stage with a movement, a moment arm and an inverse has to pass."""
    movement, lever_arm = getattr(stage, forward), getattr(stage, arm)
    return [
        identity(
            f"{kind}.{arm}",
            "slope of the movement over the moment arm at 0.3 rad [-]",
            "1.000000",
            lambda: slope(movement, at) / lever_arm(at),
            why=WORK,
            tag="work",
        ),
        identity(
            f"{kind}.rotation",
            "rotation found again from the movement at 0.3 rad [rad]",
            "0.300000",
            lambda: stage.rotation(movement(at)),
            why=BACK,
            tag="back",
        ),
    ]


FAR = FarCable(25.0, math.pi / 2)
NEAR = NearCable(3.0, math.pi / 2, 4.0)
CAM_END = CamEnd(25.0)
LEVER = Lever(CAM_END, 80.0, 80.0, 40.0, 4.0, 0.1)

LEVER_ROWS = [
    identity(
        "lever.FarCable.drawn", "r 25 mm from square by a quarter turn [mm]", "25.0000", lambda: FAR.drawn(math.pi / 2)
    ),
    identity("lever.FarCable.moment_arm", "square: the whole radius [mm]", "25.0000", lambda: FAR.moment_arm(0.0)),
    identity(
        "lever.NearCable.drawn",
        "r 3, cable 4 square to it, so adjuster 5 from the pivot: end turned away from it [mm]",
        "4.0000",
        lambda: NEAR.drawn(math.pi - math.atan2(4.0, 3.0)),
    ),
    identity(
        "lever.NearCable.drawn",
        "adjuster 1 km away over an adjuster infinitely far [-]",
        "1.00000",
        lambda: NearCable(0.025, 1.4, 1e3).drawn(0.5) / FarCable(0.025, 1.4).drawn(0.5),
        tag="far",
    ),
    identity(
        "lever.NearCable.moment_arm",
        "cable square to the radius: the whole radius",
        "3.0000",
        lambda: NEAR.moment_arm(0.0),
    ),
    identity("lever.CamEnd.drawn", "r 25 mm, a full turn [mm]", "157.0796", lambda: CAM_END.drawn(2.0 * math.pi)),
    *moving("lever.FarCable", FarCable(0.025, 1.4), forward="drawn", arm="moment_arm"),
    *moving("lever.NearCable", NearCable(0.025, 1.4, 0.06), forward="drawn", arm="moment_arm"),
    *moving("lever.CamEnd", CamEnd(0.025), forward="drawn", arm="moment_arm"),
    identity("lever.Lever.full_travel", "spans 80 and 40 mm [mm]", "40.0", lambda: LEVER.full_travel),
    identity("lever.Lever.full_draw", "40 mm on 80 mm, cam of 25 mm [mm]", "12.5000", lambda: LEVER.full_draw),
    identity("lever.Lever.free_draw", "4 mm on 80 mm, cam of 25 mm [mm]", "1.2500", lambda: LEVER.free_draw),
    identity(
        "lever.Lever.travel", "12.5 mm drawn on a cam of 25 mm, 80 mm out [mm]", "40.0000", lambda: LEVER.travel(12.5)
    ),
    identity("lever.Lever.ratio", "80 mm over a cam of 25 mm [-]", "3.2000", lambda: LEVER.ratio(7.0)),
    identity(
        "lever.Lever.finger_force",
        "320 N on a ratio of 3.2, a tenth lost in the pivot, pulling [N]",
        "110.000",
        lambda: LEVER.finger_force(320.0, 7.0, PULL),
    ),
    identity(
        "lever.Lever.finger_force",
        "the same, letting out [N]",
        "90.000",
        lambda: LEVER.finger_force(320.0, 7.0, RETURN),
        tag="return",
    ),
    identity(
        "lever.finger_force_from_hook",
        "100 N at 40 mm, felt at 80 mm [N]",
        "50.000",
        lambda: finger_force_from_hook(100.0, hook_radius=0.04, finger_radius=0.08),
    ),
]

# hook 1 and post 1 from the shaft, a quarter turn before dead centre: the spring spans a right angle
ASSIST = AssistSpring(2.0, 30.0, 1.0, 1.0, -math.pi / 2)


def stored(rotation):
    """Energy of the assist spring over what it had at rest."""
    return quad(lambda angle: -ASSIST.moment(angle), 0.0, rotation, epsabs=1e-12)[0]


def stretched(rotation):
    """The same from force before and after: mean force times stretch, for a spring of even rate."""
    force = ASSIST.force(rotation)
    return (force**2 - ASSIST.pretension**2) / (2.0 * ASSIST.rate)


ARM_ROWS = [
    identity("assist.AssistSpring.force", "at rest: the pretension [N]", "30.000", lambda: ASSIST.force(0.0)),
    identity(
        "assist.AssistSpring.force",
        "rate 2, from a right angle at radii 1 to dead centre: stretch 2 - √2 [N]",
        "31.1716",
        lambda: ASSIST.force(math.pi / 2),
        tag="dead centre",
    ),
    identity("assist.AssistSpring.moment", "at dead centre [N m]", "0.0000", lambda: ASSIST.moment(math.pi / 2)),
    identity(
        "assist.AssistSpring.moment",
        "work done by it over half a radian over the energy it gives up [-]",
        "1.000000",
        lambda: stored(0.5) / stretched(0.5),
        why="energy balance, the moment integrated by scipy",
        tag="energy",
    ),
    identity(
        "assist.AssistSpring.energy",
        "rate 2, to dead centre: (30 + 31.1716)/2 times 2 - √2, held back [J]",
        "-17.9167",
        lambda: ASSIST.energy(math.pi / 2),
    ),
    identity(
        "lever.Lever.help",
        "6 N m of an assist spring at 2 m [N]",
        "3.0000",
        lambda: Lever(
            CamEnd(1.0), 2.0, 3.0, 1.0, 0.0, 0.0, assist=AssistSpring(0.0, 6.0 * math.sqrt(2.0), 1.0, 1.0, math.pi / 2)
        ).help(0.0),
    ),
    identity(
        "arm.Arm.movement",
        "30 mm from 60° by 60°: an equilateral triangle [mm]",
        "30.0000",
        lambda: Arm(30.0, 60.0 * DEGREE).movement(60.0 * DEGREE),
    ),
    identity(
        "arm.Arm.moment_arm",
        "cable square: the whole arm [mm]",
        "30.0000",
        lambda: Arm(30.0, math.pi / 2).moment_arm(0.0),
    ),
    *moving("arm.Arm", Arm(0.035, 1.4), forward="movement", arm="moment_arm"),
    identity(
        "arm.Arm.tension", "6 N m on 30 mm, square [N]", "200.000", lambda: Arm(0.03, math.pi / 2).tension(6.0, 0.0)
    ),
    identity(
        "arm.Arm.tension",
        "6 N m on 1 m square, an assist spring a quarter turn past dead centre that gives all of it [N]",
        "0.0000",
        lambda: Arm(1.0, math.pi / 2, AssistSpring(0.0, 6.0 * math.sqrt(2.0), 1.0, 1.0, math.pi / 2)).tension(6.0, 0.0),
        tag="assist",
    ),
    identity(
        "arm.Arm.dead_rotation", "from 100° [°]", "80.000", lambda: Arm(0.03, 100.0 * DEGREE).dead_rotation / DEGREE
    ),
]

ROPE = Cable(140.0 * DEGREE, 0.12, 2.0, 4e-6, 1.25)
STRAIGHT = Cable(0.0, 0.12, 2.0, 4e-6)
SEALS = Hydraulic(4.0, 0.05, 4e-6)


def mean_profile(direction):
    exponent = direction * ROPE.friction * ROPE.bend
    return quad(lambda place: math.exp(exponent * place), 0.0, 1.0)[0]


LINE_ROWS = [
    identity("cable.Cable.bend_gain", "straight cable [-]", "1.0000", lambda: STRAIGHT.bend_gain(PULL)),
    identity("cable.Cable.mean_gain", "straight cable [-]", "1.0000", lambda: STRAIGHT.mean_gain(PULL)),
    *(
        identity(
            "cable.Cable.mean_gain",
            f"140°, friction 0.12, {word}: over the mean of the profile [-]",
            "1.000000",
            lambda direction=direction: ROPE.mean_gain(direction) / mean_profile(direction),
            why="the capstan profile integrated by scipy",
            tag=word,
        )
        for word, direction in (("pull", PULL), ("return", RETURN))
    ),
    identity(
        "cable.Cable.lever_tension",
        "straight, 100 N and drag 2 N, pulling [N]",
        "102.00",
        lambda: STRAIGHT.lever_tension(100.0, PULL),
        tag="drag",
    ),
    identity(
        "cable.Cable.lever_tension",
        "straight, 1 N against drag 2 N, letting out [N]",
        "0.0000",
        lambda: STRAIGHT.lever_tension(1.0, RETURN),
        tag="stuck",
    ),
    identity(
        "cable.Cable.stretch", "straight, 100 N, 4 µm/N [mm]", "0.40000", lambda: STRAIGHT.stretch(100.0, PULL) / MM
    ),
    identity(
        "cable.Cable.drawn", "8 mm and that stretch [mm]", "8.4000", lambda: STRAIGHT.drawn(8.0 * MM, 100.0, PULL) / MM
    ),
    identity(
        "cable.Cable.drawn",
        "8 mm through an in-line unit of 1.25, no tension [mm]",
        "10.0000",
        lambda: ROPE.drawn(8.0 * MM, 0.0, PULL) / MM,
        tag="unit",
    ),
    identity(
        "cable.Hydraulic.bend_gain",
        "two seals of 5 %, pull times return [-]",
        "1.0000",
        lambda: SEALS.bend_gain(PULL) * SEALS.bend_gain(RETURN),
    ),
    identity(
        "cable.Hydraulic.bend_gain",
        "two seals of 5 %, return: 0.95² [-]",
        "0.9025",
        lambda: SEALS.bend_gain(RETURN),
        tag="return",
    ),
    identity("cable.Hydraulic.stretch", "100 N, 4 µm/N [mm]", "0.40000", lambda: SEALS.stretch(100.0, PULL) / MM),
]

SCREW = Screw(0.03, 0.015, 0.1, 0.0)
RAMP = Ramp(0.0075, math.atan(0.03 / (math.pi * 0.015)), 0.1)
CAM = Cam(6.0, -30.0 * DEGREE, 0.06)
TABLE = LiftTable((0.0, 0.2, 0.5, 1.0), (0.0, 1e-3, 2.5e-3, 5e-3), 0.06)
BENT = LiftTable((0.0, 0.2, 0.5, 1.0), (0.0, 1e-3, 3e-3, 5e-3), 0.06)

LIFT_ROWS = [
    identity(
        "lift.Rack.travel", "pinion 5 mm, a full turn [mm]", "31.4159", lambda: Rack(5.0, 0.0).travel(2.0 * math.pi)
    ),
    identity("lift.Screw.travel", "lead 30 mm, a full turn [mm]", "30.0000", lambda: SCREW.travel(2.0 * math.pi) / MM),
    identity(
        "lift.Ramp.travel",
        "a ramp like that screw, a full turn [mm]",
        "30.0000",
        lambda: RAMP.travel(2.0 * math.pi) / MM,
    ),
    identity(
        "lift.Ramp.friction",
        "a ramp like that screw, over the screw's share [-]",
        "1.00000",
        lambda: RAMP.friction(PULL) / SCREW.friction(PULL),
    ),
    identity(
        "lift.screw_friction",
        "no friction [-]",
        "0.0000",
        lambda: replace(SCREW, thread_friction=0.0).friction(PULL),
        tag="none",
    ),
    identity(
        "lift.thread_friction_angle",
        "V thread of 60°, friction cos 30°: 45° [°]",
        "45.000",
        lambda: thread_friction_angle(math.cos(30.0 * DEGREE), 30.0 * DEGREE) / DEGREE,
        tag="45",
    ),
    identity(
        "lift.Cam.travel",
        "eccentricity 6 mm, from 30° before square to 30° past it [mm]",
        "6.0000",
        lambda: CAM.travel(60.0 * DEGREE),
    ),
    identity(
        "lift.Cam.slope", "square to the rod: the whole eccentricity [mm]", "6.0000", lambda: CAM.slope(30.0 * DEGREE)
    ),
    identity("lift.Cam.friction", "what was given [-]", "0.06", lambda: CAM.friction(RETURN)),
    identity("lift.Cam.dead_rotation", "from 30° before square [°]", "120.000", lambda: CAM.dead_rotation / DEGREE),
    identity("lift.LiftTable.travel", "at a point of the table [mm]", "2.50000", lambda: float(TABLE.travel(0.5)) / MM),
    identity("lift.LiftTable.slope", "points on a line [mm/rad]", "5.00000", lambda: float(TABLE.slope(0.7)) / MM),
    identity("lift.LiftTable.friction", "what was given [-]", "0.06", lambda: TABLE.friction(RETURN)),
    *moving("lift.Rack", Rack(5e-3, 0.0), forward="travel", arm="slope"),
    *moving("lift.Screw", SCREW, forward="travel", arm="slope"),
    *moving("lift.Ramp", RAMP, forward="travel", arm="slope"),
    *moving("lift.Cam", Cam(6e-3, -0.5, 0.0), forward="travel", arm="slope"),
    *moving("lift.LiftTable", BENT, forward="travel", arm="slope"),
]

ROWS = [*LEVER_ROWS, *ARM_ROWS, *LINE_ROWS, *LIFT_ROWS]
