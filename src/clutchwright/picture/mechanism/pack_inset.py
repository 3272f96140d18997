"""The pack as under a glass: plates thick as drawn, lift and gaps many times larger, and a ruler for the lift."""

from __future__ import annotations

from dataclasses import dataclass

from clutchwright.physics.springs import CoilSet
from clutchwright.picture.mechanism.clutch import plate_count
from clutchwright.picture.mechanism.parts import Label, Live, Move, Part, box, line, polygon
from clutchwright.study.mechanism import Mechanism

WIDTH, HEIGHT = 430.0, 162.0  # in the inset's own unit, a pixel of the wide drawing
_HIGH = 78.0  # of the plates
_FRICTION, _CORE, _STEEL, _END = 11.0, 3.0, 6.0, 14.0  # thickness of the plates, not to any scale
_TEXT_ROOM, _NAME_ROOM, _LIFT_ROOM = 154.0, 132.0, 140.0  # for the figures, a name beside its tick, the lift
_RULER = (_HIGH + 10.0, _HIGH + 18.0)
_ROWS = (_HIGH + 34.0, _HIGH + 54.0, _HIGH + 74.0)
TIMES = (50, 40, 30, 25, 20, 15, 10, 5, 2)  # magnifications to choose from, against the drawing


@dataclass(frozen=True, slots=True)
class Glass:
    """How the inset is laid out; of the changed bike and of the one before alike.

    Parameters
    ----------
    times : int
        Magnification against the drawing.
    per_mm : float
        Units per millimetre of lift.
    touch : float
        Distance of the pressure plate's face from the fixed side, lift at rest.
    outward : bool
        Whether the plate moves to the right.
    """

    times: int
    per_mm: float
    touch: float
    outward: bool

    def x(self, from_left: float) -> float:
        """A place counted from the fixed side, turned round where the plate moves to the left."""
        return from_left if self.outward else WIDTH - from_left

    def at_lift(self, lift_mm: float) -> float:
        """Place of the pressure plate's face at a lift."""
        return self.x(self.touch + lift_mm * self.per_mm)

    def slide(self, per_lift: float) -> Move:
        """A slide by a share of the lift."""
        way = per_lift * self.per_mm
        return ("slide", "lift", way if self.outward else -way, 0.0)


def _thickness(mechanism: Mechanism) -> float:
    count = plate_count(mechanism)
    return count * _FRICTION + (count - 1) * _STEEL


def needed_lift(mechanism: Mechanism) -> float:
    """Lift for a clean release [mm]."""
    return float(mechanism.bike.pack.release_lift(mechanism.bike.engaged_clamp)) * 1e3


def _parting_lift(mechanism: Mechanism) -> float:
    return float(mechanism.bike.pack.squash(mechanism.bike.engaged_clamp)) * 1e3


def glass(now: Mechanism, before: Mechanism | None, scale: float) -> Glass:
    """Layout for a drawing with some pixels per millimetre, in which both bikes find room."""
    shown = [now] if before is None else [now, before]
    most = max(max(float(one.poses.lift_mm[-1]), needed_lift(one)) for one in shown)
    touch = max(_TEXT_ROOM, *(_END + _thickness(one) for one in shown))
    room = min(_LIFT_ROOM, WIDTH - touch - _NAME_ROOM)
    times = next((times for times in TIMES if times * scale * most <= room), TIMES[-1])
    return Glass(times, times * scale, touch, isinstance(now.bike.springs, CoilSet))


def inset_parts(mechanism: Mechanism, under: Glass) -> list[Part]:
    """Plates, pressure plate and ruler, the lowest first."""
    left = under.touch - _thickness(mechanism)
    faces = 2 * plate_count(mechanism)

    def slab(x1: float, x2: float) -> str:
        return box(under.x(x1), 0.0, under.x(x2), _HIGH)

    parts = [Part("fixed", slab(left - _END, left))]
    x = left
    for face in range(1, faces, 2):
        slide, middle = under.slide(face / faces), x + _FRICTION / 2
        grow: Move = ("wide", "relax", 2.0 * under.per_mm, under.x(middle), _FRICTION)
        parts.append(Part("lining", slab(x, x + _FRICTION), (slide, grow)))
        parts.append(Part("core", slab(middle - _CORE / 2, middle + _CORE / 2), (slide,)))
        x += _FRICTION
        if face + 1 < faces:
            parts.append(Part("plate", slab(x, x + _STEEL), (under.slide((face + 1) / faces),)))
            x += _STEEL
    plate = Part("pressure", slab(under.touch, under.touch + _END), (under.slide(1.0),), ghost=True)
    return [*parts, plate, *_ruler(mechanism, under)]


def _ruler(mechanism: Mechanism, under: Glass) -> list[Part]:
    full, needed = float(mechanism.poses.lift_mm[-1]), needed_lift(mechanism)
    parting = min(_parting_lift(mechanism), full)
    bands = [("ruler-bite", 0.0, parting), ("ruler-gaps", parting, min(needed, full))]
    bands.append(("ruler-spare", needed, full) if needed <= full else ("ruler-missing", full, needed))
    top, bottom = _RULER
    parts = [Part(look, box(under.at_lift(a), top, under.at_lift(b), bottom)) for look, a, b in bands if b > a]
    drops = [(0.0, bottom), *((at, row) for at, row, _ in _ticks(mechanism))]
    parts.append(Part("tick", "".join(line((under.at_lift(at), top), (under.at_lift(at), row)) for at, row in drops)))
    x = under.at_lift(0.0)
    pointer = polygon([(x, top + 1.0), (x - 4.5, top - 8.0), (x + 4.5, top - 8.0)])
    return [*parts, Part("pointer", pointer, (under.slide(1.0),), ghost=True)]


def _ticks(mechanism: Mechanism) -> list[tuple[float, float, str]]:
    """Lift [mm], row and name of each tick; the greater its lift, the higher its row, so that none crosses a name."""
    full, needed, parting = float(mechanism.poses.lift_mm[-1]), needed_lift(mechanism), _parting_lift(mechanism)
    marks = [(full, "stop"), (needed, "release"), (min(parting, full), "plates part")]
    marks.sort(reverse=True)
    shown = {"plates part": parting}
    return [(at, row, f"{name} {shown.get(name, at):.2f} mm") for (at, name), row in zip(marks, _ROWS, strict=True)]


def fixed_end(mechanism: Mechanism, under: Glass) -> float:
    """Outer end of the fixed side."""
    return under.x(under.touch - _thickness(mechanism) - _END)


def inset_labels(mechanism: Mechanism, under: Glass, pixel: float) -> list[Label]:
    """What the ruler's ticks are, and the figures of the pose; a pixel is worth so many units."""
    toward, back = ("start", "end") if under.outward else ("end", "start")
    aside = 4.0 * pixel if under.outward else -4.0 * pixel
    labels = [Label("quiet-text", under.at_lift(at) + aside, row, toward, text) for at, row, text in _ticks(mechanism)]
    edge = under.x(_TEXT_ROOM - 14.0)
    live: list[tuple[str, Live]] = [
        ("lift", ("now", "lift", 2, "mm")),
        ("each gap", ("now", "gap", 2, "mm")),
        ("clamp left", ("now", "clamp", 0, "N")),
    ]
    labels += [
        Label("strong-text", edge, row, back, text, value) for row, (text, value) in zip(_ROWS, live, strict=True)
    ]
    return labels
