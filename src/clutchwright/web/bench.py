"""What readings say, on one page: whether a change did as predicted, what is wrong, and how the bike really is."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import PurePath
from typing import Annotated, Any, Literal
from urllib.parse import quote

from fastapi import APIRouter, Form, Query
from fastapi.responses import HTMLResponse, RedirectResponse

from clutchwright import usecases_bench
from clutchwright.readings import template
from clutchwright.report.calibration import calibration_sheet
from clutchwright.report.comparison import comparison_sheet
from clutchwright.report.diagnosis import diagnosis_sheet
from clutchwright.report.sheet import Sheet, sheet_values
from clutchwright.web.asking import Asked, AskedOf, Folder, read_files
from clutchwright.web.pages import of_kind
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
    ask: Annotated[Wish, Query(description="What is asked of them.")] = "compare",
) -> HTMLResponse:
    """Answer: did it work."""
    files = of_kind(folder, "readings")
    values: dict[str, Any] = {"files": files, "chosen": tuple(readings or ()), "wishes": WISHES, "ask": ask}
    found = sheet_values(_SHEETS[ask](asked, folder, readings)) if readings else {"sheet": None}
    return question_page("worked.html", "worked", asked, **values, **found)


@router.post("/readings")
def begin_readings(asked: AskedOf, folder: Folder) -> RedirectResponse:
    """Put a file into the folder that says what to read of this bike, and open it to be filled in."""
    stem = PurePath(asked.file.name).stem
    names = (f"readings {stem}{ending}.csv" for ending in ("", *(f" {count}" for count in range(2, 1000))))
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
