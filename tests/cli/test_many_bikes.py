"""A folder of bikes as a user studies it: killed and taken up again, and on a cluster that loses a worker."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import replace
from pathlib import Path

import pytest

from clutchwright import usecases
from clutchwright.manybikes import ENDING, study_text
from clutchwright.study.limits import Limits
from tests.cli.test_commands import run
from tests.unit.test_manybikes import CATALOGUE, REQUEST

BIKES = 10
PATIENCE = 120.0  # [s]
SLOW = ("--samples", 4096)  # some tenths of a second for each bike, so that a run can be met in the middle

ROUGH = ("--slips", 0.2, "--drags", 0.2, "--samples", 64)


@pytest.fixture
def club(tmp_path):
    """A folder of bikes that differ, and the catalogue beside it."""
    (tmp_path / "shop.toml").write_text(CATALOGUE, encoding="utf-8")
    (tmp_path / "club").mkdir()
    for place in range(BIKES):
        text = usecases.demo_text("six-spring-rack").replace("value = 27.0,", f"value = {27 + place / 10},")
        (tmp_path / "club" / f"bike-{place:02d}.toml").write_text(text, encoding="utf-8")
    return tmp_path


def command(*more: object) -> list[str]:
    words = ("study", "--bikes", "club", "--catalogue", "shop.toml", "--out", "out", *SLOW, *more)
    return [sys.executable, "-m", "clutchwright", *map(str, words)]


def results(folder: Path) -> dict[str, tuple[int, bytes]]:
    """Time and content of every result file by the name of its bike."""
    found = sorted((folder / "out").glob(f"*{ENDING}"))
    return {path.name.removesuffix(ENDING): (path.stat().st_mtime_ns, path.read_bytes()) for path in found}


def until(happens: Callable[[], bool], process: subprocess.Popen[str]) -> None:
    """Wait for something that a process brings about; fail when it ends before."""
    start = time.monotonic()
    while not happens():
        assert process.poll() is None, process.communicate()
        assert time.monotonic() - start < PATIENCE
        time.sleep(0.005)


def expected(folder: Path, name: str) -> bytes:
    """The result as one process alone makes it."""
    request = replace(REQUEST, samples=SLOW[1], limits=Limits())
    return study_text(request, f"{name}.toml", (folder / "club" / f"{name}.toml").read_text("utf-8"))[0].encode()


def test_a_run_killed_in_the_middle_is_taken_up_with_nothing_lost_or_redone(club):
    process = subprocess.Popen(command(), cwd=club, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    until(lambda: len(results(club)) >= 3, process)
    process.kill()
    # the pipes end only when the workers, which hold them too, have ended as well
    process.communicate(timeout=PATIENCE)
    before = results(club)
    assert 3 <= len(before) < BIKES
    assert all(json.loads(content)["fingerprint"] for _, content in before.values())

    done = subprocess.run(command("--json"), cwd=club, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    found = json.loads(done.stdout)
    assert found["kept"] == [f"{name}.toml" for name in before]
    assert len(found["studied"]) == BIKES - len(before)
    after = results(club)
    assert len(after) == BIKES
    assert {name: after[name] for name in before} == before
    for name in (next(iter(before)), found["studied"][-1].removesuffix(".toml")):
        assert after[name][1] == expected(club, name)


def test_an_interrupt_ends_it_at_once_and_keeps_what_is_done(club):
    """With bikes that take minutes each, so that waiting for them would show."""
    (club / "shop.toml").write_text(usecases.demo_catalogue_text(), encoding="utf-8")
    words = [*command()[:-1], "100000"]
    process = subprocess.Popen(words, cwd=club, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    until((club / "out").is_dir, process)
    time.sleep(1.0)
    process.send_signal(signal.SIGINT)
    output, errors = process.communicate(timeout=20.0)
    assert (process.returncode, output, errors) == (130, "", "stopped\n")
    assert results(club) == {}


@contextmanager
def cluster(folder: Path) -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """A scheduler and two workers, each a process of its own; its address and the workers."""
    note = folder / "scheduler.json"
    start = [sys.executable, "-m", "distributed.cli.dask_scheduler", "--no-dashboard", "--no-show"]
    start += ["--host", "127.0.0.1", "--port", "0", "--scheduler-file", str(note)]
    worker = [sys.executable, "-m", "distributed.cli.dask_worker", "--no-dashboard", "--no-nanny"]
    worker += ["--nthreads", "1", "--host", "127.0.0.1", "--scheduler-file", str(note)]
    with ExitStack() as stack:

        def started(words: list[str], log: Path) -> subprocess.Popen[bytes]:
            file = stack.enter_context(log.open("wb"))
            process = stack.enter_context(subprocess.Popen(words, cwd=folder, stdout=file, stderr=file))
            stack.callback(process.kill)
            return process

        scheduler = started(start, folder / "scheduler.log")
        until(lambda: note.exists() and note.read_text("utf-8").endswith("}"), scheduler)
        logs = [folder / f"worker-{number}.log" for number in range(2)]
        workers = [started(worker, log) for log in logs]
        for process, log in zip(workers, logs, strict=True):
            until(lambda log=log: "Registered to" in log.read_text("utf-8"), process)
        yield json.loads(note.read_text("utf-8"))["address"], workers


def test_a_cluster_that_loses_a_worker_studies_every_bike(club):
    with cluster(club) as (address, workers):
        words = command("--scheduler", address, "--json")
        process = subprocess.Popen(words, cwd=club, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        until(lambda: len(results(club)) >= 3, process)
        workers[0].kill()
        assert len(results(club)) < BIKES
        output, errors = process.communicate(timeout=PATIENCE)
    assert process.returncode == 0, errors
    found = json.loads(output)
    assert len(found["studied"]) == BIKES
    assert found["unusable"] == {}
    after = results(club)
    for name in ("bike-00", f"bike-{BIKES - 1:02d}"):
        assert after[name][1] == expected(club, name)


def test_what_cannot_be_used_is_reported_in_the_end(club):
    for path in sorted((club / "club").iterdir())[2:]:
        path.unlink()
    (club / "club" / "broken.toml").write_text("oops", encoding="utf-8")
    (club / "club" / "spring").mkdir()
    words = ("study", "--bikes", "club", "--catalogue", "shop.toml", "--out", "out", *ROUGH)
    done = run(*words, cwd=club)
    assert done.returncode == 1
    assert "3 bikes: 2 studied, 0 kept from before, 1 cannot be used." in done.stdout
    assert len(done.stderr.splitlines()) == 1
    assert done.stderr.startswith("broken.toml: file: not TOML")
    lines = done.stdout.splitlines()
    assert [line.partition(": ")[0] for line in lines[:2]] == ["bike-00.toml", "bike-01.toml"]
    assert "\\x" not in done.stdout
    assert lines[-1] == "1 passed over: spring (a folder)"
    assert len(results(club)) == 2


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ((), "give one bike file, or a folder"),
        (("club/bike-00.toml", "--bikes", "club", "--out", "out"), "give one bike file, or a folder"),
        (("--bikes", "club"), "--out: is missing"),
        (("--bikes", "club", "--out", "out", "--page", "p.html"), "--page: goes with one bike only"),
        (("club/bike-00.toml", "--scheduler", "tcp://127.0.0.1:1"), "--scheduler: goes with --bikes only"),
        (("--bikes", "club", "--out", "out", "--scheduler", "here"), "--scheduler = 'here': cannot be reached"),
        (("--bikes", "nowhere", "--out", "out"), "is no folder"),
    ],
)
def test_what_does_not_go_together_is_one_line(club, words, message):
    done = run("study", *words, "--catalogue", "shop.toml", cwd=club)
    assert (done.returncode, done.stdout) == (1, "")
    assert message in done.stderr
    assert len(done.stderr.splitlines()) == 1
