"""Where the lever should stand for a hand, the pulls that would suit it, and which springs may stay out."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Query
from fastapi.responses import HTMLResponse, RedirectResponse

from clutchwright import usecases
from clutchwright.numbers import decimal_text
from clutchwright.report.patterns import letters, patterns_sheet
from clutchwright.report.position import advice, cautions, gains, shortfall
from clutchwright.report.sheet import sheet_values
from clutchwright.study.assessment import Assessment
from clutchwright.study.hand_assessment import PostureEffort
from clutchwright.study.lever_position import LeverPosition
from clutchwright.study.target import LEAST, MOST
from clutchwright.web.asking import Asked, AskedOf
from clutchwright.web.showing import question_page

router = APIRouter(prefix="/bikes/{file}")


def placed(asked: Asked, found: Assessment) -> dict[str, Any]:
    """What the page of a hand shows beside the effort: targets for a study, and the best place for the lever.

    Parameters
    ----------
    asked : Asked
        The bike and a hand.
    found : Assessment
        Of the bike in this hand.

    Returns
    -------
    dict
        ``targets``: words and pull; ``place``: sentences, and the address that tries it.
    """
    position = _position(replace(asked, steps=(), samples=0))
    steps = tuple(map(str, position.steps))
    return {
        "targets": _targets(found),
        "place": {
            "shortfall": shortfall(position),
            "advice": advice(position),
            "gains": gains(position),
            "cautions": cautions(position),
            "try": asked.link("change", **{"with": steps}) if steps else "",
        },
    }


@lru_cache(maxsize=32)
def _position(asked: Asked) -> LeverPosition:
    rider = asked.rider
    if rider is None:
        message = "a place for the lever is found for a hand"
        raise ValueError(message)
    return usecases.lever_position(asked.bike, rider)


def _targets(found: Assessment) -> tuple[tuple[str, str], ...]:
    """Pulls to ask the study for, those that a lever could have."""
    hand = found.hand
    if hand is None:
        return ()
    worst: PostureEffort = max(hand.counting, key=lambda posture: posture.effort_peak)
    wanted = (
        (f"for {hand.hours:g} h", worst.target_pull_N),
        ("for half an hour", worst.short_pull_N),
        ("to pull it in at all", worst.once_pull_N),
    )
    today = found.figures["pull_peak_N"]
    return tuple((words, decimal_text(pull, 0)) for words, pull in wanted if LEAST <= pull <= min(MOST, today))


@router.get("/position")
def position(asked: AskedOf) -> RedirectResponse:
    """Answer: where should the lever stand; on the page of the hand."""
    return RedirectResponse(f"{asked.link('hand')}#place", 303)


@router.get("/patterns")
def patterns(
    asked: AskedOf,
    softer: Annotated[float, Query(ge=40.0, le=99.0, description="Rate of the softer springs, %.")] = 80.0,
) -> HTMLResponse:
    """Answer: which springs may stay out or be softer."""
    samples = asked.samples or usecases.SAMPLES
    found = usecases.list_patterns(asked.bike, softer, samples=samples, seed=asked.seed)
    sheet = patterns_sheet(asked.bike.name, found, rate_share=softer / 100.0, samples=samples)
    tries = tuple(
        (letters(each.pattern), asked.link("change", **{"with": tuple(map(str, each.pattern.steps))}))
        for each in found
        if each.word != "refused" and each.pattern.steps
    )
    values: dict[str, Any] = {"softer": softer, "tries": tries, "here": f"/bikes/{quote(asked.file.name)}/patterns"}
    return question_page("patterns.html", "change", asked, **values, **sheet_values(sheet))
