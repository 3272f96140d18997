"""Many bikes studied, on all cores or on a cluster: a result file for each, and taken up again where it stopped.

Workers get texts and give texts; only the process that started them touches files. A result file is written whole, and
holds a fingerprint of all that it was made from: it counts only with the fingerprint that it would get today. So a run
that was killed at any moment loses nothing that was written, and the next one does only what is missing.
"""

from __future__ import annotations

import hashlib
import json
import multiprocessing
import os
import signal
import threading
from collections.abc import Iterator, Mapping
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor, as_completed
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from multiprocessing.connection import wait
from pathlib import Path
from typing import Any, Literal

from clutchwright import __version__, bikefile, handfile, usecases
from clutchwright.errors import ClutchwrightError, InputError
from clutchwright.files import read_bytes, write_whole
from clutchwright.handfile import MeasuredHand
from clutchwright.report.study import study_line, study_to_json
from clutchwright.study.catalogue import Catalogue, Wished
from clutchwright.study.limits import ANY_BUDGET, Budget, Limits
from clutchwright.study.target import require_target
from clutchwright.tomlfile.kinds import CALLED, kind_of

ENDING = ".study.json"
CONNECT_WITHIN = "10s"
# The search uses threads of its own, which must not be started from two threads of one worker at a time.
_ONE_AT_A_TIME = threading.Lock()


