"""The benchmarks run and print one table; how fast this machine is does not matter here."""

import math
import sys

import pytest

from benchmarks import __main__ as whole
from benchmarks import bench_chain, bench_growth, table
from benchmarks.table import Row

FAST = Row("a", 1.0, "ms", 2.0)
SLOW = Row("b", 30.0, "ms", 20.0)
RIVAL = Row("c", 1.0, "ms", 4.0, "a rival", 0.1)
MORE = Row("d", 75.0, "%", 60.0, least=True)
UNKNOWN = Row("e", 3.0, "s", math.nan, "not here")


@pytest.fixture(autouse=True)
def nothing_kept(tmp_path, monkeypatch):
    monkeypatch.setattr(table, "RESULTS", tmp_path / "results.csv")


@pytest.mark.parametrize(
    ("row", "ratio", "missed"), [(FAST, 0.5, False), (SLOW, 1.5, True), (RIVAL, 0.25, True), (MORE, 0.8, False)]
)
def test_a_ratio_below_what_is_asked_is_kept(row, ratio, missed):
    assert row.ratio == ratio
    assert row.missed is missed


def test_what_is_not_known_is_not_missed():
    assert math.isnan(UNKNOWN.ratio)
    assert not UNKNOWN.missed


def test_the_status_tells_of_a_missed_one(capsys):
    assert table.shown([FAST, MORE, UNKNOWN], {}) == 0
    assert table.shown([FAST, SLOW], {}) == 1
    head, *lines = capsys.readouterr().out.splitlines()[-3:]
    assert head.split("  ")[0] == "benchmark"
    assert [line.split()[-1] for line in lines] == ["ok", "missed"]


def test_a_rival_and_how_many_times_as_fast_is_asked():
    assert RIVAL.held_against == "a rival 4, asked 10 x"
    assert (FAST.held_against, MORE.held_against) == ("<= 2", ">= 60")


@pytest.mark.parametrize(("row", "before", "loss"), [(FAST, 0.79, True), (FAST, 0.81, False), (MORE, 95.0, True)])
def test_a_quarter_worse_than_the_last_kept_is_a_loss(row, before, loss):
    assert ("loss" in table.state(row, before)) is loss


def test_kept_results_come_back_on_the_same_processor_only():
    head = {**table.stamp(), "machine": "2 cores, Some Processor, 8.0 GiB, Python 3.11.2, Linux 6.1"}
    table.keep([FAST, RIVAL], head)
    table.keep([Row("a", 1.5, "ms", 2.0)], head)
    newer = "2 cores, Some Processor, 16.0 GiB, Python 3.12.1, Linux 6.2"
    assert table.last_kept(newer) == {("a", ""): 1.5, ("c", "a rival"): 1.0}
    assert table.last_kept(newer.replace("2 cores", "4 cores")) == {}
    assert [row["ratio"] for row in table.kept()] == ["0.5", "0.25", "0.75"]


def test_rows_go_through_a_pipe_unchanged(monkeypatch, capsys):
    monkeypatch.setattr(sys, "argv", ["bench", table.LINES])
    given = [FAST, RIVAL, MORE]
    assert table.run(lambda _: given, 1.0) == 0
    assert list(table.parsed(capsys.readouterr().out.splitlines())) == given


def test_a_size_may_be_named(monkeypatch, capsys):
    monkeypatch.setattr(sys, "argv", ["bench", "0.5"])
    table.run(lambda size: [Row("the size", size, "")], 1.0)
    assert capsys.readouterr().out.splitlines()[1].split() == ["the", "size", "0.5"]


def test_wrong_words_are_told(monkeypatch, capsys):
    monkeypatch.setattr(sys, "argv", ["benchmarks", "--fast"])
    assert whole.main() == 2
    assert capsys.readouterr().err == "usage: python -m benchmarks [--keep]\n"


def test_the_chain_is_timed():
    found = list(bench_chain.rows(1))
    assert {row.unit for row in found} == {"ms", "MB"}
    assert all(math.isnan(row.figure) or row.figure > 0.0 for row in found)


def test_the_exponent_is_the_slope_between_logarithms():
    sizes = (10, 100, 1000)
    assert bench_growth.exponent(sizes, [2.0 * size**1.5 for size in sizes]) == pytest.approx(1.5)
