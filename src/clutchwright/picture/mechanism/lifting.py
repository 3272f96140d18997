"""The release arm on its shaft and the lift mechanism under it, up to the rod."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import numpy as np

from clutchwright.physics.lift import Cam, Rack, Ramp, Screw
from clutchwright.picture.mechanism.helper import hook, spring_parts
from clutchwright.picture.mechanism.parts import Move, Part, Point, box, circle, line, link, polygon, turned
from clutchwright.study.mechanism import Mechanism

SHAFT: Point = (0.0, 0.0)
ROD = 2.4  # half its thickness; what the file does not know is as on common machines [mm]
_TEETH, _BALL, _LEAD_IN = 12, 2.6, 6.0


@dataclass(frozen=True, slots=True)
class LiftDrawing:
    """A lift mechanism.

    Parameters
    ----------
    parts : list of Part
        The lowest first.
    rod_y : float
        Height of the rod below the shaft [mm].
    end_x : float
        Where the mechanism ends, lift at rest [mm].
    """

    parts: list[Part]
    rod_y: float
    end_x: float


def bearing_move(mechanism: Mechanism, share: float = 1.0) -> Move:
    """What all that goes with the release bearing does."""
    return ("slide", "lift", share * float(mechanism.bike.springs.bearing_ratio), 0.0)


def arm_end(mechanism: Mechanism, degrees: float = 0.0) -> Point:
    """Cable end of the arm, turned by some angle; the cable comes in level."""
    arm = mechanism.bike.arm
    return turned((float(arm.length) * 1e3, 0.0), SHAFT, math.degrees(float(arm.cable_angle)) + degrees)


def sheath_end(mechanism: Mechanism) -> Point:
    """Where the cable comes out of its sheath, clear of the arm at the lever's stop."""
    at_stop = arm_end(mechanism, float(mechanism.poses.arm_deg[-1]))
    return at_stop[0] - 14.0, arm_end(mechanism)[1]


def arm_parts(mechanism: Mechanism) -> list[Part]:
    """Cable, arm, and the assist spring where there is one."""
    end, mouth = arm_end(mechanism), sheath_end(mechanism)
    turn: Move = ("turn", "arm", 1.0, *SHAFT)
    rope: Move = ("rope", "arm", 1.0, *SHAFT, *end, *mouth)
    assist, opposite = mechanism.bike.arm.assist, math.degrees(float(mechanism.bike.arm.cable_angle)) + 180.0
    tail = "" if assist is None else link(SHAFT, 7.5, hook(assist, SHAFT, opposite), 3.2)
    return [
        Part("sheath", line((mouth[0] - 12.0, mouth[1]), mouth)),
        Part("fixed", box(mouth[0] - 7.0, mouth[1] - 4.5, mouth[0] + 1.0, mouth[1] + 4.5)),
        Part("rope", line(end, mouth), (rope,)),
        Part("arm", link(SHAFT, 8.0, end, 4.2) + tail, (turn,), ghost=True),
        Part("nipple", circle(end, 2.2), (turn,)),
        *([] if assist is None else spring_parts(assist, SHAFT, opposite, turn)),
    ]


def shaft_parts() -> list[Part]:
    """End of the arm's shaft, over arm and lift."""
    return [Part("pin", circle(SHAFT, 2.2))]


def lift_drawing(mechanism: Mechanism) -> LiftDrawing:
    """The lift mechanism that the bike has."""
    lift = mechanism.bike.lift
    if isinstance(lift, Rack):
        return _rack(mechanism, lift)
    if isinstance(lift, Cam):
        return _cam(mechanism, lift)
    if isinstance(lift, Ramp):
        return _ramp(mechanism, lift)
    if isinstance(lift, Screw):
        return _screw(mechanism, lift)
    return _plunger(mechanism)


def _rack(mechanism: Mechanism, lift: Rack) -> LiftDrawing:
    """Pinion on the shaft, rack below it."""
    radius = float(lift.pinion_radius) * 1e3
    module = 2.0 * radius / _TEETH
    pitch, foot = math.pi * module, radius + 1.2 * module
    rod_y = foot + 3.0
    first = -round(7.0 / pitch)
    profile = [(-0.36, 1.2), (-0.14, -0.9), (0.14, -0.9), (0.36, 1.2)]
    # a tooth of the rack stands half a pitch beside the one of the pinion that points down
    upper = [
        ((tooth + 0.5 + x) * pitch, radius + y * module)
        for tooth in range(first, first + round(15.0 / pitch))
        for x, y in profile
    ]
    end = upper[-1][0]
    outline = [*upper, (end, rod_y + 3.4), (upper[0][0], rod_y + 3.4)]
    turn: Move = ("turn", "arm", 1.0, *SHAFT)
    parts = [
        Part("steel", polygon(outline), (bearing_move(mechanism),)),
        Part("steel", _pinion(radius, module), (turn,)),
    ]
    return LiftDrawing(parts, rod_y, end)


