"""The drawing standing still, as SVG with presentation attributes only."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from xml.sax.saxutils import escape

from clutchwright.picture.look import FONT
from clutchwright.picture.mechanism.looks import LOOKS
from clutchwright.picture.mechanism.parts import Label, Part, number_text, posed
from clutchwright.picture.mechanism.pose import label_text, pose
from clutchwright.picture.mechanism.sheet import SIZES, VIEWS, Drawing, Size, View, sheet
from clutchwright.picture.mechanism.words import described
from clutchwright.study.mechanism import Mechanism


def mechanism_svg(now: Mechanism, before: Mechanism | None = None, *, size: str = "wide") -> str:
    """The mechanism standing still at its release point, its rest position dotted, the one before dashed.

    Parameters
    ----------
    now : Mechanism
        What to draw.
    before : Mechanism | None
        The bike without the changes, at the same finger travel.
    size : str
        ``wide`` for a desk, ``narrow`` for a phone.

    Returns
    -------
    str
        An SVG element that takes its colours from custom properties named as in ``look.LIGHT``.
    """
    drawing, kind = Drawing(now, before), SIZES[size]
    views, height = sheet(drawing, kind)
    shown = now.shown_mm
    values = {"now": pose(now, shown), "before": pose(before, shown) if before else {}}
    parts, old = drawing.parts, drawing.ghosts
    groups = [_view(name, views[name], parts[name], old[name], values, kind) for name in VIEWS]
    looks = "".join(f'<g data-look="{name}"{_attributes(look)}/>' for name, look in LOOKS.items())
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="mechanism {size}" data-size="{size}" role="img" '
        f'viewBox="0 0 {kind.width:.0f} {height:.0f}" font-family="{FONT}">'
        f"<title>Clutch lever, cable, release arm, lift and pack, to scale</title>"
        f"<desc>{escape(described(now, before))}</desc><defs>{looks}</defs>{''.join(groups)}</svg>\n"
    )


def _view(
    name: str,
    view: View,
    parts: list[Part],
    old: list[Part],
    values: Mapping[str, Mapping[str, float]],
    size: Size,
) -> str:
    rest = [replace(part, moves=()) for part in parts if part.ghost and part.moves and name != "pack"]
    layers = {
        "rest": "".join(_outline(part, "rest", {}) for part in rest),
        "now": "".join(_drawn(part, values["now"]) for part in [*parts, *view.extras]),
        "before": "".join(_outline(part, "ghost", values["before"]) for part in old),
        "labels": "".join(_written(label, values, size.text / view.scale) for label in view.labels),
    }
    inside = "".join(f'<g data-layer="{layer}">{marks}</g>' for layer, marks in layers.items())
    return f'<g data-view="{name}" transform="{view.placed}">{inside}</g>'


def _attributes(attributes: Mapping[str, str]) -> str:
    return "".join(f' {name}="{value}"' for name, value in attributes.items() if value)


def _drawn(part: Part, values: Mapping[str, float]) -> str:
    path, transform = posed(part, values)
    look = dict(LOOKS[part.look])
    if part.width:
        look |= {"stroke-width": number_text(part.width), "vector-effect": ""}
    return f"<path{_attributes({'d': path, **look, 'transform': transform})}/>"


def _outline(part: Part, look: str, values: Mapping[str, float]) -> str:
    path, transform = posed(part, values)
    return f"<path{_attributes({'d': path, **LOOKS[look], 'transform': transform})}/>"


def _written(label: Label, values: Mapping[str, Mapping[str, float]], size: float) -> str:
    own = {"x": number_text(label.x), "y": number_text(label.y), "font-size": number_text(size)}
    anchor = {"text-anchor": "" if label.anchor == "start" else label.anchor}
    attributes = {**own, **anchor, **LOOKS[label.look], "transform": posed(label, values["now"])[1]}
    return f"<text{_attributes(attributes)}>{escape(label_text(label, values))}</text>"
