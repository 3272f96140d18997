"""The folder's page: what is in it, bringing files in and taking them out, editing, undo; and letting a phone in."""

from __future__ import annotations

from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Form, Query, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from clutchwright import usecases
from clutchwright.bikefile import LARGEST
from clutchwright.errors import InputError
from clutchwright.web.asking import Folder
from clutchwright.web.drafts import begun
from clutchwright.web.guard import COOKIE, Pairing
from clutchwright.web.showing import shown
from clutchwright.workspace import ConflictError, File, MissingError, Workspace, checked

router = APIRouter()
DONE = {
    "renamed": "It has its new name, earlier versions with it.",
    "back": "It is back as it was.",
    "saved": "Saved.",
    "undone": "The version before is back.",
    "redone": "The version after is back.",
}
USES = {
    "hand": "A hand is chosen on a bike's page, under: Is it too heavy for me?",
    "readings": "Readings are chosen on a bike's page, under: Did it work?",
    "catalogue": "A catalogue is chosen on a bike's page, under: Which changes are worth it?",
}


@router.get("/")
def folder_page(folder: Folder) -> HTMLResponse:
    """What is in the folder."""
    entries, drafts = folder.entries(), begun(folder)
    removed, demos = folder.removed(), usecases.DEMOS
    return shown("folder.html", folder=str(folder.folder), entries=entries, drafts=drafts, removed=removed, demos=demos)


@router.post("/files/begin")
def begin(folder: Folder, demo: Annotated[str, Form()] = usecases.DEMOS[0]) -> RedirectResponse:
    """Put an invented bike into the folder, with all that goes with it, where its files are not there yet."""
    folder.put_demo(demo)
    return RedirectResponse(f"/bikes/{demo}.toml/heavy", 303)


@router.post("/files/import")
def bring_in(folder: Folder, upload: UploadFile) -> RedirectResponse:
    """Take a file into the folder, checked first; one of the same name is left alone."""
    file = File(upload.filename or "", upload.file.read(LARGEST + 1))
    folder.path(file.name)
    found = checked(file)
    if found.error:
        raise InputError("upload", file.name, f"is not taken in: {found.error}")
    folder.save(file, based_on=None)
    return RedirectResponse(f"/files/{quote(file.name)}", 303)


@router.get("/files/all.zip")
def take_out(folder: Folder) -> Response:
    """All files of the folder as one archive."""
    headers = {"Content-Disposition": 'attachment; filename="clutchwright.zip"'}
    return Response(folder.exported(), media_type="application/zip", headers=headers)


@router.get("/files/{name}")
def file_page(folder: Folder, name: str, done: str = "") -> HTMLResponse:
    """One file: its text to edit, the way back, and what was just done to it."""
    return _file_page(folder, folder.read(name), done=DONE.get(done, ""))


@router.get("/files/{name}/download")
def download(folder: Folder, name: str) -> Response:
    """One file as it is."""
    headers = {"Content-Disposition": f"attachment; filename*=UTF-8''{quote(name)}"}
    return Response(folder.read(name).content, media_type="application/octet-stream", headers=headers)


@router.post("/files/{name}", response_model=None)
def save(
    folder: Folder,
    name: str,
    text: Annotated[str, Form(max_length=LARGEST)],
    version: Annotated[str, Form(max_length=64)],
) -> HTMLResponse | RedirectResponse:
    """Save an edited file; where it cannot be, because of what it says or of another's change, its text stays."""
    file = File(name, text.replace("\r\n", "\n").encode())
    found = checked(file)
    if found.error:
        return _file_page(folder, folder.read(name), text=text, error=found.error, status=422)
    try:
        folder.save(file, based_on=version)
    except ConflictError:
        error = (
            "it has been changed elsewhere since you opened it. Your text is still below; saved again, it replaces that"
        )
        return _file_page(folder, folder.read(name), text=text, error=error, changed=True, status=409)
    return _back_to(name, "saved")


@router.post("/files/{name}/undo")
def undo(folder: Folder, name: str) -> RedirectResponse:
    """Go back to the version before."""
    folder.undo(name)
    return _back_to(name, "undone")


@router.post("/files/{name}/redo")
def redo(folder: Folder, name: str) -> RedirectResponse:
    """Go on to the version after."""
    folder.redo(name)
    return _back_to(name, "redone")


@router.post("/files/{name}/remove")
def remove(folder: Folder, name: str) -> RedirectResponse:
    """Take a file out of the folder; it can be brought back."""
    folder.remove(name)
    return RedirectResponse("/", 303)


@router.post("/files/{name}/back")
def bring_back(folder: Folder, name: str) -> RedirectResponse:
    """Put a removed file back."""
    folder.bring_back(name)
    return _back_to(name, "back")


@router.post("/files/{name}/rename", response_model=None)
def rename(folder: Folder, name: str, to: Annotated[str, Form(max_length=100)]) -> HTMLResponse | RedirectResponse:
    """Give a file another name."""
    ending = name[name.rindex(".") :] if "." in name else ""
    wanted = to.strip() if to.strip().endswith(ending) else f"{to.strip()}{ending}"
    try:
        folder.rename(name, wanted)
    except MissingError:
        raise
    except InputError as error:
        return _file_page(folder, folder.read(name), error=str(error), status=422)
    return _back_to(wanted, "renamed")


@router.get("/pair")
def pair_page(request: Request, code: Annotated[str, Query(max_length=12)] = "") -> HTMLResponse:
    """Ask for the code that the other machine shows."""
    return _pair_page(request, code)


@router.post("/pair", response_model=None)
def pair(request: Request, code: Annotated[str, Form(max_length=12)]) -> HTMLResponse | RedirectResponse:
    """Let a device in that knows the code."""
    pairing: Pairing | None = request.app.state.pairing
    token = "" if pairing is None else pairing.enter(code)
    if not token:
        return _pair_page(request, "", wrong=True)
    answer = RedirectResponse("/", 303)
    answer.set_cookie(COOKIE, token, httponly=True, samesite="strict", max_age=30 * 24 * 3600)
    return answer


def _pair_page(request: Request, code: str, *, wrong: bool = False) -> HTMLResponse:
    pairing: Pairing | None = request.app.state.pairing
    wait = 0.0 if pairing is None else pairing.wait()
    status = 429 if wait else 403 if wrong else 200
    return shown("pair.html", status, code=code, wrong=wrong, wait=round(wait), sharing=pairing is not None)


def _file_page(
    folder: Workspace,
    file: File,
    *,
    text: str = "",
    error: str = "",
    changed: bool = False,
    done: str = "",
    status: int = 200,
) -> HTMLResponse:
    undo, redo = folder.steps(file.name)
    told = {"text": text or file.text, "error": error, "changed": changed, "done": done, "uses": USES}
    return shown("file.html", status, file=file, entry=checked(file), undo=undo, redo=redo, **told)


def _back_to(name: str, done: str) -> RedirectResponse:
    return RedirectResponse(f"/files/{quote(name)}?done={done}", 303)
