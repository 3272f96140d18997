"""How a figure spreads over possible bikes, before the changes and now."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from clutchwright.numbers import decimal_text
from clutchwright.picture import marks
from clutchwright.picture.look import LIGHT, WIDE
from clutchwright.quantity import Array

if TYPE_CHECKING:
    import altair as alt

HEIGHT = 170
_LANE = 44.0  # height of the row of quantiles below the curves [px]
_STEPS = 200


def distribution(
    title: str, unit: str, *, now: Array, before: Array | None = None, limit: float | None = None, width: int = WIDE
) -> alt.LayerChart:
    """Smooth outlines of one figure over possible bikes.

    Parameters
    ----------
    title : str
        Name of the figure.
    unit : str
        Its unit.
    now : Array
        Values of the setup, shape (samples,), NaN left out.
    before : Array | None
        The same bikes without the changes.
    limit : float | None
        A value to mark, such as the pull wanted.
    width : int
        Whole width [px].

    Returns
    -------
    altair.LayerChart
        Filled: now; dashed: before. Below each the range that holds nine bikes of ten, and its middle.
    """
    import altair as alt

    rows = [("now", _known(now))] + ([("before", _known(before))] if before is not None else [])
    low, high = _domain([values for _, values in rows], limit)
    places = np.linspace(low, high, _STEPS)
    heights = {name: _outline(values, places) for name, values in rows}
    top = max(float(np.max(height)) for height in heights.values()) or 1.0
    plot = width - 24
    x = alt.X(
        "x:Q",
        title=f"{title}, {unit}" if unit else title,
        scale=alt.Scale(domain=[low, high], nice=False),
        axis=alt.Axis(grid=False, tickCount=plot // 80, ticks=True),
    )
    y = alt.Y("y:Q", scale=alt.Scale(domain=[top * 1.12, 0.0], range=[0, HEIGHT], nice=False), axis=None)
    layers: list[alt.Chart] = []
    for lane, (name, values) in enumerate(rows):
        layers += _curve(places, heights[name], name, x, y)
        layers += _range(values, name, lane, x)
    if limit is not None:
        layers += _limit(limit, x)
    whole = HEIGHT + _LANE / 2 * len(rows) + 14
    return alt.LayerChart(layer=layers, width=plot, height=whole, title=alt.Title(f"{title} over possible bikes"))


def _known(values: Array) -> Array:
    return values[np.isfinite(values)]


def _domain(every: Sequence[Array], limit: float | None) -> tuple[float, float]:
    """From below the lowest to above the highest, a few stray bikes left out."""
    ends = [value for values in every if values.size for value in np.quantile(values, (0.002, 0.998)).tolist()]
    ends += [] if limit is None else [limit]
    low, high = (min(ends), max(ends)) if ends else (0.0, 1.0)
    margin = 0.06 * (high - low) or 1.0
    return low - margin, high + margin


def _outline(values: Array, places: Array) -> Array:
    """Density by Gaussian kernels (Silverman, Density Estimation, 1986, eq. 3.28, from memory)."""
    if values.size < 2 or np.ptp(values) == 0.0:
        return np.zeros_like(places)
    width = 1.06 * float(np.std(values)) * values.size**-0.2
    # values gathered in narrow classes first, so that the work does not grow with their number
    counts, edges = np.histogram(values, bins=400)
    middles = 0.5 * (edges[1:] + edges[:-1])
    kernels = np.exp(-0.5 * ((places[:, np.newaxis] - middles) / width) ** 2)
    return np.asarray(kernels @ counts / (values.size * width * np.sqrt(2.0 * np.pi)))


def _curve(places: Array, heights: Array, name: str, x: alt.X, y: alt.Y) -> list[alt.Chart]:
    rows = [{"x": float(place), "y": float(height)} for place, height in zip(places, heights, strict=True)]
    if name == "before":
        style: dict[str, Any] = {"color": LIGHT["quiet"], "strokeWidth": 1.4, "strokeDash": [5, 3]}
        return [marks.chart(rows).mark_line(**style).encode(x=x, y=y)]
    filled = marks.chart(rows).mark_area(color=LIGHT["bite"], line={"color": LIGHT["pull"], "strokeWidth": 2.0})
    return [filled.encode(x=x, y=y)]


def _range(values: Array, name: str, lane: int, x: alt.X) -> list[alt.Chart]:
    """A bar from the 5 % to the 95 % quantile with a dot at the median and their numbers."""
    import altair as alt

    if not values.size:
        return []
    low, middle, high = np.quantile(values, (0.05, 0.5, 0.95)).tolist()
    color = "pull" if name == "now" else "quiet"
    place = HEIGHT + 12 + _LANE / 2 * lane
    bar = marks.chart([{"x": low, "x2": high}]).mark_rule(color=LIGHT[color], strokeWidth=4.0, opacity=0.45)
    dot = marks.chart([{"x": middle}]).mark_point(color=LIGHT[color], filled=True, size=46, opacity=1.0)
    texts = [
        marks.texts(
            [{"x": low, "text": decimal_text(low, _decimals(high))}], color, x, marks.fixed(place), align="right", dx=-6
        ),
        marks.texts(
            [{"x": high, "text": f"{decimal_text(high, _decimals(high))}  {name}"}],
            color,
            x,
            marks.fixed(place),
            align="left",
            dx=6,
        ),
    ]
    return [bar.encode(x=x, x2="x2", y=alt.value(place)), dot.encode(x=x, y=alt.value(place)), *texts]


def _decimals(value: float) -> int:
    return 0 if abs(value) >= 20.0 else 2


def _limit(limit: float, x: alt.X) -> list[alt.Chart]:
    import altair as alt

    rule = marks.chart([{"x": limit}]).mark_rule(color=LIGHT["alert"], strokeWidth=1.4, strokeDash=[2, 2])
    name = {"x": limit, "text": decimal_text(limit, _decimals(limit))}
    return [
        rule.encode(x=x, y=alt.value(0), y2=alt.value(HEIGHT)),
        marks.texts([name], "alert", x, marks.fixed(6), align="left", dx=4),
    ]
