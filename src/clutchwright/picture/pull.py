"""The pull curve: force at the finger point over finger travel, pulling in and letting out."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from clutchwright.numbers import decimal_text, quantity_text
from clutchwright.picture import marks
from clutchwright.picture.look import KEPT, LIGHT, TEXT_SIZE, WIDE, Definition, Picture, Row, Rows, split, spread
from clutchwright.study.assessment import Assessment

if TYPE_CHECKING:
    import altair as alt

TITLE = "Pull and return at the finger point, N"
HEIGHT = 270
KEYS = ("now", "before")
_LEFT, _RIGHT, _RIGHT_OF_TWO = 44, 52, 86  # room for the axis and for the names of the lines [px]
_HEADROOM = 1.2  # over the highest force, for the names of the bands
_SUBTITLE, *_FLAGS = -54, -28, -12  # rows above the plot, the lower two for the names of places [px]
_RULE = 6  # from a name of a place down to its line [px]


def pull_curve(assessment: Assessment, *, width: int = WIDE) -> Picture:
    """Pull and return over finger travel, with free play, bite band, release point and stop.

    Parameters
    ----------
    assessment : Assessment
        Its curve is drawn strong; that of ``before``, where there is one, thin and dashed.
    width : int
        Whole width [px].

    Returns
    -------
    Picture
        See there.
    """
    return Picture(definition(key(assessment), width), rows(assessment))


def key(assessment: Assessment) -> str:
    """One of ``KEYS``: which definition shows it."""
    return "before" if assessment.before else "now"


@lru_cache(KEPT)
def definition(key: str, width: int) -> Definition:
    """All but the rows, by one of ``KEYS`` and the whole width [px]."""
    import altair as alt

    before = key == "before"
    plot = width - _LEFT - (_RIGHT_OF_TWO if before else _RIGHT)
    across, up = marks.span("pull_frame", "x", "x2"), marks.span("pull_frame", "y", "y2")
    axis = alt.Axis(grid=False, tickCount=plot // 60, ticks=True)
    x = alt.X("x:Q", title="Finger travel, mm", scale=across, axis=axis)
    y = alt.Y("y:Q", title=None, scale=up, axis=alt.Axis(tickCount=6))
    layers = [
        marks.texts("pull_frame", "quiet", marks.fixed(0), marks.fixed(_SUBTITLE), align="left"),
        marks.areas("pull_missing", "missing", x, y),
        marks.rules("pull_hatching", "return", x, y, strokeWidth=0.8),
        marks.outlines("pull_missing", x, y),
        *_bands(x, y),
        *_lines(before, plot, x),
        *_flags(x),
    ]
    title = alt.Title(TITLE, offset=3)
    return split(alt.LayerChart(layer=layers, width=plot, height=HEIGHT, title=title)).definition


def _bands(x: alt.X, y: alt.Y) -> list[alt.Chart]:
    import altair as alt

    middle, height = alt.X("middle:Q"), alt.Y("height:Q")
    return [
        marks.areas("pull_free", "free", x, y),
        marks.texts("pull_free", "quiet", middle, height, angle=270),
        marks.areas("pull_bite", "bite", x, y),
        marks.texts("pull_bite", "ink", middle, height, dy=12),
    ]


def _lines(before: bool, width: int, x: alt.X) -> list[alt.Chart]:
    import altair as alt

    lines: list[tuple[str, str, float, list[int]]] = [
        *([("before", "pull", 1.2, [5, 3]), ("before", "return", 1.2, [2, 3])] if before else []),
        ("now", "pull", 3.0, []),
        ("now", "return", 2.0, []),
    ]
    layers = []
    for when, kind, stroke, dash in lines:
        style: dict[str, Any] = {"color": LIGHT[kind], "strokeWidth": stroke, "strokeDash": dash, "clip": True}
        layers.append(marks.chart(f"pull_{when}").mark_line(**style).encode(x=x, y=alt.Y(f"{kind}:Q")))
    side: dict[str, Any] = {"align": "left", "fontWeight": marks.from_row("weight")}
    end, place = marks.fixed(width + 6), marks.pixels_down()
    return [*layers, *(marks.texts(f"pull_{kind}_names", kind, end, place, **side) for kind in ("pull", "return"))]


def _flags(x: alt.X) -> list[alt.Chart]:
    """Release point and stop: a line through the plot that carries its name above it."""
    import altair as alt

    layers = []
    for name, dash in (("pull_stop", []), ("pull_release", [6, 3])):
        rule = marks.chart(name).mark_rule(color=LIGHT["ink"], strokeWidth=1.2, strokeDash=dash)
        layers.append(rule.encode(x=x, y=marks.pixels_down("rule"), y2=alt.value(HEIGHT)))
        side: dict[str, Any] = {"align": marks.from_row("align"), "dx": marks.from_row("dx")}
        layers.append(marks.texts(name, "ink", x, marks.pixels_down(), **side))
    return layers


def rows(assessment: Assessment) -> Rows:
    """What the definition's names stand for."""
    full, release = assessment.curve.travel_mm[-1], assessment.figures["release_travel_mm"]
    top = _top(assessment)
    gap = [{"x": full, "x2": release, "y": 0.0, "y2": top}] if release > full else []
    return {
        "pull_frame": [_frame(assessment, top)],
        "pull_missing": gap,
        "pull_hatching": [line for place in gap for line in marks.hatching(**place, columns=3)],
        **_band_rows(assessment, top),
        **_line_rows(assessment),
        **_name_rows(assessment, top),
        **_flag_rows(full, release),
    }


