"""A picture that only says why there is none."""

from __future__ import annotations

from typing import TYPE_CHECKING

from clutchwright.picture import marks

if TYPE_CHECKING:
    import altair as alt


def notice(title: str, text: str, width: int) -> alt.LayerChart:
    """A title and a sentence in place of a picture [width: px]."""
    import textwrap

    import altair as alt

    lines = textwrap.wrap(text, width // 7)
    layer = marks.texts([{"text": lines}], "quiet", marks.fixed(0), marks.fixed(0), align="left", baseline="top")
    return alt.LayerChart(layer=[layer], width=width - 24, height=16 * len(lines), title=alt.Title(title))
