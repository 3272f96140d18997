"""The assessment as one HTML page that needs nothing beside itself: no script and no request."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from clutchwright.picture import force_budget, hand_effort, pull_curve, remaining_capacity, travel_budget
from clutchwright.picture.changed import changes_text
from clutchwright.report.document import document
from clutchwright.report.figures import shown
from clutchwright.report.html import Figure, figure, fill
from clutchwright.study.assessment import Assessment


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
    return fill("assessment.html", **page_values(assessment))


def page_values(assessment: Assessment) -> dict[str, Any]:
    """What the template of an assessment shows: its text, and its figures drawn."""
    changed = f" Changed: {changes_text(assessment.changes)}." if assessment.before else ""
    dashed = f" Dashed: before the changes.{changed}" if assessment.before else ""
    beside = f" On the left: before the changes.{changed}" if assessment.before else ""
    return {
        "text": document(assessment),
        "pull": _figure(assessment, pull_curve, f"{_pull_words(assessment)}{dashed}"),
        "force": _figure(assessment, force_budget, f"{_force_words(assessment)}{dashed}"),
        "travel": _figure(assessment, travel_budget, f"{_travel_words(assessment)}{beside}"),
        "hand": _hand_figures(assessment, dashed),
    }


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


def _hand_figures(assessment: Assessment, dashed: str) -> tuple[Figure, ...]:
    """The figures of the hand; none without one."""
    if assessment.hand is None:
        return ()
    effort = (
        "What the hand can do along the stroke in the saddle, the pull that lasts the time wanted, and what the lever "
        f"asks; below, the lever's part in it.{dashed}"
    )
    left = f"Strength left after each pull, by one model of fatigue, while the lever is held at its stop.{dashed}"
    return _figure(assessment, hand_effort, effort), _figure(assessment, remaining_capacity, left)


def _figure(assessment: Assessment, draw: Callable[..., Any], words: str) -> Figure:
    return figure(lambda width: draw(assessment, width=width), words)
