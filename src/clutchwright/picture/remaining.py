"""What a ride leaves of the hand: remaining capacity over the hours."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from clutchwright.picture import marks
from clutchwright.picture.hand import shown_hand
from clutchwright.picture.look import LIGHT, TEXT_SIZE, WIDE, spread
from clutchwright.picture.notice import notice
from clutchwright.study.assessment import Assessment
from clutchwright.study.hand_assessment import HandAssessment

if TYPE_CHECKING:
    import altair as alt

TITLE = "Strength that the ride leaves, %"
HEIGHT = 180
_LEFT, _RIGHT = 44, 92  # room for the axis and for the names of the lines [px]


def remaining_capacity(assessment: Assessment, *, width: int = WIDE) -> alt.LayerChart:
    """Capacity left after pulls, by the three-compartment model, over the ride wanted.

    Parameters
    ----------
    assessment : Assessment
        With a hand; ``before``, where there is one, is dashed.
    width : int
        Whole width [px].

    Returns
    -------
    altair.LayerChart
        With the share that holding takes, below which the lever can no longer be held.
    """
    import altair as alt

    hand = shown_hand(assessment)
    if not hand.remaining:
        return notice(TITLE, "In the saddle this hand cannot pull the lever in, so there is nothing to hold.", width)
    plot = width - _LEFT - _RIGHT
    scale = alt.Scale(domain=[0.0, hand.hours], nice=False)
    axis = alt.Axis(grid=False, ticks=True, tickCount=min(8, plot // 60))
    x = alt.X("x:Q", title=f"Hours of riding, {riding_name(hand)}", scale=scale, axis=axis)
    y = alt.Y("y:Q", title=None, scale=alt.Scale(domain=[0.0, 100.0], nice=False), axis=alt.Axis(tickCount=5))
    layers, names = [], []
    before = assessment.before.hand if assessment.before else None
    if before is not None and before.remaining:
        layers.append(_line(before, {"strokeWidth": 1.2, "strokeDash": [5, 3]}, x, y))
        names.append((HEIGHT * (1.0 - before.remaining[-1]), "left, before", "fine", "normal"))
    layers.append(_line(hand, {"strokeWidth": 3.0}, x, y))
    names.append((HEIGHT * (1.0 - hand.remaining[-1]), "left", "fine", "bold"))
    held = min(100.0 * hand.seated.effort_hold, 100.0)
    holding = [{"x": 0.0, "x2": hand.hours, "y": held, "y2": held}]
    layers.append(marks.rules(holding, "return", x, y, strokeWidth=1.4, strokeDash=[6, 3]))
    names.append((HEIGHT * (1.0 - held / 100.0), "holding takes", "return", "normal"))
    places = spread([place for place, *_ in names], gap=TEXT_SIZE + 3)
    for place, (_, name, color, weight) in zip(places, names, strict=True):
        at = {"x": marks.fixed(plot + 6), "y": marks.fixed(place)}
        layers.append(marks.texts([{"text": name}], color, **at, align="left", fontWeight=weight))
    left = f"{100.0 * hand.remaining[-1]:.0f} % at the end of the last pull in {hand.hours:g} h"
    title = alt.Title(TITLE, subtitle=left, limit=width)
    return alt.LayerChart(layer=layers, width=plot, height=HEIGHT, title=title)


def riding_name(hand: HandAssessment) -> str:
    """The kind of riding in words."""
    return hand.riding.key.replace("_", " ")


def _line(hand: HandAssessment, style: dict[str, Any], x: alt.X, y: alt.Y) -> alt.Chart:
    rows = [{"x": at, "y": 100.0 * part} for at, part in zip(hand.ride_hours, hand.remaining, strict=True)]
    return marks.chart(rows).mark_line(color=LIGHT["fine"], **style).encode(x=x, y=y)
