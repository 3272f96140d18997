"""How the parts of the drawing look: presentation attributes, coloured by the custom properties of the page."""

from __future__ import annotations

from clutchwright.picture.look import LIGHT

_EVEN = {"vector-effect": "non-scaling-stroke"}  # as thick at any scale of the view


def _ink(name: str) -> str:
    """A colour of the page by its name, light where the page does not say."""
    return f"var(--{name}, {LIGHT[name]})"


def _filled(fill: str, stroke: str = "", width: float = 0.0, **more: str) -> dict[str, str]:
    lined = {"stroke": _ink(stroke), "stroke-width": f"{width:g}", **_EVEN} if stroke else {}
    return {"fill": _ink(fill), **lined, **more}


def _lined(stroke: str, width: float, **more: str) -> dict[str, str]:
    return {"fill": "none", "stroke": _ink(stroke), "stroke-width": f"{width:g}", **_EVEN, **more}


def _worded(fill: str, **more: str) -> dict[str, str]:
    """Text with a rim of paper, so that lines below it do not cross it."""
    rim = {"stroke": _ink("paper"), "stroke-width": "0.35em", "paint-order": "stroke", "stroke-linejoin": "round"}
    return {"fill": _ink(fill), **rim, **more}


_BOLD = {"font-weight": "bold"}
# Painted stroke first, so that outlines laid over each other look like one body.
_BODY = {"paint-order": "stroke", "stroke-linejoin": "round"}
_ROUND = {"stroke-linecap": "round", "stroke-linejoin": "round"}

LOOKS: dict[str, dict[str, str]] = {
    "blade": _filled("card", "ink", 3.2, **_BODY),
    "arm": _filled("card", "ink", 3.2, **_BODY),
    "steel": _filled("card", "ink", 1.3, **_ROUND),
    "pressure": _filled("gaps", "ink", 1.3, **_ROUND),
    "fixed": _filled("free", "quiet", 2, **_BODY),
    "grip": _filled("free", "quiet", 2, **_BODY),
    "rod": _filled("card", "ink", 1.3),
    "bearing": _filled("card", "ink", 1.3),
    "ball": _filled("paper", "ink", 1.3),
    "lining": _filled("stretch"),
    "core": _filled("quiet"),
    "plate": _filled("quiet", "", 0.0, **{"fill-opacity": "0.55"}),
    "pin": _filled("paper", "ink", 1.3),
    "nipple": _filled("ink"),
    "point": _filled("ink"),
    "rope": _lined("ink", 2, **_ROUND),
    "sheath": _lined("quiet", 6),
    "break": _lined("ink", 1.3, **_ROUND),
    "assist": _lined("return", 3, **{"stroke-dasharray": "2 2"}),
    "thin": _lined("quiet", 1),
    "axis": _lined("quiet", 1, **{"stroke-dasharray": "12 3 2 3"}),
    "window": _lined("quiet", 1, **{"stroke-dasharray": "4 3"}),
    "scale": _lined("ink", 1.5),
    "leader": _lined("quiet", 0.8),
    "wire-back": _lined("quiet", 3, **_ROUND),
    "wire-edge": _lined("ink", 6.4, **_ROUND),
    "wire": _lined("spare", 3.8, **_ROUND),
    "way": _lined("quiet", 1, **{"stroke-dasharray": "3 3"}),
    "arrow": _lined("pull", 4),
    "arrowhead": _filled("pull"),
    "band-plain": _lined("line", 9),
    "band-free": _lined("free", 9),
    "band-bite": _lined("gaps", 9),
    "band-spare": _lined("spare", 9),
    "band-missing": _lined("alert", 9, **{"stroke-dasharray": "2 2"}),
    "tick": _lined("ink", 1.2),
    "release": _lined("ink", 2.6),
    "pointer": _filled("pull"),
    "ruler-bite": _filled("bite", "quiet", 0.6),
    "ruler-gaps": _filled("gaps", "quiet", 0.6),
    "ruler-spare": _filled("spare", "quiet", 0.6),
    "ruler-missing": _filled("missing", "alert", 1, **{"stroke-dasharray": "3 2"}),
    "ghost": _lined("pull", 1.6, **{"stroke-dasharray": "5 3", **_ROUND}),
    "rest": _lined("quiet", 1.1, **{"stroke-dasharray": "1 3", **_ROUND}),
    "hit": {"fill": "transparent", "stroke": "transparent", "stroke-width": "36", **_EVEN, "cursor": "grab"},
    "text": _worded("ink"),
    "quiet-text": _worded("quiet"),
    "strong-text": _worded("ink", **_BOLD),
    "pull-text": _worded("pull", **_BOLD),
    "before-text": _worded("pull"),
    "return-text": _worded("return", **_BOLD),
}