@cache  # it stays the same while the rest of a bike is changed
def _pinion(radius: float, module: float) -> str:
    profile = [(-0.4, -1.0), (-0.15, 0.9), (0.15, 0.9), (0.4, -1.0)]
    points = []
    for tooth in range(_TEETH):
        for along, out in profile:
            angle = math.pi / 2 + 2.0 * math.pi * (tooth + along) / _TEETH
            length = radius + out * module
            points.append((length * math.cos(angle), length * math.sin(angle)))
    return polygon(points)


def _cam(mechanism: Mechanism, lift: Cam) -> LiftDrawing:
    """Round eccentric on the shaft, with a flat follower."""
    eccentricity, start = float(lift.eccentricity) * 1e3, math.degrees(float(lift.start_angle))
    size = eccentricity + 4.0
    centre = turned((0.0, eccentricity), SHAFT, start)
    face = centre[0] + size
    rod_y = centre[1]
    slide = bearing_move(mechanism)
    parts = [
        Part("steel", box(face, rod_y - 7.0, face + 3.0, rod_y + 7.0), (slide,)),
        Part("steel", circle(centre, size), (("turn", "arm", 1.0, *SHAFT),)),
        Part("point", circle(centre, 1.0), (("turn", "arm", 1.0, *SHAFT),)),
    ]
    return LiftDrawing(parts, rod_y, face + 3.0)


def _ramp(mechanism: Mechanism, lift: Ramp) -> LiftDrawing:
    """A ball between two ramped discs, their track unrolled; the arm turns the first."""
    slope, radius = math.tan(float(lift.ramp_angle)), float(lift.ramp_radius) * 1e3
    per_degree = math.radians(1.0) * radius
    high, room = 12.0, 2.0 * _BALL / math.cos(float(lift.ramp_angle))
    left, face = 15.0, 15.0 + _LEAD_IN + high * slope
    right = face + room + _LEAD_IN + high * slope
    middle = (face + room / 2.0, 0.0)

    def ramp(x: float) -> list[Point]:
        return [(x + high * slope, -high), (x - high * slope, high)]

    slide = bearing_move(mechanism)
    half: Move = ("slide", "arm", 0.0, per_degree / 2.0)
    parts = [
        Part("steel", polygon([*ramp(face), (left, high), (left, -high)]), (("slide", "arm", 0.0, per_degree),)),
        Part("steel", polygon([*ramp(face + room), (right, high), (right, -high)]), (slide,)),
        Part("ball", circle(middle, _BALL), (half, bearing_move(mechanism, 0.5))),
        Part("steel", circle(SHAFT, 6.0)),
    ]
    return LiftDrawing(parts, 0.0, right)


def _screw(mechanism: Mechanism, lift: Screw) -> LiftDrawing:
    """A screw in a fixed nut, cut open: its helix stays where it is while the screw turns and moves on."""
    half, lead = float(lift.thread_diameter) * 5e2, float(lift.lead) * 1e3
    left, right = 18.0, 33.0
    step = lead / 6.0  # a quick thread has many starts; six are drawn
    starts = np.arange(left - lead / 2.0, right, step)
    cut = [_clipped(x, lead / 2.0, half, left, right) for x in starts.tolist()]
    parts = [
        Part("steel", box(left - 4.0, -half, right + 5.0, half), (bearing_move(mechanism),)),
        Part("thin", "".join(found for found in cut if found)),
        Part("fixed", box(left, -half - 5.0, right, -half) + box(left, half, right, half + 5.0)),
        Part("steel", circle(SHAFT, 6.0)),
    ]
    return LiftDrawing(parts, 0.0, right + 5.0)


def _clipped(x: float, run: float, half: float, left: float, right: float) -> str:
    """A slanted thread line from the top at x to the bottom at x + run, between two limits."""
    a, b = max(x, left), min(x + run, right)
    if a >= b:
        return ""
    return line(*((at, half * (2.0 * (at - x) / run - 1.0)) for at in (a, b)))


def _plunger(mechanism: Mechanism) -> LiftDrawing:
    """A mechanism of which only the lift was measured: a plunger in a closed housing."""
    left, right = 16.0, 30.0
    parts = [
        Part("steel", box(right - 4.0, -4.0, right + 6.0, 4.0), (bearing_move(mechanism),)),
        Part("fixed", box(left, -11.0, right, 11.0)),
        Part("steel", circle(SHAFT, 6.0)),
    ]
    return LiftDrawing(parts, 0.0, right + 6.0)
