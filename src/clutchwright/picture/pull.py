"""The pull curve: force at the finger point over finger travel, pulling in and letting out."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from clutchwright.numbers import decimal_text, quantity_text
from clutchwright.picture import marks
from clutchwright.picture.look import LIGHT, TEXT_SIZE, WIDE, spread
from clutchwright.study.assessment import Assessment

if TYPE_CHECKING:
    import altair as alt

HEIGHT = 270
_LEFT, _RIGHT, _RIGHT_OF_TWO = 44, 52, 86  # room for the axis and for the names of the lines [px]
_HEADROOM = 1.2  # over the highest force, for the names of the bands
_FLAGS = (-28, -12)  # rows above the plot for the names of places [px]


def pull_curve(assessment: Assessment, *, width: int = WIDE) -> alt.LayerChart:
    """Pull and return over finger travel, with free play, bite band, release point and stop.

    Parameters
    ----------
    assessment : Assessment
        Its curve is drawn strong; that of ``before``, where there is one, thin and dashed.
    width : int
        Whole width [px].

    Returns
    -------
    altair.LayerChart
        See there.
    """
    import altair as alt

    release, full = assessment.figures["release_travel_mm"], assessment.curve.travel_mm[-1]
    before = assessment.before
    plot_width = width - _LEFT - (_RIGHT_OF_TWO if before else _RIGHT)
    ends = [full, release if release > full else 0.0, before.curve.travel_mm[-1] if before else 0.0]
    forces = [*assessment.curve.pull_N, *(before.curve.pull_N if before else ())]
    top = max(max(forces) * _HEADROOM, 1.0)
    x = alt.X(
        "x:Q",
        title="Finger travel, mm",
        scale=alt.Scale(domain=[0.0, max(ends)], nice=False),
        axis=alt.Axis(grid=False, tickCount=plot_width // 60, ticks=True),
    )
    y = alt.Y("y:Q", title=None, scale=alt.Scale(domain=[0.0, top], nice=False), axis=alt.Axis(tickCount=6))
    layers = [
        *_missing(assessment, x, y, top),
        *_bands(assessment, x, y, top),
        *_lines(assessment, x, y, plot_width, top),
        *_flags(assessment, x),
    ]
    figures, u = assessment.figures, assessment.u
    peak = quantity_text("pull_peak_N", figures["pull_peak_N"], u["pull_peak_N"])
    hold = quantity_text("hold_N", figures["hold_N"], u["hold_N"])
    title = alt.Title("Pull and return at the finger point, N", subtitle=f"peak {peak}, hold {hold}")
    return alt.LayerChart(layer=layers, width=plot_width, height=HEIGHT, title=title)


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


def _bands(assessment: Assessment, x: alt.X, y: alt.Y, top: float) -> list[alt.Chart]:
    layers = []
    full = assessment.curve.travel_mm[-1]
    free = free_play(assessment)
    if free > 0.0:
        layers.append(marks.areas([{"x": 0.0, "x2": free, "y": 0.0, "y2": top}], "free", x, y))
        name = {"x": free / 2, "y": top * 0.62, "text": f"free play {decimal_text(free, 1)}"}
        layers.append(marks.texts([name], "quiet", x, y, angle=270))
    band = bite_band(assessment)
    if band is not None and band[0] < full:
        start, end = band[0], min(band[1], full)
        layers.append(marks.areas([{"x": start, "x2": end, "y": 0.0, "y2": top}], "bite", x, y))
        name = {"x": (start + end) / 2, "y": top, "text": "bite band"}
        layers.append(marks.texts([name], "ink", x, y, dy=12))
    return layers


def _lines(assessment: Assessment, x: alt.X, y: alt.Y, width: int, top: float) -> list[alt.Chart]:
    lines: list[tuple[Assessment, str, str, float, list[float]]] = [
        (assessment, "pull", "pull", 3.0, []),
        (assessment, "return", "return", 2.0, []),
    ]
    if assessment.before is not None:
        lines.insert(0, (assessment.before, "pull", "pull before", 1.2, [5, 3]))
        lines.insert(1, (assessment.before, "return", "return before", 1.2, [2, 3]))
    layers, names = [], []
    for shown, kind, name, stroke, dash in lines:
        forces = shown.curve.pull_N if kind == "pull" else shown.curve.return_N
        rows = [{"x": s, "y": force} for s, force in zip(shown.curve.travel_mm, forces, strict=True)]
        style: dict[str, Any] = {"color": LIGHT[kind], "strokeWidth": stroke, "strokeDash": dash, "clip": True}
        layers.append(marks.chart(rows).mark_line(**style).encode(x=x, y=y))
        names.append((HEIGHT * (1.0 - forces[-1] / top), name, kind))
    places = spread([place for place, _, _ in names], gap=TEXT_SIZE + 3)
    for place, (_, name, kind) in zip(places, names, strict=True):
        weight = "normal" if name.endswith("before") else "bold"
        at = {"x": marks.fixed(width + 6), "y": marks.fixed(place)}
        layers.append(marks.texts([{"text": name}], kind, **at, align="left", fontWeight=weight))
    return layers


def _missing(assessment: Assessment, x: alt.X, y: alt.Y, top: float) -> list[alt.Chart]:
    """Hatched: the travel there would have to be beyond the stop."""
    full, release = assessment.curve.travel_mm[-1], assessment.figures["release_travel_mm"]
    if not release > full:
        return []
    gap = {"x": full, "x2": release, "y": 0.0, "y2": top}
    lines = marks.hatching(**gap, columns=3)
    return [
        marks.areas([gap], "missing", x, y),
        marks.rules(lines, "return", x, y, strokeWidth=0.8),
        marks.outlines([gap], x, y),
    ]


def _flags(assessment: Assessment, x: alt.X) -> list[alt.Chart]:
    """Release point and stop: a line through the plot that carries its name above it, the later one higher."""
    import altair as alt

    full, release = assessment.curve.travel_mm[-1], assessment.figures["release_travel_mm"]
    flags: list[tuple[float, str, list[float]]] = [(full, f"lever's stop {decimal_text(full, 1)}", [])]
    if release > full:
        flags.append((release, f"release {decimal_text(release, 1)}, past the stop", [6, 3]))
    elif not math.isnan(release):
        flags.insert(0, (release, f"clean release {decimal_text(release, 1)}", [6, 3]))
    layers = []
    for (place, name, dash), row in zip(reversed(flags), _FLAGS, strict=False):
        rule = marks.chart([{"x": place}]).mark_rule(color=LIGHT["ink"], strokeWidth=1.2, strokeDash=dash)
        layers.append(rule.encode(x=x, y=alt.value(row + 6), y2=alt.value(HEIGHT)))
        left = place < 0.45 * flags[-1][0]
        side: dict[str, Any] = {"align": "left", "dx": 2} if left else {"align": "right", "dx": -2}
        layers.append(marks.texts([{"x": place, "text": name}], "ink", x, marks.fixed(row), **side))
    return layers
