"""The user's folder: bikes, hands, readings and catalogues as plain files, saved whole, each version kept.

Every save says which version it was made from; where the file has changed since, nothing is written. What a file held
before lies in ``.clutchwright/versions``, each version with the one it was made from, so that undo goes back along the
line of edits that led here, and nothing is ever lost.
"""

from __future__ import annotations

import hashlib
import re
import threading
import zipfile
from contextlib import suppress
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from clutchwright import bikefile, handfile, readings, usecases, usecases_bench
from clutchwright.bikefile import LARGEST
from clutchwright.errors import ClutchwrightError, InputError
from clutchwright.files import Versions, made_folder, read_bytes, require_new, sweep, write_new, write_whole
from clutchwright.tomlfile.kinds import Kind, kind_of

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
        self._versions = Versions(self.folder / OWN / "versions")
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
                self._versions.keep(file.name, file.content, self._versions.left(file.name))
                write_new(path, file.content)
                return file.version
            now = self.read(file.name)
            if now.version != based_on:
                message = (
                    f"{file.name} has been changed elsewhere since you opened it; look at it again, nothing is lost"
                )
                raise ConflictError(message)
            if now.version != file.version:
                before = self._versions.at(now.name, now.content)
                self._versions.keep(file.name, file.content, before)
                write_whole(path, file.content)
        return file.version

    def undo(self, name: str) -> str:
        """Go back to the version before; returns it. Raises `InputError` where there is none."""
        with self._writing:
            parent = self._versions.parent(name, self._versions.at(name, self.read(name).content))
            if not parent:
                raise InputError("undo", None, "there is no earlier version of this file", name)
            return self._step(name, parent)

    def redo(self, name: str) -> str:
        """Go on to the newest version made from this one; returns it. Raises `InputError` where there is none."""
        with self._writing:
            children = self._versions.children(name, self._versions.at(name, self.read(name).content))
            if not children:
                raise InputError("redo", None, "there is no later version of this file", name)
            return self._step(name, children[-1])

    def steps(self, name: str) -> tuple[bool, bool]:
        """Whether there is something to undo, and to redo."""
        here = self._versions.found(name, self.read(name).content)
        if here is None:
            return bool(self._versions.of(name)), False
        return bool(self._versions.parent(name, here)), bool(self._versions.children(name, here))

    def before(self, name: str) -> File | None:
        """The version that undo would lead to; None where there is none."""
        here = self._versions.found(name, self.read(name).content)
        parent = self._versions.left(name) if here is None else self._versions.parent(name, here)
        return File(name, self._versions.content(name, parent)) if parent else None

    def remove(self, name: str) -> None:
        """Take a file out of the folder; what it held is kept, and `bring_back` gets it again."""
        with self._writing:
            now = self.read(name)
            self._versions.mark(name, self._versions.at(name, now.content))
            self._unlink(name)

    def removed(self) -> tuple[str, ...]:
        """Names of the files that were here once and are not now."""
        names = (each for each in self._versions.names() if _NAME.fullmatch(each) and self._versions.of(each))
        return tuple(each for each in names if not self.path(each).exists())

    def bring_back(self, name: str) -> str:
        """Put a removed file back as it was; returns its version. Raises `InputError` where it cannot be."""
        path = self.path(name)
        with self._writing:
            last = self._versions.left(name)
            if not last:
                raise MissingError("file", name, "was never in this folder, so it cannot be brought back")
            require_new(path)
            return self._step(name, last)

    def rename(self, name: str, to: str) -> None:
        """Give a file another name, all its versions with it; raises `InputError` where there is one by that name."""
        target = self.path(to)
        if Path(to).suffix != Path(name).suffix:
            raise InputError("file", to, f"must end in {Path(name).suffix} as before")
        with self._writing:
            now = self.read(name)
            self._versions.at(name, now.content)
            write_new(target, now.content)
            self._unlink(name)
            self._versions.move(name, to)

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
        return made_folder(self.folder / OWN / folder)

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

    def _unlink(self, name: str) -> None:
        try:
            self.path(name).unlink()
        except OSError as error:
            raise InputError("file", name, f"cannot be taken away: {error.strerror or error}") from error

    def _step(self, name: str, version: str) -> str:
        content = self._versions.content(name, version)
        write_whole(self.path(name), content)
        self._versions.mark(name, version)
        return File(name, content).version


def checked(file: File) -> Entry:
    """What a file is, and whether it can be used."""
    kind = kind_of(file.name, file.content)
    try:
        return Entry(file.name, kind, _title(kind, file))
    except readings.BegunError as error:
        return Entry(file.name, kind, error.begun)
    except ClutchwrightError as error:
        return Entry(file.name, kind, "", str(error))


def _target(link: Path) -> Path | None:
    """The folder that a link leads into; None where it leads in a circle."""
    try:
        return link.resolve().parent
    except (OSError, RuntimeError):
        return None


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
