"""The loop of pull and return: bands of possible bikes before and after, and what was read."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from clutchwright.calibrate.loop import Band, Bands, Loop
from clutchwright.picture import marks
from clutchwright.picture.look import LIGHT, TEXT_SIZE, WIDE, Row
from clutchwright.quantity import Array

if TYPE_CHECKING:
    import altair as alt

HEIGHT = 300
_LEFT, _RIGHT = 44, 16  # room for the axis [px]
_LEGEND, _LEGEND_ROW = 12, 17  # the legend's lowest row above the plot, and from row to row [px]


def loop_picture(loop: Loop, *, before: str, after: str, width: int = WIDE) -> alt.LayerChart:
    """Force at the finger point over the finger travel.

    Parameters
    ----------
    loop : Loop
        Bands and points.
    before, after : str
        What the two sets of bikes are.
    width : int
        Whole width [px].

    Returns
    -------
    altair.LayerChart
        Filled: after; dashed: before; discs: read pulling, rings: read letting out, crosses: taken for mistakes.
    """
    import altair as alt

    plot = width - _LEFT - _RIGHT
    forces = [point.force for point in loop.points]
    top = 1.08 * max([float(loop.before.pull.high.max()), float(loop.after.pull.high.max()), *forces])
    x = alt.X(
        "x:Q",
        title="Finger travel, mm",
        scale=alt.Scale(domain=[0.0, float(loop.travel[-1]) * 1e3], nice=False),
        axis=alt.Axis(grid=False, tickCount=plot // 60, ticks=True),
    )
    y = alt.Y("y:Q", title=None, scale=alt.Scale(domain=[0.0, top], nice=False), axis=alt.Axis(tickCount=6))
    layers = [
        *(_filled(loop.travel, band, color, x, y) for band, color in _both(loop.after, "bite", "stretch")),
        *(
            edge
            for band, color in _both(loop.before, "pull", "return")
            for edge in _edges(loop.travel, band, color, x, y)
        ),
        *_lines(loop, x, y),
        *_points(loop, x, y),
        *_legend(f"dashed: {before}; filled: {after}; 90 of 100 bikes that fit", plot),
    ]
    title = alt.Title("Pull and return at the finger point, N", offset=6)
    return alt.LayerChart(layer=layers, width=plot, height=HEIGHT, title=title)


def stacked(*charts: alt.LayerChart) -> alt.VConcatChart:
    """Charts below one another, each with scales of its own."""
    import altair as alt

    return alt.vconcat(*charts, spacing=30).resolve_scale(x="independent", y="independent")


def _both(bands: Bands, pull: str, returning: str) -> tuple[tuple[Band, str], tuple[Band, str]]:
    """Pull and return, each with its colour."""
    return (bands.pull, pull), (bands.returning, returning)


def _rows(travel: Array, low: Array, high: Array) -> list[Row]:
    columns = zip((travel * 1e3).tolist(), low.tolist(), high.tolist(), strict=True)
    return [{"x": place, "y": bottom, "y2": top} for place, bottom, top in columns]


def _filled(travel: Array, band: Band, color: str, x: alt.X, y: alt.Y) -> alt.Chart:
    area = marks.chart(_rows(travel, band.low, band.high)).mark_area(color=LIGHT[color], opacity=0.6)
    return area.encode(x=x, y=y, y2="y2:Q")


def _edges(travel: Array, band: Band, color: str, x: alt.X, y: alt.Y) -> Iterator[alt.Chart]:
    style: dict[str, Any] = {"color": LIGHT[color], "strokeWidth": 1.0, "strokeDash": [4, 3]}
    for edge in (band.low, band.high):
        yield marks.chart(_rows(travel, edge, edge)).mark_line(**style).encode(x=x, y=y)


def _lines(loop: Loop, x: alt.X, y: alt.Y) -> Iterator[alt.Chart]:
    for band, color in _both(loop.after, "pull", "return"):
        rows = _rows(loop.travel, band.middle, band.middle)
        yield marks.chart(rows).mark_line(color=LIGHT[color], strokeWidth=1.8).encode(x=x, y=y)


def _points(loop: Loop, x: alt.X, y: alt.Y) -> Iterator[alt.Chart]:
    for pulling, color, filled in ((True, "pull", True), (False, "return", False)):
        for mistake, shape in ((False, "circle"), (True, "cross")):
            rows = [
                {"x": point.travel * 1e3, "y": point.force}
                for point in loop.points
                if (point.pulling, point.mistake) == (pulling, mistake)
            ]
            if rows:
                style: dict[str, Any] = {
                    "color": LIGHT["alert" if mistake else color],
                    "filled": filled,
                    "strokeWidth": 1.6,
                }
                yield marks.chart(rows).mark_point(shape=shape, size=46, opacity=1.0, **style).encode(x=x, y=y)


def _legend(bands: str, plot: int) -> Iterator[alt.Chart]:
    import textwrap

    words = "discs: read pulling, rings: letting out, crosses: taken for mistakes"
    lines = [*textwrap.wrap(bands, plot // 6), *textwrap.wrap(words, plot // 6)]
    for row, text in enumerate(reversed(lines)):
        at = {"x": marks.fixed(0), "y": marks.fixed(-_LEGEND - _LEGEND_ROW * row)}
        yield marks.texts([{"text": text}], "quiet", **at, align="left", fontSize=TEXT_SIZE - 1)
