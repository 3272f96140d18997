"""The user's folder: bikes, hands, readings and catalogues as plain files, saved whole, each version kept.

Every save says which version it was made from; where the file has changed since, nothing is written. What a file held
before lies in ``.clutchwright/versions``, each version with the one it was made from, so that undo goes back along the
line of edits that led here, and nothing is ever lost.
"""

from __future__ import annotations

import hashlib
import re
import threading
import tomllib
import zipfile
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Literal

from clutchwright import bikefile, handfile, readings, usecases, usecases_bench
from clutchwright.bikefile import LARGEST
from clutchwright.errors import ClutchwrightError, InputError
from clutchwright.files import read_bytes, require_new, sweep, write_new, write_whole

Kind = Literal["bike", "hand", "readings", "catalogue", "changes", "unknown"]
# The table that a file of each kind has, in the order in which they are looked for.
_SIGNS: dict[str, Kind] = {
    "lever": "bike", "strength": "hand", "option": "catalogue", "block": "readings", "change": "changes",
}  # fmt: skip
ENDINGS = (".toml", ".csv")
OWN = ".clutchwright"
MOST_FILES = 1000
_NAME = re.compile(r"[\w][\w .+-]{0,98}\.(?:toml|csv)")
_LONGEST = 200  # bytes of a name, which most systems hold
_DEVICE = re.compile(r"(?:con|prn|aux|nul|(?:com|lpt)\d) *\..*", re.IGNORECASE)  # on Windows, in every folder


class ConflictError(ClutchwrightError):
    """The file has changed since it was read; nothing was written."""


class MissingError(InputError):
    """There is no such file in the folder."""


@dataclass(frozen=True, slots=True)
class File:
    """A file of the folder.

    Parameters
    ----------
    name : str
        Its name, without any folder.
    content : bytes
        What it holds.
    """

    name: str
    content: bytes

    @property
    def version(self) -> str:
        """SHA-256 of the content, in hexadecimal."""
        return hashlib.sha256(self.content).hexdigest()

    @property
    def text(self) -> str:
        """Its text; raises `InputError` where it is none."""
        return bikefile.decode(self.content, self.name)


@dataclass(frozen=True, slots=True)
class Entry:
    """What the list of files shows of one.

    Parameters
    ----------
    name : str
        Name of the file.
    kind : Kind
        What it seems to be.
    title : str
        The name that stands in it; empty where it has none.
    error : str
        Why it cannot be used; empty where it can.
    """

    name: str
    kind: Kind
    title: str
    error: str = ""


