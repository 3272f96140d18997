"""Where the force goes: the pull at release, step by step from the springs to the finger."""

from __future__ import annotations

from itertools import accumulate
from typing import TYPE_CHECKING

from clutchwright.assess.budgets import FORCE_LABELS
from clutchwright.numbers import apportioned, decimal_text
from clutchwright.picture import marks
from clutchwright.picture.look import WIDE
from clutchwright.picture.marks import Row
from clutchwright.picture.notice import notice
from clutchwright.study.assessment import Assessment

if TYPE_CHECKING:
    import altair as alt

TITLE = "Where the force goes, N at release"
_ROW, _ROW_OF_TWO = 42.0, 52.0  # height of a row with one bar and with two [px]
_TEXT, _NOW, _BEFORE = 12.0, (20.0, 34.0), (37.0, 44.0)  # where in its row each lies [px]
_TOTAL = "Pull at release"


def force_budget(assessment: Assessment, *, width: int = WIDE) -> alt.LayerChart:
    """Waterfall from the springs' share to the whole pull at release.

    Parameters
    ----------
    assessment : Assessment
        Its budget is drawn as filled bars; that of ``before``, where there is one, as dashed outlines below them.
    width : int
        Whole width [px].

    Returns
    -------
    altair.LayerChart
        One row for each item that is not zero, then the sum.
    """
    import altair as alt

    if not assessment.force:
        return notice(TITLE, "The lever never gets to a clean release, so there is nothing to share out.", width)
    before = assessment.before
    bars, was = _bars(assessment), _bars(before) if before and before.force else []
    some = {key for key, start, end in (*bars, *was) if start != end}
    keys = [key for key in (*FORCE_LABELS, "total") if key in some]
    pitch = _ROW_OF_TWO if was else _ROW
    rows = {key: place * pitch for place, key in enumerate(keys)}
    height = pitch * len(rows)
    ends = [end for _, *both in (*bars, *was) for end in both]
    x = alt.X(
        "x:Q",
        title=None,
        scale=alt.Scale(domain=[min(0.0, *ends), max(ends)], nice=False),
        axis=alt.Axis(tickCount=width // 80, grid=False),
    )
    y = alt.Y("y:Q", title=None, scale=alt.Scale(domain=[height, 0.0], nice=False), axis=None)
    layers = [*_drawn(bars, rows, x, y), *_names(assessment, rows)]
    if was:
        layers.insert(0, marks.outlines(_rows(was, rows, _BEFORE), x, y))
    title = alt.Title(TITLE, subtitle="filled: now, dashed outline: before" if was else "")
    return alt.LayerChart(layer=layers, width=width - 24, height=height, title=title)


def _bars(assessment: Assessment) -> list[tuple[str, float, float]]:
    """Key, start and end of each bar [N]; the sum last."""
    ends = list(accumulate(item.value for item in assessment.force))
    starts = [0.0, *ends[:-1]]
    steps = [(item.key, start, end) for item, start, end in zip(assessment.force, starts, ends, strict=True)]
    return [*steps, ("total", 0.0, ends[-1])]


def _rows(bars: list[tuple[str, float, float]], rows: dict[str, float], lane: tuple[float, float]) -> list[Row]:
    return [
        {"x": start, "x2": end, "y": rows[key] + lane[0], "y2": rows[key] + lane[1]}
        for key, start, end in bars
        if key in rows and start != end
    ]


def _drawn(bars: list[tuple[str, float, float]], rows: dict[str, float], x: alt.X, y: alt.Y) -> list[alt.Chart]:
    """Bars that are the springs' own or the sum in one colour, what is added in another, relief in a third."""
    kinds: dict[str, list[tuple[str, float, float]]] = {"pull": [], "return": [], "gaps": []}
    for bar in bars:
        own = bar[0] in ("ideal", "total")
        kinds["pull" if own else "return" if bar[2] >= bar[1] else "gaps"].append(bar)
    return [marks.areas(_rows(found, rows, _NOW), color, x, y) for color, found in kinds.items() if found]


def _names(assessment: Assessment, rows: dict[str, float]) -> list[alt.Chart]:
    import altair as alt

    now, before = _shown(assessment), _shown(assessment.before) if assessment.before else {}
    labels = FORCE_LABELS | {"total": _TOTAL}
    names = [{"y": row + _TEXT, "text": labels[key]} for key, row in rows.items()]
    zero = decimal_text(0.0, 1)
    values = [
        {"y": row + _TEXT, "text": (f"was {before.get(key, zero)}, now " if before else "") + f"{now.get(key, zero)} N"}
        for key, row in rows.items()
    ]
    y = alt.Y("y:Q")
    return [
        marks.texts(names, "ink", marks.fixed(0), y, align="left"),
        marks.texts(values, "ink", marks.fixed("width"), y, align="right", fontWeight="bold"),
    ]


def _shown(assessment: Assessment) -> dict[str, str]:
    """Text of each value, rounded so that what is read adds up."""
    values = apportioned([item.value for item in assessment.force], 1)
    shown = {item.key: decimal_text(value, 1) for item, value in zip(assessment.force, values, strict=True)}
    return shown | {"total": decimal_text(sum(values), 1)} if shown else {}
