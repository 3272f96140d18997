"""The pages of the bench say what the counts beside them say, and their examples work."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from scipy.stats import beta

from clutchwright.calibrate.faults import FAULTS
from clutchwright.readings import loads
from docs import bench_coverage, diagnosis_table

DOCS = Path(__file__).parents[2] / "docs"
REFERENCE = (DOCS / "reference" / "readings-file.md").read_text("utf-8")
ROWS = diagnosis_table.read()


def examples() -> list[str]:
    """Indented blocks of the reference."""
    return [re.sub("(?m)^ {4}", "", block) for block in re.findall(r"(?:^ {4}.*\n|^\n(?= {4}))+", REFERENCE, re.M)]


def test_the_pages_are_fresh():
    assert diagnosis_table.PAGE.read_text("utf-8") == diagnosis_table.page(ROWS)
    assert bench_coverage.PAGE.read_text("utf-8") == bench_coverage.page(*bench_coverage.read())


@pytest.mark.parametrize(("number", "name", "count"), [(0, "example.csv", 4), (1, "example.toml", 3)])
def test_the_examples_of_the_reference_can_be_read(number, name, count):
    found = loads(examples()[number].strip("\n").encode(), name)
    assert len(found.readings) == count


def test_the_index_leads_to_every_page():
    text = (DOCS / "bench" / "index.md").read_text("utf-8")
    assert not [
        path.name for path in (DOCS / "bench").glob("*.md") if path.name != "index.md" and path.name not in text
    ]


def test_the_page_of_the_diagnosis_lists_every_fault_and_says_what_is_free():
    lines = (DOCS / "bench" / "diagnose.md").read_text("utf-8").splitlines()
    rows = [line.strip("| ").split(" | ") for line in lines if line.startswith("| ")][1:]
    assert {row[0]: row[-1] for row in rows} == {fault.label: "free" if fault.free else "parts" for fault in FAULTS}


def test_every_bike_of_the_plan_is_in_the_table_once():
    assert sorted(int(row["number"]) for row in ROWS) == list(range(len(diagnosis_table.cases())))
    assert all(row["faults"] == "+".join(diagnosis_table.cases()[int(row["number"])]) for row in ROWS)


def test_the_diagnosis_keeps_what_is_asked_of_it():
    # asked for: at least 300 bikes, 90 % of single faults named first, no fault named on over 5 % of healthy bikes
    faulty = [row for row in ROWS if row["faults"]]
    singles = [row for row in faulty if "+" not in row["faults"]]
    healthy = [row for row in ROWS if not row["faults"]]
    assert len(faulty) >= 300
    assert sum(row["named"].split("+")[0] == row["faults"] for row in singles) >= 0.9 * len(singles)
    assert sum(bool(row["named"]) for row in healthy) <= 0.05 * len(healthy)


def test_exact_intervals_are_those_of_the_beta_distribution():
    # Clopper and Pearson by quantiles of the beta distribution, textbook
    low, high = (100.0 * end for end in (beta.ppf(0.025, 45, 6), beta.ppf(0.975, 46, 5)))
    assert diagnosis_table._span(45, 50) == f"90 %, {low:.0f} % to {high:.0f} %"
