"""Long work, one job at a time in a process of its own, whatever becomes of the page that asked for it.

Each job is a file of the user's folder: what is asked, and how it stands. A job is known by the fingerprint of all that
decides its result, so the same question finds the same job, and a result is never worked out twice. Only this process
writes files; the one that works gets a task and gives texts. Jobs that waited or ran when the program ended are taken
up again at the next start; one that was cut off twice waits to be asked for again.
"""

from __future__ import annotations

import json
import math
import multiprocessing
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess
from pathlib import Path
from typing import Any, Literal

from clutchwright import __version__
from clutchwright.errors import ClutchwrightError, InputError
from clutchwright.files import write_whole
from clutchwright.manybikes import start_worker
from clutchwright.web.studying import Studied, Task, Work, study
from clutchwright.workspace import Workspace

State = Literal["waiting", "running", "done", "failed", "cancelled", "interrupted"]
PENDING, OVER = ("waiting", "running"), ("done", "failed", "cancelled", "interrupted")
STATE, STUDY, SETUPS = ".job.json", ".study.json", ".setups.json"
MOST_WAITING = 20
MOST_KEPT = 100  # jobs that are over, the newest
TRIES = 2
TELL_EVERY = 0.1  # seconds


@dataclass(frozen=True, slots=True)
class Job:
    """One piece of long work.

    Parameters
    ----------
    task : Task
        What is asked.
    state : State
        How it stands.
    at : float
        When it was asked for, and once it runs when it began [s since 1970].
    error : str
        Why it failed; empty otherwise.
    tries : int
        How often it was begun [-].
    what, done, total : str, int, int
        What it is at, and how far; nothing before the first news.
    """

    task: Task
    state: State
    at: float
    error: str = ""
    tries: int = 0
    what: str = ""
    done: int = 0
    total: int = 0

    @property
    def id(self) -> str:
        """Of its task."""
        return self.task.id

    @property
    def pending(self) -> bool:
        """Whether there is something to wait for."""
        return self.state in PENDING

    @property
    def seconds(self) -> int:
        """How long it has been waiting or running [s]."""
        return max(int(time.time() - self.at), 0)

    def to_json(self) -> dict[str, Any]:
        """How it stands, for programs."""
        told = {"what": self.what, "done": self.done, "total": self.total, "seconds": self.seconds}
        return {"id": self.id, "bike": self.task.file, "state": self.state, "error": self.error, **told}


