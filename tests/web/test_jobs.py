"""Long work: what becomes of a job that is done, stopped, cut off or impossible."""

import json
import math
import os
import signal
import time
from contextlib import suppress
from dataclasses import replace

import pytest

from clutchwright import usecases
from clutchwright.errors import InputError
from clutchwright.web.jobs import MOST_WAITING, OVER, STATE, STUDY, Jobs
from clutchwright.workspace import Workspace
from tests.web import workers

BIKE, CATALOGUE = usecases.demo_text(usecases.DEMOS[0]), usecases.demo_catalogue_text()
WITHIN = 60.0  # seconds: a process of its own takes some to begin, on a machine that does other things too


@pytest.fixture
def begun(tmp_path):
    """Jobs of a folder with some work; all of them ended in the end."""
    made = []

    def begin(work):
        jobs = Jobs(Workspace(tmp_path), work)
        made.append(jobs)
        return jobs

    yield begin
    for jobs in made:
        jobs.close()


def wait(jobs, key, ready):
    until = time.monotonic() + WITHIN
    while not ready(job := jobs.find(key)):
        assert time.monotonic() < until, job
        time.sleep(0.02)
    return job


def over(jobs, key):
    return wait(jobs, key, lambda job: job.state in OVER)


def running(jobs, key):
    return wait(jobs, key, lambda job: job.what)


def test_a_job_is_done_and_its_result_kept(begun, tmp_path):
    jobs = begun(workers.at_once)
    asked = workers.task(BIKE, CATALOGUE)
    assert jobs.start(asked).state in ("waiting", "running")
    done = over(jobs, asked.id)
    assert (done.state, done.error, done.tries) == ("done", "", 1)
    assert jobs.study(done) == '{"seed": 1}'
    assert begun(workers.dying).start(asked).state == "done"
    (tmp_path / ".clutchwright" / "studies" / f"{asked.id}{STUDY}").unlink()
    with pytest.raises(InputError, match="run it again"):
        jobs.study(done)
    assert jobs.start(asked).pending


def test_the_same_question_is_the_same_job(begun):
    asked = workers.task(BIKE, CATALOGUE)
    request = asked.request
    assert asked.id == workers.task(BIKE, CATALOGUE).id
    others = [replace(request, seed=2), replace(request, without=("Oil the cable",)), replace(request, target_N=80.0)]
    ids = {asked.id, workers.task(f"{BIKE}\n", CATALOGUE).id, *(replace(asked, request=each).id for each in others)}
    assert len(ids) == 5


def test_one_at_a_time_in_the_order_asked(begun):
    jobs = begun(workers.slow)
    first, second = (jobs.start(workers.task(BIKE, CATALOGUE, seed)) for seed in (1, 2))
    now = running(jobs, first.id)
    assert (now.what, now.done, now.total) == ("counting sheep", 3, 40)
    assert jobs.find(second.id).state == "waiting"
    jobs.cancel(first.id)
    running(jobs, second.id)
    assert jobs.find(first.id).state == "cancelled"


def test_a_job_that_runs_is_cancelled_at_once_and_begun_again_only_where_that_is_asked(begun):
    jobs = begun(workers.slow)
    key = jobs.start(workers.task(BIKE, CATALOGUE)).id
    running(jobs, key)
    process = jobs._process
    assert jobs.cancel(key).state == "cancelled"
    process.join(WITHIN)
    assert process.exitcode == -signal.SIGKILL
    assert jobs.start(workers.task(BIKE, CATALOGUE)).state == "cancelled"
    assert jobs.start(workers.task(BIKE, CATALOGUE), again=True).pending


def test_a_job_that_waits_is_cancelled_and_never_begun(begun):
    jobs = begun(workers.slow)
    first, second = (jobs.start(workers.task(BIKE, CATALOGUE, seed)).id for seed in (1, 2))
    running(jobs, first)
    jobs.cancel(second)
    jobs.cancel(first)
    third = jobs.start(workers.task(BIKE, CATALOGUE, 3)).id
    running(jobs, third)
    assert (jobs.find(second).state, jobs.find(second).tries) == ("cancelled", 0)


