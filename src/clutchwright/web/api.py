"""The interface for programs: each answer holds what the command line prints with --json for the same files."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query
from pydantic import BaseModel, Field

from clutchwright import usecases, usecases_bench
from clutchwright.changes import CHANGES
from clutchwright.report.calibration import calibration_to_json
from clutchwright.report.claim import claim_to_json
from clutchwright.report.comparison import comparison_to_json
from clutchwright.report.data import changes_to_json, to_json
from clutchwright.report.diagnosis import diagnosis_to_json
from clutchwright.report.measure import measure_to_json
from clutchwright.report.patterns import patterns_to_json
from clutchwright.report.plan import plan_to_json
from clutchwright.web.asking import AskedOf, Folder, read_files
from clutchwright.web.wishes import StudyOf

Data = dict[str, Any]
Names = Annotated[list[str] | None, Query(description="Files of readings of the folder.")]
router = APIRouter()


class Problem(BaseModel):
    """Why there is no answer."""

    error: str = Field(description="One line: what is wrong, and what to do.")


PROBLEMS: dict[int | str, dict[str, Any]] = {
    401: {"model": Problem, "description": "This device is not paired."},
    403: {"model": Problem, "description": "Asked from another site, or from another machine without --share."},
    404: {"model": Problem, "description": "There is no such file, or no such address."},
    409: {"model": Problem, "description": "It stands otherwise than the request takes it to."},
    421: {"model": Problem, "description": "Not one of this program's own addresses."},
    422: {"model": Problem, "description": "A file, a change or a value cannot be used."},
}


@router.get("/files", tags=["files"])
def files(folder: Folder) -> list[Data]:
    """All files of the folder: name, kind, title, and why one cannot be used."""
    return [{"name": e.name, "kind": e.kind, "title": e.title, "error": e.error} for e in folder.entries()]


@router.get("/changes", tags=["changes"])
def changes() -> list[Data]:
    """Every kind of change with its parameters, what it gives and what it takes."""
    return changes_to_json(CHANGES.values())


@router.get("/bikes/{file}/assessment", tags=["bike"])
def assessment(asked: AskedOf) -> Data:
    """How heavy the lever is and why, whether the clutch slips or drags, and what changes would do."""
    return to_json(asked.assessment())


@router.get("/bikes/{file}/claim", tags=["bike"])
def claim(
    asked: AskedOf,
    says: Annotated[str, Query(description="Share of the pull said to come off, such as 50%.")],
    by: Annotated[str, Query(description="By which means.")] = "anything",
) -> Data:
    """Whether a claim is possible on this bike, and how far one can get."""
    return claim_to_json(
        usecases.check_claim(asked.bike, says, by, samples=asked.samples or usecases.SAMPLES, seed=asked.seed)
    )


@router.get("/bikes/{file}/patterns", tags=["bike"])
def patterns(
    asked: AskedOf, softer: Annotated[float, Query(description="Rate of the softer springs, %.")] = 80.0
) -> Data:
    """The ways to leave out or soften coil springs."""
    found = usecases.list_patterns(asked.bike, softer, samples=asked.samples or usecases.SAMPLES, seed=asked.seed)
    return patterns_to_json(asked.bike.name, found, rate_share=softer / 100.0)


@router.get("/bikes/{file}/plan", tags=["bike"])
def plan(study: StudyOf) -> Data:
    """Changes in the best order, each with its reading, its checks and when to stop."""
    return plan_to_json(study.plan())


@router.get("/bikes/{file}/measure", tags=["bike"])
def measure(asked: AskedOf) -> Data:
    """What to measure next to be surer of the decision."""
    found = usecases.find_doubts(asked.bike, asked.changes, samples=asked.samples, seed=asked.seed)
    return measure_to_json(found)


@router.get("/bikes/{file}/fit", tags=["bench"])
def fit(asked: AskedOf, folder: Folder, readings: Names = None) -> Data:
    """What the readings say about the bike."""
    files_read = read_files(folder, readings or [])
    return calibration_to_json(usecases_bench.fit_bike(asked.bike, files_read, asked.changes, seed=asked.seed))


@router.get("/bikes/{file}/diagnosis", tags=["bench"])
def diagnosis(asked: AskedOf, folder: Folder, readings: Names = None) -> Data:
    """What is wrong with the bike by its readings."""
    files_read = read_files(folder, readings or [])
    return diagnosis_to_json(usecases_bench.diagnose_bike(asked.bike, files_read, asked.changes, seed=asked.seed))


@router.get("/bikes/{file}/compare", tags=["bench"])
def compare(asked: AskedOf, folder: Folder, readings: Names = None) -> Data:
    """Readings against what the bike file lets expect."""
    files_read = read_files(folder, readings or [])
    found = usecases_bench.compare_readings(asked.bike, files_read, asked.changes, seed=asked.seed)
    return comparison_to_json(asked.bike.name, found)
