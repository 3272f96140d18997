"""Line drawings of our own: where to hold the calliper, hook the scale, lay the protractor."""

from __future__ import annotations

from collections.abc import Callable

from markupsafe import Markup, escape

from clutchwright.bikefile.measured import lot
from clutchwright.tomlfile.interview import Question
from clutchwright.web.drawings import actuation, clutch, hand, lever, lift, springs
from clutchwright.web.drawings.strokes import svg

CHOICE_VIEW = "190 50 150 120"
DRAWINGS: dict[str, Callable[[], list[str]]] = (
    lever.DRAWINGS | actuation.DRAWINGS | lift.DRAWINGS | springs.DRAWINGS | clutch.DRAWINGS | hand.DRAWINGS
)


def drawing(question: Question, kind: str = "") -> Markup | None:
    """Picture for a question; None where there is nothing to draw.

    Parameters
    ----------
    question : Question
        What is asked.
    kind : str
        Form of its section, where keys of the same name are drawn differently.

    Returns
    -------
    Markup | None
        SVG with a title and a description, its colours from the style sheet.
    """
    key = lot(question.key)
    draw = DRAWINGS.get(f"{key} {kind}") or DRAWINGS.get(key)
    if draw is None:
        return None
    # drawn by us, all else escaped
    return Markup(svg(draw(), title=escape(question.label), about=escape(question.how)))  # noqa: S704


def choice_drawing(question: Question, word: str) -> Markup | None:
    """Picture of one of the kinds to choose from; None where there is nothing to draw."""
    draw = DRAWINGS.get(f"{question.key}={word}")
    if draw is None:
        return None
    return Markup(svg(draw(), view=CHOICE_VIEW))  # noqa: S704  # drawn by us
