"""The lever: from above with its grip, pivot, cable and finger point; and from the side."""

from __future__ import annotations

from collections.abc import Callable

from clutchwright.web.drawings import strokes as s

_PIVOT, _NIPPLE, _FINGER, _HOOK, _TIP = (252.0, 96.0), (256.0, 46.0), (104.0, 88.0), (62.0, 90.0), (44.0, 91.0)
_BACK, _FRONT = 193.0, 79.0  # back of the grip, front of the lever at rest at the finger point
_ADJUSTER = 304.0


def _bar() -> str:
    perch = s.body(("M284 180V132M252 96L284 132L312 96V60", 16))
    return s.body(("M200 180H336", 18)) + perch + s.body(("M16 180H206", 26)) + s.box((_ADJUSTER, 36), 20, 20)


def _blade() -> str:
    blade = "M252 96C222 90 190 86 150 86S80 88 38 92"
    return s.body((blade, 15), ("M252 96L256 46", 15), ("M37 92h.1", 21)) + s.circle(_PIVOT, 5) + _nipple()


def _nipple() -> str:
    return s.circle(_NIPPLE, 5)


def _wire(start: s.Place = _NIPPLE) -> str:
    return s.path(f"M{start[0]:g} {start[1]:g}H{_ADJUSTER:g}M324 46H340", "wire")


def _mark() -> str:
    return s.path("M104 96l-6 -14h12Z", "asked solid")


def _rest() -> list[str]:
    return [_bar(), _wire(), _blade()]


def _pulled(degrees: float) -> list[str]:
    """The lever pulled in, and where it was as a ghost."""
    moved = s.turned(_blade() + _mark(), _PIVOT, -degrees)
    return [_bar(), s.turned(_blade(), _PIVOT, 0, "ghost"), _wire((_NIPPLE[0] - 12, _NIPPLE[1])), moved]


def finger_radius() -> list[str]:
    """Pivot to the middle of the pulling fingers."""
    ruler = s.ruler(_PIVOT, (104, 96), 11)
    return [
        *_rest(),
        ruler,
        _mark(),
        s.dimension((104, 96), _PIVOT, 40),
        s.words((104, 142), "middle of the fingers"),
    ]


def cable_radius() -> list[str]:
    """Pivot to cable end, lever taken off."""
    return [
        _blade(),
        s.calliper(_NIPPLE, _PIVOT, 34),
        s.dimension(_NIPPLE, _PIVOT, -30),
        s.words((120, 130), "lever taken off"),
    ]


def rest_span() -> list[str]:
    """Back of the grip to the front of the lever, let go."""
    ruler = s.ruler((104, _BACK), (104, _FRONT), -12)
    return [*_rest(), ruler, _mark(), s.dimension((104, _BACK), (104, _FRONT), 26)]


def stop_span() -> list[str]:
    """The same, pulled in to the stop."""
    front = 124.0
    ruler = s.ruler((104, _BACK), (104, front), -12)
    return [*_pulled(18), ruler, s.dimension((104, _BACK), (104, front), 26), s.words((44, 70), "pulled in", "start")]


def free_play() -> list[str]:
    """Movement at the finger point before the arm starts to turn."""
    return [*_pulled(9), s.dimension((104, _FRONT), (104, 103), 30), s.words((190, 30), "until the arm just moves")]


def hook_radius() -> list[str]:
    """Pivot to the hook of a scale, pulled square to the lever."""
    return [*_rest(), s.scale(_HOOK, 90, 40), s.dimension(_HOOK, _PIVOT, 40)]


def pivot_friction() -> list[str]:
    """A scale at the hook, cable unhooked."""
    return [_bar(), _blade(), s.scale(_HOOK, 90, 40), s.words((150, 60), "cable unhooked")]


def blade_length() -> list[str]:
    """Pivot to the farthest point where a finger can pull."""
    return [*_rest(), s.ruler(_PIVOT, _TIP, 12), s.dimension(_TIP, _PIVOT, 40)]


