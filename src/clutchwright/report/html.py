"""Our HTML pages: one frame, figures drawn into it, nothing that needs a script or a request."""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from jinja2 import BaseLoader, Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from clutchwright import __version__
from clutchwright.picture import NARROW, WIDE, render
from clutchwright.picture.look import DARK, LIGHT

_PART_NAMES = re.compile(r' (?:role="graphics-[a-z]+"|aria-[a-z]+="[^"]*")')
# Classes of the words that tables show in colour.
_MARKS = {"passed": "passed", "tight": "tight", "failed": "failed", "not checked": "unchecked"}


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure, drawn for a desk and for a phone, with its caption."""

    wide: Markup
    narrow: Markup
    caption: str


def figure(draw: Callable[[int], Any], words: str) -> Figure:
    """Figure for a page.

    Parameters
    ----------
    draw : callable
        From the width [px] to a chart.
    words : str
        What it shows, for its caption and for readers who cannot see it.

    Returns
    -------
    Figure
        In the colours of the page.
    """
    wide, narrow = (_inline(render(draw(width), "svg"), words) for width in (WIDE, NARROW))
    return Figure(wide, narrow, words)


def fill(template: str, **values: Any) -> str:
    """Page from a template by its name, and what it shows."""
    return environment(PackageLoader("clutchwright.report")).get_template(template).render(**values)


def environment(loader: BaseLoader) -> Environment:
    """Templates with what all of ours know: colours, marks and the version."""
    made = Environment(loader=loader, autoescape=True, undefined=StrictUndefined)
    made.globals.update(light=LIGHT, dark=DARK, marks=_MARKS, version=__version__)
    return made


def _inline(svg: bytes, words: str) -> Markup:
    """SVG that takes its colours from the page and is read out as one picture, its parts without names of their own."""
    text = _PART_NAMES.sub("", svg.decode())
    for name, color in LIGHT.items():
        text = text.replace(f'"{color}"', f'"var(--{name})"')
    label = html.escape(words)
    text = text.replace("<svg ", f'<svg role="img" aria-label="{label}" ', 1)
    return Markup(text)  # noqa: S704  # drawn by us, its texts escaped by the renderer
