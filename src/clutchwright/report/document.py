"""An assessment as a document: sentences and tables of text, the same for the terminal and the page."""

from __future__ import annotations

from dataclasses import dataclass

from clutchwright.plain import printable
from clutchwright.report.answer import answer, certainty, headline_reasons
from clutchwright.report.budgets import force_table, places_table, travel_table
from clutchwright.report.cautions import CAUTIONS
from clutchwright.report.figures import deciding_table, figure_tables
from clutchwright.report.hand import HandText, hand_text
from clutchwright.report.legend import legend
from clutchwright.report.lists import assumed_table, changes_table, checks_table
from clutchwright.report.table import Table
from clutchwright.study.assessment import Assessment


@dataclass(frozen=True, slots=True)
class Document:
    """All there is to read about an assessment.

    Parameters
    ----------
    name : str
        The bike's name, without characters that steer a terminal or turn the reading direction.
    word : str
        Verdict.
    answer : str
        One sentence: how heavy, and what decides.
    reasons : tuple of str
        The other reasons for the verdict.
    changes : Table
        What was changed; without rows when nothing was.
    deciding : Table
        The few figures that decide.
    figures : tuple of Table
        All figures by group.
    places, force, travel : Table
        Where force and travel go; without rows where the release point is out of reach.
    certainty : tuple of str
        How sure the verdict is.
    assumed, checks : Table
        Values nobody measured; geometry.
    legend : Table
        What the words of verdict and checks mean.
    warnings, cautions : tuple of str
        What to keep in mind; the first caution is the shortest that will do.
    hand : HandText | None
        What the lever asks of a hand; None without one.
    """

    name: str
    word: str
    answer: str
    reasons: tuple[str, ...]
    changes: Table
    deciding: Table
    figures: tuple[Table, ...]
    places: Table
    force: Table
    travel: Table
    certainty: tuple[str, ...]
    assumed: Table
    checks: Table
    legend: Table
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]
    hand: HandText | None


def document(assessment: Assessment) -> Document:
    """Everything to read about an assessment.

    Parameters
    ----------
    assessment : Assessment
        What was found.

    Returns
    -------
    Document
        Text only, rounded to what the uncertainty allows.
    """
    return Document(
        name=printable(assessment.name),
        word=assessment.verdict.word,
        answer=answer(assessment),
        reasons=tuple(each for each in assessment.verdict.reasons if each not in headline_reasons(assessment)),
        changes=changes_table(assessment.changes),
        deciding=deciding_table(assessment),
        figures=figure_tables(assessment),
        places=places_table(assessment),
        force=force_table(assessment),
        travel=travel_table(assessment),
        certainty=certainty(assessment),
        assumed=assumed_table(assessment.assumed),
        checks=checks_table(assessment),
        legend=legend(assessment),
        warnings=assessment.warnings,
        cautions=CAUTIONS,
        hand=hand_text(assessment),
    )
