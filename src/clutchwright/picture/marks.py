"""The few marks our pictures are made of, placed by plain numbers: lines, areas, texts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from clutchwright.picture.look import LIGHT, TEXT_SIZE, Row

if TYPE_CHECKING:
    import altair as alt

Data = str | Iterable[Row]  # a name that rows are given for later, or the rows themselves
Fixed = dict[str, float | str]


def fixed(pixels: float | str) -> Fixed:
    """A place on the page, whatever the data: pixels from the plot's corner, or ``width``."""
    return {"value": pixels}


def chart(data: Data) -> alt.Chart:
    """Empty chart over rows that carry the fields its marks need."""
    import altair as alt

    return alt.Chart(alt.NamedData(data) if isinstance(data, str) else alt.InlineData(values=list(data)))


def pixels_down(field: str = "y") -> alt.Y:
    """Places from a field in pixels from the plot's upper edge."""
    import altair as alt

    return alt.Y(f"{field}:Q", scale=None)


def span(data: str, first: str, last: str) -> alt.Scale:
    """Scale between two fields of the one row of a data set that some mark shows."""
    import altair as alt

    return alt.Scale(domain=[alt.expr(f"data('{data}')[0].{field}") for field in (first, last)], nice=False)


def from_row(field: str) -> alt.ExprRef:
    """Style of a mark that each row brings along, such as the side on which a text stands."""
    import altair as alt

    return alt.expr(f"datum.{field}")


def areas(data: Data, color: str, x: alt.X, y: alt.Y, **style: Any) -> alt.Chart:
    """Rectangles from (x, y) to (x2, y2), filled with a colour by its name."""
    return chart(data).mark_rect(color=LIGHT[color], **style).encode(x=x, x2="x2", y=y, y2="y2")


def coloured(data: Data, colors: Sequence[str], x: alt.X, y: alt.Y, **style: Any) -> alt.Chart:
    """Rectangles from (x, y) to (x2, y2), each in the colour that its row names."""
    import altair as alt

    scale = alt.Scale(domain=list(colors), range=[LIGHT[color] for color in colors])
    rectangles = chart(data).mark_rect(**style).encode(x=x, x2="x2", y=y, y2="y2")
    return rectangles.encode(color=alt.Color("color:N", scale=scale, legend=None))


def outlines(data: Data, x: alt.X, y: alt.Y) -> alt.Chart:
    """Dashed outlines from (x, y) to (x2, y2): what was, or what is missing."""
    style: dict[str, Any] = {"fillOpacity": 0.0, "stroke": LIGHT["quiet"], "strokeDash": [3, 2], "strokeWidth": 1.2}
    return areas(data, "paper", x, y, **style)


def rules(data: Data, color: str, x: alt.X, y: alt.Y, **style: Any) -> alt.Chart:
    """Straight lines from (x, y) to (x2, y2)."""
    return chart(data).mark_rule(color=LIGHT[color], **style).encode(x=x, x2="x2", y=y, y2="y2")


def texts(data: Data, color: str, x: alt.X | Fixed, y: alt.Y | Fixed, **style: Any) -> alt.Chart:
    """Texts at (x, y), from the field ``text``; a place may be fixed, in pixels."""
    merged: dict[str, Any] = {"baseline": "middle", "fontSize": TEXT_SIZE, "color": LIGHT[color]} | style
    return chart(data).mark_text(**merged).encode(x=x, y=y, text="text:N")


def hatching(*, x: float, x2: float, y: float, y2: float, columns: int) -> list[Row]:
    """Slanting lines across a rectangle, as rows for `rules`.

    Parameters
    ----------
    x, x2, y, y2 : float
        The rectangle, in the units of the scales.
    columns : int
        Number of lines.

    Returns
    -------
    list of dict
        Each line runs from the lower to the upper edge, one column over.
    """
    step = (x2 - x) / columns
    return [{"x": x + step * n, "x2": x + step * (n + 1), "y": y, "y2": y2} for n in range(columns)]
