"""The commands as a user runs them: what they print, where, and with which exit status."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from clutchwright import bikefile, usecases
from clutchwright.assess.figures import FIGURES
from tests.broken_bikes import BROKEN

CONTRACT = {
    "schema name verdict reasons assumed warnings pull_peak_N pull_at_release_N hold_N return_at_release_N work_pull_J "
    "floor_N lift_full_mm release_margin_mm clamp_new_N clamp_worn_N slip_margin_new slip_margin_worn curve"
}
CURVE = ["travel_mm", "span_mm", "pull_N", "return_N", "lift_mm", "clamp_N", "capacity_Nm"]


def run(*arguments: object, cwd: Path, **options: object) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "clutchwright", *map(str, arguments)]
    environment = {**os.environ, "PYTHONIOENCODING": "utf-8", "NO_COLOR": "1", "COLUMNS": "100"}
    return subprocess.run(
        command, cwd=cwd, capture_output=True, text=True, encoding="utf-8", env=environment, check=False, **options
    )


@pytest.fixture(scope="module")
def garage(tmp_path_factory):
    folder = tmp_path_factory.mktemp("garage")
    for name in usecases.DEMOS:
        (folder / f"{name}.toml").write_text(usecases.demo_text(name), encoding="utf-8")
    return folder


def test_json_holds_the_contract(garage):
    done = run("assess", "six-spring-rack.toml", "--json", cwd=garage)
    assert (done.returncode, done.stderr) == (0, "")
    found = json.loads(done.stdout)
    assert set(" ".join(CONTRACT).split()) <= set(found)
    assert {figure.key for figure in FIGURES} <= set(found)
    assert list(found["curve"]) == CURVE
    assert len({len(column) for column in found["curve"].values()}) == 1
    assert found["schema"] == 1
    assert "before" not in found or found["before"] is None


def test_json_with_changes_and_samples(garage):
    words = ("--with", "arm-length:length_mm=38", "--samples", 256, "--seed", 7, "--json")
    first = run("assess", "six-spring-rack.toml", *words, cwd=garage)
    found = json.loads(first.stdout)
    assert found["pull_peak_N"] < found["before"]["pull_peak_N"]
    assert set(found["probability"]) == {"slips", "does_not_release", "touches"}
    assert found["p05"]["pull_peak_N"] < found["p50"]["pull_peak_N"] < found["p95"]["pull_peak_N"]
    assert run("assess", "six-spring-rack.toml", *words, cwd=garage).stdout == first.stdout


def test_budgets_in_json_add_up(garage):
    found = json.loads(run("assess", "diaphragm-cam.toml", "--json", cwd=garage).stdout)
    assert sum(item["value_N"] for item in found["force_budget"]) == pytest.approx(found["pull_at_release_N"])
    full = found["curve"]["travel_mm"][-1]
    assert sum(item["value_mm"] for item in found["travel_budget"]) == pytest.approx(full)


@pytest.mark.parametrize("name", usecases.DEMOS)
def test_the_terminal_tells_the_whole_story(garage, name):
    done = run("assess", f"{name}.toml", "--all", cwd=garage)
    assert done.returncode == 0
    for word in (
        "Peak pull",
        "Floor",
        "Where the force goes",
        "Where the travel goes",
        "Slip margin",
        "Checks",
        "mechanic",
    ):
        assert word in done.stdout, word
    assert "\x1b" not in done.stdout


def test_changes_from_a_file(garage):
    (garage / "plan.toml").write_text('[[change]]\nkind = "arm-length"\nlength_mm = 38\n', encoding="utf-8")
    by_file = run("assess", "six-spring-rack.toml", "--changes", "plan.toml", "--json", cwd=garage).stdout
    by_hand = run("assess", "six-spring-rack.toml", "--with", "arm-length:length_mm=38", "--json", cwd=garage).stdout
    assert json.loads(by_file) == json.loads(by_hand)


@pytest.mark.parametrize(("ending", "start"), [("svg", b"<svg"), ("png", b"\x89PNG"), ("pdf", b"%PDF")])
def test_figures(garage, ending, start):
    done = run("assess", "six-spring-rack.toml", "--figure", f"figure.{ending}", cwd=garage)
    assert done.returncode == 0, done.stderr
    assert (garage / f"figure.{ending}").read_bytes().startswith(start)


def test_a_demo_that_is_saved_prints_nothing_else_and_leaves_nothing_else(tmp_path):
    done = run("demo", "--save", "mine.toml", "--save-catalogue", "shop.toml", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (0, "")
    assert str(tmp_path / "mine.toml") in done.stderr.replace("\n", "")
    assert {each.name for each in tmp_path.iterdir()} == {"mine.toml", "shop.toml"}
    assert run("assess", "mine.toml", cwd=tmp_path).returncode == 0
    again = run("demo", "--save", "mine.toml", cwd=tmp_path)
    assert again.returncode == 1
    assert "exists already" in again.stderr


def test_the_demo_answers_and_writes_a_page_where_it_is_asked_to(tmp_path):
    done = run("demo", "--page", "demo.html", cwd=tmp_path)
    assert done.returncode == 0
    assert "Peak pull" in done.stdout
    assert "invented" in (tmp_path / "demo.html").read_text(encoding="utf-8")


def test_schema_and_changes_lists(tmp_path):
    assert json.loads(run("schema", cwd=tmp_path).stdout) == bikefile.json_schema()
    kinds = json.loads(run("changes", "--json", cwd=tmp_path).stdout)
    assert "washers" in {kind["kind"] for kind in kinds}
    assert "washers" in run("changes", cwd=tmp_path).stdout


REFUSED = {
    "springs-fewer:left_out=1+2": "unbalance",
    "washers:thickness_mm=1,outer_mm=14": "washer 14.0 mm wide",
    "springs-softer:rate_share=9": "give a number from",
    "arm-longer:length_mm=9": "did you mean",
    "arm-length": "length_mm: missing",
}


@pytest.mark.parametrize("change", REFUSED)
def test_a_change_that_cannot_be_done_says_why_in_one_line(garage, change):
    done = run("assess", "six-spring-rack.toml", "--with", change, cwd=garage)
    assert (done.returncode, done.stdout) == (1, "")
    assert len(done.stderr.splitlines()) == 1
    assert REFUSED[change] in done.stderr


WRONG_USE: dict[tuple[str, ...], tuple[str, str]] = {
    ("asess",): ("'asess'", "Did you mean 'assess'? see:"),
    ("assess",): ("'bike' (Bike file (TOML)); see:", "assess --help"),
    ("assess", "x.toml", "--jsn"): ("--jsn; did you mean --json? see:", "assess --help"),
    ("assess", "x.toml", "--samples"): ("'--samples'", "--help"),
    ("assess", "x.toml", "--samples", "many"): ("'--samples'", "assess --help"),
    ("assess", "x.toml", "--samples", "100001"): ("100000", "assess --help"),
    ("assess", "x.toml", "a\nb\x1b[31m"): ("unexpected extra argument", "assess --help"),
    ("position", "x.toml"): ("'--hand' (Hand file", "position --help"),
    ("readings", "nwe"): ("Did you mean 'new'? see:", "readings --help"),
}


@pytest.mark.parametrize("words", WRONG_USE, ids=" ".join)
def test_wrong_use_is_one_line_that_says_what_is_wrong_and_what_to_do(tmp_path, words):
    done = run(*words, cwd=tmp_path)
    assert (done.returncode, done.stdout, len(done.stderr.splitlines())) == (2, "", 1), done.stderr
    assert all(part in done.stderr for part in WRONG_USE[words]), done.stderr
    assert "\x1b" not in done.stderr


def test_no_words_at_all_show_the_help_as_wrong_use(tmp_path):
    done = run(cwd=tmp_path)
    assert (done.returncode, done.stderr) == (2, "")
    assert "position" in done.stdout


MISSING = {
    "nowhere.toml": "cannot be read",
    ".": "is a folder",
}


@pytest.mark.parametrize("path", MISSING)
def test_a_path_that_is_no_bike_file(garage, path):
    done = run("assess", path, cwd=garage)
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.startswith(f"{path}: file: {MISSING[path]}")
    assert len(done.stderr.splitlines()) == 1


def test_outputs_that_cannot_be_written(garage):
    for words in (("--page", "nowhere/page.html"), ("--figure", "figure.gif"), ("--figure", "nowhere/figure.svg")):
        done = run("assess", "six-spring-rack.toml", *words, cwd=garage)
        assert (done.returncode, len(done.stderr.splitlines())) == (1, 1), done.stderr


def test_every_broken_bike_is_one_line_and_exit_1(tmp_path, monkeypatch, capsys):
    from clutchwright import cli

    assert len(BROKEN) >= 60
    deep = tmp_path / ("a folder with a long name " + "x" * 90)
    deep.mkdir()
    for number, (name, content) in enumerate(BROKEN.items()):
        path = deep / f"{number}.toml"
        path.write_bytes(content)
        monkeypatch.setattr(sys, "argv", ["clutchwright", "assess", str(path)])
        with pytest.raises(SystemExit) as ended:
            cli.main()
        told = capsys.readouterr()
        assert (ended.value.code, told.out) == (1, ""), name
        assert len(told.err.splitlines()) == 1, (name, told.err)
        assert str(path) in told.err, name
        path.unlink()


def test_the_interview_makes_a_file_that_can_be_assessed(tmp_path):
    from clutchwright.bikefile import interview

    needed = {
        "name": "Mine", "lever.cable_end": "far", "lift.kind": "rack", "springs.kind": "coil", "springs.count": "6",
        "lever.finger_radius_mm": "82", "lever.cable_radius_mm": "26 ± 0.3", "lever.rest_span_mm": "78",
        "lever.stop_span_mm": "32", "arm.length_mm": "32", "lift.pinion_radius_mm": "4.5",
        "springs.rate_N_per_mm": "27", "springs.free_length_mm": "41", "springs.installed_length_mm": "32",
        "pack.faces": "14", "pack.outer_mm": "122", "pack.inner_mm": "98", "drive.engine_torque_Nm": "32 manual",
        "drive.primary_ratio": "2.9 manual",
    }  # fmt: skip
    answers: dict[str, interview.Answer] = {}
    typed = []
    while (question := interview.next_question(answers)) is not None:
        text = needed.get(question.key, "?")
        typed.append(text)
        answers[question.key] = interview.answer(question, text)
    half = run("new", "mine.toml", cwd=tmp_path, input="\n".join(typed[:5]) + "\n")
    assert half.returncode == 1
    assert "kept in" in half.stderr
    assert not (tmp_path / "mine.toml").exists()
    rest = run("new", "mine.toml", cwd=tmp_path, input="back\n" + "\n".join(typed[4:]) + "\n")
    assert rest.returncode == 0, rest.stderr + rest.stdout
    assert not (tmp_path / "mine.toml.draft").exists()
    found = json.loads(run("assess", "mine.toml", "--json", cwd=tmp_path).stdout)
    assert found["name"] == "Mine"
    assert found["pull_peak_N"] > 0.0
