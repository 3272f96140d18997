"""The pull after each step of a plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

from clutchwright.numbers import decimal_text, quantity_text
from clutchwright.picture import marks
from clutchwright.picture.look import WIDE
from clutchwright.study.plan import Plan, Reading

if TYPE_CHECKING:
    import altair as alt

TITLE = "Pull at the finger after each step, N"
_ROW = 44.0  # height of a row [px]
_TEXT, _TOP, _BOTTOM = 12.0, 20.0, 35.0  # where in its row name and bar lie [px]


def plan_steps(plan: Plan, *, width: int = WIDE) -> alt.LayerChart:
    """Bar for the expected pull today and after each step, with its tolerance, and a line at the pull wanted.

    Parameters
    ----------
    plan : Plan
        The steps.
    width : int
        Whole width [px].

    Returns
    -------
    altair.LayerChart
        From today, above, to the last step, below; steps past the pull wanted are paler.
    """
    import altair as alt

    rows = [("Today", plan.first), *((_name(count, plan), step.reading) for count, step in enumerate(plan.steps, 1))]
    height = _ROW * len(rows)
    top = max(reading.pull_N + reading.tolerance_N for _, reading in rows) * 1.02
    x = alt.X(
        "x:Q",
        title=None,
        scale=alt.Scale(domain=[0.0, top], nice=False),
        axis=alt.Axis(tickCount=width // 80, grid=False),
    )
    y = alt.Y("y:Q", title=None, scale=alt.Scale(domain=[height, 0.0], nice=False), axis=None)
    wanted = [] if plan.target_N is None else _wanted(plan.target_N, len(rows), x, y)
    layers = [*_bars(rows, plan.enough_after, x, y), *wanted, *_names(rows, width)]
    title = alt.Title(TITLE, subtitle="bar: expected, line: where 19 of 20 readings lie")
    return alt.LayerChart(layer=layers, width=width - 24, height=height, title=title)


def _name(count: int, plan: Plan) -> str:
    return f"{count}  {plan.steps[count - 1].job.title}"


def _bars(rows: list[tuple[str, Reading]], enough: int | None, x: alt.X, y: alt.Y) -> list[alt.Chart]:
    layers = []
    for color, wanted in (("pull", False), ("gaps", True)):
        bars = [
            {"x": 0.0, "x2": reading.pull_N, "y": place * _ROW + _TOP, "y2": place * _ROW + _BOTTOM}
            for place, (_, reading) in enumerate(rows)
            if (enough is not None and place > enough) is wanted
        ]
        layers += [marks.areas(bars, color, x, y)] if bars else []
    middle = (_TOP + _BOTTOM) / 2
    doubts = [
        {
            "x": max(reading.pull_N - reading.tolerance_N, 0.0),
            "x2": reading.pull_N + reading.tolerance_N,
            "y": place * _ROW + middle,
            "y2": place * _ROW + middle,
        }
        for place, (_, reading) in enumerate(rows)
    ]
    return [*layers, marks.rules(doubts, "return", x, y, strokeWidth=2.0)]


def _names(rows: list[tuple[str, Reading]], width: int) -> list[alt.Chart]:
    import altair as alt

    y = alt.Y("y:Q")
    names = [{"y": place * _ROW + _TEXT, "text": name} for place, (name, _) in enumerate(rows)]
    values = [
        {
            "y": place * _ROW + _TEXT,
            "text": quantity_text("pull_N", reading.pull_N, reading.u_N),
        }
        for place, (_, reading) in enumerate(rows)
    ]
    return [
        marks.texts(names, "ink", marks.fixed(0), y, align="left", limit=width - 120),
        marks.texts(values, "ink", marks.fixed("width"), y, align="right", fontWeight="bold"),
    ]


def _wanted(target: float, rows: int, x: alt.X, y: alt.Y) -> list[alt.Chart]:
    """A line at the pull wanted, beside each bar and through no name."""
    ends = [
        {"x": target, "x2": target, "y": place * _ROW + _TOP, "y2": place * _ROW + _BOTTOM + 4.0}
        for place in range(rows)
    ]
    name = {"x": target, "text": f"wanted {decimal_text(target, 0)}"}
    return [
        marks.rules(ends, "paper", x, y, strokeWidth=6.0),
        marks.rules(ends, "alert", x, y, strokeWidth=2.5),
        marks.texts([name], "alert", x, marks.fixed(-8), align="center"),
    ]
