"""The command diagnose and the readings of the demo, as a user runs them."""

from __future__ import annotations

import json

import pytest

from clutchwright import usecases, usecases_bench
from clutchwright.calibrate.faults import FAULTS
from clutchwright.readings import loads
from tests.cli.test_commands import run

BIKE, READINGS = "mine.toml", "readings.csv"
HEAD = "note,travel_mm,hook_pull_kg\n"


@pytest.fixture(scope="module")
def garage(tmp_path_factory):
    folder = tmp_path_factory.mktemp("garage")
    (folder / BIKE).write_text(usecases.demo_text(usecases.DEMOS[0]), "utf-8")
    (folder / "diaphragm.toml").write_text(usecases.demo_text("diaphragm-cam"), "utf-8")
    (folder / READINGS).write_bytes(usecases_bench.demo_readings())
    files = {
        "few": ",20,9.4\n,25,9.6\n,30,9.7\n",
        "one": ",20,9.4\n",
        "empty": ",20,\n",
        "swapped": ",94,2.0\n,96,2.5\n,97,3.0\n",
        "newtons": ",20,94\n,25,95\n,30,96\n,35,97\n",
    }
    for name, lines in files.items():
        (folder / f"{name}.csv").write_text(HEAD + lines, "utf-8")
    (folder / "picture.csv").write_bytes(b"\x89PNG\r\n\x1a\n\x00\x00")
    return folder


@pytest.fixture(scope="module")
def diagnosed(garage):
    done = run("diagnose", BIKE, READINGS, "--figure", "f.svg", "--page", "p.html", cwd=garage)
    assert done.returncode == 0, done.stderr
    return done


def test_the_terminal_says_what_it_is_how_sure_how_to_check_what_to_do_and_what_that_gives(diagnosed):
    text = " ".join(diagnosed.stdout.split())
    assert "FAULT FOUND. Most likely: dry, dirty or kinked cable (" in text
    assert "free to put right; then the peak pull at the finger falls by" in text
    for word in (
        "Chance",
        "Friction coefficient",
        "in the bike file",
        "Check: Unhook it",
        "If so: Clean and oil",
        "Mind",
    ):
        assert word in text
    assert text.index("Check:") < text.index("What it could be") < text.index("What stands out")
    assert all(fault.label in text.lower() for fault in FAULTS)


def test_figure_and_page_are_written_whole(garage, diagnosed):
    assert "Figure: " in diagnosed.stderr
    assert "Page: " in diagnosed.stderr
    drawn = (garage / "f.svg").read_text("utf-8")
    assert "Readings against the bike as filed" in drawn
    assert "dry, dirty or kinked cable" in drawn
    page = (garage / "p.html").read_text("utf-8")
    assert "Dry, dirty or kinked cable: free to put right" in page
    assert page.count("<svg") >= 2


def test_json_names_the_fault_with_evidence_and_what_a_remedy_gives(garage):
    first = run("diagnose", BIKE, READINGS, "--json", cwd=garage)
    assert (first.returncode, first.stderr) == (0, "")
    found = json.loads(first.stdout)
    assert found["named"] == ["dry-cable"]
    assert {each["fault"] for each in found["faults"]} == {fault.key for fault in FAULTS}
    worst = found["faults"][0]
    assert worst["chance"] > 0.9 > 0.1 > found["healthy"]
    assert worst["change"]["pull_peak_N"]["value"] < -20.0
    # the invented readings were made with a friction of 0.31
    severity = worst["severity"]["cable.friction"]
    assert abs(severity["value"] - 0.31) < 2.0 * severity["u"]
    assert worst["evidence"][0]["off_without"] > 2.0 > worst["evidence"][0]["off_with"]
    assert run("diagnose", BIKE, READINGS, "--json", cwd=garage).stdout == first.stdout


def test_a_few_readings_leave_much_open(garage):
    found = json.loads(run("diagnose", BIKE, "few.csv", "--json", cwd=garage).stdout)
    assert found["named"] == []
    assert {each["fault"] for each in found["faults"] if not each["tested"]} >= {"mixed-springs", "grooved-basket"}
    text = " ".join(run("diagnose", BIKE, "few.csv", cwd=garage).stdout.split())
    assert "NOTHING FOUND" in text
    assert "Neither found nor excluded by these readings:" in text


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((BIKE, "none.csv"), "none.csv"),
        ((BIKE, "empty.csv"), "empty.csv"),
        ((BIKE, "picture.csv"), "picture.csv"),
        ((BIKE, "one.csv"), "only 1 in the file, at least 3 needed"),
        ((BIKE, BIKE), BIKE),
        ((READINGS, READINGS), READINGS),
        ((BIKE, "swapped.csv"), "beyond the lever's stop"),
        ((BIKE, "newtons.csv"), "end the column's name in _N"),
        ((BIKE, READINGS, READINGS), "count twice"),
        (("diaphragm.toml", READINGS), "lever.hook_radius_mm: not known of this bike"),
        ((BIKE, READINGS, "--with", "no-such-change"), "no-such-change"),
        ((BIKE, READINGS, "--page", "p.txt"), "--page"),
        ((BIKE, READINGS, "--figure", READINGS), "--figure"),
    ],
)
def test_what_cannot_be_used_is_refused_in_one_line(garage, arguments, message):
    done = run("diagnose", *arguments, cwd=garage)
    assert (done.returncode, done.stdout) == (1, "")
    assert message in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_without_readings_the_usage_is_wrong(garage):
    assert run("diagnose", BIKE, cwd=garage).returncode == 2


def test_the_demo_saves_its_readings_and_they_say_that_they_are_invented(tmp_path):
    done = run("demo", "--save-readings", "readings.csv", cwd=tmp_path)
    assert done.returncode == 0
    content = (tmp_path / "readings.csv").read_bytes()
    assert content.startswith(b"# Invented readings")
    assert len(loads(content, "readings.csv").readings) > 20
    other = run("demo", "four-spring-ramp", "--save-readings", "other.csv", cwd=tmp_path)
    assert other.returncode == 1
    assert "six-spring-rack only" in other.stderr
    wrong = run("demo", "--save-readings", "readings.txt", cwd=tmp_path)
    assert (wrong.returncode, wrong.stdout) == (1, "")
    assert ".csv" in wrong.stderr


def test_help_promises_what_there_is(tmp_path):
    done = run("readings", "--help", cwd=tmp_path)
    assert "look at a file" not in done.stdout
    assert "new" in done.stdout
