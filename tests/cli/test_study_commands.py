"""The commands claim, patterns and plan as a user runs them."""

from __future__ import annotations

import json

import polars
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


def test_a_plan_at_the_catalogue_s_prices(garage):
    (garage / "shop.toml").write_text(usecases.demo_catalogue_text(), encoding="utf-8")
    words = ("plan", "six-spring-rack.toml", "--with", "cable-service", "--catalogue", "shop.toml")
    option = usecases.read_catalogue(garage / "shop.toml").options[0]
    job = json.loads(run(*words, "--json", cwd=garage).stdout)["steps"][0]["job"]
    assert (job["option"], job["price"], job["hours"]) == (option.name, [option.price] * 2, option.hours)
    own = json.loads(run(*words, "--price", f"{option.name}=3", "--json", cwd=garage).stdout)["steps"][0]["job"]
    assert own["price"] == [3.0, 3.0]


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("plan", "--with", "cable-service", "--price", "a=1"), "--price = 'a=1': goes with --catalogue only"),
        (("plan", "--with", "cable-service", "--slips", "1"), "--slips = '1': give a share such as 1% or 0.01"),
        (("claim", "--says", "half"), "--says = 'half'"),
        (("claim", "--says", "50%", "--by", "magic"), "--by = 'magic'"),
        (("patterns", "--softer", "0.8"), "--softer = 0.8"),
        (("plan",), "at least one change"),
        (("plan", "--with", "cable-service", "--target", "0"), "--target = 0.0"),
        (("plan", "--with", "cable-service", "--with", "cable-service"), "--with = 'cable-service': is there twice"),
    ],
)
def test_what_cannot_be_used_is_one_line(garage, words, message):
    command, *rest = words
    done = run(command, "six-spring-rack.toml", *rest, cwd=garage)
    assert done.returncode == 1
    assert done.stdout == ""
    assert message in done.stderr
    assert len(done.stderr.splitlines()) == 1


# Study

ROOMY = ("--slips", 0.06, "--drags", 0.03, "--samples", 512)


@pytest.fixture(scope="module")
def shop(garage):
    """The garage with the catalogue in it."""
    (garage / "catalogue.toml").write_text(usecases.demo_catalogue_text(), encoding="utf-8")
    return garage


def test_the_study_chooses_and_lists(shop):
    done = run("study", "six-spring-rack.toml", "--catalogue", "catalogue.toml", *ROOMY, "--target", 80, cwd=shop)
    assert (done.returncode, done.stderr) == (0, "")
    text = " ".join(done.stdout.split())
    assert "the cheapest that gets down to 80 N and keeps all limits" in text
    assert "What fell through" in text


def test_the_study_as_json_figure_page_and_table(shop, tmp_path):
    outputs = ("--figure", tmp_path / "f.svg", "--page", tmp_path / "p.html", "--table", tmp_path / "t.parquet")
    words = ("study", "six-spring-rack.toml", "--catalogue", "catalogue.toml", *ROOMY, "--target", 80, "--json")
    done = run(*words, *outputs, cwd=shop)
    assert done.returncode == 0
    found = json.loads(done.stdout)
    best = found["front"]
    assert [setup["pull_peak_N"] for setup in best] == sorted(setup["pull_peak_N"] for setup in best)
    assert best[found["chosen"]]["pull_peak_N"] <= 80.0
    assert found["shares"]
    assert (tmp_path / "f.svg").read_text("utf-8").startswith("<svg")
    assert "What to measure first" in (tmp_path / "p.html").read_text("utf-8")
    table = polars.read_parquet(tmp_path / "t.parquet")
    kept = table.filter(polars.col("reason") == "")
    on_the_grid = kept.filter(polars.col("option: Longer release arm") == "")["pull_peak_N"].to_list()
    without_arm = [setup["pull_peak_N"] for setup in best if "Longer release arm" not in setup["options"]]
    assert all(any(pull == pytest.approx(each) for each in on_the_grid) for pull in without_arm)
    assert min(setup["pull_peak_N"] for setup in best) <= min(kept["pull_peak_N"].to_list()) * (1.0 + 1e-12)
    assert set(kept["option: Move the perch inboard"]) <= {"", *(f"perch-shift:shift_mm={mm}" for mm in (10, 20, 30))}
    assert table.height + found["counts"].get("excluded", 0) <= sum(found["counts"].values())


