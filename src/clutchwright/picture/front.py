"""The best compromises of a search: pull against money, with what the slip margin is, and what fell through."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from clutchwright.numbers import decimal_text
from clutchwright.picture import marks
from clutchwright.picture.look import LIGHT, WIDE, Row
from clutchwright.picture.notice import notice
from clutchwright.study.search import SearchResult, Setup

if TYPE_CHECKING:
    import altair as alt

TITLE = "The best compromises: pull, N"
HEIGHT = 330
_LEFT, _RIGHT = 44, 58  # room for the axis and for the names on the right [px]
MOST_GHOSTS, MOST_NAMED = 1500, 12
# Slip margin worn and hot, by shape: lowest value of each class.
CLASSES = (("circle", 1.3, "1.3 and more"), ("square", 1.1, "1.1 to 1.3"), ("triangle-up", -np.inf, "below 1.1"))


def front_picture(result: SearchResult, *, target: float | None = None, width: int = WIDE) -> alt.LayerChart:
    """Every best compromise as a mark, its shape by slip margin; what was worked out and fell through as ghosts.

    Parameters
    ----------
    result : SearchResult
        What the search found.
    target : float | None
        Pull wanted, drawn as a line [N].
    width : int
        Whole width [px].

    Returns
    -------
    altair.LayerChart
        The steps below the marks join setups that are best in pull and price alone; those are numbered as in the
        table.
    """
    import altair as alt

    if not result.front:
        return notice(TITLE, "No combination keeps all limits.", width)
    ghosts = _ghosts(result)
    prices = [*(setup.price for setup in result.front), *(row["x"] for row in ghosts)]
    pulls = [
        *(setup.pull_peak_N for setup in result.front),
        *(row["y"] for row in ghosts),
        *([target] if target else []),
    ]
    plot = width - _LEFT - _RIGHT
    x = alt.X(
        "x:Q",
        title="Price, units of money",
        scale=alt.Scale(domain=_padded(prices), nice=False),
        axis=alt.Axis(grid=False, tickCount=plot // 70, ticks=True),
    )
    y = alt.Y("y:Q", title=None, scale=alt.Scale(domain=_padded(pulls), nice=False), axis=alt.Axis(tickCount=6))
    layers = [*_ghost_layers(ghosts, x, y), *_stairs(result.front, x, y), *_marks(result.front, x, y)]
    layers += _numbers(result.front, x, y)
    if target is not None:
        layers += _target(target, x, y)
    title = alt.Title(TITLE, subtitle=_legend(result.front, bool(ghosts), width))
    return alt.LayerChart(layer=layers, width=plot, height=HEIGHT, title=title)


def stairs(front: Sequence[Setup]) -> list[int]:
    """Places in the front of the setups that no other beats in pull and price alone, cheapest first."""
    order = sorted(range(len(front)), key=lambda place: (front[place].price, front[place].pull_peak_N))
    best, lowest = [], np.inf
    for place in order:
        if front[place].pull_peak_N < lowest:
            best.append(place)
            lowest = front[place].pull_peak_N
    return best


def _padded(values: Sequence[float]) -> list[float]:
    low, high = min(values), max(values)
    margin = 0.07 * (high - low) or 1.0
    return [low - margin, high + margin]


def _ghosts(result: SearchResult) -> list[Row]:
    """Setups that fell through, thinned out evenly where there are very many."""
    pull, price = result.table.columns["pull_peak_N"], result.table.columns["price"]
    fell = np.array([bool(reason) for reason in result.table.reason], dtype=bool)
    places = np.flatnonzero(fell & np.isfinite(pull) & np.isfinite(price))
    places = (
        places[np.unique(np.linspace(0, len(places) - 1, min(len(places), MOST_GHOSTS)).astype(int))]
        if len(places)
        else places
    )
    return [{"x": float(price[place]), "y": float(pull[place])} for place in places]


def _ghost_layers(ghosts: list[Row], x: alt.X, y: alt.Y) -> list[alt.Chart]:
    if not ghosts:
        return []
    style: dict[str, Any] = {"color": LIGHT["quiet"], "size": 14, "opacity": 0.22, "strokeWidth": 0.8}
    return [marks.chart(ghosts).mark_point(**style).encode(x=x, y=y)]


def _stairs(front: Sequence[Setup], x: alt.X, y: alt.Y) -> list[alt.Chart]:
    rows = [{"x": front[place].price, "y": front[place].pull_peak_N} for place in stairs(front)]
    line = marks.chart(rows).mark_line(color=LIGHT["pull"], strokeWidth=1.4, interpolate="step-after")
    return [line.encode(x=x, y=y)]


def _marks(front: Sequence[Setup], x: alt.X, y: alt.Y) -> list[alt.Chart]:
    best = set(stairs(front))
    layers = []
    for shape, low, high in _classes():
        for filled in (False, True):
            rows = [
                {"x": setup.price, "y": setup.pull_peak_N}
                for place, setup in enumerate(front)
                if low <= setup.slip_margin_hot < high and (place in best) is filled
            ]
            if rows:
                style: dict[str, Any] = {
                    "shape": shape,
                    "color": LIGHT["pull"],
                    "filled": filled,
                    "size": 80,
                    "opacity": 1.0,
                }
                layers.append(marks.chart(rows).mark_point(**style).encode(x=x, y=y))
    return layers


def _classes() -> list[tuple[str, float, float]]:
    tops = [np.inf, *(low for _, low, _ in CLASSES)]
    return [(shape, low, top) for (shape, low, _), top in zip(CLASSES, tops, strict=False)]


def _numbers(front: Sequence[Setup], x: alt.X, y: alt.Y) -> list[alt.Chart]:
    """Number of each setup on the stairs, on their empty side."""
    rows = [
        {"x": front[place].price, "y": front[place].pull_peak_N, "text": str(place + 1)}
        for place in stairs(front)[-MOST_NAMED:]
    ]
    return [marks.texts(rows, "ink", x, y, align="right", dx=-7, dy=9, fontWeight="bold")]


def _target(target: float, x: alt.X, y: alt.Y) -> list[alt.Chart]:
    del x
    rule = marks.chart([{"y": target}]).mark_rule(color=LIGHT["alert"], strokeWidth=1.4, strokeDash=[2, 2])
    name = marks.texts(
        [{"y": target, "text": f"wanted {decimal_text(target, 0)}"}],
        "alert",
        marks.fixed("width"),
        y,
        align="left",
        dx=4,
    )
    return [rule.encode(y=y), name]


def _legend(front: Sequence[Setup], ghosts: bool, width: int) -> list[str]:
    signs = {"circle": "○", "square": "□", "triangle-up": "△"}
    present = [
        f"{signs[shape]}\N{NO-BREAK SPACE}{name}"
        for (shape, low, top), (_, _, name) in zip(_classes(), CLASSES, strict=True)
        if any(low <= setup.slip_margin_hot < top for setup in front)
    ]
    sentences = (
        "slip margin worn and hot: " + ", ".join(present),
        "filled and numbered: best in pull and price alone",
        *(("faint: breaks a limit or is beaten",) if ghosts else ()),
    )
    return textwrap.wrap("; ".join(sentences), int((width - _LEFT) / 6.2))
