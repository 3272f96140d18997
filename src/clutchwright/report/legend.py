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

GLOSSARY = {
    "±": "one standard uncertainty: two thirds of repeated readings lie within it, 19 of 20 within twice as much",
    "as filed": "as the bike file says it, without changes",
    "assumed": "nobody measured it; a usual value stands in, with a wide uncertainty",
    "bite band": "finger travel over which the clutch takes hold, from first to full torque",
    "boss": "place that holds one clutch spring and its bolt",
    "capacity, demand": "torque the pack can carry; torque the engine asks of it",
    "change, setup": "one modification; a bike with changes",
    "clamp": "force that presses the pack together, lever out",
    "drag": "the pack still carries with the lever in",
    "effort share": "pull divided by what this hand can do at that span",
    "finger point": "where the middle of the pulling fingers meets the lever",
    "floor": "least constant pull that leverage alone could ever reach",
    "free play": "movement at the fingers before the arm at the engine starts to turn",
    "lift": "travel of the pressure plate away from the pack",
    "margin once it slips": "slip margin while the faces slide: below 1 a slip goes on until the throttle closes",
    "odds": "how much more likely the readings are with a fault than without it, as a power of ten: +1 is ten times",
    "pack": "friction and steel plates together",
    "possible bikes": "bikes that fit what was measured, drawn by chance; how many slip is the chance that yours does",
    "pull, return": "force at the finger point while pulling in, and while letting out",
    "reading": "one measurement, with how it was taken and how sure it is",
    "release margin": "lift, or finger travel, to spare beyond a clean release",
    "slip margin": "torque the pack can carry over the torque asked: below 1 it slips",
    "span": "distance the hand bridges, from the back of the grip to the front of the lever",
}


def glossary() -> Table:
    """The words that pages and reports use, each with its meaning."""
    return Table("Words", (Column("Word"), Column("Meaning")), tuple(map(Row, GLOSSARY.items())))


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