def cable_angle() -> list[str]:
    """At the cable end, between the pivot line drawn on and the cable."""
    big = [s.moved("".join([_bar(), _wire(), _blade()]), -300, 30, 1.7)]
    centre = (_NIPPLE[0] * 1.7 - 300, _NIPPLE[1] * 1.7 + 30)
    pivot = (_PIVOT[0] * 1.7 - 300, _PIVOT[1] * 1.7 + 30)
    return [*big, s.line(pivot, centre, "asked thin"), s.angle(centre, 62, -86, 0, rays=24)]


def adjuster_distance() -> list[str]:
    """Bare wire from the cable end to the adjuster."""
    return [*_rest(), s.ruler(_NIPPLE, (_ADJUSTER, 46), 6), s.dimension(_NIPPLE, (_ADJUSTER, 46), 34)]


def level_angle() -> list[str]:
    """The lever from the side: how far its blade points below the horizontal."""
    grip = (110.0, 84.0)
    end = s.at(grip, 150, 25)
    blade = s.body((f"M110 84L{end[0]:g} {end[1]:g}", 14)) + s.circle(grip, 24) + s.circle(grip, 15)
    phone = s.turned(s.box((150, 62), 88, 14, "tool", 4), grip, 25)
    level = s.line((96, 84), (310, 84), "axis")
    return [
        blade,
        phone,
        level,
        s.angle(grip, 172, 0, 25, rays=0),
        s.words((300, 76), "level", "end"),
        s.words((30, 150), "grip, seen from its end", "start"),
    ]


def scale_holds() -> list[str]:
    """A scale in front of the lever holds it back while the hand pulls."""
    fixed = s.ground((100, 8), (24, 8))
    fingers = "".join(s.body((f"M{x} 70v62", 15)) for x in (92, 110, 128, 146))
    return [
        *_rest(),
        s.scale(_HOOK, -90, 16),
        fixed,
        fingers,
        s.words((200, 34), "fixed", "end"),
        s.arrow((180, 110), (180, 146)),
    ]


def held_hook_radius() -> list[str]:
    """Pivot to the hook of the scale that holds the lever."""
    return [*_rest(), s.scale(_HOOK, -90, 16), s.dimension(_HOOK, _PIVOT, -50)]


def end_far() -> list[str]:
    """Cable end on a pin, adjuster far away."""
    return [
        s.body(("M252 150L256 70", 17)),
        s.path("M256 70H336", "wire"),
        s.circle((252, 150), 6),
        s.circle((256, 70), 6),
    ]


def end_near() -> list[str]:
    """Cable end on a pin, adjuster close by."""
    return [*end_far(), s.box((298, 58), 30, 24)]


def end_cam() -> list[str]:
    """Cable round a cam."""
    cam = s.path("M252 150L216 96A62 62 0 0 1 300 96Z", "metal")
    return [cam, s.path("M214 96A66 66 0 0 1 252 80H336", "wire"), s.circle((252, 150), 6), s.circle((216, 94), 6)]


DRAWINGS: dict[str, Callable[[], list[str]]] = {
    "lever.finger_radius_mm": finger_radius,
    "lever.cable_radius_mm": cable_radius,
    "lever.rest_span_mm": rest_span,
    "lever.stop_span_mm": stop_span,
    "lever.free_play_mm": free_play,
    "lever.hook_radius_mm": hook_radius,
    "lever.pivot_friction": pivot_friction,
    "lever.blade_length_mm": blade_length,
    "lever.cable_angle_deg": cable_angle,
    "lever.adjuster_distance_mm": adjuster_distance,
    "lever.level_angle_deg": level_angle,
    "strength.scale_kgf lever_scale": scale_holds,
    "strength.hook_radius_mm": held_hook_radius,
    "strength.finger_radius_mm": finger_radius,
    "strength.span_mm": rest_span,
    "lever.cable_end=far": end_far,
    "lever.cable_end=near": end_near,
    "lever.cable_end=cam": end_cam,
}
