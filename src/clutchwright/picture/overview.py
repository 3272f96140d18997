"""All figures of an assessment in one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from clutchwright.picture.changed import changed_lines
from clutchwright.picture.force import force_budget
from clutchwright.picture.hand import hand_effort
from clutchwright.picture.look import WIDE, Picture, split
from clutchwright.picture.pull import pull_curve
from clutchwright.picture.remaining import remaining_capacity
from clutchwright.picture.travel import travel_budget
from clutchwright.study.assessment import Assessment


def overview(assessment: Assessment, *, width: int = WIDE) -> Picture:
    """Pull curve, what it asks of the hand where there is one, force budget and travel budget below one another.

    Parameters
    ----------
    assessment : Assessment
        What to show.
    width : int
        Whole width [px].

    Returns
    -------
    Picture
        Under the bike's name, the verdict's word and the changes made.
    """
    hand: list[Callable[..., Any]] = [hand_effort, remaining_capacity] if assessment.hand is not None else []
    parts = [
        pull_curve(assessment, width=width),
        *(split(figure(assessment, width=width)) for figure in hand),
        force_budget(assessment, width=width),
        travel_budget(assessment, width=width),
    ]
    subtitle = [f"verdict: {assessment.verdict.word}", *changed_lines(assessment.changes, width)]
    definition = {
        "title": {"text": assessment.name, "subtitle": subtitle, "fontSize": 18, "limit": width},
        "vconcat": [part.definition for part in parts],
        "spacing": 34,
        "resolve": {"scale": dict.fromkeys(("x", "y", "color"), "independent")},
    }
    return Picture(definition, {name: rows for part in parts for name, rows in part.rows.items()})
