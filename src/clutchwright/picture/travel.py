"""Where the travel goes: the finger's way from the lever at rest to its stop."""

from __future__ import annotations

from itertools import accumulate
from typing import TYPE_CHECKING

from clutchwright.numbers import apportioned, decimal_text
from clutchwright.picture import marks
from clutchwright.picture.look import LIGHT, TEXT_SIZE, WIDE, spread
from clutchwright.picture.notice import notice
from clutchwright.study.assessment import Assessment

if TYPE_CHECKING:
    import altair as alt

TITLE = "Where the travel goes, mm at the finger"
HEIGHT = 250
_BAR = 58  # width of a bar [px]
_NAMES = {
    "free_play": "free play",
    "stretch": "cable stretch",
    "swelling": "hose swelling",
    "pack": "pack squash",
    "gaps": "face gaps",
}
_FILLS = {"free_play": "free", "stretch": "stretch", "swelling": "stretch", "pack": "bite", "gaps": "gaps"}
Segment = tuple[str, float, float, str]  # key, start [mm], end [mm], value as text


def travel_budget(assessment: Assessment, *, width: int = WIDE) -> alt.LayerChart:
    """One stacked bar from the lever at rest, below, to its stop, above; before on the left of now.

    Parameters
    ----------
    assessment : Assessment
        Its budget, and that of ``before`` where there is one.
    width : int
        Whole width [px].

    Returns
    -------
    altair.LayerChart
        What is missing to a clean release stands hatched above the line of the stop.
    """
    import altair as alt

    if not assessment.travel:
        return notice(TITLE, "The lever never gets to a clean release, so there is nothing to share out.", width)
    plot = width - 24
    before = assessment.before if assessment.before and assessment.before.travel else None
    bars = [(before, plot * 0.5 - 1.8 * _BAR, "before"), (assessment, plot * 0.5 - 0.2 * _BAR, "now")]
    bars = bars if before else [(assessment, plot * 0.3, "")]
    top = max(max(sum(item.value for item in shown.travel), _released(shown)) for shown, *_ in bars if shown) * 1e3
    x = alt.X("x:Q", scale=alt.Scale(domain=[0, plot], nice=False), axis=None)
    y = alt.Y("y:Q", title=None, scale=alt.Scale(domain=[0, top], nice=False), axis=None)
    layers: list[alt.Chart] = []
    for shown, left, name in bars:
        if shown:
            layers += _bar(shown, left, x, y)
            layers += _labels(shown, left, name, top, x)
    return alt.LayerChart(layer=layers, width=plot, height=HEIGHT, title=alt.Title(TITLE))


def _released(assessment: Assessment) -> float:
    """Finger travel at a clean release [m]."""
    return sum(item.value for item in assessment.travel if item.key != "spare")


def segments(assessment: Assessment) -> list[Segment]:
    """What lies below the stop or, when it is missing, above it; values rounded so that what is read adds up."""
    values = apportioned([item.value * 1e3 for item in assessment.travel], 1)
    shown = [decimal_text(value, 1) for value in values]
    ends = list(accumulate(item.value * 1e3 for item in assessment.travel))
    starts = [0.0, *ends[:-1]]
    rows = zip((item.key for item in assessment.travel), starts, ends, shown, strict=True)
    return [row for row in rows if row[1] != row[2]]


def _bar(assessment: Assessment, left: float, x: alt.X, y: alt.Y) -> list[alt.Chart]:
    layers = []
    for key, start, end, _ in segments(assessment):
        place = {"x": left, "x2": left + _BAR, "y": start, "y2": end}
        if key != "spare":
            layers.append(marks.areas([place], _FILLS[key], x, y, stroke=LIGHT["paper"], strokeWidth=1.0))
        elif end > start:
            layers.append(marks.areas([place], "spare", x, y, stroke=LIGHT["paper"], strokeWidth=1.0))
        else:
            layers += [marks.areas([place], "missing", x, y), marks.outlines([place], x, y)]
            layers.append(marks.rules(marks.hatching(**place, columns=5), "return", x, y, strokeWidth=1.0))
    stop = sum(item.value for item in assessment.travel) * 1e3
    line = [{"x": left - 8, "x2": left + _BAR + 8, "y": stop, "y2": stop}]
    return [*layers, marks.rules(line, "ink", x, y, strokeWidth=2.0)]


def _labels(assessment: Assessment, left: float, name: str, top: float, x: alt.X) -> list[alt.Chart]:
    """Names and values beside a bar: on its left with values alone when it shows what was, else on its right."""
    import altair as alt

    was = name == "before"
    stop = sum(item.value for item in assessment.travel) * 1e3
    rows = [((start + end) / 2, _text(key, value, was)) for key, start, end, value in segments(assessment)]
    rows.append((stop, decimal_text(stop, 1) if was else f"lever's stop {decimal_text(stop, 1)}"))
    wishes = [HEIGHT * (1.0 - middle / top) for middle, _ in rows]
    places = spread(wishes, gap=TEXT_SIZE + 4)
    edge, side = (left - 10, -1) if was else (left + _BAR + 10, 1)
    layers = []
    for wish, place, (_, text) in zip(wishes, places, rows, strict=True):
        rule = marks.chart([{"x": edge, "x2": edge + side * 12}]).mark_rule(color=LIGHT["quiet"], strokeWidth=0.8)
        layers.append(rule.encode(x=x, x2="x2", y=alt.value(wish), y2=alt.value(place)))
        row = {"x": edge + side * 16, "text": text}
        layers.append(marks.texts([row], "ink", x, marks.fixed(place), align="right" if was else "left"))
    if name:
        head = {"x": left + _BAR / 2, "text": name}
        layers.append(marks.texts([head], "ink", x, marks.fixed(-16), fontWeight="bold"))
    return layers


def _text(key: str, value: str, was: bool) -> str:
    if key == "spare":
        short = value.startswith("\N{MINUS SIGN}")
        return f"{value.lstrip(chr(0x2212))} missing" if short else value if was else f"to spare {value}"
    return value if was else f"{_NAMES[key]} {value}"
