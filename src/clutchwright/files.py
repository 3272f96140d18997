"""Files that the user named: read whole or not at all, written whole or not at all, and what they held before."""

from __future__ import annotations

import hashlib
import os
import re
import stat
import tempfile
import time
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

from clutchwright.errors import InputError
from clutchwright.tomlfile.reading import LARGEST

_PART = ".clutchwright-"  # how the name of a file begins while it is written
_ABANDONED = 3600.0  # seconds after which nobody writes it any more


def read_bytes(path: Path) -> bytes:
    """Read a file that the user named.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    bytes
        Its content, of at most ``LARGEST`` bytes.

    Raises
    ------
    InputError
        When it is not there, not a file, too large, or cannot be read.
    """
    try:
        mode = path.stat().st_mode
        if not stat.S_ISREG(mode):
            what = "a folder; name a file in it" if stat.S_ISDIR(mode) else "no regular file; save it as one first"
            raise InputError("file", None, f"is {what}", str(path))
        with path.open("rb") as handle:
            content = handle.read(LARGEST + 1)
    except OSError as error:
        raise InputError("file", None, f"cannot be read: {error.strerror or error}", str(path)) from error
    if len(content) > LARGEST:
        raise InputError("file", None, f"has more than {LARGEST} bytes; is it the right file?", str(path))
    return content


@dataclass(frozen=True, slots=True)
class Output:
    """A file to be written.

    Parameters
    ----------
    option : str
        Which option or argument names it.
    path : Path
        Where to.
    endings : tuple of str
        How its name may end; empty for any way.
    new : bool
        Whether it must not be there yet.
    """

    option: str
    path: Path
    endings: tuple[str, ...] = ()
    new: bool = False


def require_outputs(outputs: Sequence[Output], inputs: Sequence[Path] = ()) -> None:
    """Refuse files that cannot or must not be written, before any work is done for them.

    Parameters
    ----------
    outputs : sequence of Output
        Every file that a command is to write.
    inputs : sequence of Path
        Every file that it reads.

    Raises
    ------
    InputError
        For a name that ends wrongly, a folder that is not there or cannot be written in, a place where no file can be
        put, a file that is to be read as well or written twice, and one that must be new and is not.
    """
    for output in outputs:
        if output.endings and output.path.suffix.lower() not in output.endings:
            raise InputError(output.option, output.path.name, f"must end in {' or '.join(output.endings)}")
        for source in inputs:
            if _same(output.path, source):
                message = f"is the file given as {source}, which would be lost; choose another name"
                raise InputError(output.option, None, message, str(output.path))
        if output.new:
            require_new(output.path)
        _require_place(output.path)
    for one, other in combinations(outputs, 2):
        if _same(one.path, other.path):
            message = f"and {one.option} name the same file; choose two names"
            raise InputError(other.option, None, message, str(other.path))


def require_new(path: Path) -> None:
    """Raise `InputError` when a file to be made is there already, or cannot be put there."""
    if os.path.lexists(path):
        raise InputError("output", None, "exists already and is left alone; choose another name", str(path))
    _require_place(path)


def _require_place(path: Path) -> None:
    """Raise `InputError` where no file can be put, or something else than a file is."""
    try:
        target = path.resolve()
        if target.exists() and not target.is_file():
            raise InputError("output", None, "is a folder or a device, not a file; choose another name", str(path))
        if not target.parent.is_dir():
            message = "lies in a folder that does not exist; make it, or choose another"
            raise InputError("output", None, message, str(path))
    except (OSError, RuntimeError) as error:  # names that are too long; links that go in a circle
        raise InputError("output", None, f"cannot be written: {error}", str(path)) from error
    if not os.access(target.parent, os.W_OK | os.X_OK) or (target.exists() and not os.access(target, os.W_OK)):
        raise InputError("output", None, "may not be written here; choose another place", str(path))


def _same(one: Path, other: Path) -> bool:
    try:
        return one.resolve() == other.resolve() or one.samefile(other)
    except (OSError, RuntimeError):
        return False


