"""The list of commands: wrong use, an old Python, a missing module, no network, and what it skips."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import tasks

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize(
    "arguments", [[], ["fly"], ["test", "check"], ["test", "--keep"], ["bench", "--fast"], ["--help"]]
)
def test_wrong_use_exits_2_with_the_list_of_commands(arguments):
    done = subprocess.run(
        [sys.executable, "tasks.py", *arguments], cwd=ROOT, capture_output=True, encoding="utf-8", check=False
    )
    assert done.returncode == 2
    assert done.stderr.splitlines() == [
        "usage: python3 tasks.py start | test | check | bench [--keep] | mutants | docs | lock"
    ]
    assert done.stdout == ""


def test_an_old_python_can_read_the_file():
    ast.parse((ROOT / "tasks.py").read_text("utf-8"), feature_version=(3, 6))


@pytest.mark.parametrize(
    ("version", "old"), [((3, 6, 15), True), ((3, 10, 13), True), ((3, 11, 0), False), ((4, 0), False)]
)
def test_an_old_python_is_told_so(version, old):
    message = tasks.old_python_message(version)
    assert bool(message) is old
    if old:
        assert f"Python {version[0]}.{version[1]}" in message
        assert "python3.11 tasks.py start" in message


def test_an_old_python_ends_the_task_in_one_line(monkeypatch, capsys):
    monkeypatch.setattr(sys, "version_info", (3, 9, 2))
    assert tasks.main(["check"]) == 1
    assert len(capsys.readouterr().err.splitlines()) == 1


@pytest.mark.parametrize(
    ("platform", "found", "words"),
    [("linux", False, "apt install python3-venv"), ("win32", False, "ensurepip"), ("linux", True, "")],
)
def test_a_python_without_venv_is_told_so(platform, found, words):
    message = tasks.missing_venv_message(platform, found)
    assert words in message
    assert bool(message) is not found


@pytest.mark.parametrize(
    ("output", "words"),
    [
        (
            "WARNING: Retrying: NewConnectionError('Failed to establish a new connection')\nERROR: No match",
            "HTTPS_PROXY",
        ),
        ("WARNING: Temporary failure in name resolution\nERROR: No matching distribution found", "check the network"),
        ("ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device", "disk is full"),
        ("ERROR: THESE PACKAGES DO NOT MATCH THE HASHES", "pip failed: ERROR: THESE PACKAGES DO NOT MATCH THE HASHES"),
        ("", "it gave no reason"),
    ],
)
def test_a_failure_of_pip_becomes_one_line(output, words):
    message = tasks.pip_failure_message(output)
    assert words in message
    assert "\n" not in message


def fake_python(folder: Path, monkeypatch: pytest.MonkeyPatch, script: str) -> None:
    """Let a little script stand for the virtual environment's Python."""
    (folder / "fake.py").write_text(script, "utf-8")
    real_run = subprocess.run

    def run(command, **options):
        return real_run([sys.executable, str(folder / "fake.py"), *command[1:]], **options)

    monkeypatch.setattr(tasks.subprocess, "run", run)
    monkeypatch.setattr(tasks, "VENV", folder)
    monkeypatch.setattr(tasks, "make_venv", lambda: None)


def test_no_network_ends_the_task_in_one_line_that_says_what_to_do(tmp_path, monkeypatch, capsys):
    fake_python(tmp_path, monkeypatch, "print('connection refused: \\u2717'.encode())\nraise SystemExit(1)\n")
    assert tasks.main(["check"]) == 1
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 1
    assert lines[0].startswith("tasks.py check: the package index cannot be reached; check the network")
    assert not tasks.installed("run")


def test_a_list_is_installed_once_with_the_smaller_ones(tmp_path, monkeypatch, capsys):
    log = tmp_path / "log"
    fake_python(tmp_path, monkeypatch, f"import sys\nopen({str(log)!r}, 'a').write(' '.join(sys.argv[1:]) + '\\n')\n")
    tasks.install("check")
    first = log.read_text("utf-8")
    assert [line for line in first.splitlines() if "--require-hashes" in line and "check.txt" in line]
    tasks.install("run")
    tasks.install("check")
    assert log.read_text("utf-8") == first
    assert tasks.installed("run")
    assert not tasks.installed("test")
    assert "install requirements/check.txt" in capsys.readouterr().out


def test_a_changed_list_is_installed_again(tmp_path, monkeypatch):
    fake_python(tmp_path, monkeypatch, "")
    tasks.install("run")
    changed = tmp_path / "changed.txt"
    changed.write_text("another==1.0", "utf-8")
    monkeypatch.setattr(tasks, "list_file", lambda _: changed)
    assert not tasks.installed("run")


def test_a_failed_step_does_not_hide_the_next(monkeypatch, capsys):
    seen = []
    monkeypatch.setattr(tasks, "install", lambda _: None)
    monkeypatch.setattr(tasks, "run", lambda step, *_: seen.append(step) or step not in ("lint", "layers"))
    assert tasks.main(["check"]) == 1
    assert seen == ["format", "lint", "types", "layers", "house rules and documents"]
    assert capsys.readouterr().out.rstrip().endswith("failed: lint, layers")


@pytest.mark.parametrize(("broken", "status"), [("", 0), ("reference_pages", 1), ("site", 1)])
def test_docs_builds_the_site_last_and_says_where_it_is(tmp_path, monkeypatch, capsys, broken, status):
    seen = []
    monkeypatch.setattr(tasks, "ROOT", tmp_path)
    monkeypatch.setattr(tasks, "install", lambda _: None)
    monkeypatch.setattr(tasks, "run", lambda step, *_: seen.append(step) or step != broken)
    assert tasks.main(["docs"]) == status
    assert seen[-1] == "site"
    assert (str(tmp_path / "build" / "site" / "index.html") in capsys.readouterr().out) is (broken != "site")


def test_bench_without_benchmarks_says_so(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(tasks, "ROOT", tmp_path)
    assert tasks.main(["bench"]) == 1
    assert "no folder benchmarks/" in capsys.readouterr().err


@pytest.mark.parametrize("words", [[], ["--keep"]])
def test_bench_passes_on_whether_to_keep(words, monkeypatch):
    seen = []
    monkeypatch.setattr(tasks, "install", lambda _: None)
    monkeypatch.setattr(tasks, "run", lambda _, *command: seen.append(command[1:]) or True)
    assert tasks.main(["bench", *words]) == 0
    assert seen == [("-m", "benchmarks", *words)]
