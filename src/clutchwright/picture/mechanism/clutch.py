"""The clutch, cut along its axis: rod, pack, pressure plate and springs, the half above the axis."""

from __future__ import annotations

import math
from dataclasses import dataclass

from clutchwright.physics.diaphragm import Diaphragm
from clutchwright.physics.springs import CoilSet
from clutchwright.picture.mechanism.lifting import ROD, bearing_move
from clutchwright.picture.mechanism.parts import Move, Part, Point, box, circle, line
from clutchwright.study.mechanism import Mechanism

FRICTION_PLATE, STEEL_PLATE = 3.0, 1.6  # thickness, as on common machines [mm]
_FLANGE, _PLATE, _WALL = 4.0, 5.0, 3.0
_WIRE, _SPRING_OUTER, _TURNS = 2.4, 17.0, 7.0  # where the wire was not measured


@dataclass(frozen=True, slots=True)
class ClutchDrawing:
    """A clutch in half section.

    Parameters
    ----------
    parts : list of Part
        The lowest first.
    window : tuple of float
        Left, top, right and bottom of what is shown larger [mm].
    top, end_x : float
        Where it ends [mm].
    """

    parts: list[Part]
    window: tuple[float, float, float, float]
    top: float
    end_x: float


def plate_count(mechanism: Mechanism) -> int:
    """Friction plates: two faces each."""
    return max(round(float(mechanism.bike.pack.faces) / 2), 1)


def clutch_drawing(mechanism: Mechanism, x: float, rod_y: float) -> ClutchDrawing:
    """The clutch to the right of a lift that ends at x, on an axis at some height [mm]."""
    springs = mechanism.bike.springs
    if isinstance(springs, CoilSet):
        return _with_coils(mechanism, springs, x, rod_y)
    return _with_diaphragm(mechanism, springs, x, rod_y)


@dataclass(frozen=True, slots=True)
class _Section:
    """Sizes of one half section [mm]; heights count up from the axis."""

    mechanism: Mechanism
    axis: float

    @property
    def outer(self) -> float:
        return float(self.mechanism.bike.pack.outer) * 5e2

    @property
    def inner(self) -> float:
        return float(self.mechanism.bike.pack.inner) * 5e2

    @property
    def thickness(self) -> float:
        count = plate_count(self.mechanism)
        return FRICTION_PLATE * count + STEEL_PLATE * (count - 1)

    def box(self, x1: float, low: float, x2: float, high: float) -> str:
        return box(x1, self.axis - high, x2, self.axis - low)

    def pack(self, x: float, fixed_x: float, direction: float) -> list[Part]:
        """Friction and steel plates, spread evenly as the pressure plate moves off the fixed side."""
        move: Move = ("wide", "lift", direction, fixed_x, direction * self.thickness)
        friction, steel = [], []
        for plate in range(plate_count(self.mechanism)):
            left = x + plate * (FRICTION_PLATE + STEEL_PLATE)
            friction.append(self.box(left, self.inner, left + FRICTION_PLATE, self.outer + 3.0))
            if plate:
                steel.append(self.box(left - STEEL_PLATE, self.inner - 3.0, left, self.outer - 0.5))
        return [Part("lining", "".join(friction), (move,)), Part("plate", "".join(steel), (move,))]

    def window(self, x1: float, x2: float) -> tuple[float, float, float, float]:
        middle = self.axis - (self.outer + self.inner) / 2.0
        return x1, middle - 4.0, x2, middle + 4.0


def _with_coils(mechanism: Mechanism, springs: CoilSet, x: float, rod_y: float) -> ClutchDrawing:
    """The rod goes through the shaft and pushes the pressure plate outward, against the springs under their bolts."""
    section = _Section(mechanism, rod_y)
    wall, flange = x + 8.0, x + 8.0 + _WALL
    pack = flange + _FLANGE
    plate = pack + section.thickness
    spring = plate + _PLATE
    length = float(mechanism.poses.spring_mm[0])
    cap = spring + length
    seat, wire, outer = _coil_sizes(mechanism, springs)
    lift: Move = ("slide", "lift", 1.0, 0.0)
    rest = section.outer + 3.0
    parts = [
        Part("rod", box(x, rod_y - ROD, plate - 4.0, rod_y + ROD), (bearing_move(mechanism),)),
        Part(
            "fixed",
            section.box(wall, 10.0, flange, rest + 3.5) + section.box(wall, rest + 0.5, plate + 1.0, rest + 3.5),
        ),
        Part("fixed", section.box(flange, 4.5, pack, section.outer - 0.5)),
        Part("fixed", section.box(pack, seat - 3.0, cap, seat + 3.0)),
        *section.pack(pack, pack, 1.0),
        Part("bearing", section.box(plate - 4.0, 0.0, plate, 9.0), (lift,)),
        Part("pressure", section.box(plate, 0.0, spring, section.outer - 0.5), (lift,)),
        *_coil((spring, rod_y - seat), length, wire, outer, _turns(springs)),
        Part("fixed", section.box(cap, seat - outer / 2 - 1.0, cap + 2.5, seat + outer / 2 + 1.0)),
        Part("fixed", section.box(cap + 2.5, seat - 5.0, cap + 6.5, seat + 5.0)),
    ]
    return ClutchDrawing(parts, section.window(flange, spring + 2.5), rod_y - rest - 3.5, cap + 6.5)


