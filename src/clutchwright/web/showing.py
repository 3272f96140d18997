"""From templates to answers: what every page shares."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from fastapi.responses import HTMLResponse
from jinja2 import ChoiceLoader, Environment, PackageLoader

from clutchwright.report.html import environment
from clutchwright.web.asking import Asked
from clutchwright.web.units import FORCES, LENGTHS, page_in_units


@dataclass(frozen=True, slots=True)
class Question:
    """A page.

    Parameters
    ----------
    path : str
        Last part of its address.
    words : str
        What it answers.
    """

    path: str
    words: str


QUESTIONS = (
    Question("heavy", "How heavy is it, and why?"),
    Question("hand", "Is it too heavy for me?"),
    Question("change", "What could I change?"),
    Question("compromise", "Which changes are worth it?"),
    Question("claim", "Is that claim true?"),
    Question("next", "What should I measure next?"),
    Question("worked", "Did it work?"),
)


@cache
def templates() -> Environment:
    """Our own templates, and those of the reports that they take parts from."""
    return environment(ChoiceLoader([PackageLoader("clutchwright.web"), PackageLoader("clutchwright.report")]))


def shown(template: str, status: int = 200, **values: Any) -> HTMLResponse:
    """A page from a template and what it shows."""
    return HTMLResponse(_rendered(template, **values), status)


def question_page(template: str, question: str, asked: Asked, status: int = 200, **values: Any) -> HTMLResponse:
    """The page of a question about a bike, in the units asked for."""
    html = _rendered(template, question=question, asked=asked, forces=FORCES, lengths=LENGTHS, **values)
    return HTMLResponse(page_in_units(html, force=asked.force, length=asked.length), status)


def _rendered(template: str, **values: Any) -> str:
    return templates().get_template(template).render(questions=QUESTIONS, **values)
