"""Files in the making: each answer is kept at once in the folder, so that any device goes on where it was."""

from __future__ import annotations

import re
import secrets
import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from clutchwright import bikefile, handfile
from clutchwright.errors import InputError
from clutchwright.files import read_bytes, write_whole
from clutchwright.tomlfile import draft as drafts
from clutchwright.tomlfile.draft import Draft, Progress, progress
from clutchwright.tomlfile.interview import Interview
from clutchwright.workspace import File, MissingError, Workspace

Kind = Literal["bike", "hand"]
INTERVIEWS: dict[Kind, Interview] = {"bike": bikefile.interview, "hand": handfile.interview}
_NAME = re.compile(r"(bike|hand)-([0-9a-f]{8})\.draft")
_WRITING = threading.Lock()


@dataclass(frozen=True, slots=True)
class Place:
    """Where one draft is kept.

    Parameters
    ----------
    folder : Workspace
        The folder.
    kind : Kind
        What it will be.
    number : str
        Which one; never used twice, so that an answer sent late cannot reach another draft.
    """

    folder: Workspace
    kind: Kind
    number: str

    @property
    def url(self) -> str:
        """Address of its page."""
        return f"/measure/{self.kind}/{self.number}"

    def read(self) -> Draft:
        """The answers so far; raises `MissingError` where there is none (any more)."""
        path = self._path("draft")
        if not path.exists():
            raise MissingError("draft", None, "is not there any more: finished or thrown away; look at the folder")
        return drafts.loads(read_bytes(path), INTERVIEWS[self.kind], str(path))

    def change(self, make: Callable[[Draft], Draft]) -> Draft:
        """Change the draft as it is now, and keep it."""
        with _WRITING:
            draft = make(self.read())
            write_whole(self._path("draft"), draft.dumps().encode())
        return draft

    def begin(self) -> None:
        """Keep a draft without answers."""
        write_whole(self._path("draft"), b"")

    def finish(self, name: str) -> None:
        """Make the file, "don't know" to all that is open; raises `InputError` where that cannot be."""
        with _WRITING:
            draft = self.read().assuming_the_rest()
            if draft is None:
                raise InputError("draft", None, "has questions that must be answered first")
            text = draft.interview.toml(draft.answers())
            draft.interview.read(text, name, draft.interview.layout)
            self.folder.save(File(name, text.encode()), based_on=None)
            write_whole(self._path("done"), name.encode())
            self._path("draft").unlink()

    def drop(self) -> None:
        """Throw the draft away."""
        with _WRITING:
            self._path("draft").unlink(missing_ok=True)

    @property
    def made(self) -> str:
        """Name of the file that it has become; empty where it has not."""
        path = self._path("done")
        return read_bytes(path).decode("utf-8", "replace") if path.exists() else ""

    def _path(self, ending: str) -> Path:
        return self.folder.store("drafts") / f"{self.kind}-{self.number}.{ending}"


def new_place(folder: Workspace, kind: Kind) -> Place:
    """Place of a draft that is not there yet."""
    return Place(folder, kind, secrets.token_hex(4))


@dataclass(frozen=True, slots=True)
class Begun:
    """A draft in the list of the folder.

    Parameters
    ----------
    place : Place
        Where it is kept.
    title : str
        Its name, or what it will be.
    progress : Progress | None
        How far it is; None where it cannot be read.
    """

    place: Place
    title: str
    progress: Progress | None


def begun(folder: Workspace) -> tuple[Begun, ...]:
    """All drafts of the folder."""
    names = (each.name for each in folder.stored("drafts"))
    found = [match for match in map(_NAME.fullmatch, names) if match is not None]
    return tuple(_begun(Place(folder, "hand" if match[1] == "hand" else "bike", match[2])) for match in found)


def _begun(place: Place) -> Begun:
    try:
        draft = place.read()
    except InputError as error:
        return Begun(place, str(error), None)
    return Begun(place, str(draft.answers().get("name", f"new {place.kind}")), progress(draft))
