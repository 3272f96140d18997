"""A sheet of paper to draw on, written out as SVG.

Coordinates are px from the top left, as in SVG; `View` turns metres of a mechanism, y upwards, into them. A look is one
or more of the class names in `STYLE`. The sheet brings its own background, so it reads on a light and on a dark page.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from html import escape

import numpy as np

from clutchwright.quantity import Number

Spot = tuple[float, float]

# name -> colour on light paper, colour on dark paper; vermilion and blue stay apart for colour-blind eyes
COLOURS = {
    "ink": ("#1d232b", "#e8ebef"),
    "grey": ("#5b6570", "#a9b2bd"),
    "force": ("#b8420f", "#ff9457"),
    "travel": ("#0a62a3", "#6cb8f5"),
    "spring": ("#2d7a3e", "#77cf8b"),
    "part": ("#c9d0d8", "#4d5763"),
    "grid": ("#dfe3e8", "#353c45"),
}
PAPER = ("#fbfbf9", "#1b2027")
SHADES = {"force-shade": "force", "travel-shade": "travel", "spring-shade": "spring", "grey-shade": "grey"}


def _style(which: int) -> str:
    rules = [f".paper{{fill:{PAPER[which]}}}"]
    for name, pair in COLOURS.items():
        rules.append(
            f".{name}{{stroke:{pair[which]}}}.{name}-fill{{fill:{pair[which]}}}text.{name}{{fill:{pair[which]}}}"
        )
    rules += [f".{name}{{fill:{COLOURS[base][which]};fill-opacity:.18;stroke:none}}" for name, base in SHADES.items()]
    return "".join(rules)


STYLE = (
    "svg{font-family:system-ui,-apple-system,'Segoe UI',Roboto,'DejaVu Sans',sans-serif;font-size:14px}"
    "line,path,polyline,polygon,circle,rect{fill:none;stroke:none;stroke-linecap:round;stroke-linejoin:round}"
    "text{stroke:none!important}.small{font-size:12.5px}.bold{font-weight:600}"
    ".w1{stroke-width:1}.w2{stroke-width:2}.w3{stroke-width:3.2}.w9{stroke-width:9}.dash{stroke-dasharray:6 5}"
    + _style(0)
    + "@media(prefers-color-scheme:dark){"
    + _style(1)
    + "}"
)


def number(value: float) -> str:
    """A coordinate to a tenth of a px, without needless zeros."""
    return f"{round(value, 1) + 0.0:g}"


def _head_size(look: str) -> float:
    return 12.0 if "w3" in look else 8.0


def _marked_up(text: str) -> str:
    """Text with r_{finger} set as a subscript."""
    parts = re.split(r"_\{(.*?)\}", escape(text, quote=False))
    out = parts[0]
    for index in range(1, len(parts), 2):
        out += f'<tspan dy="4" font-size="11">{parts[index]}</tspan>'
        if parts[index + 1]:
            out += f'<tspan dy="-4">{parts[index + 1]}</tspan>'
    return out


@dataclass
class Sheet:
    """A drawing in the making.

    Parameters
    ----------
    width, height : int
        Size [px].
    title : str
        What it shows, for those who cannot see it.
    """

    width: int
    height: int
    title: str
    items: list[str] = field(default_factory=list)

    def _add(self, tag: str, look: str, **attributes: float | str) -> None:
        shown = "".join(
            f' {key.replace("_", "-")}="{number(value) if isinstance(value, int | float) else value}"'
            for key, value in attributes.items()
        )
        self.items.append(f'<{tag} class="{look}"{shown}/>')

    def line(self, start: Spot, end: Spot, look: str = "ink w2") -> None:
        """Draw a straight line."""
        self._add("line", look, x1=start[0], y1=start[1], x2=end[0], y2=end[1])

    def polyline(self, spots: Iterable[Spot], look: str = "ink w2") -> None:
        """Draw a broken line or a curve through spots."""
        self._add("polyline", look, points=" ".join(f"{number(x)},{number(y)}" for x, y in spots))

    def polygon(self, spots: Iterable[Spot], look: str = "part-fill ink w1") -> None:
        """Draw a closed shape."""
        self._add("polygon", look, points=" ".join(f"{number(x)},{number(y)}" for x, y in spots))

    def circle(self, centre: Spot, radius: float, look: str = "ink w2") -> None:
        """Draw a circle."""
        self._add("circle", look, cx=centre[0], cy=centre[1], r=radius)

    def rect(self, corner: Spot, size: Spot, look: str = "part-fill ink w1", round_: float = 0.0) -> None:
        """Draw a rectangle from its upper left corner."""
        self._add("rect", look, x=corner[0], y=corner[1], width=size[0], height=size[1], rx=round_)

    def text(self, spot: Spot, words: str, look: str = "ink", anchor: str = "start") -> None:
        """Write one line of text; r_{finger} sets a subscript."""
        place = f'x="{number(spot[0])}" y="{number(spot[1])}" text-anchor="{anchor}"'
        self.items.append(f'<text class="{look}" {place}>{_marked_up(words)}</text>')

    def lines(
        self, spot: Spot, words: Sequence[str], look: str = "ink", anchor: str = "start", step: float = 18
    ) -> None:
        """Write several lines of text, one under the other."""
        for index, line in enumerate(words):
            self.text((spot[0], spot[1] + index * step), line, look, anchor)

    def arrow(self, start: Spot, end: Spot, look: str = "force w3", both: bool = False) -> None:
        """Draw an arrow."""
        size = _head_size(look)
        angle = math.atan2(end[1] - start[1], end[0] - start[0])
        colour = look.split()[0]
        # the line stops short of the tip, so that the tip stays sharp
        back = (0.7 * size * math.cos(angle), 0.7 * size * math.sin(angle))
        self.line(
            (start[0] + back[0], start[1] + back[1]) if both else start, (end[0] - back[0], end[1] - back[1]), look
        )
        self._head(end, angle, size, colour)
        if both:
            self._head(start, angle + math.pi, size, colour)

    def _head(self, tip: Spot, angle: float, size: float, colour: str) -> None:
        wings = [
            (tip[0] - size * math.cos(angle + turn), tip[1] - size * math.sin(angle + turn)) for turn in (0.38, -0.38)
        ]
        self.polygon([tip, *wings], f"{colour}-fill")

    def arc(
        self, centre: Spot, radius: float, start: float, end: float, look: str = "ink w1", head: bool = False
    ) -> None:
        """Draw an arc between two angles [rad], counted from the right, upwards positive."""
        angles = [start + (end - start) * index / 40 for index in range(41)]
        spots = [(centre[0] + radius * math.cos(a), centre[1] - radius * math.sin(a)) for a in angles]
        self.polyline(spots, look)
        if head:
            (x1, y1), (x2, y2) = spots[-4], spots[-1]
            self._head(spots[-1], math.atan2(y2 - y1, x2 - x1), _head_size(look), look.split()[0])

    def dimension(
        self, start: Spot, end: Spot, words: str, offset: Spot = (0, -7), look: str = "grey", anchor: str = "middle"
    ) -> None:
        """Draw a length between two spots with its name at the middle, moved by an offset."""
        self.arrow(start, end, f"{look} w1", both=True)
        middle = ((start[0] + end[0]) / 2 + offset[0], (start[1] + end[1]) / 2 + offset[1])
        self.text(middle, words, look, anchor)

    def svg(self) -> str:
        """The drawing as the text of an SVG file."""
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {self.width} {self.height}" width="{self.width}" '
            f'height="{self.height}" role="img"><title>{escape(self.title)}</title><style>{STYLE}</style>'
        )
        paper = f'<rect class="paper" width="{self.width}" height="{self.height}" rx="10"/>'
        return "\n".join([head, paper, *self.items, "</svg>"]) + "\n"


@dataclass(frozen=True, slots=True)
class View:
    """A place on the sheet where a mechanism is drawn to scale.

    Parameters
    ----------
    origin : Spot
        Where the mechanism's (0, 0) lies on the sheet [px].
    scale : float
        How long one metre is [px].
    """

    origin: Spot
    scale: float

    def __call__(self, x: Number, y: Number) -> Spot:
        """Spot on the sheet for a place in metres, y upwards."""
        return self.origin[0] + float(x) * self.scale, self.origin[1] - float(y) * self.scale

    def polar(self, radius: Number, angle: Number) -> Spot:
        """Spot at a radius [m] and angle [rad] round the origin."""
        return self(radius * np.cos(angle), radius * np.sin(angle))
