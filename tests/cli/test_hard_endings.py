"""Outputs that would harm, output that nobody takes, too little memory, Ctrl-C: one line and an exit status."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from clutchwright import cli, usecases
from tests.cli.test_commands import garage, run

__all__ = ["garage"]

FULL = Path("/dev/full")
BIKE = "six-spring-rack.toml"
HARMFUL: dict[str, tuple[object, ...]] = {
    "page over the bike": ("assess", "bike.html", "--page", "bike.html"),
    "figure over the bike": ("assess", "bike.svg", "--figure", "bike.svg"),
    "page over the changes": ("plan", BIKE, "--changes", "bike.html", "--page", "bike.html"),
    "table over the catalogue": ("study", BIKE, "--catalogue", "x.parquet", "--table", "x.parquet"),
    "page over the hand": ("study", BIKE, "--catalogue", "x.parquet", "--hand", "bike.html", "--page", "bike.html"),
    "page over readings": ("fit", BIKE, "bike.html", "--page", "bike.html"),
    "two outputs in one": ("demo", "--save", "x.html", "--page", "x.html"),
    "saved over the bike": ("fit", BIKE, "x.csv", "--save", BIKE),
    "page in no folder": ("assess", BIKE, "--figure", "never.svg", "--page", "nowhere/p.html"),
    "page that is a device": ("claim", BIKE, "--says", "10%", "--page", "null.html"),
    "sheet that ends wrongly": ("readings", "new", BIKE, "same.csv", "--sheet", "same.csv"),
}


@pytest.mark.parametrize("words", HARMFUL.values(), ids=HARMFUL)
def test_outputs_are_checked_before_anything_is_written(tmp_path, words):
    for name in ("bike.html", "bike.svg", "x.parquet", BIKE):
        (tmp_path / name).write_text(usecases.demo_text(usecases.DEMOS[0]), encoding="utf-8")
    (tmp_path / "null.html").symlink_to("/dev/null")
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    done = run(*words, cwd=tmp_path)
    assert (done.returncode, done.stdout, len(done.stderr.splitlines())) == (1, "", 1), done.stderr
    assert before == {path.name: path.read_bytes() for path in tmp_path.iterdir()}


@pytest.mark.skipif(not FULL.exists(), reason="no full device here")
@pytest.mark.parametrize(
    "words", [("assess", BIKE), ("assess", BIKE, "--json"), ("schema",), ("changes",), ("--help",)]
)
def test_a_full_disk_is_one_line(garage, words):
    with FULL.open("w") as full:
        command = [sys.executable, "-m", "clutchwright", *words]
        done = subprocess.run(command, cwd=garage, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert (done.returncode, done.stderr) == (1, "cannot go on: No space left on device\n")


@pytest.mark.parametrize("words", [("assess", BIKE), ("schema",), ("changes",)])
def test_a_reader_who_leaves_is_no_matter(garage, words):
    command = [sys.executable, "-m", "clutchwright", *words]
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run(command, cwd=garage, stdout=writing, stderr=subprocess.PIPE, text=True, check=False)
    os.close(writing)
    assert (done.returncode, done.stderr) == (1, "")


def ended(monkeypatch, error: BaseException) -> int:
    def breaks(*_: object, **__: object) -> Any:
        raise error

    monkeypatch.setattr(usecases, "read_bike", breaks)
    monkeypatch.setattr(sys, "argv", ["clutchwright", "assess", BIKE])
    with pytest.raises(SystemExit) as end:
        cli.main()
    return end.value.code


@pytest.mark.parametrize(
    ("error", "status", "told"),
    [
        (MemoryError(), 1, "not enough memory; close other programs, or ask for fewer --samples\n"),
        (KeyboardInterrupt(), 130, "stopped\n"),
    ],
    ids=["memory", "Ctrl-C"],
)
def test_what_ends_a_command_early(monkeypatch, capsys, error, status, told):
    assert ended(monkeypatch, error) == status
    assert capsys.readouterr().err == told


def test_ctrl_c_in_the_midst_of_work(garage):
    command = [sys.executable, "-m", "clutchwright", "assess", BIKE, "--samples", "100000"]
    before = signal.signal(signal.SIGINT, signal.default_int_handler)  # a child inherits that it is ignored
    with subprocess.Popen(command, cwd=garage, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as running:
        signal.signal(signal.SIGINT, before)
        time.sleep(4.0)
        running.send_signal(signal.SIGINT)
        out, told = running.communicate(timeout=60)
    assert (running.returncode, out, told) == (130, "", "stopped\n")


def test_more_samples_than_memory_is_likely_to_hold_are_wrong_use(garage):
    assert run("assess", BIKE, "--samples", 100_001, cwd=garage).returncode == 2


def test_paths_and_words_are_shown_without_what_steers_a_terminal(tmp_path):
    for words in (("assess", "a\x1b[31m\nb.toml"), ("assess", "x.toml", "--with", "wash\x1b[31mers:a=1")):
        done = run(*words, cwd=tmp_path)
        assert (done.returncode, len(done.stderr.splitlines())) == (1, 1)
        assert done.stderr.rstrip("\n").isprintable()
        assert r"\x1b[31m" in done.stderr


def test_help_is_plain_text_for_eighty_columns_and_every_command_is_told_whole(tmp_path):
    command, environment = [sys.executable, "-m", "clutchwright", "--help"], {**os.environ, "COLUMNS": "80"}
    told = subprocess.run(command, cwd=tmp_path, capture_output=True, encoding="utf-8", env=environment, check=True)
    assert max(map(len, told.stdout.splitlines())) <= 80
    assert told.stdout.isascii()
    assert "..." not in told.stdout.partition("Commands:")[2]
    assert "completion" not in told.stdout


def test_the_help_tells_the_exit_statuses(tmp_path):
    done = run("--help", cwd=tmp_path)
    for status in ("0 answered", "1 the input cannot be used", "2 wrong use", "130 stopped by Ctrl-C"):
        assert status in " ".join(done.stdout.split())
