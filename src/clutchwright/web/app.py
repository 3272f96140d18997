"""The workbench as one application: its folder, its guard, its pages and its interface for programs."""

from __future__ import annotations

from collections.abc import AsyncIterator, Collection
from contextlib import asynccontextmanager, suppress
from importlib import resources
from pathlib import Path
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, JSONResponse, Response
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware
from starlette.staticfiles import StaticFiles

from clutchwright import __version__
from clutchwright.errors import ClutchwrightError, InputError, Refusal
from clutchwright.plain import escaped
from clutchwright.web import (
    api,
    bench,
    compromise,
    description,
    drawing,
    files,
    improving,
    live,
    measuring,
    pages,
    placing,
    study_api,
)
from clutchwright.web.crew import Crew
from clutchwright.web.guard import Guard, Pairing
from clutchwright.web.jobs import Jobs
from clutchwright.web.lines import Turns
from clutchwright.web.showing import shown, templates
from clutchwright.workspace import ConflictError, MissingError, Workspace

LOCAL_HOSTS = ("localhost", "127.0.0.1", "::1")
DESCRIPTION = "/api/description.json"


def create_app(
    workspace: Workspace,
    *,
    hosts: Collection[str] = LOCAL_HOSTS,
    pairing: Pairing | None = None,
    crew: Crew | None = None,
) -> FastAPI:
    """The workbench.

    Parameters
    ----------
    workspace : Workspace
        The folder whose files it shows and writes.
    hosts : collection of str
        Names and addresses by which it may be called, without a port.
    pairing : Pairing | None
        Asked of other machines; None where only this one may come in.
    crew : Crew | None
        Who answers moving sliders; None for this process alone.

    Returns
    -------
    FastAPI
        An ASGI application.
    """
    app = FastAPI(
        title="clutchwright",
        version=__version__,
        summary="The workbench, for programs: each answer holds what the command line prints with --json.",
        docs_url=None,
        redoc_url=None,
        openapi_url=DESCRIPTION,
        license_info={"name": "MIT"},
        lifespan=_working,
    )
    app.state.workspace, app.state.pairing, app.state.jobs = workspace, pairing, Jobs(workspace)
    app.state.crew = crew or Crew(0)
    app.include_router(pages.router, include_in_schema=False)
    app.include_router(bench.router, include_in_schema=False)
    app.include_router(compromise.router, include_in_schema=False)
    app.include_router(placing.router, include_in_schema=False)
    app.include_router(measuring.router, include_in_schema=False)
    app.include_router(improving.router, include_in_schema=False)
    app.include_router(files.router, include_in_schema=False)
    for router in (api.router, live.router, study_api.router):
        app.include_router(router, prefix="/api", responses=api.PROBLEMS)
    app.include_router(drawing.router, responses=api.PROBLEMS)
    app.include_router(description.router, include_in_schema=False)
    static = resources.files("clutchwright").joinpath("web", "static")
    app.mount("/static", StaticFiles(directory=Path(str(static))), name="static")
    app.add_api_route("/look.css", _look, include_in_schema=False)
    for kind in (ClutchwrightError, RequestValidationError, HTTPException):
        app.add_exception_handler(kind, _answer_error)
    app.add_middleware(Turns)
    app.add_middleware(GZipMiddleware, minimum_size=1000, compresslevel=5)
    app.add_middleware(Guard, hosts=hosts, pairing=pairing)
    return app


@asynccontextmanager
async def _working(app: FastAPI) -> AsyncIterator[None]:
    """Go on with the studies that the last end cut off; end them with the program."""
    jobs: Jobs = app.state.jobs
    with suppress(InputError):  # a folder that nothing can be written in: its pages still show
        await run_in_threadpool(jobs.take_up)
    yield
    app.state.crew.stop()
    await run_in_threadpool(jobs.close)


def _look() -> Response:
    """Colours and shapes of the reports, which the pages share."""
    text = templates().get_template("look.css").render()
    return Response(text, media_type="text/css", headers={"Cache-Control": "max-age=3600"})


def _answer_error(request: Request, error: Exception) -> JSONResponse | HTMLResponse:
    """One line that says what is wrong: as JSON to programs, as a page to people."""
    status, message = _told(error)
    if request.url.path.startswith("/api/"):
        return JSONResponse({"error": message}, status, headers=getattr(error, "headers", None))
    return shown("error.html", status, message=message.removeprefix("--"))


def _told(error: Exception) -> tuple[int, str]:
    if isinstance(error, RequestValidationError):
        return 422, "; ".join(map(_wish, error.errors()))
    if isinstance(error, HTTPException):
        return error.status_code, error.detail
    statuses: dict[type[Exception], int] = {MissingError: 404, ConflictError: 409, InputError: 422, Refusal: 422}
    return next((status for kind, status in statuses.items() if isinstance(error, kind)), 422), str(error)


def _wish(found: dict[str, Any]) -> str:
    field = ".".join(str(part) for part in found["loc"][1:]) or "request"
    message = escaped(" ".join(found["msg"].split()))
    return f"{escaped(field)}: {message[:1].lower()}{message[1:]}"
