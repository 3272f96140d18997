"""How far readings lie from what was to be expected, each in its own uncertainty, a row for each kind."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from clutchwright.picture import marks
from clutchwright.picture.look import LIGHT, WIDE, Row

if TYPE_CHECKING:
    import altair as alt

_ROW = 44.0  # height of a row [px]
_NAME, _DOTS = 11.0, 25.0  # where in its row name and dots lie [px]
_FAR = 6.0  # what lies farther stands at the edge [standard uncertainties]
_WORTH_NAMING = 3.0
_NAME_WIDTH = 56.0  # of such a name [px]


@dataclass(frozen=True, slots=True)
class Deviation:
    """One reading: what was read, where, how far off in standard uncertainties, and whether it counts as a mistake."""

    label: str
    where: str
    distance: float
    mistake: bool = False


def deviations(title: str, rows: Sequence[Deviation], *, width: int = WIDE) -> alt.LayerChart:
    """Dots along a line for each kind of reading.

    Parameters
    ----------
    title : str
        What the readings are held against.
    rows : sequence of Deviation
        The readings.
    width : int
        Whole width [px].

    Returns
    -------
    altair.LayerChart
        Shaded where 95 of 100 should lie; those beyond 3 say where they were read, as far as there is room.
    """
    import altair as alt

    tops = {label: place * _ROW for place, label in enumerate(dict.fromkeys(row.label for row in rows))}
    height = _ROW * len(tops)
    axis = alt.Axis(grid=False, tickCount=7, ticks=True)
    scale = alt.Scale(domain=[-_FAR, _FAR], nice=False)
    x = alt.X("x:Q", title="standard uncertainties too low, too high", scale=scale, axis=axis)
    y = alt.Y("y:Q", title=None, scale=alt.Scale(domain=[height, 0.0], nice=False), axis=None)
    names = [{"y": top + _NAME, "text": label} for label, top in tops.items()]
    dots = [_dot(row, tops) for row in rows]
    tracks = [{"x": -_FAR, "x2": _FAR, "y": top + _DOTS, "y2": top + _DOTS} for top in tops.values()]
    good, mistaken = ([dot for dot in dots if dot["mistake"] is wrong] for wrong in (False, True))
    layers = [
        marks.areas([{"x": -1.96, "x2": 1.96, "y": 0.0, "y2": height}], "bite", x, y),
        marks.rules(tracks, "line", x, y),
        marks.chart(good).mark_point(color=LIGHT["pull"], filled=True, size=36, opacity=0.8).encode(x=x, y=y),
        marks.chart(mistaken)
        .mark_point(color=LIGHT["alert"], shape="cross", filled=True, size=60, opacity=1.0)
        .encode(x=x, y=y),
        marks.texts(names, "ink", marks.fixed(2), y, align="left"),
        *_far_names(dots, x, y, room=_NAME_WIDTH * 2.0 * _FAR / (width - 24)),
    ]
    return alt.LayerChart(layer=layers, width=width - 24, height=height, title=alt.Title(title))


def _far_names(dots: Sequence[Row], x: alt.X, y: alt.Y, *, room: float) -> Iterator[alt.Chart]:
    """Where those were read that lie far off, below their dots and towards the middle, the farthest first."""
    for low in (True, False):
        side = sorted((dot for dot in dots if dot["text"] and (dot["x"] < 0.0) is low), key=lambda dot: -abs(dot["x"]))
        far: list[Row] = []
        for dot in side:
            below = dot | {"y": dot["y"] + 11.0}
            if all(abs(below["x"] - other["x"]) >= room for other in far if other["y"] == below["y"]):
                far.append(below)
        yield marks.texts(far, "quiet", x, y, align="left" if low else "right", fontSize=10)


def _dot(row: Deviation, tops: dict[str, float]) -> Row:
    far = abs(row.distance) > _WORTH_NAMING
    return {
        "x": max(-_FAR, min(_FAR, row.distance)),
        "y": tops[row.label] + _DOTS,
        "text": row.where if far else "",
        "mistake": row.mistake,
    }
