"""The hand and the lever: what the hand can do along the stroke, what the lever asks, and the share that is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from clutchwright.numbers import decimal_text, estimate_text
from clutchwright.picture import marks
from clutchwright.picture.look import LIGHT, TEXT_SIZE, WIDE, Row, spread
from clutchwright.study.assessment import Assessment
from clutchwright.study.hand_assessment import HandAssessment

if TYPE_CHECKING:
    import altair as alt

_LEFT, _RIGHT = 44, 92  # room for the axis and for the names of the lines [px]
_HEADROOM = 1.08
_SPAN = "Span from the grip to the lever, mm"
_FLAG_ROW = 16  # height of a name of a place above the plot [px]
Line = tuple[str, str, tuple[float, ...], dict[str, Any]]  # name, colour, values, style


@dataclass(frozen=True, slots=True)
class _Panel:
    """One of the two plots, which share their spans."""

    title: str
    height: int
    share: bool


_PANELS = (_Panel("N at the finger", 210, share=False), _Panel("% of what the hand can do", 150, share=True))


def hand_effort(assessment: Assessment, *, width: int = WIDE) -> alt.VConcatChart:
    """Forces, and their share of what the hand can do, over the span from rest to stop.

    Parameters
    ----------
    assessment : Assessment
        With a hand; the pull of ``before``, where there is one, is dashed.
    width : int
        Whole width [px].

    Returns
    -------
    altair.VConcatChart
        Newton above, per cent below; the seated posture.
    """
    import altair as alt

    hand = shown_hand(assessment)
    plot = width - _LEFT - _RIGHT
    spans = assessment.curve.span_mm
    before = assessment.before
    widest = max(spans[0], before.curve.span_mm[0] if before else 0.0)
    narrowest = min(spans[-1], before.curve.span_mm[-1] if before else spans[-1])
    scale = alt.Scale(domain=[narrowest, widest], nice=False, reverse=True)
    axis = alt.Axis(grid=False, tickCount=plot // 60, ticks=True)
    upper, lower = (alt.X("x:Q", title=name, scale=scale, axis=axis) for name in (None, _SPAN))
    effort = 100.0 * hand.seated.effort_peak
    peak = (
        f"peak {estimate_text(effort, effort * hand.seated.spread)} % of what this hand can do, "
        f"hold {100.0 * hand.seated.effort_hold:.0f} %"
    )
    panels = [_drawn(assessment, panel, x, plot) for panel, x in zip(_PANELS, (upper, lower), strict=True)]
    title = alt.Title("The pull against the hand", subtitle=peak, limit=width)
    return alt.vconcat(*panels, title=title, spacing=12)


def shown_hand(assessment: Assessment) -> HandAssessment:
    """The assessment's hand; raises ValueError where it has none."""
    if assessment.hand is None:
        message = "this assessment has no hand"
        raise ValueError(message)
    return assessment.hand


def _lines(assessment: Assessment, panel: _Panel) -> list[Line]:
    hand, curve = shown_hand(assessment), assessment.curve
    lasting = hand.seated.day.target_effort[0]
    pull, returning = (curve.pull_N, curve.return_N)
    able = hand.seated.capacity_N
    if panel.share:
        able = (100.0,) * len(able)
        pull, returning = (
            tuple(100.0 * part for part in parts) for parts in (hand.seated.effort_share, hand.seated.hold_share)
        )
    lines: list[Line] = [
        ("the hand can", "fine", able, {"strokeWidth": 3.0}),
        (f"lasts {hand.hours:g} h", "fine", tuple(lasting * most for most in able), {"strokeDash": [7, 3]}),
        ("pull", "pull", pull, {"strokeWidth": 3.0}),
        ("return", "return", returning, {"strokeWidth": 2.0}),
    ]
    return lines[1:] if panel.share else lines


def _before(assessment: Assessment, panel: _Panel) -> list[Row]:
    """The pull before the changes, or its share, as rows; none without changes."""
    before = assessment.before
    if before is None or before.hand is None:
        return []
    share = tuple(100.0 * part for part in before.hand.seated.effort_share)
    values = share if panel.share else before.curve.pull_N
    return [{"x": span, "y": value} for span, value in zip(before.curve.span_mm, values, strict=True)]


def _drawn(assessment: Assessment, panel: _Panel, x: alt.X, width: int) -> alt.LayerChart:
    import altair as alt

    lines, was = _lines(assessment, panel), _before(assessment, panel)
    top = _HEADROOM * max(*(max(values) for _, _, values, _ in lines), *(row["y"] for row in was), 1.0)
    axis = alt.Axis(tickCount=panel.height // 45)
    y = alt.Y("y:Q", title=None, scale=alt.Scale(domain=[0.0, top], nice=False), axis=axis)
    layers, names = [], []
    if was:
        dashed: dict[str, Any] = {"color": LIGHT["pull"], "strokeWidth": 1.2, "strokeDash": [5, 3]}
        layers.append(marks.chart(was).mark_line(**dashed).encode(x=x, y=y))
        names.append((panel.height * (1.0 - was[-1]["y"] / top), "pull before", "pull", "normal"))
    for name, color, values, style in lines:
        rows = [{"x": span, "y": value} for span, value in zip(assessment.curve.span_mm, values, strict=True)]
        layers.append(marks.chart(rows).mark_line(color=LIGHT[color], **style).encode(x=x, y=y))
        names.append((panel.height * (1.0 - values[-1] / top), name, color, "bold"))
    places = spread([place for place, *_ in names], gap=TEXT_SIZE + 3)
    for place, (_, name, color, weight) in zip(places, names, strict=True):
        at = {"x": marks.fixed(width + 6), "y": marks.fixed(place)}
        layers.append(marks.texts([{"text": name}], color, **at, align="left", fontWeight=weight))
    flags = _flags(assessment)
    layers += _places(flags, panel, x)
    offset = 6 if panel.share else 8 + _FLAG_ROW * len(flags)
    title = alt.Title(panel.title, fontSize=TEXT_SIZE, fontWeight="normal", color=LIGHT["quiet"], offset=offset)
    return alt.LayerChart(layer=layers, width=width, height=panel.height, title=title)


def _flags(assessment: Assessment) -> list[tuple[str, float, list[int], bool]]:
    """Comfortable reach and release point where they lie on the stroke: name, span [mm], dash, in the wider half."""
    reach, spans = shown_hand(assessment).reach, assessment.curve.span_mm
    found = [("reach", reach.reach_mm, [2, 3]), ("clean release", reach.release_span_mm, [6, 3])]
    middle = (spans[0] + spans[-1]) / 2
    return [(name, span, dash, span > middle) for name, span, dash in found if spans[-1] <= span <= spans[0]]


def _places(flags: list[tuple[str, float, list[int], bool]], panel: _Panel, x: alt.X) -> list[alt.Chart]:
    """Lines through the plots, named above the upper one."""
    import altair as alt

    layers = []
    for place, (name, span, dash, wider_half) in enumerate(flags):
        row = -10 - _FLAG_ROW * place
        rule = marks.chart([{"x": span}]).mark_rule(color=LIGHT["ink"], strokeWidth=1.2, strokeDash=dash)
        layers.append(rule.encode(x=x, y=alt.value(0 if panel.share else row + 6), y2=alt.value(panel.height)))
        if not panel.share:
            side: dict[str, Any] = {"align": "left", "dx": 2} if wider_half else {"align": "right", "dx": -2}
            text = [{"x": span, "text": f"{name} {decimal_text(span, 1)}"}]
            layers.append(marks.texts(text, "ink", x, marks.fixed(row), **side))
    return layers
