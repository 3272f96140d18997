"""Studies for programs: one that is asked for, and how it stands."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, HTTPException, Query
from fastapi.responses import JSONResponse, Response

from clutchwright.web.jobs import Job, Jobs
from clutchwright.web.wishes import JobsOf, StudyOf

Data = dict[str, Any]
router = APIRouter()


@router.get("/bikes/{file}/study", tags=["bike"], responses={202: {"description": "How it stands, while it runs."}})
def study(
    asked: StudyOf,
    jobs: JobsOf,
    again: Annotated[bool, Query(description="Begin once more what failed or was cancelled.")] = False,
) -> Response:
    """The best compromises: begins the study, or finds it; its result when it is done."""
    job = jobs.start(asked.task(), again=again)
    if job.state == "done":
        return Response(jobs.study(job), media_type="application/json")
    if job.pending:
        headers = {"Location": f"/api/jobs/{job.id}", "Retry-After": "1"}
        return JSONResponse(job.to_json(), 202, headers=headers)
    return JSONResponse(job.to_json(), 409)


@router.get("/jobs/{key}", tags=["jobs"])
def job(key: str, jobs: JobsOf) -> Data:
    """How a study stands."""
    return _there(jobs, key).to_json()


@router.get("/jobs/{key}/setups", tags=["jobs"])
def setups(key: str, jobs: JobsOf) -> Response:
    """All setups of a study that keep its limits."""
    found = _there(jobs, key)
    if found.state != "done":
        raise HTTPException(409, f"this study is {found.state}, not done")
    return Response(jobs.setups(found), media_type="application/json")


@router.delete("/jobs/{key}", tags=["jobs"])
def cancel(key: str, jobs: JobsOf) -> Data:
    """End a study that waits or runs."""
    _there(jobs, key)
    jobs.cancel(key)
    return _there(jobs, key).to_json()


def _there(jobs: Jobs, key: str) -> Job:
    found = jobs.find(key)
    if found is None:
        raise HTTPException(404, "there is no such study in this folder")
    return found
