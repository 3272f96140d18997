"""What our line drawings are made of: bodies, wires, tools, and the one dimension that is asked for.

Places are in the units of the drawing, x to the right and y down; angles in degrees, clockwise from the right.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

WIDTH, HEIGHT = 340, 220
_ARROW, _SHORT = 9.0, 30.0  # length of an arrow head; below the other, arrows point in from outside
Place = tuple[float, float]


def path(d: str, kind: str, width: float | None = None) -> str:
    """A path of a kind that the style sheet knows."""
    stroke = "" if width is None else f' stroke-width="{width:g}"'
    return f'<path class="{kind}" d="{d}"{stroke}/>'


def line(start: Place, end: Place, kind: str = "thin") -> str:
    """A straight line."""
    return path(f"M{start[0]:g} {start[1]:g}L{end[0]:g} {end[1]:g}", kind)


def circle(centre: Place, radius: float, kind: str = "metal") -> str:
    """A circle."""
    return f'<circle class="{kind}" cx="{centre[0]:g}" cy="{centre[1]:g}" r="{radius:g}"/>'


def box(corner: Place, width: float, height: float, kind: str = "metal", round_: float = 2) -> str:
    """A rectangle from its upper left corner."""
    size = f'width="{width:g}" height="{height:g}" rx="{round_:g}"'
    return f'<rect class="{kind}" x="{corner[0]:g}" y="{corner[1]:g}" {size}/>'


def words(place: Place, text: str, anchor: str = "middle", kind: str = "words") -> str:
    """A few words."""
    return f'<text class="{kind}" x="{place[0]:g}" y="{place[1]:g}" text-anchor="{anchor}">{text}</text>'


def body(*rods: tuple[str, float]) -> str:
    """Rods with round ends, each a path and its width, drawn as one body."""
    edges = "".join(path(d, "edge", width) for d, width in rods)
    return edges + "".join(path(d, "fill", width - 3.5) for d, width in rods)


def turned(drawn: str, about: Place, degrees: float, kind: str = "") -> str:
    """The same turned about a place; of a kind such as ``ghost``."""
    marked = f' class="{kind}"' if kind else ""
    return f'<g{marked} transform="rotate({degrees:g} {about[0]:g} {about[1]:g})">{drawn}</g>'


def moved(drawn: str, x: float, y: float, size: float = 1.0) -> str:
    """The same elsewhere, and larger or smaller."""
    return f'<g transform="translate({x:g} {y:g}) scale({size:g})">{drawn}</g>'


def at(centre: Place, radius: float, degrees: float) -> Place:
    """The place at an angle round a centre."""
    turn = math.radians(degrees)
    return centre[0] + radius * math.cos(turn), centre[1] + radius * math.sin(turn)


def ground(start: Place, end: Place, depth: float = 8.0) -> str:
    """A wall that does not move: a line with hatching on its right, seen along it."""
    length = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    ticks = "".join(
        line(
            (start[0] + ux * along, start[1] + uy * along),
            (start[0] + ux * (along - depth) - uy * depth, start[1] + uy * (along - depth) + ux * depth),
        )
        for along in range(int(depth), int(length) + 1, 8)
    )
    return line(start, end, "metal") + ticks


def _head(tip: Place, towards: float) -> str:
    left, right = at(tip, _ARROW, towards + 158.0), at(tip, _ARROW, towards - 158.0)
    return path(f"M{tip[0]:.1f} {tip[1]:.1f}L{left[0]:.1f} {left[1]:.1f}L{right[0]:.1f} {right[1]:.1f}Z", "tip")


def arrow(start: Place, end: Place) -> str:
    """An arrow that shows where something moves."""
    return line(start, end, "asked") + _head(end, math.degrees(math.atan2(end[1] - start[1], end[0] - start[0])))


def dimension(start: Place, end: Place, off: float = 0.0, text: str = "?", aside: Place = (0, 0)) -> str:
    """The length asked for, between two places.

    Parameters
    ----------
    start, end : Place
        What it is between.
    off : float
        How far to the left of the way from start to end its line lies.
    text : str
        What stands on it.
    aside : Place
        How far the text is shifted.

    Returns
    -------
    str
        SVG.
    """
    length = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    nx, ny = uy * off, -ux * off
    first, last = (start[0] + nx, start[1] + ny), (end[0] + nx, end[1] + ny)
    over = 1.0 + 6.0 / abs(off) if off else 1.0
    ends = "".join(line(p, (p[0] + nx * over, p[1] + ny * over), "asked thin") for p in (start, end)) if off else ""
    towards = math.degrees(math.atan2(uy, ux))
    if length < _SHORT:
        outside = (first[0] - 18 * ux, first[1] - 18 * uy), (last[0] + 18 * ux, last[1] + 18 * uy)
        shaft = line(outside[0], first, "asked") + line(last, outside[1], "asked")
        heads = _head(first, towards) + _head(last, towards + 180.0)
        middle = (outside[1][0] + 12 * ux, outside[1][1] + 12 * uy)
    else:
        shaft, heads = line(first, last, "asked"), _head(first, towards + 180.0) + _head(last, towards)
        middle = ((first[0] + last[0]) / 2, (first[1] + last[1]) / 2)
    return ends + shaft + heads + words((middle[0] + aside[0], middle[1] + 7 + aside[1]), text, kind="query")


def angle(centre: Place, radius: float, start: float, end: float, text: str = "?", rays: float = 14.0) -> str:
    """The angle asked for, from one direction clockwise to another [degrees], with rays drawn so far beyond its arc."""
    first, last, middle = at(centre, radius, start), at(centre, radius, end), at(centre, radius, (start + end) / 2)
    wide = int(end - start > 180.0)
    arc = f"M{first[0]:.1f} {first[1]:.1f}A{radius:g} {radius:g} 0 {wide} 1 {last[0]:.1f} {last[1]:.1f}"
    drawn = path(arc, "asked") + _head(first, start - 80.0) + _head(last, end + 80.0)
    lines = "".join(line(centre, at(centre, radius + rays, way), "asked thin") for way in (start, end)) if rays else ""
    return lines + drawn + words((middle[0], middle[1] + 7), text, kind="query")


def calliper(start: Place, end: Place, reach: float = 34.0) -> str:
    """A calliper whose jaws stand at two places, its beam so far to the left of the way between them."""
    length = math.dist(start, end)
    turn = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
    side = math.copysign(1.0, reach)
    deep = abs(reach)
    jaws = "".join(
        path(
            f"M{x:g} 0V{-side * (deep + 10):g}h{way * 13:g}V{-side * (deep - 6):g}L{x + way * 5:g} {-side * 8:g}Z",
            "tool",
        )
        for x, way in ((0.0, -1), (length, 1))
    )
    top = -deep - 6 if side > 0 else deep - 6
    ticks = "".join(path(f"M{x:g} {top + 3:g}v5", "tick") for x in range(4, int(length) + 26, 7))
    beam = box((-13, top), length + 42, 12, "tool")
    return moved(turned(beam + jaws + ticks, (0, 0), turn), start[0], start[1])


def ruler(start: Place, end: Place, off: float = 0.0, broad: float = 16.0) -> str:
    """A ruler whose zero is at the start, so far to the left of the way to the end."""
    length = math.dist(start, end)
    turn = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
    ticks = "".join(
        path(f"M{x:g} {-off:g}v{-7 if number % 5 == 0 else -4:g}", "tick")
        for number, x in enumerate(range(0, int(length) + 14, 6))
    )
    drawn = box((0, -off - broad), length + 18, broad, "tool") + ticks
    return moved(turned(drawn, (0, 0), turn), start[0], start[1])


def scale(hook: Place, towards: float, rope: float = 24.0) -> str:
    """A luggage scale hooked in at a place and pulled in a direction."""
    drawn = (
        path(f"M-3 -6A6 6 0 1 1 -3 6M6 0H{rope:g}", "tool open")
        + box((rope, -15), 46, 30, "tool", 7)
        + circle((rope + 20, 0), 10, "tool")
        + path(f"M{rope + 20:g} 0l6 -6", "tick")
        + path(f"M{rope + 46:g} 0h8m0 -12v24", "tool open")
    )
    return moved(turned(drawn, (0, 0), towards), hook[0], hook[1])


def dial(tip: Place, towards: float) -> str:
    """A dial gauge whose tip touches a place, its stem in a direction away from it."""
    centre = at(tip, 52, towards)
    return (
        line(tip, at(tip, 34, towards), "tool open")
        + circle(centre, 20, "tool")
        + circle(tip, 2.5, "tool")
        + line(centre, at(centre, 14, -50), "tick")
        + "".join(line(at(centre, 16, way), at(centre, 19, way), "tick") for way in range(0, 360, 30))
    )


def protractor(centre: Place, radius: float, start: float) -> str:
    """Half a disc with marks, its straight side from one direction to the opposite, clockwise."""
    first, last = at(centre, radius, start), at(centre, radius, start + 180.0)
    d = f"M{first[0]:.1f} {first[1]:.1f}A{radius:g} {radius:g} 0 0 1 {last[0]:.1f} {last[1]:.1f}Z"
    marks = (
        line(at(centre, radius - 6, start + way), at(centre, radius, start + way), "tick") for way in range(15, 180, 15)
    )
    return path(d, "tool") + "".join(marks)


def svg(drawn: Iterable[str], *, title: str = "", about: str = "", view: str = f"0 0 {WIDTH} {HEIGHT}") -> str:
    """The whole picture, with what it shows for those who cannot see it, already escaped; none beside its own words."""
    width, height = view.split()[2:]
    told = f"<title>{title}</title><desc>{about}</desc>" if title else ""
    read = 'role="img"' if title else 'aria-hidden="true"'
    size = f'width="{width}" height="{height}"'
    return f'<svg class="drawing" viewBox="{view}" {size} {read}>{told}{"".join(drawn)}</svg>'
