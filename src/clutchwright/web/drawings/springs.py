"""Coil springs and the diaphragm."""

from __future__ import annotations

from collections.abc import Callable

from clutchwright.web.drawings import strokes as s


def _coil(left: float, right: float, top: float, bottom: float, turns: int) -> str:
    """A spring from the side, standing: its turns as rods, flat ends."""
    step = (bottom - top) / turns
    back = [(f"M{right:g} {top + step * k:g}L{left:g} {top + step * (k + 0.5):g}", 9.0) for k in range(turns)]
    front = [(f"M{left:g} {top + step * (k + 0.5):g}L{right:g} {top + step * (k + 1):g}", 11.0) for k in range(turns)]
    flat = [(f"M{left:g} {y:g}H{right:g}", 10.0) for y in (top, bottom)]
    return "".join(map(s.body, (*back, *front, *flat)))


def free_length() -> list[str]:
    """Calliper along an unloaded spring."""
    jaws = s.calliper((170, 200), (170, 50), 62)
    return [_coil(140, 200, 56, 194, 6), jaws, s.dimension((200, 199), (200, 51), -40)]


def solid_length() -> list[str]:
    """Calliper along a spring pressed shut in a vice."""
    jaws = [s.box((60, 40), 40, 130), s.box((240, 40), 40, 130)]
    shut = "".join(s.body((f"M{x} 74V136", 20)) for x in range(110, 240, 20))
    return [*jaws, shut, s.words((40, 200), "vice, spring lying in it", "start"), s.dimension((100, 66), (240, 66), 40)]


def installed_length() -> list[str]:
    """From the bolted seat to the bottom of the spring's pocket."""
    pocket = s.path("M92 60V190H248V60H226V172H114V60Z", "metal")
    seat = s.box((106, 42), 128, 12) + s.box((158, 16), 24, 26)
    return [
        pocket,
        _coil(146, 194, 62, 164, 6),
        seat,
        s.dimension((226, 55), (226, 171), 52),
        s.words((84, 52), "seat", "end"),
        s.words((84, 186), "pocket", "end"),
        s.words((194, 28), "bolt", "start"),
    ]


def rate() -> list[str]:
    """Spring pressed on bathroom scales, at two lengths."""
    scales = s.box((96, 176), 148, 26, "tool", 5) + s.box((150, 182), 40, 13, "metal")
    press = s.body(("M170 8V58", 13)) + s.box((128, 54), 84, 10)
    return [
        scales,
        _coil(144, 196, 72, 168, 6),
        press,
        s.dimension((212, 66), (212, 174), 34),
        s.arrow((100, 20), (100, 60)),
        s.words((90, 44), "press", "end"),
        s.words((252, 194), "force", "start"),
    ]


def _cut() -> list[str]:
    """A spring cut along its axis: its wire left and right."""
    wires = [s.circle((x, y + (12 if x > 170 else 0)), 13) for x in (112, 228) for y in range(44, 190, 28)]
    return [*wires, s.line((170, 16), (170, 212), "axis")]


def wire() -> list[str]:
    """Across the wire."""
    return [*_cut(), s.calliper((99, 100), (125, 100), 74), s.dimension((125, 128), (99, 128), 0, aside=(0, -14))]


def coil_outer() -> list[str]:
    """Across the outside of the turns."""
    return [*_cut(), s.dimension((99, 100), (241, 100), 0, aside=(0, -12)), s.calliper((99, 100), (241, 100), 80)]


def coil_inner() -> list[str]:
    """Across the inside of the turns."""
    return [*_cut(), s.dimension((125, 112), (215, 112), 0, aside=(0, -12))]


def turns() -> list[str]:
    """Count the turns round with a marker."""
    marks = "".join(s.words((222, y), str(n), "start", "query") for n, y in enumerate(range(44, 196, 25), 1))
    return [_coil(130, 200, 34, 186, 6), marks, s.words((110, 116), "count round", "end")]


def ends() -> list[str]:
    """How the last turn of a spring lies."""
    plain = s.body(("M40 170L120 140", 14)) + s.body(("M40 130L120 100", 14)) + s.body(("M40 90L120 60", 14))
    squared = s.body(("M210 166H300", 14)) + s.body(("M210 150L300 124", 14)) + s.body(("M210 110L300 84", 14))
    return [plain, squared, s.words((80, 208), "plain"), s.words((255, 208), "squared: lies flat")]


def mass() -> list[str]:
    """One spring on a kitchen scale."""
    return [
        _coil(140, 200, 30, 136, 6),
        s.box((104, 142), 132, 8, "tool"),
        s.path("M90 204L112 152H228L250 204Z", "tool"),
        s.words((170, 188), "?", kind="query"),
    ]


def _bolts(count: int = 6) -> list[str]:
    bolts = [s.circle(s.at((170, 110), 66, -90 + 360 / count * k), 13) for k in range(count)]
    dots = [s.circle(s.at((170, 110), 66, -90 + 360 / count * k), 5) for k in range(count)]
    return [s.circle((170, 110), 98), s.circle((170, 110), 66, "axis"), s.circle((170, 110), 22), *bolts, *dots]


