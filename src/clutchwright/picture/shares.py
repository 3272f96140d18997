"""What matters: the share of a figure's variance by input."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from clutchwright.numbers import decimal_text
from clutchwright.picture import marks
from clutchwright.picture.look import WIDE, Row
from clutchwright.picture.notice import notice
from clutchwright.study.variance import Share

if TYPE_CHECKING:
    import altair as alt

_ROW = 40.0  # height of a row [px]
_TEXT, _TOP, _BOTTOM = 11.0, 19.0, 31.0  # where in its row name and bar lie [px]
MOST_ROWS = 8
_VALUES = 80  # room for the per cents [px]
_LEAST = 0.005  # shares below this are summed up in words


def variance_bars(
    title: str, shares: Sequence[Share], labels: Mapping[str, str], *, width: int = WIDE
) -> alt.LayerChart:
    """Bar for each input: filled for its own share, outlined up to what it does together with others.

    Parameters
    ----------
    title : str
        Of which figure or event.
    shares : sequence of Share
        The greatest total first.
    labels : mapping of str to str
        What each input is called, by its key.
    width : int
        Whole width [px].

    Returns
    -------
    altair.LayerChart
        At most ``MOST_ROWS`` rows; a last line counts the rest.
    """
    import altair as alt

    heading = f"What matters: {title}"
    shown = [share for share in shares[:MOST_ROWS] if share.total >= _LEAST]
    if not shown:
        return notice(heading, "Nothing uncertain matters for it, or it is too rare to tell.", width)
    tops = {share.key: place * _ROW for place, share in enumerate(shown)}
    rest = len(shares) - len(shown)
    height = _ROW * len(shown) + (18.0 if rest else 0.0)
    plot = width - 24
    top = max(share.total for share in shown) * 1.02
    x = alt.X("x:Q", title=None, scale=alt.Scale(domain=[0.0, top], nice=False), axis=None)
    y = alt.Y("y:Q", title=None, scale=alt.Scale(domain=[height, 0.0], nice=False), axis=None)
    layers = [
        marks.areas([_bar(share.first, tops[share.key]) for share in shown], "pull", x, y),
        marks.outlines([_bar(share.total, tops[share.key]) for share in shown], x, y),
        *_names(shown, tops, labels, plot),
    ]
    if rest:
        text = {"y": height - 8.0, "text": f"and {rest} more that matter less"}
        layers.append(marks.texts([text], "quiet", marks.fixed(0), alt.Y("y:Q"), align="left"))
    subtitle = ["per cent of the variance", "filled: alone, dashed: together with others"]
    return alt.LayerChart(layer=layers, width=plot, height=height, title=alt.Title(heading, subtitle=subtitle))


def _bar(end: float, top: float) -> Row:
    return {"x": 0.0, "x2": max(end, 0.0), "y": top + _TOP, "y2": top + _BOTTOM}


def _names(shown: Sequence[Share], tops: Mapping[str, float], labels: Mapping[str, str], plot: int) -> list[alt.Chart]:
    import altair as alt

    y = alt.Y("y:Q")
    names = [{"y": tops[share.key] + _TEXT, "text": labels[share.key]} for share in shown]
    values = [
        {"y": tops[share.key] + _TEXT, "text": f"{_percent(share.first)} / {_percent(share.total)} %"}
        for share in shown
    ]
    return [
        marks.texts(names, "ink", marks.fixed(0), y, align="left", limit=plot - _VALUES),
        marks.texts(values, "ink", marks.fixed("width"), y, align="right", fontWeight="bold"),
    ]


def _percent(part: float) -> str:
    return decimal_text(100.0 * max(part, 0.0), 0)
