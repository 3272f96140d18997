"""The commands claim, patterns and plan as a user runs them."""

from __future__ import annotations

import json

import pytest

from clutchwright import usecases
from tests.cli.test_commands import garage, run

__all__ = ["garage"]


@pytest.mark.parametrize("name", usecases.DEMOS)
def test_four_fifths_off_by_an_add_on_is_refuted(garage, name):
    done = run("claim", f"{name}.toml", "--says", "80%", "--by", "leverage", "--samples", 64, cwd=garage)
    assert (done.returncode, done.stderr) == (0, "")
    assert "IMPOSSIBLE" in done.stdout
    assert "below the floor" in " ".join(done.stdout.split())


def test_a_claim_as_json_is_the_same_for_the_same_seed(garage):
    words = (
        "claim",
        "six-spring-rack.toml",
        "--says",
        "30",
        "--by",
        "springs",
        "--samples",
        128,
        "--seed",
        3,
        "--json",
    )
    first = run(*words, cwd=garage)
    found = json.loads(first.stdout)
    assert (found["word"], found["share"], found["odds"]["samples"]) == ("useless", 0.3, 128)
    assert run(*words, cwd=garage).stdout == first.stdout


def test_patterns_and_plan_print_and_write_pages(garage, tmp_path):
    page = tmp_path / "page.html"
    done = run("patterns", "six-spring-rack.toml", "--page", page, cwd=garage)
    assert done.returncode == 0
    assert "sFFsFF" in done.stdout
    assert "sFFsFF" in page.read_text("utf-8")
    steps = ("--with", "cable-service", "--with", "perch-shift:shift_mm=10", "--target", 90)
    picture = tmp_path / "plan.svg"
    done = run("plan", "six-spring-rack.toml", *steps, "--page", page, "--figure", picture, cwd=garage)
    assert done.returncode == 0
    assert "Step 2" in done.stdout
    assert "Step 2" in page.read_text("utf-8")
    assert picture.read_text("utf-8").startswith("<svg")
    found = json.loads(run("plan", "six-spring-rack.toml", *steps, "--json", cwd=garage).stdout)
    assert [step["change"] for step in found["steps"]] == ["cable-service", "perch-shift:shift_mm=10"]


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("claim", "--says", "half"), "--says = 'half'"),
        (("claim", "--says", "50%", "--by", "magic"), "--by = 'magic'"),
        (("patterns", "--softer", "0.8"), "--softer = 0.8"),
        (("plan",), "at least one change"),
        (("plan", "--with", "cable-service", "--target", "0"), "--target = 0.0"),
    ],
)
def test_what_cannot_be_used_is_one_line(garage, words, message):
    command, *rest = words
    done = run(command, "six-spring-rack.toml", *rest, cwd=garage)
    assert done.returncode == 1
    assert done.stdout == ""
    assert message in done.stderr
    assert len(done.stderr.splitlines()) == 1