class Workspace:
    """A folder that the user chose.

    Parameters
    ----------
    folder : Path
        It must be there.

    Raises
    ------
    InputError
        Where it is no folder.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder.resolve()
        self._writing = threading.Lock()
        self._listed: dict[str, tuple[str, Entry]] = {}  # by name: version and what it is
        if not self.folder.is_dir():
            raise InputError("folder", None, "is not there, or no folder; make it first", str(folder))
        sweep(self.folder, *(each for each in (self.folder / OWN).rglob("*") if each.is_dir()))

    def entries(self) -> tuple[Entry, ...]:
        """All files that may be ours, by name; raises `InputError` where they are too many."""
        names = sorted(each.name for each in self.folder.iterdir() if _NAME.fullmatch(each.name) and each.is_file())
        if len(names) > MOST_FILES:
            raise InputError("folder", len(names), f"holds more than {MOST_FILES} files; choose one with fewer")
        return tuple(map(self._entry, names))

    def path(self, name: str) -> Path:
        """Where a file of a name lies; raises `InputError` for a name that could lead elsewhere."""
        if not _NAME.fullmatch(name) or len(name.encode()) > _LONGEST or _DEVICE.fullmatch(name):
            allowed = f"must be a plain name that ends in {' or '.join(ENDINGS)}, of letters, digits, space and . _ + -"
            raise InputError("file", name, allowed)
        path = self.folder / name
        if path.is_symlink() and _target(path) != self.folder:
            raise InputError("file", name, "is a link that leads out of the folder; put the file itself here")
        return path

    def read(self, name: str) -> File:
        """A file by its name; raises `InputError`."""
        path = self.path(name)
        if not path.exists():
            raise MissingError("file", name, "is not in this folder; look at the list of its files")
        try:
            return File(name, read_bytes(path))
        except InputError as error:
            raise error.at(name) from None

    def save(self, file: File, *, based_on: str | None) -> str:
        """Save a file.

        Parameters
        ----------
        file : File
            Name and content.
        based_on : str | None
            The version that was read before; None for a file that must be new.

        Returns
        -------
        str
            The version that is now there.

        Raises
        ------
        ConflictError
            Where another version is there; nothing is written.
        InputError
            For a name or size that cannot be, or where it cannot be written.
        """
        path = self.path(file.name)
        if len(file.content) > LARGEST:
            raise InputError("file", file.name, f"has more than {LARGEST} bytes")
        with self._writing:
            if based_on is None:
                require_new(path)
                self._keep(file, "")
                write_new(path, file.content)
                return file.version
            now = self.read(file.name)
            if now.version != based_on:
                message = (
                    f"{file.name} has been changed elsewhere since you opened it; look at it again, nothing is lost"
                )
                raise ConflictError(message)
            if now.version != file.version:
                before = self._at(now)
                self._keep(file, before)
                write_whole(path, file.content)
        return file.version

    def undo(self, name: str) -> str:
        """Go back to the version before; returns it. Raises `InputError` where there is none."""
        with self._writing:
            now = self.read(name)
            parent = self._parent(name, self._at(now))
            if not parent:
                raise InputError("undo", None, "there is no earlier version of this file", name)
            return self._step(name, parent)

    def redo(self, name: str) -> str:
        """Go on to the newest version made from this one; returns it. Raises `InputError` where there is none."""
        with self._writing:
            here = self._at(self.read(name))
            children = [each for each in self._versions(name) if self._parent(name, each) == here]
            if not children:
                raise InputError("redo", None, "there is no later version of this file", name)
            return self._step(name, children[-1])

    def steps(self, name: str) -> tuple[bool, bool]:
        """Whether there is something to undo, and to redo."""
        versions = list(self._versions(name))
        here = self._found(self.read(name), versions)
        if here is None:
            return bool(versions), False
        return bool(self._parent(name, here)), any(self._parent(name, each) == here for each in versions)

    def before(self, name: str) -> File | None:
        """The version that undo would lead to; None where there is none."""
        versions = list(self._versions(name))
        here = self._found(self.read(name), versions)
        parent = self._left(name, versions) if here is None else self._parent(name, here)
        return File(name, read_bytes(self._folder_of(name) / parent)) if parent else None

    def put_demo(self, name: str) -> None:
        """Put an invented bike here with all that goes with it, by a name of ``DEMOS``; what is there is left alone."""
        made = {f"{name}.toml": usecases.demo_text(name).encode()}
        made |= {f"hand-{hand}.toml": usecases.demo_hand_text(hand).encode() for hand in usecases.DEMO_HANDS}
        if name == usecases.DEMOS[0]:
            made["catalogue.toml"] = usecases.demo_catalogue_text(name).encode()
            made["readings.csv"] = usecases_bench.demo_readings(name)
        for file, content in made.items():
            if not self.path(file).exists():
                self.save(File(file, content), based_on=None)

    def exported(self) -> bytes:
        """All files of the folder as one ZIP archive."""
        buffer = BytesIO()
        with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
            for entry in self.entries():
                with suppress(InputError):  # the list says why it cannot be read
                    archive.writestr(entry.name, self.read(entry.name).content)
        return buffer.getvalue()

    def store(self, folder: str) -> Path:
        """A folder of the program's own for what is worked out."""
        return _made(self.folder / OWN / folder)

    def stored(self, folder: str) -> tuple[Path, ...]:
        """What lies in a folder of the program's own, by name; nothing where there is none yet."""
        path = self.folder / OWN / folder
        return tuple(sorted(path.iterdir())) if path.is_dir() else ()

    def _entry(self, name: str) -> Entry:
        try:
            file = self.read(name)
        except InputError as error:
            return Entry(name, "unknown", "", str(error))
        if self._listed.get(name, ("", None))[0] != file.version:
            self._listed[name] = (file.version, checked(file))
        return self._listed[name][1]

    def _folder_of(self, name: str) -> Path:
        return self.folder / OWN / "versions" / name

    def _versions(self, name: str) -> Iterator[str]:
        """Names of all kept versions, oldest first: number, number of the version it was made from, fingerprint."""
        folder = self._folder_of(name)
        if folder.is_dir():
            yield from sorted(
                each.name for each in folder.iterdir() if re.fullmatch(r"\d{6}-(\d{6})?-\w{16}", each.name)
            )

    def _parent(self, name: str, version: str) -> str:
        number = version.split("-")[1]
        return next((each for each in self._versions(name) if number and each.startswith(f"{number}-")), "")

    def _keep(self, file: File, parent: str) -> str:
        versions = list(self._versions(file.name))
        number = 1 + (int(versions[-1][:6]) if versions else 0)
        version = f"{number:06d}-{parent[:6]}-{file.version[:16]}"
        write_whole(_made(self._folder_of(file.name)) / version, file.content)
        self._mark(file.name, version)
        return version

    def _mark(self, name: str, version: str) -> None:
        write_whole(self._folder_of(name) / "at", version.encode())

    def _found(self, now: File, versions: list[str]) -> str | None:
        """Which kept version the file is: the marked one where it fits, else the newest with this content."""
        same = [each for each in versions if each.endswith(now.version[:16])]
        marked = self._marked(now.name)
        return marked if marked in same else (same[-1] if same else None)

    def _at(self, now: File) -> str:
        """The kept version that the file is; one that came from elsewhere is kept first."""
        versions = list(self._versions(now.name))
        found = self._found(now, versions)
        return found if found is not None else self._keep(now, self._left(now.name, versions))

    def _left(self, name: str, versions: list[str]) -> str:
        """The version that a file changed elsewhere was made from, as far as is known; empty where none is."""
        marked = self._marked(name)
        return marked if marked in versions else (versions[-1] if versions else "")

    def _marked(self, name: str) -> str:
        mark = self._folder_of(name) / "at"
        return mark.read_text("ascii", "replace") if mark.is_file() else ""

    def _step(self, name: str, version: str) -> str:
        content = read_bytes(self._folder_of(name) / version)
        write_whole(self.path(name), content)
        self._mark(name, version)
        return File(name, content).version