def test_cancelling_what_is_not_there_or_over_changes_nothing(begun):
    jobs = begun(workers.at_once)
    assert jobs.cancel("none") is None
    key = jobs.start(workers.task(BIKE, CATALOGUE)).id
    over(jobs, key)
    assert jobs.cancel(key).state == "done"


@pytest.mark.parametrize(
    ("work", "error"),
    [(workers.refusing, "catalogue: says so"), (workers.dying, "its process ended by itself (exit code 7")],
)
def test_a_job_that_fails_says_why_and_lets_the_next_one_run(begun, work, error):
    jobs = begun(work)
    first, second = (jobs.start(workers.task(BIKE, CATALOGUE, seed)).id for seed in (1, 2))
    assert over(jobs, first).state == "failed"
    assert error in jobs.find(first).error
    assert over(jobs, second).state == "failed"


def test_what_cannot_be_studied_is_refused_before_a_job_is_made(begun, tmp_path):
    jobs = begun(workers.at_once)
    with pytest.raises(InputError, match="unknown"):
        jobs.start(workers.task(BIKE, CATALOGUE.replace("price", "prize")))
    with pytest.raises(InputError, match=r"six-spring-rack\.toml"):
        jobs.start(workers.task("nonsense", CATALOGUE))
    assert not list(tmp_path.glob(f".clutchwright/studies/*{STATE}"))


def test_no_more_wait_than_may(begun):
    jobs = begun(workers.slow)
    running(jobs, jobs.start(workers.task(BIKE, CATALOGUE, 0)).id)
    for seed in range(1, MOST_WAITING + 1):
        jobs.start(workers.task(BIKE, CATALOGUE, seed))
    with pytest.raises(InputError, match="others are waiting"):
        jobs.start(workers.task(BIKE, CATALOGUE, MOST_WAITING + 1))


def test_what_an_end_cut_off_is_taken_up_at_the_next_start(begun, tmp_path):
    flag = tmp_path / "slow"
    flag.touch()
    jobs = begun(workers.slow_where_a_file_is)
    tasks = [replace(t, request=replace(t.request, hand=str(flag))) for t in map(seeded, (1, 2))]
    first, second = ids = [task.id for task in tasks]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("clutchwright.web.studying.Task.require_sound", lambda _: None)  # the hand is no hand
        for task in tasks:
            jobs.start(task)
    running(jobs, first)
    jobs.close()
    flag.unlink()
    later = begun(workers.slow_where_a_file_is)
    later.take_up()
    assert [over(later, key).state for key in ids] == ["done", "done"]
    assert [later.find(key).tries for key in (first, second)] == [2, 1]


def seeded(seed):
    return workers.task(BIKE, CATALOGUE, seed)


def test_what_was_cut_off_twice_waits_to_be_asked_for(begun):
    key = ""
    for _ in range(2):
        jobs = begun(workers.slow)
        jobs.take_up()
        key = jobs.start(workers.task(BIKE, CATALOGUE)).id
        running(jobs, key)
        jobs.close()
    later = begun(workers.at_once)
    later.take_up()
    assert later.find(key).state == "interrupted"
    assert later.start(workers.task(BIKE, CATALOGUE), again=True).pending
    assert over(later, key).state == "done"


def test_files_that_are_no_jobs_are_left_alone(begun, tmp_path):
    folder = Workspace(tmp_path).store("studies")
    for name, text in {"a": "{", "b": "[]", "c": '{"state": "running"}', "d": "\udcff"}.items():
        (folder / f"{name}{STATE}").write_bytes(text.encode("utf-8", "surrogateescape"))
    jobs = begun(workers.at_once)
    jobs.take_up()
    assert [jobs.find(name) for name in "abcd"] == [None] * 4
    assert len(list(folder.iterdir())) == 4