def _top(assessment: Assessment) -> float:
    """Upper end of the force axis [N]."""
    before = assessment.before
    return max(_HEADROOM * max(*assessment.curve.pull_N, *(before.curve.pull_N if before else ())), 1.0)


def _frame(assessment: Assessment, top: float) -> Row:
    """What the axes span, and the subtitle."""
    figures, u, before = assessment.figures, assessment.u, assessment.before
    full, release = assessment.curve.travel_mm[-1], figures["release_travel_mm"]
    end = max(full, release if release > full else 0.0, before.curve.travel_mm[-1] if before else 0.0)
    peak, hold = (quantity_text(key, figures[key], u[key]) for key in ("pull_peak_N", "hold_N"))
    return {"x": 0.0, "x2": end, "y": 0.0, "y2": top, "text": f"peak {peak}, hold {hold}"}


def _band_rows(assessment: Assessment, top: float) -> Rows:
    full, free, band = assessment.curve.travel_mm[-1], free_play(assessment), bite_band(assessment)
    free_name = {"height": top * 0.62, "text": f"free play {decimal_text(free, 1)}"}
    bite_name = {"height": top, "text": "bite band"}
    return {
        "pull_free": [_band(0.0, free, top) | free_name] if free > 0.0 else [],
        "pull_bite": [_band(band[0], min(band[1], full), top) | bite_name] if band and band[0] < full else [],
    }


def _band(start: float, end: float, top: float) -> Row:
    return {"x": start, "x2": end, "y": 0.0, "y2": top, "middle": (start + end) / 2}


def _line_rows(assessment: Assessment) -> Rows:
    """Forces over travel, as finely as can be seen."""
    shown = {"pull_now": assessment} | ({"pull_before": assessment.before} if assessment.before else {})
    return {
        name: [
            {"x": round(travel, 3), "pull": round(pull, 3), "return": round(back, 3)}
            for travel, pull, back in zip(part.curve.travel_mm, part.curve.pull_N, part.curve.return_N, strict=True)
        ]
        for name, part in shown.items()
    }


def _name_rows(assessment: Assessment, top: float) -> Rows:
    """Names of the lines, where each ends on the right."""
    shown = [(assessment, "", "bold")]
    if assessment.before is not None:
        shown.insert(0, (assessment.before, " before", "normal"))
    ends = [
        (kind, forces[-1], f"{kind}{when}", weight)
        for part, when, weight in shown
        for kind, forces in (("pull", part.curve.pull_N), ("return", part.curve.return_N))
    ]
    places = spread([HEIGHT * (1.0 - force / top) for _, force, _, _ in ends], gap=TEXT_SIZE + 3)
    names: Rows = {"pull_pull_names": [], "pull_return_names": []}
    for place, (kind, _, text, weight) in zip(places, ends, strict=True):
        names[f"pull_{kind}_names"].append({"y": place, "text": text, "weight": weight})
    return names


def _flag_rows(full: float, release: float) -> Rows:
    """Release point and stop, the later one higher."""
    stop = f"lever's stop {decimal_text(full, 1)}"
    if release > full:
        past = f"release {decimal_text(release, 1)}, past the stop"
        return {"pull_stop": [_flag(full, stop, release, 1)], "pull_release": [_flag(release, past, release, 0)]}
    clean = f"clean release {decimal_text(release, 1)}"
    return {
        "pull_stop": [_flag(full, stop, full, 0)],
        "pull_release": [] if math.isnan(release) else [_flag(release, clean, full, 1)],
    }


def _flag(place: float, text: str, end: float, row: int) -> Row:
    """One of them; its name stands on the side where there is room."""
    left = place < 0.45 * end
    side = {"align": "left", "dx": 2} if left else {"align": "right", "dx": -2}
    return {"x": place, "y": _FLAGS[row], "rule": _FLAGS[row] + _RULE, "text": text} | side


def bite_band(assessment: Assessment) -> tuple[float, float] | None:
    """Finger travel [mm] where the bite band ends and starts, letting out; None when the faces never part.

    Where the clutch never carries the full torque, the band reaches to the end of the free play.
    """
    start, full = assessment.figures["bite_start_mm"], assessment.figures["bite_full_mm"]
    if math.isnan(start):
        return None
    return (free_play(assessment) if math.isnan(full) else full), start


def free_play(assessment: Assessment) -> float:
    """Finger travel [mm] before anything is lifted: of the travel budget, or read off the curve where there is none."""
    curve = assessment.curve
    still = max((s for s, lift in zip(curve.travel_mm, curve.lift_mm, strict=True) if lift <= 0.0), default=0.0)
    return next((item.value * 1e3 for item in assessment.travel if item.key == "free_play"), still)
