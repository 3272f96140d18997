"""The hand lever on its perch, seen from above: blade, cable end, grip, and the finger's way with its marks."""

from __future__ import annotations

import math
from dataclasses import dataclass

from clutchwright.physics.lever import CamEnd, NearCable
from clutchwright.picture.mechanism.helper import hook, spring_parts
from clutchwright.picture.mechanism.parts import (
    Move,
    Part,
    Point,
    arc,
    box,
    circle,
    line,
    link,
    polygon,
    rounded,
    turned,
)
from clutchwright.study.mechanism import Mechanism

GRIP, BAR = 32.0, 22.0  # diameters; what the file does not know is as on common machines [mm]
BLADE_OVER_FINGER = 1.5  # blade length over finger radius where no blade was measured
FAR_ADJUSTER = 40.0  # cable end to adjuster, drawn nearer than it is [mm]
_ARC_GAP = 8.0
ARROW_PER_N = 0.22  # length of the finger's arrow [mm/N]


@dataclass(frozen=True, slots=True)
class LeverLayout:
    """Where the lever stands in its view [mm]; y is 0 at the pivot's height.

    Parameters
    ----------
    mechanism : Mechanism
        Whose lever.
    pivot_x : float
        Pivot, from that of the bike as it is; the hand stays where it was.
    grip_y : float
        Surface of the grip.
    blade : float
        Pivot to the blade's end.
    """

    mechanism: Mechanism
    pivot_x: float
    grip_y: float
    blade: float

    @property
    def pivot(self) -> Point:
        """Pivot."""
        return self.pivot_x, 0.0

    @property
    def finger_radius(self) -> float:
        """Pivot to finger point [mm]."""
        return float(self.mechanism.bike.lever.finger_radius) * 1e3

    @property
    def degrees_per_mm(self) -> float:
        """Rotation per finger travel."""
        return math.degrees(1.0 / self.finger_radius)

    @property
    def arc_radius(self) -> float:
        """Pivot to the marks [mm]."""
        return self.blade + _ARC_GAP

    def on_blade(self, radius: float, travel: float = 0.0) -> Point:
        """A point of the blade at a finger travel; at the stop the blade is parallel to the grip."""
        lever = self.mechanism.bike.lever
        above = math.degrees(math.atan2(float(lever.stop_span) * 1e3 - self.grip_y, self.finger_radius))
        rest = above + float(lever.full_travel) * 1e3 * self.degrees_per_mm
        level = (self.pivot_x - radius, 0.0)
        return turned(level, self.pivot, (travel * self.degrees_per_mm) - rest)

    @property
    def outward(self) -> float:
        """Direction against the pull, lever at rest [rad]."""
        foot = self.on_blade(self.finger_radius)
        return math.atan2(foot[1], foot[0] - self.pivot_x) + math.pi / 2

    def off_finger(self, distance: float, aside: float = 0.0) -> Point:
        """A point so far from the finger point against the pull, and so far along the blade, lever at rest."""
        x, y = self.on_blade(self.finger_radius)
        cos, sin = math.cos(self.outward), math.sin(self.outward)
        return x + distance * cos - aside * sin, y + distance * sin + aside * cos

    @property
    def words(self) -> Point:
        """Clear of the arrow at its longest, lever at rest."""
        return self.off_finger(13.0 + ARROW_PER_N * float(self.mechanism.poses.pull_N.max()))

    @property
    def cable_radius(self) -> float:
        """Pivot to cable end [mm]."""
        return float(self.mechanism.bike.lever.cable_end.radius) * 1e3

    @property
    def cable_degrees(self) -> float:
        """Where the cable end stands round the pivot, lever at rest."""
        end = self.mechanism.bike.lever.cable_end
        return 90.0 if isinstance(end, CamEnd) else math.degrees(float(end.angle))

    @property
    def cable_end(self) -> Point:
        """Cable end at rest; of a cam, where the cable leaves it."""
        return turned((self.pivot_x + self.cable_radius, 0.0), self.pivot, self.cable_degrees)

    @property
    def adjuster(self) -> Point:
        """Where the cable goes into its sheath."""
        end = self.mechanism.bike.lever.cable_end
        distance = float(end.distance) * 1e3 if isinstance(end, NearCable) else FAR_ADJUSTER
        return self.cable_end[0] + distance, self.cable_end[1]


def layouts(now: Mechanism, before: Mechanism | None) -> tuple[LeverLayout, LeverLayout | None]:
    """Layout of a lever and of the one before, with the grip and the hand in the same places."""
    first = before or now
    grip = float(first.bike.lever.stop_span) * 1e3
    radius = float(first.bike.lever.finger_radius) * 1e3
    shift = float(now.bike.lever.finger_radius) * 1e3 - radius

    def placed(mechanism: Mechanism, x: float) -> LeverLayout:
        length = mechanism.bike.lever.blade_length
        return LeverLayout(mechanism, x, grip, BLADE_OVER_FINGER * radius if length is None else float(length) * 1e3)

    return placed(now, shift), None if before is None else placed(before, 0.0)


