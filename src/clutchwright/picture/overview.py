"""All figures of an assessment in one."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from clutchwright.picture.changed import changed_lines
from clutchwright.picture.force import force_budget
from clutchwright.picture.hand import hand_effort
from clutchwright.picture.look import WIDE
from clutchwright.picture.pull import pull_curve
from clutchwright.picture.remaining import remaining_capacity
from clutchwright.picture.travel import travel_budget
from clutchwright.study.assessment import Assessment

if TYPE_CHECKING:
    import altair as alt


def overview(assessment: Assessment, *, width: int = WIDE) -> alt.VConcatChart:
    """Pull curve, what it asks of the hand where there is one, force budget and travel budget below one another.

    Parameters
    ----------
    assessment : Assessment
        What to show.
    width : int
        Whole width [px].

    Returns
    -------
    altair.VConcatChart
        Under the bike's name, the verdict's word and the changes made.
    """
    import altair as alt

    figures: list[Callable[..., Any]] = [pull_curve, force_budget, travel_budget]
    figures[1:1] = [hand_effort, remaining_capacity] if assessment.hand is not None else []
    parts = [figure(assessment, width=width) for figure in figures]
    subtitle = [f"verdict: {assessment.verdict.word}", *changed_lines(assessment.changes, width)]
    title = alt.Title(assessment.name, subtitle=subtitle, fontSize=18, limit=width)
    return alt.vconcat(*parts, title=title, spacing=34).resolve_scale(x="independent", y="independent")