def write_whole(path: Path, content: bytes) -> None:
    """Write a file so that at any moment either the old or the new content is there, whole.

    Parameters
    ----------
    path : Path
        Where to; where it is a link, the file that it leads to is written.
    content : bytes
        What.

    Raises
    ------
    InputError
        When it cannot be written, or is no file; what was there before is then untouched.
    """
    _require_place(path)
    target, temporary = path.resolve(), None
    try:
        with tempfile.NamedTemporaryFile(dir=target.parent, prefix=_PART, delete=False) as handle:
            temporary = Path(handle.name)
            handle.write(content)
            handle.flush()
            os.fsync(handle.fileno())
        mode = target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~_umask()
        temporary.chmod(mode)
        temporary.replace(target)
    except OSError as error:
        raise InputError("output", None, f"cannot be written: {error.strerror or error}", str(path)) from error
    finally:
        if temporary is not None:
            temporary.unlink(missing_ok=True)


def write_new(path: Path, content: bytes) -> None:
    """Write a file that must not be there yet [path, bytes]; raises `InputError` when it is."""
    require_new(path)
    write_whole(path, content)


def sweep(*folders: Path) -> None:
    """Remove from folders what writes that were cut off left behind."""
    for each in (each for folder in folders for each in folder.glob(f"{_PART}*")):
        with suppress(OSError):
            if time.time() - each.lstat().st_mtime > _ABANDONED:
                each.unlink()


def made_folder(folder: Path) -> Path:
    """A folder, made where it is not there; raises `InputError` where it cannot be."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError("folder", None, f"cannot be made: {error.strerror or error}", str(folder)) from error
    return folder


@dataclass(frozen=True, slots=True)
class Versions:
    """What files held before: each version with the one it was made from.

    A version is named by its number, the number of the version it was made from, and its fingerprint. The one that the
    file is, as far as this program wrote it, is marked.

    Parameters
    ----------
    folder : Path
        Where they lie, a folder for each file.
    """

    folder: Path

    def names(self) -> tuple[str, ...]:
        """Names of all files that have had a version."""
        return tuple(sorted(each.name for each in self.folder.iterdir())) if self.folder.is_dir() else ()

    def of(self, name: str) -> list[str]:
        """All kept versions of a file, oldest first."""
        folder = self.folder / name
        found = (each.name for each in folder.iterdir()) if folder.is_dir() else ()
        return sorted(each for each in found if re.fullmatch(r"\d{6}-(\d{6})?-\w{16}", each))

    def content(self, name: str, version: str) -> bytes:
        """What a version holds."""
        return read_bytes(self.folder / name / version)

    def parent(self, name: str, version: str) -> str:
        """The version that one was made from; empty for none."""
        number = version.split("-")[1]
        return next((each for each in self.of(name) if number and each.startswith(f"{number}-")), "")

    def children(self, name: str, version: str) -> list[str]:
        """The versions made from one."""
        return [each for each in self.of(name) if self.parent(name, each) == version]

    def keep(self, name: str, content: bytes, parent: str) -> str:
        """Keep what a file holds from now on, made from a version (empty for none); gives the new one."""
        versions = self.of(name)
        number = 1 + (int(versions[-1][:6]) if versions else 0)
        version = f"{number:06d}-{parent[:6]}-{_fingerprint(content)}"
        write_whole(made_folder(self.folder / name) / version, content)
        self.mark(name, version)
        return version

    def mark(self, name: str, version: str) -> None:
        """Mark the version that the file is."""
        write_whole(self.folder / name / "at", version.encode())

    def found(self, name: str, content: bytes) -> str | None:
        """Which version the file is: the marked one where it fits, else the newest with this content."""
        same = [each for each in self.of(name) if each.endswith(_fingerprint(content))]
        marked = self._marked(name)
        return marked if marked in same else (same[-1] if same else None)

    def at(self, name: str, content: bytes) -> str:
        """The version that the file is; one that came from elsewhere is kept first."""
        found = self.found(name, content)
        return found if found is not None else self.keep(name, content, self.left(name))

    def left(self, name: str) -> str:
        """The version that a file changed elsewhere was made from, as far as is known; empty where none is."""
        marked, versions = self._marked(name), self.of(name)
        return marked if marked in versions else (versions[-1] if versions else "")

    def move(self, name: str, to: str) -> None:
        """Let the versions follow a file that is renamed, where there were none by the new name."""
        if (self.folder / name).is_dir() and not (self.folder / to).exists():
            (self.folder / name).rename(self.folder / to)

    def _marked(self, name: str) -> str:
        mark = self.folder / name / "at"
        return mark.read_text("ascii", "replace") if mark.is_file() else ""


def _fingerprint(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()[:16]


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