def test_a_budget_and_jobs_on_the_command_line(shop):
    words = ("study", "six-spring-rack.toml", "--catalogue", "catalogue.toml", *ROOMY, "--json")
    every = json.loads(run(*words, cwd=shop).stdout)["front"]
    few = json.loads(run(*words, "--money", 60, "--hours", 3, cwd=shop).stdout)["front"]
    assert few == [setup for setup in every if setup["price"] <= 60.0 and setup["hours"] <= 3.0]
    assert 0 < len(few) < len(every)
    names = ("Oil the cable", "Move the perch inboard")
    only = json.loads(run(*words, *(word for name in names for word in ("--only", name)), cwd=shop).stdout)
    assert {name for setup in only["front"] for name in setup["options"]} <= set(names)
    without = json.loads(run(*words, "--without", "Oil the cable", cwd=shop).stdout)
    assert all("Oil the cable" not in setup["options"] for setup in without["front"])


def test_a_list_for_a_bike_is_written_once(garage, tmp_path):
    path = tmp_path / "own.toml"
    done = run("new", path, "--catalogue-for", "six-spring-rack.toml", cwd=garage)
    assert (done.returncode, done.stdout) == (0, "")
    assert "Longer release arm" in {option.name for option in usecases.read_catalogue(path).options}
    assert run("new", path, "--catalogue-for", "six-spring-rack.toml", cwd=garage).returncode == 1
    assert "--hand" in run("new", path, "--hand", "--catalogue-for", "six-spring-rack.toml", cwd=garage).stderr


def test_own_prices_count(shop):
    words = ("study", "six-spring-rack.toml", "--catalogue", "catalogue.toml", *ROOMY, "--json")
    dear = json.loads(run(*words, "--price", "Oil the cable=500", cwd=shop).stdout)
    taken = [setup for setup in dear["front"] if "Oil the cable" in setup["options"]]
    assert all(setup["price"] >= 500.0 for setup in taken)


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--price", "Oil the cable"), "--price = 'Oil the cable'"),
        (("--price", "Gold leaf=5"), "price = 'Gold leaf'"),
        (("--slips", "2"), "--slips = '2'"),
        (("--samples", "1"), "--samples = 1: these limits on slip and release take at least 1000 possible bikes"),
        (("--slips", "0.1", "--drags", "0.05", "--samples", "199"), "at least 200 possible bikes"),
        (("--page", "page.pdf"), "--page = 'page.pdf'"),
        (("--target", "nan"), "--target = nan: give the pull wanted at the finger, from 1 to 500 N"),
        (("--target", "0"), "--target = 0.0: give the pull wanted at the finger, from 1 to 500 N"),
    ],
)
def test_a_study_that_cannot_be_made_is_one_line(shop, words, message):
    done = run("study", "six-spring-rack.toml", "--catalogue", "catalogue.toml", *words, cwd=shop)
    assert done.returncode == 1
    assert done.stdout == ""
    assert message in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_the_demo_saves_its_catalogue(tmp_path):
    done = run("demo", "--save-catalogue", "shop.toml", cwd=tmp_path)
    assert done.returncode == 0
    assert (tmp_path / "shop.toml").read_text("utf-8") == usecases.demo_catalogue_text()
    again = run("demo", "four-spring-ramp", "--save-catalogue", "other.toml", cwd=tmp_path)
    assert again.returncode == 1
    assert "six-spring-rack only" in again.stderr
