"""The cable from the lever to the engine, and the arm there, seen along its shaft."""

from __future__ import annotations

from collections.abc import Callable

from clutchwright.web.drawings import strokes as s

_SHAFT, _END = (110.0, 178.0), (110.0, 62.0)


def _sheath(end: str = "H292") -> str:
    return s.body((f"M58 46H118A52 52 0 0 1 170 98V122A52 52 0 0 0 222 174{end}", 13))


def bends() -> list[str]:
    """Every bend turns the cable by an angle; they are added up."""
    return [
        s.path("M16 46H58M292 174H334", "wire"),
        _sheath(),
        s.angle((118, 98), 30, -90, 0, "", 40),
        s.words((112, 92), "bend 1", "end", "query"),
        s.angle((222, 122), 30, 90, 180, "", 40),
        s.words((230, 116), "bend 2", "start", "query"),
        s.words((330, 30), "? = bend 1 + bend 2 + \N{HORIZONTAL ELLIPSIS}", "end"),
    ]


def friction() -> list[str]:
    """A scale at the lever end, a known weight at the other: read pulling, and letting back."""
    weight = s.path("M262 174V182", "wire") + s.box((240, 182), 44, 32) + s.words((262, 203), "weight")
    wire = s.path("M118 46A52 52 0 0 1 118 46M112 46H64M222 174H250A12 12 0 0 1 262 182", "wire")
    pulls = s.arrow((118, 20), (66, 20)) + s.arrow((66, 76), (118, 76))
    said = s.words((128, 25), "pull: read", "start") + s.words((56, 102), "let back: read", "start")
    sheath = s.body(("M112 46H122A48 48 0 0 1 170 94V122A52 52 0 0 0 222 174H240", 13))
    return [wire, sheath, s.moved(s.scale((96, 46), 180, 12), 0, 0), weight, pulls, said]


def drag() -> list[str]:
    """The arm end unhooked, the inner wire pulled slowly from the lever end."""
    loose = s.words((326, 152), "unhooked", "end")
    return [
        s.path("M100 46H120M290 174H318", "wire"),
        s.body(("M112 46H122A48 48 0 0 1 170 94V122A52 52 0 0 0 222 174H292", 13)),
        s.circle((322, 174), 5),
        s.scale((100, 46), 180, 12),
        loose,
        s.arrow((104, 20), (40, 20)),
    ]


def compliance() -> list[str]:
    """The arm blocked; how far the cable end gives under the scale's pull."""
    block = (
        s.body(("M302 204V168", 15)) + s.box((312, 150), 14, 34, "metal") + s.words((326, 142), "arm blocked", "end")
    )
    return [
        s.path("M100 46H120M290 174H302", "wire"),
        s.body(("M122 46A48 48 0 0 1 170 94V122A52 52 0 0 0 222 174H280", 13)),
        s.ruler((84, 60), (150, 60), -18),
        s.scale((100, 46), 180, 12),
        s.dimension((84, 46), (104, 46), 26),
        block,
    ]


def _arm(kind: str = "") -> str:
    drawn = s.body(("M110 178V62", 20)) + s.circle(_SHAFT, 9) + s.circle(_END, 6)
    return s.turned(drawn, _SHAFT, 0, kind)


def _cable() -> str:
    return s.path("M110 62L232 50", "wire") + s.body(("M236 49.600L326 41", 13)) + s.box((226, 38), 10, 26)


def _case() -> str:
    return s.circle(_SHAFT, 26)


def arm_length() -> list[str]:
    """Middle of the shaft to the middle of the cable's nipple."""
    return [_case(), _cable(), _arm(), s.calliper(_SHAFT, _END, 40), s.dimension(_SHAFT, _END, -52)]


def arm_angle() -> list[str]:
    """At the cable end, between the arm and the cable."""
    rays = s.line(_END, _SHAFT, "asked thin")
    return [_case(), s.protractor(_END, 74, -5), _cable(), _arm(), rays, s.angle(_END, 50, -5, 90, rays=0)]


def play() -> list[str]:
    """How far the arm turns before anything in the engine moves."""
    there = s.turned(_arm(), _SHAFT, 16)
    return [
        _case(),
        _arm("ghost"),
        there,
        s.angle(_SHAFT, 134, -90, -74, "", rays=10),
        s.words((176, 40), "?", kind="query"),
        s.words((150, 120), "until the rod touches", "start"),
    ]


def room() -> list[str]:
    """Way of the arm's end until it touches what is behind it."""
    there = s.turned(_arm(), _SHAFT, 42)
    wall = s.ground((226, 60), (226, 206))
    return [
        _case(),
        _arm("ghost"),
        there,
        wall,
        s.angle(_SHAFT, 140, -90, -48, "?", rays=8),
        s.words((236, 140), "case", "start"),
    ]


DRAWINGS: dict[str, Callable[[], list[str]]] = {
    "cable.bend_deg": bends,
    "cable.friction": friction,
    "cable.drag_N": drag,
    "cable.compliance_mm_per_N": compliance,
    "arm.length_mm": arm_length,
    "arm.cable_angle_deg": arm_angle,
    "arm.play_deg": play,
    "clearance.arm_room_mm": room,
}