class Jobs:
    """All jobs of a folder.

    Parameters
    ----------
    folder : Workspace
        Where they are kept.
    work : callable
        What is done, in a process of its own.
    """

    def __init__(self, folder: Workspace, work: Work = study) -> None:
        self._folder, self._work = folder, work
        self._lock = threading.RLock()
        self._jobs: dict[str, Job] | None = None
        self._process: SpawnProcess | None = None
        self._runner: threading.Thread | None = None
        self._closed = False

    def take_up(self) -> None:
        """Go on with what was waiting or running when the program ended."""
        with self._lock:
            for job in list(self._known().values()):
                if job.state == "running":
                    self._known()[job.id] = replace(job, state="waiting" if job.tries < TRIES else "interrupted")
            self._go_on()

    def find(self, key: str) -> Job | None:
        """A job by its id; None where there is none."""
        with self._lock:
            return self._known().get(key)

    def start(self, task: Task, *, again: bool = False) -> Job:
        """The job for a task, which is begun where it is new.

        Parameters
        ----------
        task : Task
            What is asked.
        again : bool
            Whether one that failed, was cancelled or interrupted is begun once more.

        Returns
        -------
        Job
            As it now stands.

        Raises
        ------
        InputError
            Where the task cannot be done, or too many are waiting.
        """
        with self._lock:
            found = self._known().get(task.id)
            if found is not None and (found.pending or found.state == "done" or not again):
                return found
            task.require_sound()
            if sum(job.state == "waiting" for job in self._known().values()) >= MOST_WAITING:
                raise InputError("study", None, f"{MOST_WAITING} others are waiting; cancel some, or wait")
            job = Job(task, "waiting", time.time())
            self._put(job)
            self._go_on()
            return job

    def cancel(self, key: str) -> Job | None:
        """End a job that waits or runs; None where there is none of this id."""
        with self._lock:
            job = self._known().get(key)
            if job is None or not job.pending:
                return job
            if job.state == "running" and self._process is not None:
                self._process.kill()
            self._put(replace(job, state="cancelled"))
            self._tidy()
            return self._known().get(key)

    def study(self, job: Job) -> str:
        """What the command line prints with --json, of a job that is done; raises `InputError`."""
        return self._text(job, STUDY)

    def setups(self, job: Job) -> str:
        """All setups that keep the limits, of a job that is done; raises `InputError`."""
        return self._text(job, SETUPS)

    def close(self) -> None:
        """End the process that works; its job is taken up at the next start."""
        with self._lock:
            self._closed = True
            if self._process is not None:
                self._process.kill()
            runner = self._runner
        if runner is not None:
            runner.join()

    def _text(self, job: Job, ending: str) -> str:
        try:
            text = self._path(job.id, ending).read_text(encoding="utf-8")
            json.loads(text)
        except (OSError, ValueError, RecursionError):
            with self._lock:
                if self._known().get(job.id) == job:  # nobody has begun it again
                    del self._known()[job.id]
            raise InputError("study", None, "its result is no longer there; run it again") from None
        return text

    def _path(self, key: str, ending: str) -> Path:
        return self._folder.store("studies") / f"{key}{ending}"

    def _known(self) -> dict[str, Job]:
        if self._jobs is None:
            found = (_read(path) for path in self._folder.stored("studies") if path.name.endswith(STATE))
            self._jobs = {job.id: job for job in found if job is not None}
        return self._jobs

    def _put(self, job: Job) -> None:
        """Note how a job stands, in the folder first."""
        kept = {"state": job.state, "at": job.at, "error": job.error, "tries": job.tries, **job.task.to_json()}
        write_whole(self._path(job.id, STATE), json.dumps(kept, ensure_ascii=False).encode())
        self._known()[job.id] = job

    def _go_on(self) -> None:
        waiting = any(job.state == "waiting" for job in self._known().values())
        if waiting and self._runner is None and not self._closed:
            self._runner = threading.Thread(target=self._run, daemon=True, name="studies")
            self._runner.start()

    def _run(self) -> None:
        """Do one job after the other until none waits."""
        while (job := self._next()) is not None:
            try:
                self._settle(job, self._outcome(job))
            except (ClutchwrightError, OSError) as error:  # a full disk, no more processes
                with self._lock:
                    self._known()[job.id] = replace(job, state="failed", error=str(error))

    def _next(self) -> Job | None:
        """The job that has waited longest, now running; None where there is none."""
        with self._lock:
            waiting = [job for job in self._known().values() if job.state == "waiting"]
            if self._closed or not waiting:
                self._runner = None
                return None
            job = min(waiting, key=lambda job: job.at)
            begun = replace(job, state="running", at=time.time(), tries=job.tries + 1)
            self._known()[job.id] = begun
            return begun

    def _outcome(self, job: Job) -> Studied | str:
        """Result of a job, or why there is none."""
        context = multiprocessing.get_context("spawn")
        news, tell = context.Pipe(duplex=False)
        process = context.Process(target=_do, args=(self._work, job.task, tell), daemon=True)
        with news:
            with self._lock:
                now = self._still(job)
                if now is None:
                    tell.close()
                    return ""
                self._put(now)
                process.start()
                self._process = process
            tell.close()
            found = self._listen(job, news)
        process.join()
        with self._lock:
            self._process = None
        if found is not None:
            return found
        return f"its process ended by itself (exit code {process.exitcode}; short of memory?)"

    def _listen(self, job: Job, news: Connection) -> Studied | str | None:
        """What the process says in the end; None where it ended without a word."""
        with suppress(EOFError, OSError):
            while True:
                match news.recv():
                    case (str(what), int(done), int(total)):
                        with self._lock:
                            now = self._still(job)
                            if now is not None:
                                self._known()[job.id] = replace(now, what=what, done=done, total=total)
                    case Studied() | str() as found:
                        return found
        return None

    def _still(self, job: Job) -> Job | None:
        """A job as it stands while it runs; None where it was cancelled, or is to be taken up at the next start."""
        now = self._known().get(job.id)
        return now if now is not None and now.state == "running" and not self._closed else None

    def _settle(self, job: Job, found: Studied | str) -> None:
        if isinstance(found, Studied):
            write_whole(self._path(job.id, STUDY), found.study.encode())
            write_whole(self._path(job.id, SETUPS), found.setups.encode())
        with self._lock:
            now = self._still(job)
            if now is None:
                return
            error = found if isinstance(found, str) else ""
            self._put(replace(now, state="failed" if error else "done", error=error))
            self._tidy()

    def _tidy(self) -> None:
        """Drop the oldest jobs that are over."""
        over = sorted((job for job in self._known().values() if job.state in OVER), key=lambda job: job.at)
        for job in over[:-MOST_KEPT]:
            for ending in (STATE, STUDY, SETUPS):
                self._path(job.id, ending).unlink(missing_ok=True)
            del self._known()[job.id]


def _read(path: Path) -> Job | None:
    """A job from its file; None for one of another version, or that is not as it was written."""
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
        at, tries = float(found["at"]), int(found["tries"])
        job = Job(Task.from_json(found), found["state"], at, str(found["error"]), tries)
        sound = path.name == f"{job.id}{STATE}" and math.isfinite(at) and job.state in (*PENDING, *OVER)
    except (OSError, ValueError, KeyError, TypeError, RecursionError, OverflowError):
        return None
    return job if sound and job.task.request.version == __version__ else None


def _do(work: Work, task: Task, tell: Connection) -> None:
    """What the process does."""
    start_worker()
    try:
        found: Studied | str = work(task, _teller(tell))
    except ClutchwrightError as error:
        found = str(error)
    tell.send(found)


def _teller(tell: Connection) -> Callable[[str, int, int], None]:
    """Progress that goes up the pipe, not too often."""
    last: tuple[str, float] = ("", 0.0)

    def progress(what: str, done: int, total: int) -> None:
        nonlocal last
        now = time.monotonic()
        if what != last[0] or now - last[1] >= TELL_EVERY:
            last = what, now
            tell.send((what, done, total))

    return progress
