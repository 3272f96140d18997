"""All figures of an assessment in one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from clutchwright.picture.force import force_budget
from clutchwright.picture.look import WIDE
from clutchwright.picture.pull import pull_curve
from clutchwright.picture.travel import travel_budget
from clutchwright.study.assessment import Assessment

if TYPE_CHECKING:
    import altair as alt


def overview(assessment: Assessment, *, width: int = WIDE) -> alt.VConcatChart:
    """Pull curve, force budget and travel budget below one another.

    Parameters
    ----------
    assessment : Assessment
        What to show.
    width : int
        Whole width [px].

    Returns
    -------
    altair.VConcatChart
        Under the bike's name and the verdict's word.
    """
    import altair as alt

    parts = [figure(assessment, width=width) for figure in (pull_curve, force_budget, travel_budget)]
    title = alt.Title(assessment.name, subtitle=f"verdict: {assessment.verdict.word}", fontSize=18, limit=width)
    return alt.vconcat(*parts, title=title, spacing=34).resolve_scale(x="independent", y="independent")
