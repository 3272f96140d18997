"""The command measure as a user runs it."""

import json

import pytest

from tests.cli.test_commands import garage, run

__all__ = ["garage"]


def test_it_says_what_to_measure_first_and_what_matters(garage, tmp_path):
    page = tmp_path / "measure.html"
    done = run("measure", "six-spring-rack.toml", "--page", page, cwd=garage)
    assert done.returncode == 0
    for words in ("MEASURE ON", "What to measure first", "What could go wrong", "What matters"):
        assert words in done.stdout
    assert "What matters for the peak pull" in page.read_text("utf-8")


def test_as_json_with_changes_and_samples_the_same_for_the_same_seed(garage):
    words = ("measure", "six-spring-rack.toml", "--with", "springs-softer:rate_share=0.85", "--samples", 16, "--json")
    first = run(*words, "--seed", 3, cwd=garage)
    found = json.loads(first.stdout)
    assert found["changes"] == ["springs-softer:rate_share=0.85"]
    assert found["first"] == found["measure"][0]["key"]
    assert found["sampled"]
    assert run(*words, "--seed", 3, cwd=garage).stdout == first.stdout
    assert run(*words, "--seed", 4, cwd=garage).stdout != first.stdout


@pytest.mark.parametrize(
    ("words", "message"),
    [(("--with", "springs-fewer:left_out=1+3+5"), "3 of 6 springs"), (("--page", "page.pdf"), "--page = 'page.pdf'")],
)
def test_what_cannot_be_done_is_one_line(garage, words, message):
    done = run("measure", "six-spring-rack.toml", *words, cwd=garage)
    assert (done.returncode, done.stdout) == (1, "")
    assert message in done.stderr
    assert len(done.stderr.splitlines()) == 1
