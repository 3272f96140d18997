"""Where the travel goes: the finger's way from the lever at rest to its stop."""

from __future__ import annotations

from functools import lru_cache
from itertools import accumulate

from clutchwright.numbers import apportioned, decimal_text
from clutchwright.picture import marks
from clutchwright.picture.look import KEPT, LIGHT, TEXT_SIZE, WIDE, Definition, Picture, Row, Rows, split, spread
from clutchwright.picture.notice import NO_RELEASE, notice
from clutchwright.study.assessment import Assessment

TITLE = "Where the travel goes, mm at the finger"
HEIGHT = 250
KEYS = ("none", "now", "before")
_BAR = 58.0  # width of a bar [px]
_ORIGIN = {"now": 0.3, "before": 0.5}  # where across the plot pixels are counted from [-]
_LEFT_OF_TWO = (-1.8 * _BAR, -0.2 * _BAR)  # left edges of the bars before and now, counted from there [px]
_NAMES = {
    "free_play": "free play",
    "stretch": "cable stretch",
    "swelling": "hose swelling",
    "pack": "pack squash",
    "gaps": "face gaps",
}
_FILLS = {
    "free_play": "free",
    "stretch": "stretch",
    "swelling": "stretch",
    "pack": "bite",
    "gaps": "gaps",
    "spare": "spare",
}
_COLORS = tuple(dict.fromkeys(_FILLS.values()))
Segment = tuple[str, float, float, str]  # key, start [mm], end [mm], value as text


def travel_budget(assessment: Assessment, *, width: int = WIDE) -> Picture:
    """One stacked bar from the lever at rest, below, to its stop, above; before on the left of now.

    Parameters
    ----------
    assessment : Assessment
        Its budget, and that of ``before`` where there is one.
    width : int
        Whole width [px].

    Returns
    -------
    Picture
        What is missing to a clean release stands hatched above the line of the stop.
    """
    return Picture(definition(key(assessment), width), rows(assessment))


def key(assessment: Assessment) -> str:
    """One of ``KEYS``: which definition shows it."""
    if not assessment.travel:
        return "none"
    return "before" if assessment.before and assessment.before.travel else "now"


@lru_cache(KEPT)
def definition(key: str, width: int) -> Definition:
    """All but the rows, by one of ``KEYS`` and the whole width [px]."""
    import altair as alt

    if key == "none":
        return split(notice(TITLE, NO_RELEASE, width)).definition
    plot = width - 24
    scale = alt.Scale(domain=[-_ORIGIN[key] * plot, (1.0 - _ORIGIN[key]) * plot], nice=False)
    x, at = (alt.X(f"{field}:Q", scale=scale, axis=None) for field in ("x", "at"))
    y = marks.pixels_down()
    layers = [
        marks.coloured("travel_parts", _COLORS, x, y, stroke=LIGHT["paper"], strokeWidth=1.0),
        marks.areas("travel_missing", "missing", x, y),
        marks.outlines("travel_missing", x, y),
        marks.rules("travel_hatching", "return", x, y, strokeWidth=1.0),
        marks.rules("travel_stop", "ink", x, y, strokeWidth=2.0),
        marks.rules("travel_labels", "quiet", x, y, strokeWidth=0.8),
        marks.texts("travel_labels", "ink", at, marks.pixels_down("y2"), align=marks.from_row("align")),
        marks.texts("travel_heads", "ink", x, marks.fixed(-16), fontWeight="bold"),
    ]
    return split(alt.LayerChart(layer=layers, width=plot, height=HEIGHT, title=alt.Title(TITLE))).definition


def rows(assessment: Assessment) -> Rows:
    """What the definition's names stand for."""
    kind = key(assessment)
    if kind == "none":
        return {}
    bars = [(assessment, 0.0, "")]
    if kind == "before" and assessment.before:
        before, now = _LEFT_OF_TWO
        bars = [(assessment.before, before, "before"), (assessment, now, "now")]
    scale = HEIGHT / max(max(_stop(shown), _released(shown)) for shown, *_ in bars)
    found: Rows = {"travel_parts": [], "travel_missing": [], "travel_hatching": []}
    for shown, left, _ in bars:
        _add_bar(found, shown, left, scale)
    return found | {
        "travel_stop": [
            {"x": left - 8, "x2": left + _BAR + 8, "y": place, "y2": place}
            for left, place in ((left, HEIGHT - scale * _stop(shown)) for shown, left, _ in bars)
        ],
        "travel_labels": [row for shown, left, name in bars for row in _labels(shown, left, scale, name == "before")],
        "travel_heads": [{"x": left + _BAR / 2, "text": name} for _, left, name in bars if name],
    }


def _stop(assessment: Assessment) -> float:
    """Finger travel at the lever's stop [mm]."""
    return sum(item.value for item in assessment.travel) * 1e3


def _released(assessment: Assessment) -> float:
    """Finger travel at a clean release [mm]."""
    return sum(item.value for item in assessment.travel if item.key != "spare") * 1e3


def segments(assessment: Assessment) -> list[Segment]:
    """What lies below the stop or, when it is missing, above it; values rounded so that what is read adds up."""
    values = apportioned([item.value * 1e3 for item in assessment.travel], 1)
    shown = [decimal_text(value, 1) for value in values]
    ends = list(accumulate(item.value * 1e3 for item in assessment.travel))
    starts = [0.0, *ends[:-1]]
    rows = zip((item.key for item in assessment.travel), starts, ends, shown, strict=True)
    return [row for row in rows if row[1] != row[2]]


def _add_bar(found: Rows, assessment: Assessment, left: float, scale: float) -> None:
    """Add a bar's segments to the rows of their colours [left: px; scale: px per mm]."""
    for key, start, end, _ in segments(assessment):
        place = {"x": left, "x2": left + _BAR, "y": HEIGHT - scale * start, "y2": HEIGHT - scale * end}
        if end > start:
            found["travel_parts"].append(place | {"color": _FILLS[key]})
        else:
            found["travel_missing"].append(place)
            found["travel_hatching"] += marks.hatching(**place, columns=5)


def _labels(assessment: Assessment, left: float, scale: float, was: bool) -> list[Row]:
    """Names and values beside a bar: on its left with values alone when it shows what was, else on its right."""
    stop = _stop(assessment)
    labels = [((start + end) / 2, _text(key, value, was)) for key, start, end, value in segments(assessment)]
    labels.append((stop, decimal_text(stop, 1) if was else f"lever's stop {decimal_text(stop, 1)}"))
    wishes = [HEIGHT - scale * middle for middle, _ in labels]
    places = spread(wishes, gap=TEXT_SIZE + 4)
    edge, side, align = (left - 10, -1, "right") if was else (left + _BAR + 10, 1, "left")
    across: Row = {"x": edge, "x2": edge + side * 12, "at": edge + side * 16, "align": align}
    return [
        across | {"y": wish, "y2": place, "text": text}
        for wish, place, (_, text) in zip(wishes, places, labels, strict=True)
    ]


def _text(key: str, value: str, was: bool) -> str:
    if key == "spare":
        short = value.startswith("\N{MINUS SIGN}")
        return f"{value.lstrip(chr(0x2212))} missing" if short else value if was else f"to spare {value}"
    return value if was else f"{_NAMES[key]} {value}"
