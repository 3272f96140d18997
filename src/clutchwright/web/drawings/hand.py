"""The hand: how strong it is, how far it reaches, how it lies on the grip."""

from __future__ import annotations

from collections.abc import Callable

from clutchwright.web.drawings import strokes as s


def _flat(spread: float = 1.0) -> str:
    """A hand flat on the table, fingers up."""
    fingers = [(126, -16), (153, -4), (180, 5), (206, 16)]
    tips = [(x + lean * spread, y) for (x, lean), y in zip(fingers, (46, 26, 32, 62), strict=True)]
    rods = [(f"M{x} 120L{tip[0]:g} {tip[1]}", 24.0) for (x, _), tip in zip(fingers, tips, strict=True)]
    palm = [("M134 136H198M136 158H194M142 176H190", 42.0), ("M158 180V216", 46.0)]
    thumb = [(f"M134 166L{86 - 26 * spread:g} {122 - 4 * spread:g}", 25.0)]
    return s.body(*rods, *palm, *thumb)


def hand_length() -> list[str]:
    """Crease of the wrist to tip of the middle finger."""
    crease = s.path("M136 200Q158 206 182 200", "thick")
    return [_flat(0.2), crease, s.ruler((236, 202), (236, 15), -14), s.dimension((182, 202), (182, 14), -112)]


def hand_span() -> list[str]:
    """Thumb tip to little finger tip, hand wide open."""
    return [_flat(1.6), s.dimension((36, 108), (242, 52), 36, aside=(0, -12))]


def finger_thickness() -> list[str]:
    """Depth of a finger lying round the grip."""
    grip = s.circle((150, 130), 52)
    finger = s.body(("M76 166A84 84 0 1 1 206 186", 34))
    return [
        grip,
        finger,
        s.calliper((150, 63), (150, 29), 74),
        s.dimension((150, 63), (150, 29), -74, aside=(20, 0)),
        s.words((150, 136), "grip"),
    ]


def reach() -> list[str]:
    """Farthest span that the fingers take with ease, palm on the grip."""
    grip = s.circle((96, 120), 34)
    lever = s.circle((236, 96), 15)
    finger = s.body(("M60 150A52 52 0 0 1 84 66Q150 48 212 68L254 84", 24))
    return [
        grip,
        lever,
        finger,
        s.dimension((62, 182), (251, 182), 0, aside=(0, -12)),
        s.line((62, 120), (62, 192), "asked thin"),
        s.line((251, 96), (251, 192), "asked thin"),
        s.words((96, 126), "grip"),
        s.words((262, 118), "lever", "start"),
    ]


def dynamometer() -> list[str]:
    """The best of three squeezes of a dynamometer."""
    tool = s.path("M120 30H220V190H120ZM140 50V170H200V50Z", "tool") + s.circle((170, 20), 0.1)
    fingers = s.body(*((f"M134 {y}H236", 24.0) for y in (72, 98, 124, 150)))
    return [
        tool,
        s.body(("M100 76V146", 40)),
        fingers,
        s.circle((170, 34), 24, "tool"),
        s.words((170, 41), "?", kind="query"),
        s.arrow((290, 110), (250, 110)),
    ]


def bathroom_scale() -> list[str]:
    """A bathroom scale, upright, squeezed between fingers and palm."""
    slab = s.box((154, 20), 32, 180, "tool", 6)
    fingers = s.body(*((f"M186 {y}H230", 24.0) for y in (72, 98, 124, 150))) + s.body(("M236 80V142", 34))
    palm = s.body(("M128 80V142", 44))
    return [
        slab,
        fingers,
        palm,
        s.arrow((304, 110), (264, 110)),
        s.arrow((36, 110), (92, 110)),
        s.words((170, 214), "?", kind="query"),
    ]


def _wrist(forearm: float, hand: float) -> list[str]:
    joint = (190.0, 110.0)
    elbow, knuckles = s.at(joint, 170, 180 + forearm), s.at(joint, 84, hand)
    rods = (f"M{elbow[0]:g} {elbow[1]:g}L190 110", 44.0), (f"M190 110L{knuckles[0]:g} {knuckles[1]:g}", 36.0)
    return [s.body(*rods)]


def wrist() -> list[str]:
    """Between the forearm, drawn on, and the back of the hand."""
    return [
        *_wrist(18, -12),
        s.line(s.at((190, 110), 150, 198), s.at((190, 110), 140, 18), "axis"),
        s.angle((190, 110), 112, -12, 18, rays=20),
        s.words((40, 150), "forearm", "start"),
    ]


def forearm() -> list[str]:
    """The forearm's slope below the horizontal."""
    elbow = (48.0, 60.0)
    return [
        s.moved("".join(_wrist(20, 6)), 0, 12),
        s.line(elbow, (330, 60), "axis"),
        s.angle(elbow, 150, 0, 20, rays=30),
        s.words((330, 52), "level", "end"),
    ]


DRAWINGS: dict[str, Callable[[], list[str]]] = {
    "strength.grip_kgf": dynamometer,
    "strength.scale_kgf bathroom_scale": bathroom_scale,
    "size.reach_mm": reach,
    "size.hand_length_mm": hand_length,
    "size.hand_span_mm": hand_span,
    "size.finger_thickness_mm": finger_thickness,
    "wrist.seated_extension_deg": wrist,
    "wrist.standing_extension_deg": wrist,
    "wrist.seated_forearm_deg": forearm,
    "wrist.standing_forearm_deg": forearm,
}