def spring_circle() -> list[str]:
    """From the clutch's axis to the middle of a spring: half across two opposite bolts."""
    return [*_bolts(), s.dimension((170, 110), s.at((170, 110), 66, -90), 0, aside=(18, 0))]


def spring_count() -> list[str]:
    """Count the spring bolts."""
    numbers = [
        s.words((x, y + 7), str(k + 1), kind="query") for k in range(6) for x, y in [s.at((170, 110), 41, -90 + 60 * k)]
    ]
    return [*_bolts(), *numbers]


def _diaphragm() -> list[str]:
    slots = "".join(s.line(s.at((170, 110), 34, way), s.at((170, 110), 64, way), "thick") for way in range(0, 360, 24))
    return [s.circle((170, 110), 98), slots, s.circle((170, 110), 34), s.circle((170, 110), 64, "axis")]


def diaphragm_outer() -> list[str]:
    """Across the closed ring."""
    return [*_diaphragm(), s.dimension((72, 110), (268, 110), 0, aside=(0, -12))]


def diaphragm_inner() -> list[str]:
    """Across two opposite slots' ends."""
    return [*_diaphragm(), s.dimension((106, 110), (234, 110), 0, aside=(0, -12))]


def _section(drop: float = 70.0) -> list[str]:
    """Half a diaphragm cut through, its axis on the left."""
    half = s.body((f"M96 {60 + drop:g}L316 60", 13))
    return [s.line((36, 12), (36, 212), "axis"), half, s.words((44, 26), "axis", "start")]


def thickness() -> list[str]:
    """Across the sheet, at three places."""
    return [
        s.body(("M40 120H300", 30)),
        s.calliper((170, 135), (170, 105), 70),
        s.dimension((250, 135), (250, 105), 0, aside=(18, 26)),
    ]


def cone_height() -> list[str]:
    """Lying on glass: from the glass to the inner edge of the closed ring, less the thickness."""
    glass = s.box((20, 170), 300, 10, "tool")
    shell = s.body(("M30 160L130 80", 12)) + s.body(("M310 160L210 80", 12))
    return [
        glass,
        shell,
        s.dimension((170, 168), (170, 78), 0, aside=(20, 0)),
        s.line((120, 74), (220, 74), "thin"),
        s.words((30, 204), "glass", "start"),
    ]


def deflection() -> list[str]:
    """Height with the spring loose, less the height bolted down."""
    loose = s.turned("".join(_section()[1:2]), (316, 60), 0, "ghost")
    down = s.body(("M96 86L316 60", 13))
    return [
        loose,
        down,
        s.dimension((96, 124), (96, 92), 40),
        s.words((150, 150), "loose", "start"),
        s.words((150, 62), "bolted down", "middle"),
    ]


def _radius(x: float, y: float, text: str) -> list[str]:
    ring = s.circle((x, y), 6)
    return [
        *_section(),
        ring,
        s.line((x, y), (x, 196), "thin"),
        s.dimension((36, 190), (x, 190), 0, aside=(0, -12)),
        s.words((x - 12, y + 32), text, "end") if x > 150 else s.words((x + 4, y - 18), text),
    ]


def plate_radius() -> list[str]:
    """Axis to the ring on the pressure plate."""
    return _radius(304, 73, "ring on the plate")


def pivot_radius() -> list[str]:
    """Axis to the ring it rocks on."""
    return _radius(236, 95, "ring it rocks on")


def tip_radius() -> list[str]:
    """Axis to where the bearing touches the fingers."""
    return _radius(104, 117, "bearing touches")


def kind_coil() -> list[str]:
    """Coil springs under bolts."""
    rings = [s.circle(s.at((265, 110), 34, 60 * k - 90), 9) for k in range(6)]
    return [s.circle((265, 110), 54), *rings]


def kind_diaphragm() -> list[str]:
    """One diaphragm spring with fingers."""
    slots = "".join(s.line(s.at((265, 110), 16, way), s.at((265, 110), 34, way), "thick") for way in range(0, 360, 30))
    return [s.circle((265, 110), 54), slots, s.circle((265, 110), 16)]


DRAWINGS: dict[str, Callable[[], list[str]]] = {
    "springs.free_length_mm": free_length,
    "springs.solid_length_mm": solid_length,
    "springs.installed_length_mm": installed_length,
    "springs.rate_N_per_mm": rate,
    "springs.wire_mm": wire,
    "springs.outer_mm coil": coil_outer,
    "springs.inner_mm coil": coil_inner,
    "springs.total_turns": turns,
    "springs.ends": ends,
    "springs.mass_g": mass,
    "springs.circle_radius_mm": spring_circle,
    "springs.count": spring_count,
    "springs.outer_mm diaphragm": diaphragm_outer,
    "springs.inner_mm diaphragm": diaphragm_inner,
    "springs.thickness_mm": thickness,
    "springs.cone_height_mm": cone_height,
    "springs.deflection_mm": deflection,
    "springs.plate_radius_mm": plate_radius,
    "springs.pivot_radius_mm": pivot_radius,
    "springs.tip_radius_mm": tip_radius,
    "springs.kind=coil": kind_coil,
    "springs.kind=diaphragm": kind_diaphragm,
}
