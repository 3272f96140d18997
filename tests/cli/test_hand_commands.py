"""The commands that take a hand: what they print, and one line with exit status 1 where they cannot."""

import json

import pytest
from typer.testing import CliRunner

from clutchwright import cli
from clutchwright.errors import ClutchwrightError
from clutchwright.usecases import demo_hand_text, demo_text
from tests.broken_hands import BROKEN


@pytest.fixture
def files(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "bike.toml").write_text(demo_text("six-spring-rack"), "utf-8")
    (tmp_path / "hand.toml").write_text(demo_hand_text("large-hand"), "utf-8")
    return tmp_path


def run(*arguments: str, status: int = 0, text: str = "") -> str:
    """Output of a command, errors last; a refusal counts as exit status 1, as in `main`."""
    done = CliRunner().invoke(cli.app, list(arguments), input=text)
    if isinstance(done.exception, ClutchwrightError):
        assert status == 1
        return str(done.exception)
    assert done.exit_code == status, done.output
    return done.output


def test_assess_holds_the_lever_against_a_hand(files):
    data = json.loads(run("assess", "bike.toml", "--hand", "hand.toml", "--riding", "trail", "--hours", "3", "--json"))
    assert data["hand"]["riding"]["key"] == "trail"
    assert data["hand"]["hours"] == 3.0
    assert data["hand"]["effort_peak"] > 0.0


def test_own_riding(files):
    own = "own:pulls_per_hour=60,hold_s=2.5"
    data = json.loads(run("assess", "bike.toml", "--hand", "hand.toml", "--riding", own, "--json"))
    assert data["hand"]["riding"]["duty"] == pytest.approx(60 * 2.5 / 3600)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["--riding", "town"], "--hand: is missing"),
        (["--hours", "2"], "--hand: is missing"),
        (["--hand", "hand.toml", "--hours", "9"], "riding time = 9.0: from 0.1 h to 8 h"),
        (["--hand", "hand.toml", "--hours", "1e-9"], "riding time = 1e-09: from 0.1 h to 8 h"),
        (["--hand", "hand.toml", "--riding", "twon"], "riding = 'twon': known: town"),
        (["--hand", "nobody.toml"], "nobody.toml: file: cannot be read"),
        (["--hand", "bike.toml"], "bike.toml: file: this is a bike file, not a hand file; name another"),
    ],
)
def test_what_cannot_be_used_is_one_line(files, arguments, says):
    line = run("assess", "bike.toml", *arguments, status=1)
    assert says in line
    assert "\n" not in line


@pytest.mark.parametrize("name", ["empty", "two strengths", "too old for the norms", "unknown section"])
def test_a_broken_hand_file_is_one_line(files, name):
    (files / "hand.toml").write_text(BROKEN[name][0], "utf-8")
    line = run("assess", "bike.toml", "--hand", "hand.toml", status=1)
    assert line.startswith("hand.toml: ")
    assert "\n" not in line


def test_position_prints_and_draws(files):
    assert "Move the perch" in run("position", "bike.toml", "--hand", "hand.toml")
    run("position", "bike.toml", "--hand", "hand.toml", "--figure", "trade.svg")
    assert (files / "trade.svg").read_bytes().startswith(b"<svg")
    assert json.loads(run("position", "bike.toml", "--hand", "hand.toml", "--json"))["steps"]


def test_position_needs_a_hand(files):
    assert "--hand" in run("position", "bike.toml", status=2)


def test_the_schema_of_hand_files(files):
    assert json.loads(run("schema", "--hand"))["title"] == "Hand file"
    assert json.loads(run("schema"))["title"] == "Bike file"


def test_a_hand_file_is_asked_for(files):
    answers = ["My hand", "man", "45", "right", "dynamometer", "44", "95", "?", "?", "all", "yes", "angle", "20", "?"]
    run("new", "--hand", "mine.toml", text="\n".join([*answers, "none", "?"]) + "\n")
    data = json.loads(run("assess", "bike.toml", "--hand", "mine.toml", "--json"))
    assert data["hand"]["name"] == "My hand"
    assert data["hand"]["reach"]["reach_mm"] == pytest.approx(95.0)


def test_the_demo_with_a_hand(files):
    output = run("demo", "--hand", "sore-thumb", "--save-hand", "sore.toml", "--page", "demo.html")
    assert "The hand: Sore thumb (invented)" in output
    assert (files / "sore.toml").read_text("utf-8") == demo_hand_text("sore-thumb")
    assert "choose one of small-hand" in run("demo", "--hand", "strong", status=1)


def test_a_hand_of_which_nothing_is_known_is_asked_for_too(files):
    output = run("new", "--hand", "mine.toml", text="?\n" * 20)
    assert "(? will do: My hand)" in output
    assert "(? will do: not measured: the norm for age and sex)" in " ".join(output.split())
    said = (files / "mine.toml").read_text("utf-8")
    assert 'name = "My hand"' in said
    assert 'kind = "norm"' in said
    assert json.loads(run("assess", "bike.toml", "--hand", "mine.toml", "--json"))["hand"]["effort_peak"] > 0.0
