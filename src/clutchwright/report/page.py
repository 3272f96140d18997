"""The assessment as one HTML page that needs nothing beside itself: no script and no request."""

from __future__ import annotations

import html
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from clutchwright import __version__
from clutchwright.picture import NARROW, WIDE, force_budget, pull_curve, render, travel_budget
from clutchwright.picture.look import DARK, LIGHT
from clutchwright.report.answer import shown
from clutchwright.report.document import document
from clutchwright.study.assessment import Assessment

_MARKS = {"passed": "passed", "tight": "tight", "failed": "failed", "not checked": "unchecked"}


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure, drawn for a desk and for a phone, with its caption."""

    wide: Markup
    narrow: Markup
    caption: str


def page(assessment: Assessment) -> str:
    """The assessment as a page.

    Parameters
    ----------
    assessment : Assessment
        What was found.

    Returns
    -------
    str
        HTML.
    """
    environment = Environment(
        loader=PackageLoader("clutchwright.report"), autoescape=True, undefined=StrictUndefined, trim_blocks=False
    )
    dashed = " Dashed: before the changes." if assessment.before else ""
    return environment.get_template("assessment.html").render(
        text=document(assessment),
        light=LIGHT,
        dark=DARK,
        marks=_MARKS,
        version=__version__,
        pull=_figure(assessment, pull_curve, f"{_pull_words(assessment)}{dashed}"),
        force=_figure(assessment, force_budget, f"{_force_words(assessment)}{dashed}"),
        travel=_figure(assessment, travel_budget, _travel_words(assessment)),
    )


def _pull_words(assessment: Assessment) -> str:
    stop = f"the lever's stop at {assessment.curve.travel_mm[-1]:.1f} mm"
    return (
        f"Peak pull {shown(assessment, 'pull_peak_N')}; hold {shown(assessment, 'hold_N')}. Finger travel to a clean "
        f"release: {shown(assessment, 'release_travel_mm')}; {stop}."
    )


def _force_words(assessment: Assessment) -> str:
    pull = shown(assessment, "pull_at_release_N")
    return f"Pull at release {pull}: the springs' load through all leverage, then what each loss adds on its way."


def _travel_words(assessment: Assessment) -> str:
    spare = shown(assessment, "release_margin_finger_mm")
    return f"The finger's way from rest to the lever's stop. Margin beyond a clean release: {spare}."


def _figure(assessment: Assessment, draw: Callable[..., Any], words: str) -> Figure:
    wide, narrow = (_inline(render(draw(assessment, width=width), "svg"), words) for width in (WIDE, NARROW))
    return Figure(wide, narrow, words)


def _inline(svg: bytes, words: str) -> Markup:
    """SVG that takes its colours from the page and is read out as one picture."""
    text = svg.decode()
    for name, color in LIGHT.items():
        text = text.replace(f'"{color}"', f'"var(--{name})"')
    label = html.escape(words)
    text = text.replace("<svg ", f'<svg role="img" aria-label="{label}" ', 1)
    return Markup(text)  # noqa: S704  # drawn by us, its texts escaped by the renderer
