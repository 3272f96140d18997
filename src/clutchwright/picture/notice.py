"""A picture that only says why there is none."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from clutchwright.picture.look import LIGHT, TEXT_SIZE

if TYPE_CHECKING:
    import altair as alt

NO_RELEASE = "The lever never gets to a clean release, so there is nothing to share out."


def notice(title: str, text: str, width: int) -> alt.LayerChart:
    """A title and a sentence in place of a picture [width: px]."""
    import textwrap

    import altair as alt

    lines = textwrap.wrap(text, width // 7)
    corner: dict[str, Any] = {"align": "left", "baseline": "top", "x": 0, "y": 0}
    layer = alt.Chart(alt.sequence(0, 1)).mark_text(text=lines, fontSize=TEXT_SIZE, color=LIGHT["quiet"], **corner)
    return alt.LayerChart(layer=[layer], width=width - 24, height=16 * len(lines), title=alt.Title(title))