@dataclass(frozen=True, slots=True)
class Request:
    """What is asked of every bike.

    Parameters
    ----------
    catalogue : str
        Text of the catalogue.
    prices : tuple of str
        Prices of one's own, each as ``name=price``.
    limits : Limits
        How often things may go wrong.
    target_N : float | None
        Pull wanted [N].
    hand : str | None
        Text of the hand file; None for nobody's hand.
    samples : int
        Possible bikes to draw [-].
    seed : int
        Seed of the draw [-].
    version : str
        Of the program.
    without : tuple of str
        Names of options left out.
    budget : Budget
        What may be spent.
    """

    catalogue: str
    prices: tuple[str, ...]
    limits: Limits
    target_N: float | None
    hand: str | None
    samples: int
    seed: int
    version: str = __version__
    without: tuple[str, ...] = ()
    budget: Budget = ANY_BUDGET

    def parsed_catalogue(self, source: str = "catalogue") -> Catalogue:
        """The catalogue as it counts here; raises `InputError` that names the source."""
        return usecases.priced_catalogue(self.catalogue, source, self.prices).without(self.without)

    def parsed_hand(self, source: str = "hand") -> MeasuredHand | None:
        """The hand; raises `InputError` that names the source."""
        return None if self.hand is None else handfile.loads(self.hand, source)

    def fingerprint(self, bike: str) -> str:
        """SHA-256 of all that a result is made from, the text of the bike file included."""
        parts = json.dumps([bike, asdict(self)], ensure_ascii=False, sort_keys=True)
        return hashlib.sha256(parts.encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class Finished:
    """What became of one bike.

    Parameters
    ----------
    name : str
        Name of the bike file.
    state : str
        ``studied`` now, ``kept`` from a run before, or ``unusable``.
    line : str
        The choice in one line; empty where there is none.
    error : str
        Why it could not be used; empty otherwise.
    """

    name: str
    state: Literal["studied", "kept", "unusable"]
    line: str = ""
    error: str = ""


def read_request(
    catalogue: Path,
    wished: Wished,
    hand: Path | None,
    *,
    limits: Limits,
    budget: Budget,
    target_N: float | None,
    samples: int,
    seed: int,
) -> Request:
    """What is asked, with the texts of catalogue and hand [paths]; raises `InputError` where they cannot be used."""
    require_target(target_N)
    limits.require_samples(samples)
    texts = [None if path is None else bikefile.decode(read_bytes(path), str(path)) for path in (catalogue, hand)]
    text = texts[0] or ""
    every = usecases.priced_catalogue(text, str(catalogue), wished.prices)
    counting = {option.name for option in wished.of(every).options}
    without = tuple(option.name for option in every.options if option.name not in counting)
    request = Request(text, wished.prices, limits, target_N, texts[1], samples, seed, without=without, budget=budget)
    request.parsed_hand(str(hand))
    return request


def bike_files(folder: Path) -> list[Path]:
    """Bike files in a folder [path], by name; raises `InputError` where there are none."""
    if not folder.is_dir():
        raise InputError("--bikes", None, "is no folder", str(folder))
    found = sorted(path for path in folder.glob("*.toml") if path.is_file() and not _other_kind(path))
    if not found:
        raise InputError("--bikes", None, "has no bike files (*.toml) in it", str(folder))
    return found


def passed_over(folder: Path) -> dict[str, str]:
    """What in a folder [path] is no bike file, and why, by name; hidden ones left out."""
    bikes = {path.name for path in folder.glob("*.toml") if path.is_file() and not _other_kind(path)}
    rest = (path for path in sorted(folder.iterdir()) if path.name not in bikes)
    return {path.name: _why_passed_over(path) for path in rest if not path.name.startswith(".")}


def _why_passed_over(path: Path) -> str:
    if path.is_dir():
        return "a folder"
    if other := _other_kind(path):
        return other
    return "a link to nothing" if path.is_symlink() and not path.exists() else "not *.toml"


def _other_kind(path: Path) -> str:
    """What a file is that is surely no bike, such as ``a hand file``; empty for one that may be a bike."""
    if path.suffix != ".toml" or not path.is_file():
        return ""
    try:
        kind = kind_of(path.name, read_bytes(path))
    except InputError:
        return ""
    return "" if kind in ("bike", "unknown") else CALLED[kind]


def study_bikes(files: list[Path], request: Request, out: Path, *, scheduler: str | None = None) -> Iterator[Finished]:
    """Study bikes, each into a result file of its own.

    Parameters
    ----------
    files : list of Path
        The bike files.
    request : Request
        What is asked of each.
    out : Path
        Folder of the results; made where it is missing.
    scheduler : str | None
        Address of a Dask cluster's scheduler, such as ``tcp://127.0.0.1:8786``; None for all cores of this machine.

    Yields
    ------
    Finished
        For each bike, in the order in which they are done. A bike that cannot be used does not stop the others.

    Raises
    ------
    InputError
        Where the scheduler cannot be reached or results cannot be written.
    ClutchwrightError
        Where workers are lost; what is written by then stays.
    """
    _make(out)
    waiting: dict[str, str] = {}
    for path in files:
        try:
            text = bikefile.decode(read_bytes(path), path.name)
        except InputError as error:
            yield Finished(path.name, "unusable", error=str(error.at(path.name)))
            continue
        kept = _kept(_result_file(out, path.name), request.fingerprint(text))
        if kept is None:
            waiting[path.name] = text
        else:
            yield Finished(path.name, "kept", study_line(kept))
    if waiting:
        with _workers(scheduler) as workers:
            yield from _study(workers, waiting, request, out)


def _study(workers: Executor, waiting: Mapping[str, str], request: Request, out: Path) -> Iterator[Finished]:
    """Hand out bikes, and write results as they come."""
    names = {workers.submit(study_text, request, name, text): name for name, text in waiting.items()}
    for future in as_completed(list(names)):
        name = names.pop(future)
        found, error = _outcome(name, future)
        if error:
            yield Finished(name, "unusable", error=error)
            continue
        write_whole(_result_file(out, name), found.encode())
        yield Finished(name, "studied", study_line(json.loads(found)))


def _outcome(name: str, future: Future[tuple[str, str]]) -> tuple[str, str]:
    """Result and error of a bike, one of them empty."""
    lost = "was lost; what is written stays: run the same command again to go on"
    if future.cancelled():
        message = f"the connection to the scheduler {lost}"
        raise ClutchwrightError(message)
    error = future.exception()
    if isinstance(error, BrokenExecutor):
        message = f"a worker process (short of memory?) {lost}"
        raise ClutchwrightError(message) from error
    return future.result() if error is None else ("", f"{name}: {type(error).__name__}: {error}")


def study_text(request: Request, name: str, text: str) -> tuple[str, str]:
    """Study one bike: what a worker does.

    Parameters
    ----------
    request : Request
        What is asked.
    name, text : str
        Name of the bike file and its text.

    Returns
    -------
    tuple of str
        Text of the result file, and why there is none; one of them is empty.
    """
    if request.version != __version__:
        return "", f"{name}: asked by clutchwright {request.version}, but the worker has {__version__}; install one"
    try:
        with _ONE_AT_A_TIME:
            found, chosen, _ = usecases.study_bike(
                bikefile.loads(text, name),
                request.parsed_catalogue(),
                limits=request.limits,
                target_N=request.target_N,
                hand=request.parsed_hand(),
                samples=request.samples,
                seed=request.seed,
                budget=request.budget,
            )
    except ClutchwrightError as error:
        return "", str(error) if isinstance(error, InputError) and error.source else f"{name}: {error}"
    data = study_to_json(found, chosen, target_N=request.target_N)
    whole = {"fingerprint": request.fingerprint(text), "bike_file": name, **data}
    return json.dumps(whole, ensure_ascii=False, allow_nan=False, indent=1) + "\n", ""


def _make(out: Path) -> None:
    try:
        out.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError("--out", None, f"cannot be made: {error.strerror or error}", str(out)) from error


def _result_file(out: Path, name: str) -> Path:
    return out / f"{name.removesuffix('.toml')}{ENDING}"


def _kept(path: Path, fingerprint: str) -> dict[str, Any] | None:
    """What a result file holds that is there, whole, and made from the same; None where it is not."""
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
    return found if isinstance(found, dict) and found.get("fingerprint") == fingerprint else None


@contextmanager
def _workers(scheduler: str | None) -> Iterator[Executor]:
    """All cores of this machine, or a cluster."""
    if scheduler is not None:
        with _cluster(scheduler) as cluster:
            yield cluster
        return
    with ProcessPoolExecutor(mp_context=multiprocessing.get_context("spawn"), initializer=start_worker) as pool:
        try:
            yield pool
        except BaseException:
            # nobody waits for their results any more, and they have nothing else to lose
            for worker in multiprocessing.active_children():
                worker.terminate()
            raise


def start_worker() -> None:
    """Make a worker process use one core, leave an interrupt to its parent, and end with it however that ends."""
    os.environ["NUMBA_NUM_THREADS"] = "1"
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.sentinel,), daemon=True).start()


def _end_with(sentinel: int) -> None:
    wait([sentinel])
    os._exit(1)


@contextmanager
def _cluster(scheduler: str) -> Iterator[Executor]:
    try:
        from distributed import Client
    except ImportError as error:
        message = "needs the package distributed; install it: pip install 'clutchwright[cluster]'"
        raise InputError("--scheduler", scheduler, message) from error
    try:
        client = Client(scheduler, timeout=CONNECT_WITHIN)
    except (OSError, ValueError) as error:
        message = f"cannot be reached: {error}; give an address such as tcp://127.0.0.1:8786"
        raise InputError("--scheduler", scheduler, message) from error
    with client:
        yield client.get_executor()
