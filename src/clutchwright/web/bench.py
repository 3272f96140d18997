"""What readings say, on one page: whether a change did as predicted, what is wrong, and how the bike really is."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import PurePath
from typing import Annotated, Any, Literal
from urllib.parse import quote

from fastapi import APIRouter, Form, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from clutchwright import usecases_bench
from clutchwright.readings import template
from clutchwright.report.calibration import calibration_sheet
from clutchwright.report.comparison import comparison_sheet
from clutchwright.report.diagnosis import diagnosis_sheet
from clutchwright.report.readings_sheet import readings_pdf
from clutchwright.report.sheet import Sheet, sheet_values
from clutchwright.web.asking import Asked, AskedOf, Folder, read_files
from clutchwright.web.pages import of_kind
from clutchwright.web.panel import panel, steps_given
from clutchwright.web.showing import question_page
from clutchwright.workspace import File, Workspace

router = APIRouter(prefix="/bikes/{file}")
Wish = Literal["compare", "diagnose", "fit"]
WISHES: dict[Wish, str] = {
    "compare": "Did the work do what was predicted?",
    "diagnose": "What is wrong with it?",
    "fit": "What do they say of the bike?",
}


@router.get("/worked")
def worked(
    asked: AskedOf,
    folder: Folder,
    readings: Annotated[list[str] | None, Query(description="Files of readings.")] = None,
    ask: Annotated[Wish | None, Query(description="What is asked of them; whether it worked without it.")] = None,
) -> HTMLResponse:
    """Answer: did it work."""
    values: dict[str, Any] = {
        "files": of_kind(folder, "readings"),
        "chosen": tuple(readings or ()),
        "wishes": WISHES,
        "ask": ask or "compare",
        "missing": ask is not None and not readings,
        "switches": panel(asked.bike, asked.changes),
    }
    found = sheet_values(_SHEETS[ask or "compare"](asked, folder, readings)) if readings else {"sheet": None}
    return question_page("worked.html", "worked", asked, **values, **found)


@router.get("/worked/ask")
def ask_readings(
    asked: AskedOf,
    request: Request,
    readings: Annotated[list[str] | None, Query(description="Files of readings.")] = None,
    ask: Annotated[Wish, Query(description="What is asked of them.")] = "compare",
) -> Response:
    """The answer with the changes that a plain form has ticked; where it takes a while, first a page that says so."""
    there = {"with": steps_given(asked.bike, request.query_params), "readings": tuple(readings or ()), "ask": ask}
    to = asked.link("worked", **there)
    if ask == "compare" or not readings:
        return RedirectResponse(to, 303)
    return question_page("waiting.html", "worked", asked, to=to, wish=WISHES[ask])


@router.get("/readings.pdf")
def readings_to_print(asked: AskedOf) -> Response:
    """A sheet to print and fill in by hand, for the readings that suit this bike."""
    name = f"{_plain(asked.file.name)}-readings.pdf"
    headers = {"Content-Disposition": f"inline; filename*=UTF-8''{quote(name)}"}
    return Response(readings_pdf(asked.bike), media_type="application/pdf", headers=headers)


@router.post("/readings")
def begin_readings(asked: AskedOf, folder: Folder) -> RedirectResponse:
    """Put a file into the folder that says what to read of this bike, and open it to be filled in."""
    stem = _plain(asked.file.name)
    names = (f"{stem}-readings{ending}.csv" for ending in ("", *(f"-{count}" for count in range(2, 1000))))
    name = next(new for new in names if not folder.path(new).exists())
    folder.save(File(name, template(asked.bike).encode()), based_on=None)
    return RedirectResponse(f"/files/{quote(name)}", 303)


@router.post("/calibrated")
def save_calibrated(
    asked: AskedOf, folder: Folder, readings: Annotated[list[str], Form(description="Files of readings.")]
) -> RedirectResponse:
    """Save the bike as the readings say it is, in a new file; the old one stays."""
    found = usecases_bench.fit_bike(asked.bike, read_files(folder, readings), asked.changes, seed=asked.seed)
    name = _new_name(folder, asked.file.name)
    text = usecases_bench.calibrated_text(asked.file.text, found, name)
    folder.save(File(name, text.encode()), based_on=None)
    return RedirectResponse(f"/bikes/{quote(name)}/heavy", 303)


def _plain(name: str) -> str:
    """A file's name without its ending and without spaces."""
    return PurePath(name).stem.replace(" ", "-")


def _new_name(folder: Workspace, name: str) -> str:
    """A name that is free: that of the bike file, with ``calibrated`` and a number."""
    stem = PurePath(name).stem.partition(" calibrated")[0]
    numbers = range(1, 1000)
    return next(new for n in numbers if not folder.path(new := f"{stem} calibrated {n}.toml").exists())


def _compared(asked: Asked, folder: Workspace, names: list[str]) -> Sheet:
    found = usecases_bench.compare_readings(asked.bike, read_files(folder, names), asked.changes, seed=asked.seed)
    return comparison_sheet(asked.bike.name, found)


def _diagnosed(asked: Asked, folder: Workspace, names: list[str]) -> Sheet:
    files = read_files(folder, names)
    return diagnosis_sheet(usecases_bench.diagnose_bike(asked.bike, files, asked.changes, seed=asked.seed))


def _fitted(asked: Asked, folder: Workspace, names: list[str]) -> Sheet:
    files = read_files(folder, names)
    return calibration_sheet(usecases_bench.fit_bike(asked.bike, files, asked.changes, seed=asked.seed))


_SHEETS: dict[Wish, Callable[[Asked, Workspace, list[str]], Sheet]] = {
    "compare": _compared,
    "diagnose": _diagnosed,
    "fit": _fitted,
}
