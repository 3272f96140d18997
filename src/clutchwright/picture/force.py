"""Where the force goes: the pull at release, step by step from the springs to the finger."""

from __future__ import annotations

from functools import lru_cache
from itertools import accumulate

from clutchwright.assess.budgets import FORCE_LABELS
from clutchwright.numbers import apportioned, decimal_text
from clutchwright.picture import marks
from clutchwright.picture.look import KEPT, WIDE, Definition, Picture, Row, Rows, split
from clutchwright.picture.notice import NO_RELEASE, notice
from clutchwright.study.assessment import Assessment

TITLE = "Where the force goes, N at release"
_ROW, _ROW_OF_TWO = 42.0, 52.0  # height of a row with one bar and with two [px]
_TEXT, _NOW, _BEFORE = 12.0, (20.0, 34.0), (37.0, 44.0)  # where in its row each lies [px]
_COLORS = ("pull", "return", "gaps")
_LABELS = FORCE_LABELS | {"total": "Pull at release"}
KEYS = ("none", *(f"{count}{was}" for count in range(1, len(_LABELS) + 1) for was in ("", "-before")))
Bar = tuple[str, float, float]  # key, start and end [N]


def force_budget(assessment: Assessment, *, width: int = WIDE) -> Picture:
    """Waterfall from the springs' share to the whole pull at release.

    Parameters
    ----------
    assessment : Assessment
        Its budget is drawn as filled bars; that of ``before``, where there is one, as dashed outlines below them.
    width : int
        Whole width [px].

    Returns
    -------
    Picture
        One row for each item that is not zero, then the sum.
    """
    return Picture(definition(key(assessment), width), rows(assessment))


def key(assessment: Assessment) -> str:
    """One of ``KEYS``, by the number of rows and of bars in each: which definition shows it."""
    if not assessment.force:
        return "none"
    now, was = _bars(assessment), _bars_before(assessment)
    return f"{len(_shown_keys(now, was))}{'-before' if was else ''}"


@lru_cache(KEPT)
def definition(key: str, width: int) -> Definition:
    """All but the rows, by one of ``KEYS`` and the whole width [px]."""
    import altair as alt

    if key == "none":
        return split(notice(TITLE, NO_RELEASE, width)).definition
    count, _, was = key.partition("-")
    axis = alt.Axis(tickCount=width // 80, grid=False)
    x, y = alt.X("x:Q", title=None, scale=alt.Scale(nice=False), axis=axis), marks.pixels_down()
    layers = [
        *([marks.outlines("force_before", x, y)] if was else []),
        marks.coloured("force_now", _COLORS, x, y),
        marks.texts("force_names", "ink", marks.fixed(0), y, align="left"),
        marks.texts("force_values", "ink", marks.fixed("width"), y, align="right", fontWeight="bold"),
    ]
    height = int(count) * (_ROW_OF_TWO if was else _ROW)
    title = alt.Title(TITLE, subtitle="filled: now, dashed outline: before" if was else "")
    return split(alt.LayerChart(layer=layers, width=width - 24, height=height, title=title)).definition


def rows(assessment: Assessment) -> Rows:
    """What the definition's names stand for."""
    if not assessment.force:
        return {}
    now, was = _bars(assessment), _bars_before(assessment)
    pitch = _ROW_OF_TWO if was else _ROW
    places = {key: place * pitch for place, key in enumerate(_shown_keys(now, was))}
    return {
        **({"force_before": _bar_rows(was, places, _BEFORE)} if was else {}),
        "force_now": _bar_rows(now, places, _NOW),
        "force_names": [{"y": place + _TEXT, "text": _LABELS[key]} for key, place in places.items()],
        "force_values": _values(assessment, places),
    }


def _bars(assessment: Assessment) -> list[Bar]:
    """Each step; the sum last."""
    ends = list(accumulate(item.value for item in assessment.force))
    starts = [0.0, *ends[:-1]]
    steps = [(item.key, start, end) for item, start, end in zip(assessment.force, starts, ends, strict=True)]
    return [*steps, ("total", 0.0, ends[-1])]


def _bars_before(assessment: Assessment) -> list[Bar]:
    return _bars(assessment.before) if assessment.before and assessment.before.force else []


def _shown_keys(now: list[Bar], was: list[Bar]) -> list[str]:
    """Keys that are not zero, now or before, in their order."""
    some = {key for key, start, end in (*now, *was) if start != end}
    return [key for key in _LABELS if key in some]


def _color(key: str, start: float, end: float) -> str:
    """Of a bar: one for the springs' own and the sum, another for what is added, a third for relief."""
    own, added, relief = _COLORS
    if key in ("ideal", "total"):
        return own
    return added if end >= start else relief


def _bar_rows(bars: list[Bar], places: dict[str, float], lane: tuple[float, float]) -> list[Row]:
    return [
        {
            "x": start,
            "x2": end,
            "y": places[key] + lane[0],
            "y2": places[key] + lane[1],
            "color": _color(key, start, end),
        }
        for key, start, end in bars
        if key in places and start != end
    ]


def _values(assessment: Assessment, places: dict[str, float]) -> list[Row]:
    now, before = _shown(assessment), _shown(assessment.before) if assessment.before else {}
    zero = decimal_text(0.0, 1)
    return [
        {
            "y": place + _TEXT,
            "text": (f"was {before.get(key, zero)}, now " if before else "") + f"{now.get(key, zero)} N",
        }
        for key, place in places.items()
    ]


def _shown(assessment: Assessment) -> dict[str, str]:
    """Text of each value, rounded so that what is read adds up."""
    values = apportioned([item.value for item in assessment.force], 1)
    shown = {item.key: decimal_text(value, 1) for item, value in zip(assessment.force, values, strict=True)}
    return shown | {"total": decimal_text(sum(values), 1)} if shown else {}
