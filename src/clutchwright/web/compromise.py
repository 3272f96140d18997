"""The page of the compromises and the page of a plan."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Form, Query
from fastapi.responses import HTMLResponse, RedirectResponse

from clutchwright import usecases
from clutchwright.picture.front import stairs
from clutchwright.quantity import other_units
from clutchwright.report.cautions import CAUTIONS
from clutchwright.report.plan import plan_sheet
from clutchwright.report.setups import study_from_json
from clutchwright.report.sheet import sheet_values
from clutchwright.report.study import study_sheet
from clutchwright.study.choice import chosen_of
from clutchwright.study.studying import within
from clutchwright.web.asking import AskedOf, Folder
from clutchwright.web.compromise_picture import SIZES, pictures
from clutchwright.web.jobs import Job, Jobs
from clutchwright.web.pages import of_kind
from clutchwright.web.showing import question_page
from clutchwright.web.wishes import Budget, Filled, JobsOf, StudyAsked, StudyOf, loaded, study_filled
from clutchwright.workspace import File

router = APIRouter(prefix="/bikes/{file}")
# One after the other on the page: which limits the form asks for, and in what.
AMOUNTS = (
    ("target", "Pull wanted, N", "the lightest when empty"),
    ("slips_percent", "May slip, worn and hot, %", "of the possible bikes"),
    ("drags_percent", "May not release, %", "of the possible bikes"),
    ("money", "Money at most", "no limit when empty"),
    ("work", "Hours of work at most", "no limit when empty"),
)


@router.get("/compromise")
def compromise(study: StudyOf, budget: Annotated[Budget, Query()], folder: Folder, jobs: JobsOf) -> HTMLResponse:
    """Answer: which changes are worth it."""
    catalogues = of_kind(folder, "catalogue")
    if study.catalogue is None and catalogues:
        study = replace(study, catalogue=folder.read(next(iter(catalogues))))
        job = None
    else:
        job = None if study.catalogue is None else jobs.find(study.task().id)
    values: dict[str, Any] = {
        "study": study,
        "budget": budget,
        "job": job,
        "amounts": _amounts(study, budget),
        "catalogues": catalogues,
        "hands": of_kind(folder, "hand"),
        "worth": _worth("_N", study.asked.force),
        "length_worth": _worth("_mm", study.asked.length),
        "options": () if study.catalogue is None else study.options().options,
        "found": _found(study, budget, jobs, job) if job is not None and job.state == "done" else None,
    }
    return question_page("compromise.html", "compromise", study.asked, **values)


@router.post("/compromise")
def begin(asked: AskedOf, filled: Annotated[Filled, Form()], folder: Folder, jobs: JobsOf) -> RedirectResponse:
    """Start what the form asks for, or find it, and go back to the page."""
    study = study_filled(asked, filled, folder)
    jobs.start(study.task(), again=True)
    budget = Budget(money=filled.money, work=filled.work)
    return RedirectResponse(study.link("compromise", budget), 303)


@router.post("/compromise/list")
def make_list(asked: AskedOf, folder: Folder) -> RedirectResponse:
    """Write a list of what could be done to this bike, or find the one written before, and choose it."""
    name = f"jobs for {asked.file.name}"
    if name not in of_kind(folder, "catalogue"):
        folder.save(File(name, usecases.catalogue_for(asked.bike).encode()), based_on=None)
    return RedirectResponse(asked.link("compromise", catalogue=name), 303)


@router.post("/compromise/cancel")
def cancel(study: StudyOf, budget: Annotated[Budget, Query()], jobs: JobsOf) -> RedirectResponse:
    """End the study, and go back to the page."""
    jobs.cancel(study.task().id)
    return RedirectResponse(study.link("compromise", budget), 303)


@router.get("/plan", response_model=None)
def plan(study: StudyOf) -> HTMLResponse | RedirectResponse:
    """The changes one by one, each with its reading, its checks and when to stop."""
    asked = study.asked
    if not asked.steps:
        return RedirectResponse(f"/bikes/{quote(asked.file.name)}/compromise", 303)
    sheet = plan_sheet(study.plan(), asked.bike)
    return question_page("plan.html", "compromise", asked, study=study, **sheet_values(sheet))


def _worth(ending: str, unit: str) -> float:
    """A unit, in the one that keys end in."""
    return float(other_units(ending).get(unit, 1.0))


def _amounts(study: StudyAsked, budget: Budget) -> tuple[tuple[str, str, str, str], ...]:
    """Name, label, explanation and value of each limit in the form."""
    given = study.wishes.model_dump() | budget.model_dump()
    return tuple(
        (name, label, note, "" if given[name] is None else f"{given[name]:g}") for name, label, note in AMOUNTS
    )


def _found(study: StudyAsked, budget: Budget, jobs: Jobs, job: Job) -> dict[str, Any]:
    """What the page shows of a study that is done."""
    task, target = job.task, study.wishes.target
    whole = study_from_json(loaded(jobs.study(job)), task.request.parsed_catalogue())
    result = within(whole, budget.spent)
    setups = loaded(jobs.setups(job))
    chosen = chosen_of(result, target)
    sheet = study_sheet(result, chosen, target_N=target)
    shown = sorted({*stairs(result.front), *(() if chosen is None else (chosen,))})
    links = tuple(_links(study, setup.steps) for setup in result.front)
    return {
        "sheet": sheet,
        "cautions": CAUTIONS,
        "rows": tuple(zip(sheet.parts[0].tables[0].rows, (*(links[place] for place in shown), None), strict=True)),
        "setups": setups,
        "pictures": pictures(setups, result.front, budget.spent, target) if whole.front else (),
        "links": links,
        "sizes": SIZES,
        "front": result.front,
        "missed": result.asked is not None,
        "chosen": chosen,
    }


def _links(study: StudyAsked, steps: tuple[object, ...]) -> dict[str, str]:
    """Where a setup is seen, and where it becomes the plan; a setup without any change has no plan."""
    taken = tuple(map(str, steps))
    plan = study.link("plan", None, **{"with": taken}) if taken else ""
    return {"see": study.asked.link("change", **{"with": taken}), "plan": plan}