def kind_of(name: str, content: bytes) -> Kind:
    """What a file seems to be, by its ending and the tables in it."""
    if name.endswith(".csv"):
        return "readings"
    try:
        found = tomllib.loads(content.decode())
    except (ValueError, RecursionError):
        return "unknown"
    return next((kind for sign, kind in _SIGNS.items() if sign in found), "unknown")


def checked(file: File) -> Entry:
    """What a file is, and whether it can be used."""
    kind = kind_of(file.name, file.content)
    try:
        return Entry(file.name, kind, _title(kind, file))
    except ClutchwrightError as error:
        return Entry(file.name, kind, "", str(error))


def _target(link: Path) -> Path | None:
    """The folder that a link leads into; None where it leads in a circle."""
    try:
        return link.resolve().parent
    except (OSError, RuntimeError):
        return None


def _made(folder: Path) -> Path:
    """A folder, made where it is not there; raises `InputError` where it cannot be."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError("folder", None, f"cannot be made: {error.strerror or error}", str(folder)) from error
    return folder


def _title(kind: Kind, file: File) -> str:
    """The name that stands in a file, all of it read and checked."""
    if kind == "bike":
        return bikefile.loads(file.text, file.name).name
    if kind == "hand":
        return handfile.loads(file.text, file.name).name
    if kind == "catalogue":
        return usecases.priced_catalogue(file.text, file.name).name
    if kind == "readings":
        return f"{len(readings.loads(file.content, file.name).readings)} readings"
    if kind == "changes":
        return "a list of changes"
    raise InputError(
        "file", None, "is none of ours; it needs a table such as [lever], [strength] or [[option]]", file.name
    )
