"""What the words of a verdict and of a check mean."""

from __future__ import annotations

from clutchwright.assess.verdict import DOUBTFUL, HARMLESS
from clutchwright.report.table import Column, Row, Table
from clutchwright.report.words import share
from clutchwright.study.assessment import Assessment

VERDICT_WORDS = {
    "sound": "releases and carries the engine with comfort, new, and worn and hot; of the bikes that fit what was "
    f"measured, at most {share(DOUBTFUL)} fall short of any one of these limits; no check is tight or failed",
    "marginal": "keeps every limit, but one without comfort or not for sure, or a check is tight",
    "unsafe": "breaks a limit, or a check failed: not to be ridden so",
}
CHECK_WORDS = {
    "passed": "keeps its limit with room",
    "tight": "keeps its limit, only just: marginal",
    "failed": "breaks its limit: unsafe",
    "not checked": "a measurement is missing: not known to be fine, and the verdict does not count it",
}


def legend(assessment: Assessment) -> Table:
    """The words of an assessment.

    Parameters
    ----------
    assessment : Assessment
        Its checks name those that, failed, make it only marginal.

    Returns
    -------
    Table
        Word and meaning.
    """
    mild = [check.label for check in assessment.checks if check.key in HARMLESS]
    meanings = {**VERDICT_WORDS, **CHECK_WORDS}
    if mild:
        meanings["failed"] += f"; only marginal, since they break nothing at once: {'; '.join(mild)}"
    rows = tuple(Row((word, meaning)) for word, meaning in meanings.items())
    return Table("What the words mean", (Column("Word"), Column("Meaning")), rows)
