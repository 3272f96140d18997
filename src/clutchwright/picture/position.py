"""Where the lever should stand: what a shift of the perch buys, and the limit that the release margin sets."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from clutchwright.numbers import decimal_text
from clutchwright.picture import marks
from clutchwright.picture.look import LIGHT, TEXT_SIZE, WIDE, spread
from clutchwright.study.lever_position import LeverPosition

if TYPE_CHECKING:
    import altair as alt

HEIGHT = 230
_ABOVE = -18  # row above the plot, for the name of the place where the reach ends [px]
_BELOW = 24  # row at the foot of the plot, for the name of the area below the lines [px]
_LEFT, _RIGHT = 44, 112  # room for the axis and for the names of the lines [px]


def lever_trade(position: LeverPosition, *, width: int = WIDE) -> alt.LayerChart:
    """Peak effort over the shift of the perch, with the reach screw left and with it turned in to the limit.

    Parameters
    ----------
    position : LeverPosition
        What was found.
    width : int
        Whole width [px].

    Returns
    -------
    altair.LayerChart
        Below the lower line the clutch does not release with margin; the lever as it is, and as it should be, are dots.
    """
    import altair as alt

    trade, plot = position.trade, width - _LEFT - _RIGHT
    left, least = ([100.0 * part for part in line] for line in (trade.effort_screw_left, trade.effort_least))
    spare = 0.12 * (max(left) - min(least)) + 1.0
    low, high = max(0.0, min(least) - spare), max(left) + spare
    end = max(trade.shift_mm[-1], 1.0)
    x = alt.X(
        "x:Q",
        title="Perch moved inboard, mm",
        scale=alt.Scale(domain=[0.0, end], nice=False),
        axis=alt.Axis(grid=False, ticks=True, tickCount=plot // 60),
    )
    scale = alt.Scale(domain=[low, high], nice=False, zero=False)
    y = alt.Y("y:Q", title=None, scale=scale, axis=alt.Axis(tickCount=5))
    shifts = [*trade.shift_mm, *([end] if len(trade.shift_mm) == 1 else [])]
    lines = [("screw left", "quiet", left, 2.0), ("screw to limit", "pull", least, 3.0)]
    lines = [
        (name, color, [*values, *values[: len(shifts) - len(values)]], wide) for name, color, values, wide in lines
    ]
    below = [{"x": at, "y": low, "y2": value} for at, value in zip(shifts, lines[1][2], strict=True)]
    layers = [marks.chart(below).mark_area(color=LIGHT["missing"]).encode(x=x, y=y, y2="y2")]
    names = []
    for name, color, values, stroke in lines:
        rows = [{"x": at, "y": value} for at, value in zip(shifts, values, strict=True)]
        layers.append(marks.chart(rows).mark_line(color=LIGHT[color], strokeWidth=stroke).encode(x=x, y=y))
        names.append((HEIGHT * (high - values[-1]) / (high - low), name, color))
    for place, (_, name, color) in zip(spread([at for at, *_ in names], gap=TEXT_SIZE + 3), names, strict=True):
        at: dict[str, Any] = {"x": marks.fixed(plot + 10), "y": marks.fixed(place)}
        layers.append(marks.texts([{"text": name}], color, **at, align="left", fontWeight="bold"))
    below_line = [{"text": "no margin to release"}]
    layers.append(marks.texts(below_line, "return", marks.fixed(8), marks.fixed(HEIGHT - _BELOW / 2), align="left"))
    layers += [*_end_of_reach(position, x), *_dots(position, x, y)]
    best = (
        f"perch {decimal_text(position.shift_mm, 0)} mm inboard, rest span {decimal_text(position.rest_span_mm, 1)} mm"
    )
    title = alt.Title(
        "Peak effort, % of what the hand can do", subtitle=f"best: {best}", limit=width, offset=4 - _ABOVE
    )
    return alt.LayerChart(layer=layers, width=plot, height=HEIGHT, title=title)


def _end_of_reach(position: LeverPosition, x: alt.X) -> list[alt.Chart]:
    """Where the hand no longer reaches a lever that releases; nothing where the blade ends before."""
    if "reach" not in position.limits:
        return []
    import altair as alt

    at = position.farthest_mm
    rule = marks.chart([{"x": at}]).mark_rule(color=LIGHT["ink"], strokeWidth=1.2, strokeDash=[2, 3])
    side: dict[str, Any] = (
        {"align": "right", "dx": -4} if at > 0.5 * position.trade.shift_mm[-1] else {"align": "left", "dx": 4}
    )
    name = marks.texts([{"x": at, "text": "end of reach"}], "ink", x, marks.fixed(_ABOVE / 2), **side)
    return [rule.encode(x=x, y=alt.value(_ABOVE), y2=alt.value(HEIGHT - _BELOW)), name]


def _dots(position: LeverPosition, x: alt.X, y: alt.Y) -> list[alt.Chart]:
    """The lever as it is and as it should be, named where the falling lines are not."""
    now, trade = position.assessment.hand, position.trade
    if now is None:
        return []
    best = {"x": position.shift_mm, "y": 100.0 * position.effort_peak, "text": "best"}
    here = {"x": trade.shift_mm[0], "y": 100.0 * trade.effort_screw_left[0], "text": "now"}
    moved = any(step.kind != "lever-turn" for step in position.steps)
    below = [best] if position.shift_mm > 0.15 * trade.shift_mm[-1] else []
    right = [here] if below else [here, best] if moved else [here | {"text": "now and best"}]
    return [
        marks.chart([here, best]).mark_point(color=LIGHT["ink"], filled=True, size=70, opacity=1.0).encode(x=x, y=y),
        marks.texts(right, "ink", x, y, align="left", dx=10, dy=-8, fontWeight="bold"),
        marks.texts(below, "ink", x, y, align="right", dx=-2, dy=16, fontWeight="bold"),
    ]