@pytest.mark.parametrize(
    "wrong",
    [
        {"at": "yesterday"},
        {"at": None},
        {"at": math.inf},
        {"at": math.nan},
        {"tries": "two"},
        {"tries": None},
        {"state": ["running"]},
        {"state": "asleep"},
        {"bike": "another bike"},
        {"request": {"limits": {"slips": 7}}},
    ],
)
def test_a_job_file_that_was_tampered_with_is_left_alone(begun, tmp_path, wrong):
    asked = workers.task(BIKE, CATALOGUE)
    kept = {"state": "waiting", "at": 1.0, "error": "", "tries": 0, **asked.to_json()}
    (Workspace(tmp_path).store("studies") / f"{asked.id}{STATE}").write_text(json.dumps(kept | wrong), "utf-8")
    jobs = begun(workers.at_once)
    jobs.take_up()
    assert jobs.find(asked.id) is None


def test_a_job_file_nested_too_deeply_is_left_alone(begun, tmp_path):
    (Workspace(tmp_path).store("studies") / f"a{STATE}").write_text("[" * 100_000, "utf-8")
    begun(workers.at_once).take_up()


def test_a_result_that_is_no_result_any_more_is_worked_out_again(begun, tmp_path):
    jobs, asked = begun(workers.at_once), workers.task(BIKE, CATALOGUE)
    jobs.start(asked)
    done = over(jobs, asked.id)
    (tmp_path / ".clutchwright" / "studies" / f"{asked.id}{STUDY}").write_text('{"seed": ', "utf-8")
    with pytest.raises(InputError, match="run it again"):
        jobs.study(done)
    again = jobs.start(asked)
    assert again.pending
    with suppress(InputError):  # who still has the old one does not take the new one away
        jobs.study(done)
    assert jobs.find(asked.id) is not None
    assert over(jobs, asked.id).state == "done"


def test_a_full_disk_is_told_and_stops_nothing_later(begun, monkeypatch):
    def full(*_):
        raise InputError("output", None, "cannot be written: No space left on device")

    jobs, asked = begun(workers.at_once), workers.task(BIKE, CATALOGUE)
    with monkeypatch.context() as patch:
        patch.setattr("clutchwright.web.jobs.write_whole", full)
        with pytest.raises(InputError, match="No space left"):
            jobs.start(asked)
    assert jobs.find(asked.id) is None
    jobs.start(asked)
    assert over(jobs, asked.id).state == "done"


def test_what_is_cancelled_over_and_over_does_not_pile_up(begun, monkeypatch, tmp_path):
    monkeypatch.setattr("clutchwright.web.jobs.MOST_KEPT", 2)
    jobs = begun(workers.slow)
    first = jobs.start(workers.task(BIKE, CATALOGUE))
    for seed in range(2, 8):
        jobs.cancel(jobs.start(workers.task(BIKE, CATALOGUE, seed)).id)
    assert len(list((tmp_path / ".clutchwright" / "studies").glob(f"*{STATE}"))) <= 3
    assert jobs.find(first.id).pending


def test_only_the_newest_results_are_kept(begun, monkeypatch, tmp_path):
    monkeypatch.setattr("clutchwright.web.jobs.MOST_KEPT", 2)
    jobs = begun(workers.at_once)
    keys = []
    for seed in (1, 2, 3):
        keys.append(jobs.start(workers.task(BIKE, CATALOGUE, seed)).id)
        over(jobs, keys[-1])
    wait(jobs, keys[0], lambda job: job is None)
    assert len(list((tmp_path / ".clutchwright" / "studies").iterdir())) == 6


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="needs a user who can be kept from writing")
def test_a_folder_that_cannot_be_written_says_so(begun, tmp_path):
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(InputError, match="cannot be made"):
            begun(workers.at_once).start(workers.task(BIKE, CATALOGUE))
    finally:
        tmp_path.chmod(0o700)
