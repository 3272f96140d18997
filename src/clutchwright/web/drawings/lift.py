"""The lift mechanism: what turns the arm's turning into the pressure plate's travel."""

from __future__ import annotations

from collections.abc import Callable

from clutchwright.web.drawings import strokes as s

_SHAFT = (96.0, 132.0)


def _turning() -> list[str]:
    """The arm turned by a known angle, the rod that it moves."""
    arm = s.body(("M96 132V30", 17)) + s.circle((96, 30), 5)
    rod = s.body(("M122 158H236", 13))
    gears = s.circle(_SHAFT, 26) + s.circle(_SHAFT, 7)
    return [rod, s.turned(arm, _SHAFT, -18, "ghost"), s.turned(arm, _SHAFT, 18), gears]


def turn_and_travel() -> list[str]:
    """Turn the arm by a known angle, read the rod's travel."""
    return [
        s.protractor(_SHAFT, 76, 180),
        *_turning(),
        s.dial((244, 158), 0),
        s.angle(_SHAFT, 90, -108, -72, "", rays=6),
        s.words((150, 40), "known angle", "start"),
        s.arrow((190, 136), (232, 136)),
        s.words((190, 124), "travel", "start", "query"),
    ]


def friction() -> list[str]:
    """A scale at the arm's end: read while pulling, and while letting back."""
    end = s.at(_SHAFT, 102, -72)
    said = [
        s.arrow((170, 66), (226, 66)),
        s.words((232, 71), "pull: read", "start"),
        s.arrow((226, 92), (170, 92)),
        s.words((232, 97), "let back: read", "start"),
    ]
    return [*_turning(), s.scale(end, 0, 20), *said]


def _thread(top: float, bottom: float) -> str:
    turns = "".join(s.line((130, y), (210, y + 14), "thin") for y in range(int(top), int(bottom) - 12, 12))
    return s.box((130, top), 80, bottom - top) + turns


def thread_diameter() -> list[str]:
    """Over the thread, less half its depth on each side."""
    return [_thread(56, 200), s.calliper((130, 120), (210, 120), 84), s.dimension((136, 150), (204, 150))]


def flank() -> list[str]:
    """Half the angle between the flanks of the thread, seen large."""
    profile = s.path("M20 190V150H70L110 60H160L200 150H240L280 60H320V190Z", "metal")
    axis = s.line((220, 40), (220, 196), "axis")
    return [
        profile,
        axis,
        s.angle((220, 196), 96, -90, -66, "", rays=40),
        s.words((244, 84), "?", kind="query"),
        s.words((60, 180), "thread, seen large", "start"),
    ]


def _disc() -> list[str]:
    balls = [s.circle(s.at((170, 112), 62, way), 13) for way in (-90, 30, 150)]
    return [s.circle((170, 112), 92), s.circle((170, 112), 62, "axis"), s.circle((170, 112), 16), *balls]


def track_radius() -> list[str]:
    """Middle of the shaft to the middle of the balls' track."""
    return [*_disc(), s.dimension((170, 112), s.at((170, 112), 62, -90), 0, aside=(18, 0))]


def eccentricity() -> list[str]:
    """From the shaft's axis to the centre of its eccentric."""
    body = [
        s.circle((150, 112), 84),
        s.circle((120, 112), 30),
        s.line((120, 40), (120, 196), "axis"),
        s.line((150, 16), (150, 208), "axis"),
    ]
    return [
        *body,
        s.circle((120, 112), 3, "dot"),
        s.circle((150, 112), 3, "dot"),
        s.dimension((120, 112), (150, 112), 70),
        s.words((244, 200), "large round", "start"),
        s.words((70, 150), "shaft"),
    ]


def start_angle() -> list[str]:
    """Where the eccentric stands, against square to the push rod, arm at rest."""
    shaft, centre = (130.0, 112.0), s.at((130, 112), 34, -70)
    rod = s.body(("M213 112H320", 17))
    square = s.line((130, 10), (130, 200), "axis")
    return [
        s.circle(centre, 70),
        rod,
        s.circle(shaft, 22),
        square,
        s.angle(shaft, 76, -90, -70, "", rays=24),
        s.words((150, 20), "?", kind="query"),
        s.words((270, 138), "push rod"),
        s.words((122, 212), "square to the rod", "end"),
    ]


def kind_rack() -> list[str]:
    """A toothed rod and a small gear."""
    gear = "".join(s.turned(s.box((250, 54), 12, 12), (256, 88), way) for way in range(0, 360, 45))
    return [
        gear,
        s.circle((256, 88), 27),
        s.circle((256, 88), 8),
        s.path("M196 150V128" + "l5 -8h8l5 8h4" * 6 + "V150Z", "metal"),
    ]


def kind_screw() -> list[str]:
    """A coarse thread."""
    turns = "".join(s.path(f"M238 {y}L302 {y + 22}", "thick") for y in range(66, 130, 18))
    return [s.box((238, 62), 64, 96, round_=4), turns]


def kind_ramp() -> list[str]:
    """Balls between two discs with ramps."""
    return [
        s.path("M200 76H330V96L268 108H200Z", "metal"),
        s.path("M200 152H330V134L262 122H200Z", "metal"),
        s.circle((234, 115), 9),
        s.circle((296, 115), 10),
    ]


def kind_cam() -> list[str]:
    """A shaft with an eccentric that pushes a rod."""
    return [s.circle((240, 104), 38), s.circle((228, 110), 15), s.body(("M288 104H334", 15))]


DRAWINGS: dict[str, Callable[[], list[str]]] = {
    **dict.fromkeys(("lift.pinion_radius_mm", "lift.lead_mm", "lift.ramp_angle_deg"), turn_and_travel),
    **dict.fromkeys(("lift.friction", "lift.thread_friction", "lift.rolling_friction"), friction),
    "lift.thread_diameter_mm": thread_diameter,
    "lift.flank_deg": flank,
    "lift.ramp_radius_mm": track_radius,
    "lift.eccentricity_mm": eccentricity,
    "lift.start_angle_deg": start_angle,
    "lift.kind=rack": kind_rack,
    "lift.kind=screw": kind_screw,
    "lift.kind=ramp": kind_ramp,
    "lift.kind=cam": kind_cam,
}
