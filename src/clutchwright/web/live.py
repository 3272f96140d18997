"""What the page of changes needs while a slider moves: one small answer, from the same assessment as all else."""

from __future__ import annotations

from functools import lru_cache
from typing import Any, Literal

import orjson
from fastapi import APIRouter, Request, Response
from markupsafe import Markup

from clutchwright import usecases
from clutchwright.assess.figures import FIGURES
from clutchwright.changes import parse
from clutchwright.errors import Refusal
from clutchwright.picture.live import live_charts
from clutchwright.picture.mechanism import mechanism_caption, mechanism_data, mechanism_svg
from clutchwright.report.answer import answer
from clutchwright.report.figures import shown
from clutchwright.study.assessment import Assessment
from clutchwright.study.mechanism import Mechanism
from clutchwright.web.asking import Asked, AskedOf, read_bike
from clutchwright.web.units import in_units
from clutchwright.workspace import File

router = APIRouter()
SIZES: tuple[Literal["wide", "narrow"], ...] = ("wide", "narrow")
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
def live(asked: AskedOf, request: Request) -> Response:
    """What changes do, for a page that redraws itself; ``refused`` says why one cannot be done."""
    return Response(request.app.state.crew.live(asked), media_type="application/json")


def live_json(asked: Asked) -> bytes:
    """The same as JSON: orjson is ten times as fast, and writes null for what is not finite by itself."""
    return orjson.dumps(live_data(asked))


def live_data(asked: Asked) -> dict[str, Any]:
    """The verdict in words, the main numbers before and after, and what the figures draw."""
    try:
        found = asked.assessment()
    except Refusal as refusal:
        return {"refused": str(refusal)}

    def said(text: str) -> str:
        return in_units(text, force=asked.force, length=asked.length)

    return {
        "refused": "",
        "query": asked.query(),
        "word": found.verdict.word,
        "answer": said(answer(found)),
        "reasons": [said(reason) for reason in found.verdict.reasons[1:]],
        "numbers": {key: [said(before), said(now)] for key, _, before, now in numbers(found)},
        "charts": live_charts(found),
        "mechanism": mechanism_data(*mechanisms(asked)),
    }


def numbers(assessment: Assessment) -> list[tuple[str, str, str, str]]:
    """Key, label, value before and value now of the main figures."""
    before = assessment.before or assessment
    return [(key, LABELS[key], shown(before, key), shown(assessment, key)) for key in NUMBERS]


def mechanisms(asked: Asked) -> tuple[Mechanism, Mechanism | None]:
    """How the parts move with the changes, and as they are where there are any."""
    now = _mechanism(asked.file, asked.steps)
    return now, _mechanism(asked.file, ()) if asked.steps else None


def mechanism_figure(asked: Asked) -> dict[str, Any]:
    """What a page shows of it: the drawing on a desk and on a phone, its caption, and the data that move it."""
    shown = mechanisms(asked)
    wide, narrow = (Markup(mechanism_svg(*shown, size=size)) for size in SIZES)  # noqa: S704  # drawn by us
    return {"wide": wide, "narrow": narrow, "caption": mechanism_caption(*shown), "data": mechanism_data(*shown)}


@lru_cache(maxsize=64)
def _mechanism(file: File, steps: tuple[str, ...]) -> Mechanism:
    return usecases.show_mechanism(read_bike(file), tuple(map(parse, steps)))