def _coil_sizes(mechanism: Mechanism, springs: CoilSet) -> tuple[float, float, float]:
    """Height of the spring's axis, thickness of its wire and its outside diameter [mm]."""
    seat = float(springs.circle_radius) * 1e3
    if springs.wire is not None:
        return seat, float(springs.wire.diameter) * 1e3, float(springs.wire.outer_diameter) * 1e3
    inner = mechanism.bike.clearance.spring_inner
    return seat, _WIRE, _SPRING_OUTER if inner is None else float(inner) * 1e3 + 2.0 * _WIRE


def _turns(springs: CoilSet) -> float:
    return _TURNS if springs.wire is None else float(springs.wire.total_turns)


def _coil(start: Point, length: float, wire: float, outer: float, turns: float) -> list[Part]:
    """A coil spring seen from the side: its wire in two passes, so that it has an edge."""
    half, count = (outer - wire) / 2.0, max(round(turns), 2)
    pitch = (length - wire) / count
    left = start[0] + wire / 2.0
    front = [
        line((left + turn * pitch, start[1] + half), (left + (turn + 0.5) * pitch, start[1] - half))
        for turn in range(count)
    ]
    back = [
        line((left + (turn + 0.5) * pitch, start[1] - half), (left + (turn + 1.0) * pitch, start[1] + half))
        for turn in range(count)
    ]
    move: Move = ("wide", "lift", -1.0, start[0] + length, length)
    return [
        Part("wire-back", "".join(back), (move,), width=0.6 * wire),
        Part("wire-edge", "".join(front), (move,), width=wire + 0.5),
        Part("wire", "".join(front), (move,), width=wire - 0.5),
    ]


def _with_diaphragm(mechanism: Mechanism, spring: Diaphragm, x: float, rod_y: float) -> ClutchDrawing:
    """The bearing pushes the fingers in; the spring rocks on its ring and lets the pressure plate come away."""
    section = _Section(mechanism, rod_y)
    tip, pivot, ring, edge = (
        float(radius) * 1e3
        for radius in (spring.tip_radius, spring.pivot_radius, spring.plate_radius, spring.outer / 2)
    )
    thick = float(spring.thickness) * 1e3
    cone = _cone_slope(mechanism, spring)
    bearing = x + 5.0
    fulcrum = bearing + 5.0 + thick / 2 + (pivot - tip) * cone
    face = fulcrum + (ring - pivot) * cone + thick / 2
    plate = face + 2.0
    pack = plate + _PLATE
    flange = pack + section.thickness
    high = max(section.outer, edge) + 4.0
    blade = line(*((fulcrum + (radius - pivot) * cone, rod_y - radius) for radius in (tip, edge)))
    rock: Move = ("turn", "lift", math.degrees(1.0 / (ring - pivot)), fulcrum, rod_y - pivot)
    away: Move = ("slide", "lift", -1.0, 0.0)
    nub = section.box(face, ring - 1.5, plate, ring + 1.5)
    parts = [
        Part("rod", box(x, rod_y - ROD, bearing, rod_y + ROD), (bearing_move(mechanism),)),
        *_cover(section, (fulcrum, pivot), high, flange),
        *section.pack(pack, flange, -1.0),
        Part("bearing", section.box(bearing, 0.0, bearing + 5.0, tip + 3.0), (bearing_move(mechanism),)),
        Part("wire-edge", blade, (rock,), width=thick + 0.4),
        Part("wire", blade, (rock,), width=thick - 0.4),
        Part("pressure", section.box(plate, section.inner - 2.0, pack, section.outer + 1.0) + nub, (away,)),
        Part("pin", "".join(circle((fulcrum + side * (thick / 2 + 1.1), rod_y - pivot), 1.2) for side in (-1.0, 1.0))),
    ]
    return ClutchDrawing(parts, section.window(plate - 3.0, flange + 2.0), rod_y - high - 3.0, flange + _FLANGE)


def _cover(section: _Section, fulcrum: Point, high: float, flange: float) -> list[Part]:
    """What holds the ring that a diaphragm spring rocks on, round the pack to the fixed side, and that side."""
    x, pivot = fulcrum
    left = x - 6.5
    shell = section.box(left, pivot - 4.0, left + 2.5, high + 3.0) + section.box(left, high, flange + 1.0, high + 3.0)
    return [
        Part("fixed", shell),
        Part("fixed", section.box(left + 2.5, pivot - 1.0, x - 1.4, pivot + 1.0)),
        Part("fixed", section.box(flange, 4.5, flange + _FLANGE, section.outer - 0.5)),
    ]


def _cone_slope(mechanism: Mechanism, spring: Diaphragm) -> float:
    """Slope left in the cone with the clutch engaged [-]; the fingers go on straight."""
    rings = float(spring.plate_radius) - float(spring.pivot_radius)
    free = float(spring.cone_height) * 2.0 * rings / (float(spring.outer) - float(spring.inner))
    return (free - float(mechanism.poses.spring_mm[0]) * 1e-3) / rings
