"""What the page of changes needs while a slider moves: one small answer, from the same assessment as all else."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter
from fastapi.responses import JSONResponse

from clutchwright.assess.figures import FIGURES
from clutchwright.errors import Refusal
from clutchwright.picture.live import live_charts
from clutchwright.report.answer import answer
from clutchwright.report.data import finite
from clutchwright.report.figures import shown
from clutchwright.study.assessment import Assessment
from clutchwright.web.asking import Asked, AskedOf
from clutchwright.web.units import in_units

router = APIRouter()
LABELS = {figure.key: figure.label for figure in FIGURES}
# What is shown before and after, in this order.
NUMBERS = (
    "pull_peak_N",
    "hold_N",
    "release_margin_mm",
    "release_margin_finger_mm",
    "slip_margin_worn",
    "slip_margin_hot",
    "lift_full_mm",
    "clamp_worn_N",
)


@router.get("/bikes/{file}/live", tags=["bike"])
def live(asked: AskedOf) -> JSONResponse:
    """What changes do, for a page that redraws itself; ``refused`` says why one cannot be done."""
    return JSONResponse(live_data(asked))


def live_data(asked: Asked) -> dict[str, Any]:
    """The verdict in words, the main numbers before and after, and what the figures draw."""
    try:
        found = asked.assessment()
    except Refusal as refusal:
        return {"refused": str(refusal)}

    def said(text: str) -> str:
        return in_units(text, force=asked.force, length=asked.length)

    return finite(
        {
            "refused": "",
            "query": asked.query(),
            "word": found.verdict.word,
            "answer": said(answer(found)),
            "reasons": [said(reason) for reason in found.verdict.reasons[1:]],
            "numbers": {key: [said(before), said(now)] for key, _, before, now in numbers(found)},
            "charts": live_charts(found),
        }
    )


def numbers(assessment: Assessment) -> list[tuple[str, str, str, str]]:
    """Key, label, value before and value now of the main figures."""
    before = assessment.before or assessment
    return [(key, LABELS[key], shown(before, key), shown(assessment, key)) for key in NUMBERS]