def lever_parts(layout: LeverLayout) -> list[Part]:
    """Everything of the lever's view, the lowest first."""
    pivot, end, mouth = layout.pivot, layout.cable_end, layout.adjuster
    turn: Move = ("turn", "travel", layout.degrees_per_mm, *pivot)
    tip = layout.on_blade(layout.blade - 6.0)
    blade = link(pivot, 6.8, layout.on_blade(layout.blade - 8.0), 3.6) + circle(tip, 5.8)
    assist, horn = layout.mechanism.bike.lever.assist, layout.cable_degrees  # so that the post stands on the perch
    tail = "" if assist is None else link(pivot, 6.0, hook(assist, pivot, horn), 3.2)
    return [
        *_perch(layout),
        Part("rope", line(end, mouth), _rope_moves(layout)),
        Part("blade", blade + _horn(layout) + circle(pivot, 10.0) + tail, (turn,), ghost=True),
        Part("pin", circle(pivot, 3.2)),
        Part("nipple", circle(_nipple(layout), 2.6), (turn,), ghost=True),
        *([] if assist is None else spring_parts(assist, pivot, horn, turn)),
        *_finger(layout, turn),
        *_marks(layout),
    ]


def _rope_moves(layout: LeverLayout) -> tuple[Move, ...]:
    if isinstance(layout.mechanism.bike.lever.cable_end, CamEnd):
        return ()
    return (("rope", "travel", layout.degrees_per_mm, *layout.pivot, *layout.cable_end, *layout.adjuster),)


def _nipple(layout: LeverLayout) -> Point:
    """Cable end itself; on a cam it is some way round."""
    round_cam = 35.0 if isinstance(layout.mechanism.bike.lever.cable_end, CamEnd) else 0.0
    return turned(layout.cable_end, layout.pivot, round_cam)


def _horn(layout: LeverLayout) -> str:
    if isinstance(layout.mechanism.bike.lever.cable_end, CamEnd):
        return circle(layout.pivot, layout.cable_radius - 0.8)
    return link(layout.pivot, 8.0, layout.cable_end, 5.0)


def _perch(layout: LeverLayout) -> list[Part]:
    """Grip, bar, perch and adjuster, and the sheath up to where it is broken off."""
    (x, _), (mouth_x, mouth_y), grip = layout.pivot, layout.adjuster, layout.grip_y
    middle = grip + GRIP / 2
    body = link((x, 0.0), 13.0, (x + 2.0, middle), 15.0) + link((x + 2.0, 0.0), 9.0, (mouth_x + 2.0, mouth_y), 5.5)
    return [
        Part("fixed", box(x - 40.0, middle - BAR / 2, x + 44.0, middle + BAR / 2)),
        Part("grip", rounded(-layout.blade - 2.0, grip, x - 24.0, grip + GRIP, 6.0)),
        Part("grip", rounded(x - 28.0, grip - 4.0, x - 23.0, grip + GRIP + 4.0, 2.4)),
        Part("fixed", body),
        Part("sheath", line((mouth_x, mouth_y), (mouth_x + 18.0, mouth_y))),
        Part("fixed", box(mouth_x - 1.0, mouth_y - 4.5, mouth_x + 9.0, mouth_y + 4.5)),
        Part("break", broken((mouth_x + 18.0, mouth_y))),
    ]


def broken(at: Point) -> str:
    """The mark of a line that is drawn shorter than it is."""
    x, y = at
    return line((x - 1.0, y + 4.0), (x + 1.0, y - 4.0)) + line((x + 1.5, y + 4.0), (x + 3.5, y - 4.0))


def _finger(layout: LeverLayout, turn: Move) -> list[Part]:
    """The finger's arrow, square to the blade, as long as the pull."""
    foot = layout.on_blade(layout.finger_radius)
    outward = layout.outward

    def out(distance: float, aside: float = 0.0) -> Point:
        return layout.off_finger(distance, aside)

    head = polygon([out(5.0), out(11.0, 3.0), out(11.0, -3.0)])
    shaft: Move = ("reach", "pull", ARROW_PER_N, *out(10.0), math.cos(outward), math.sin(outward))
    return [
        Part("way", arc(layout.pivot, foot, _swing(layout))),
        Part("arrow", line(out(10.0), out(10.0)), (turn, shaft)),
        Part("arrowhead", head, (turn,)),
        Part("point", circle(foot, 1.8), (turn,)),
    ]


def _swing(layout: LeverLayout, start: float = 0.0, end: float | None = None) -> float:
    stop = layout.mechanism.places.stop_mm if end is None else end
    return (stop - start) * layout.degrees_per_mm


def _marks(layout: LeverLayout) -> list[Part]:
    """The lever's arc beyond the blade's end, banded, with a tick at each place that has a name."""
    places, radius = layout.mechanism.places, layout.arc_radius
    release, stop = places.release_mm, places.stop_mm
    bands = [("band-plain", 0.0, stop), ("band-free", 0.0, places.free_mm)]
    if bite := places.bite_mm:
        bands.append(("band-bite", bite[0], min(bite[1], stop)))
    if release < stop:
        bands.append(("band-spare", release, stop))
    elif release > stop:
        bands.append(("band-missing", stop, release))
    parts = [
        Part(look, arc(layout.pivot, layout.on_blade(radius, a), _swing(layout, a, b))) for look, a, b in bands if b > a
    ]
    ticks = (0.0, places.free_mm, *(bite or ()), stop)
    parts.append(Part("tick", "".join(_tick(layout, tick) for tick in ticks)))
    if not math.isnan(release):
        parts.append(Part("release", _tick(layout, release, inside=5.0), ghost=True))
    pointer = link(layout.on_blade(layout.blade + 1.0), 1.4, layout.on_blade(radius - 2.4), 0.3)
    return [*parts, Part("pointer", pointer, (("turn", "travel", layout.degrees_per_mm, *layout.pivot),))]


def _tick(layout: LeverLayout, travel: float, inside: float = 2.2) -> str:
    radius = layout.arc_radius
    return line(layout.on_blade(radius - inside, travel), layout.on_blade(radius + 2.2, travel))
