"""How our pictures and pages look: one set of colours, one type face, and what turns a chart into a file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from clutchwright.plain import printable

if TYPE_CHECKING:
    import altair as alt

FORMATS = ("svg", "png", "pdf")
Row = dict[str, Any]
Rows = dict[str, list[Row]]  # by the name of the data they are
Definition = Mapping[str, Any]  # Vega-Lite with the names of its data; shared, so nobody may alter it
WIDE, NARROW = 600, 330  # width of a picture on a desk and on a phone [px]
KEPT = 64  # definitions of a picture that are kept, for as many widths and kinds

# Named for what they show. Blue and orange stay apart for all common kinds of colour blindness, and no colour stands
# alone: lines differ in dash and width, areas carry their words.
LIGHT = {
    "paper": "#fcfbf7",
    "card": "#f4f1e8",
    "ink": "#1f2a30",
    "quiet": "#57636a",
    "line": "#d8d4c8",
    "pull": "#0b5a7d",
    "return": "#a5540b",
    "free": "#e6e2d5",
    "stretch": "#e2b27a",
    "bite": "#cfe2e9",
    "gaps": "#7fb0c4",
    "spare": "#b9cfae",
    "missing": "#fbeee4",
    "fine": "#2f6137",
    "alert": "#a0281e",
}
DARK = {
    "paper": "#12181b",
    "card": "#1b2326",
    "ink": "#ebe8df",
    "quiet": "#a9b2b6",
    "line": "#394347",
    "pull": "#76c0e0",
    "return": "#e8a25a",
    "free": "#2b3235",
    "stretch": "#80561f",
    "bite": "#1d3a46",
    "gaps": "#2f6379",
    "spare": "#3c5535",
    "missing": "#3a2519",
    "fine": "#8fcb96",
    "alert": "#f0897e",
}
FONT = "Liberation Sans, Arial, Helvetica, sans-serif"
TEXT_SIZE = 12

CONFIG: dict[str, Any] = {
    "aria": False,  # the page says in words what each figure shows
    "background": LIGHT["paper"],
    "font": FONT,
    "padding": 12,
    "view": {"stroke": None},
    "axis": {
        "domain": False,
        "gridColor": LIGHT["line"],
        "labelColor": LIGHT["quiet"],
        "labelFontSize": TEXT_SIZE,
        "tickColor": LIGHT["line"],
        "titleColor": LIGHT["quiet"],
        "titleFontSize": TEXT_SIZE,
        "titleFontWeight": "normal",
    },
    "title": {
        "anchor": "start",
        "color": LIGHT["ink"],
        "fontSize": 15,
        "frame": "group",
        "subtitleColor": LIGHT["quiet"],
        "subtitleFontSize": TEXT_SIZE,
        "subtitlePadding": 4,
        "offset": 14,
    },
    "text": {"color": LIGHT["ink"], "fontSize": TEXT_SIZE, "font": FONT},
}


@dataclass(frozen=True, slots=True)
class Picture:
    """What a picture always is, and what it shows this time.

    Parameters
    ----------
    definition : mapping
        Vega-Lite.
    rows : mapping of str to list of dict
        The data by these names.
    """

    definition: Definition
    rows: Mapping[str, list[Row]]


def split(chart: alt.TopLevelMixin) -> Picture:
    """An Altair chart as a picture; rows that it carries get names.

    Parameters
    ----------
    chart : altair chart
        Its data named or inline.

    Returns
    -------
    Picture
        Whose definition can be drawn alone or as a part of another.
    """
    spec = chart.to_dict(validate=False)
    rows = spec.pop("datasets", {})
    return Picture({key: value for key, value in spec.items() if key not in ("$schema", "config")}, rows)


def themed(text: str) -> str:
    """SVG or JSON with its colours taken from the page: each in quotes becomes the page's variable of its name."""
    for name, color in LIGHT.items():
        text = text.replace(f'"{color}"', f'"var(--{name})"')
    return text


def render(chart: alt.TopLevelMixin | Picture, format: str) -> bytes:
    """A picture as a file's content.

    Parameters
    ----------
    chart : altair chart or Picture
        One of ours.
    format : str
        One of ``FORMATS``.

    Returns
    -------
    bytes
        SVG and PDF keep their text as text; PNG has two pixels per point.

    Raises
    ------
    ValueError
        For another format.
    """
    import vl_convert

    picture = chart if isinstance(chart, Picture) else split(chart)
    spec = _printable({**picture.definition, "datasets": {**picture.rows}})
    if format == "svg":
        return vl_convert.vegalite_to_svg(spec, config=CONFIG, allowed_base_urls=[]).encode()
    if format == "png":
        return vl_convert.vegalite_to_png(spec, config=CONFIG, allowed_base_urls=[], scale=2)
    if format == "pdf":
        return vl_convert.vegalite_to_pdf(spec, config=CONFIG, allowed_base_urls=[])
    message = f"format {format!r}: must be one of {', '.join(FORMATS)}"
    raise ValueError(message)


def _printable(part: Any) -> Any:
    """The same, every name made printable: the renderer breaks down at a character that XML does not know."""
    if isinstance(part, dict):
        return {key: _printable(value) for key, value in part.items()}
    if isinstance(part, list):
        return [_printable(value) for value in part]
    return "\n".join(map(printable, part.split("\n"))) if isinstance(part, str) else part


def spread(places: list[float], *, gap: float) -> list[float]:
    """Move labels apart along a line, in their order and as little as each pair needs.

    Parameters
    ----------
    places : list of float
        Where each label would best stand [px], in any order.
    gap : float
        Least distance between neighbours [px].

    Returns
    -------
    list of float
        Where each stands [px]; neighbours that collide are moved about their common middle.
    """
    order = sorted(range(len(places)), key=lambda index: places[index])
    groups: list[list[int]] = []
    for index in order:
        groups.append([index])
        while len(groups) > 1 and _end(groups[-2], places, gap) > _start(groups[-1], places, gap):
            last = groups.pop()
            groups[-1] += last
    moved = [0.0] * len(places)
    for group in groups:
        for number, index in enumerate(group):
            moved[index] = _start(group, places, gap) + gap * number
    return moved


def _start(group: list[int], places: list[float], gap: float) -> float:
    """Where the first label of a group stands, so that the group lies about the middle of its wishes."""
    middle = sum(places[index] for index in group) / len(group)
    return middle - gap * (len(group) - 1) / 2


def _end(group: list[int], places: list[float], gap: float) -> float:
    """Where the label after a group may stand."""
    return _start(group, places, gap) + gap * len(group)
