"""The pages: one for each question about a bike. Each works as plain HTML, and shows what the reports show."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse

from clutchwright import usecases
from clutchwright.errors import InputError
from clutchwright.hand.riding import RIDINGS
from clutchwright.picture.live import live_charts
from clutchwright.report.claim import claim_sheet
from clutchwright.report.data import finite
from clutchwright.report.measure import measure_sheet
from clutchwright.report.page import page_values
from clutchwright.report.sheet import sheet_values
from clutchwright.study.one_kind import ways_to_say
from clutchwright.web.asking import AskedOf, Folder
from clutchwright.web.live import mechanism_figure, numbers
from clutchwright.web.panel import panel, steps_given
from clutchwright.web.placing import placed
from clutchwright.web.showing import question_page
from clutchwright.workspace import Workspace

router = APIRouter(prefix="/bikes/{file}")
# Kinds of riding whose name alone does not say what they are.
_IN_WORDS = {
    "town": "town, in gear 5 s before each start",
    "town_neutral": "town, neutral at stops",
    "town_held": "town, lever held at stops",
}


@router.get("/heavy")
def heavy(asked: AskedOf) -> HTMLResponse:
    """Answer: how heavy is it, and why."""
    sure = replace(asked, samples=asked.samples or usecases.SAMPLES)
    return question_page(
        "heavy.html", "heavy", asked, mechanism=mechanism_figure(asked), **page_values(sure.assessment())
    )


@router.get("/hand")
def hand(asked: AskedOf, folder: Folder) -> HTMLResponse:
    """Answer: is it too heavy for me."""
    values: dict[str, Any] = {
        "hands": of_kind(folder, "hand"),
        "ridings": {kind: _IN_WORDS.get(kind, kind.replace("_", " ")) for kind in RIDINGS},
    }
    if asked.hand is None:
        return question_page("hand_ask.html", "hand", asked, **values)
    sure = replace(asked, samples=asked.samples or usecases.SAMPLES)
    found = sure.assessment()
    return question_page("hand.html", "hand", asked, **values, **placed(asked, found), **page_values(found))


@router.get("/change")
def change(asked: AskedOf) -> HTMLResponse:
    """Answer: what could I change."""
    switches, found = panel(asked.bike, asked.changes), asked.assessment()
    values = {"numbers": numbers(found), "charts": finite(live_charts(found)), "mechanism": mechanism_figure(asked)}
    return question_page("change.html", "change", asked, switches=switches, **values, **page_values(found))


@router.get("/change/set")
def set_changes(asked: AskedOf, request: Request) -> RedirectResponse:
    """The same page with the changes that a plain form has switched on."""
    steps = steps_given(asked.bike, request.query_params)
    return RedirectResponse(asked.link("change", **{"with": steps}), 303)


@router.get("/claim")
def claim(
    asked: AskedOf,
    says: Annotated[str, Query(description="Share of the pull said to come off, such as 50%.")] = "",
    by: Annotated[str, Query(description="By which means.")] = "anything",
) -> HTMLResponse:
    """Answer: is that claim true."""
    values: dict[str, Any] = {"says": says, "by": by, "means": ways_to_say(), "wrong": ""}
    if not says:
        return question_page("claim.html", "claim", asked, sheet=None, **values)
    try:
        found = usecases.check_claim(asked.bike, says, by, samples=asked.samples or usecases.SAMPLES, seed=asked.seed)
    except InputError as error:
        return question_page("claim.html", "claim", asked, 422, sheet=None, **values | {"wrong": error.allowed})
    return question_page("claim.html", "claim", asked, **values, **sheet_values(claim_sheet(found)))


@router.get("/next")
def measure_next(asked: AskedOf) -> HTMLResponse:
    """Answer: what should I measure next."""
    found = usecases.find_doubts(asked.bike, asked.changes)
    first = (*found.measurements.worth, *found.measurements.surer_of_pull)[:1]
    return question_page(
        "next.html",
        "next",
        asked,
        first=tuple(each.key for each in first),
        **sheet_values(measure_sheet(found, asked.bike)),
    )


def of_kind(folder: Workspace, kind: str) -> dict[str, str]:
    """The folder's usable files of a kind: their titles by name."""
    return {entry.name: entry.title for entry in folder.entries() if entry.kind == kind and not entry.error}


@router.get("")
def bike(asked: AskedOf) -> RedirectResponse:
    """The first question."""
    return RedirectResponse(f"/bikes/{quote(asked.file.name)}/heavy", 303)
