"""What the drawing is made of: outlines in millimetres that turn, slide and stretch along the poses."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

Point = tuple[float, float]
# What it does, the value it goes by, and numbers; see `posed`. The script of the page reads the same.
Move = tuple[str | float, ...]
Live = tuple[str, str, int, str]  # whose pose, its value, decimals, unit
Values = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Part:
    """One outline.

    Parameters
    ----------
    look : str
        Key of ``LOOKS``.
    path : str
        Path data at rest, x to the right and y down, in the view's own unit.
    moves : tuple of Move
        What it does along the stroke, the last first.
    ghost : bool
        Whether its outline stays where it was when a change is made.
    width: float
        Thickness of its line in the view's own unit, drawn to scale; 0 for that of its look.
    """

    look: str
    path: str
    moves: tuple[Move, ...] = ()
    ghost: bool = False
    width: float = 0.0


@dataclass(frozen=True, slots=True)
class Label:
    """A text at a place of a view.

    Parameters
    ----------
    look : str
        Key of ``LOOKS``.
    x, y : float
        Place in the view's own unit.
    anchor : str
        ``start``, ``middle`` or ``end``.
    text : str
        What it says; what is live follows.
    live : Live | None
        Such as ``("now", "pull", 0, "N")``.
    moves : tuple of Move
        As of a part; labels are carried only.
    """

    look: str
    x: float
    y: float
    anchor: str
    text: str
    live: Live | None = None
    moves: tuple[Move, ...] = ()


def turned(point: Point, centre: Point, degrees: float) -> Point:
    """A point turned anticlockwise, as seen, about a centre."""
    angle = math.radians(degrees)
    x, y = point[0] - centre[0], point[1] - centre[1]
    cos, sin = math.cos(angle), math.sin(angle)
    return centre[0] + x * cos + y * sin, centre[1] + y * cos - x * sin


def posed(part: Part | Label, values: Values) -> tuple[str, str]:
    """A part at a pose.

    Parameters
    ----------
    part : Part or Label
        What to move.
    values : mapping
        Value of the pose by name.

    Returns
    -------
    tuple of str
        Its path data, and its ``transform``. With v = factor x value, the moves are: ``turn`` value factor x y
        (anticlockwise, degrees), ``slide`` value fx fy, ``wide`` value factor origin base (stretched from base to
        base + v), ``carry`` value factor px py x y (shifted as the point turns about the centre), ``rope``
        value factor px py x y ax ay (a line from the turning point to a fixed one), ``reach`` value factor x y dx dy
        (a line of length v from a point in a direction).
    """
    path, steps = getattr(part, "path", ""), []
    for kind, name, *numbers in part.moves:
        value = values[str(name)]
        n = [float(number) for number in numbers]
        if kind == "turn":
            steps.append(f"rotate({number_text(-value * n[0])} {number_text(n[1])} {number_text(n[2])})")
        elif kind == "slide":
            steps.append(f"translate({number_text(value * n[0])} {number_text(value * n[1])})")
        elif kind == "wide":
            scale = 1.0 + value * n[0] / n[2]
            steps.append(f"translate({number_text(n[1] * (1.0 - scale))} 0) scale({scale:.5f} 1)")
        elif kind == "reach":
            path = line((n[1], n[2]), (n[1] + value * n[0] * n[3], n[2] + value * n[0] * n[4]))
        else:
            x, y = turned((n[3], n[4]), (n[1], n[2]), value * n[0])
            if kind == "carry":
                steps.append(f"translate({number_text(x - n[3])} {number_text(y - n[4])})")
            else:
                path = line((x, y), (n[5], n[6]))
    return path, " ".join(steps)


def number_text(number: float) -> str:
    """A number as it is written: two decimals, no zeros at the end."""
    text = f"{number:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _tenth(number: float) -> str:
    """A coordinate of an outline, to a tenth of a millimetre: a quarter of a pixel."""
    text = f"{number:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def _pair(point: Point) -> str:
    return f"{_tenth(point[0])} {_tenth(point[1])}"


def line(*points: Point) -> str:
    """An open line through points."""
    return "M" + "L".join(_pair(point) for point in points)


def polygon(points: Sequence[Point]) -> str:
    """A closed outline, always clockwise as seen, so that outlines laid over each other make one."""
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, [*points[1:], points[0]], strict=True))
    ordered = points if area > 0.0 else points[::-1]
    return line(*ordered) + "Z"


def box(x1: float, y1: float, x2: float, y2: float) -> str:
    """A rectangle between two corners."""
    left, right, top, bottom = (_tenth(end) for end in (min(x1, x2), max(x1, x2), min(y1, y2), max(y1, y2)))
    return f"M{left} {top}H{right}V{bottom}H{left}Z"


def rounded(x1: float, y1: float, x2: float, y2: float, radius: float) -> str:
    """A rectangle between its left upper and right lower corner, with round corners."""
    left, top, right, bottom, size = (_tenth(number) for number in (x1, y1, x2, y2, radius))
    low, high, near, far = (_tenth(n) for n in (y1 + radius, y2 - radius, x1 + radius, x2 - radius))
    turn = f"A{size} {size} 0 0 1"
    return (
        f"M{near} {top}H{far}{turn} {right} {low}V{high}{turn} {far} {bottom}H{near}{turn} {left} {high}"
        f"V{low}{turn} {near} {top}Z"
    )


def circle(centre: Point, radius: float) -> str:
    """A circle."""
    left, right = (centre[0] - radius, centre[1]), (centre[0] + radius, centre[1])
    size = number_text(radius)
    return f"M{_pair(left)}A{size} {size} 0 0 1 {_pair(right)}A{size} {size} 0 0 1 {_pair(left)}Z"


def link(a: Point, radius_a: float, b: Point, radius_b: float) -> str:
    """A bar with round ends, as wide at each as the circle there; only the larger circle where it holds the other."""
    if math.dist(a, b) <= abs(radius_a - radius_b):
        return circle(*max((a, radius_a), (b, radius_b), key=lambda end: end[1]))
    along = math.atan2(b[1] - a[1], b[0] - a[0])
    lean = math.acos((radius_a - radius_b) / math.dist(a, b))

    def at(centre: Point, radius: float, angle: float) -> str:
        return _pair((centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)))

    sizes = [number_text(radius) for radius in (radius_a, radius_b)]
    large = [int(radius_a > radius_b), int(radius_b > radius_a)]
    return (
        f"M{at(a, radius_a, along - lean)}L{at(b, radius_b, along - lean)}"
        f"A{sizes[1]} {sizes[1]} 0 {large[1]} 1 {at(b, radius_b, along + lean)}L{at(a, radius_a, along + lean)}"
        f"A{sizes[0]} {sizes[0]} 0 {large[0]} 1 {at(a, radius_a, along - lean)}Z"
    )


def arc(centre: Point, start: Point, degrees: float) -> str:
    """An arc from a point, anticlockwise as seen, by less than half a turn."""
    radius = number_text(math.dist(centre, start))
    return f"M{_pair(start)}A{radius} {radius} 0 0 0 {_pair(turned(start, centre, degrees))}"
