"""Predicted against read, in words: held, doubtful, not held, and what such readings could have shown at all."""

import io
import json
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest
from rich.console import Console

from clutchwright.calibrate import compare
from clutchwright.calibrate.comparison import Pulls
from clutchwright.changes import parse
from clutchwright.picture import NARROW, WIDE, render
from clutchwright.quantity import Quantity
from clutchwright.report.comparison import comparison_sheet, comparison_to_json
from clutchwright.report.sheet import print_sheet
from clutchwright.study.assessment import assess
from tests.bench_simulation import PLAN, as_file
from tests.unit.calibrate.benches import BIKE, bench

THREE_KINDS = tuple(row for row in PLAN if row[0].startswith(("hook", "arm_travel")))
STEPS = (parse("arm-length:length_mm=38"),)
FOUND = compare(BIKE, [as_file(bench(1, plan=THREE_KINDS)[1])], STEPS, np.random.default_rng(1))


def printed(found) -> str:
    out = io.StringIO()
    print_sheet(comparison_sheet("bike", found), Console(file=out, width=200))
    return " ".join(out.getvalue().split())


@pytest.mark.parametrize(
    ("chance", "word"),
    [(0.0125, "as predicted"), (0.012, "doubtful"), (0.00025, "doubtful"), (0.00024, "not as predicted")],
)
def test_the_word_goes_with_the_least_chance_times_their_number(chance, word):
    """Three kinds and all together: 4 times 0.0125 are 0.05, and 4 times 0.00025 are 0.001."""
    kinds = tuple(replace(column, chance=0.5) for column in FOUND.columns)
    assert len(kinds) == 3
    assert comparison_sheet("bike", replace(FOUND, columns=kinds, together=chance)).word == word


def test_all_together_and_the_worst_kind_stand_below_the_answer():
    kinds = tuple(replace(column, chance=0.01 * n) for n, column in enumerate(FOUND.columns, 2))
    sheet = comparison_sheet("bike", replace(FOUND, columns=kinds, together=0.3))
    answer, first = (text.replace("\N{NO-BREAK SPACE}", " ") for text in (sheet.answer, sheet.points[0]))
    assert answer.endswith("would have a chance of at most 8.0 %.")
    assert "together: 30 %; of pull at the hook by itself: 2.0 %, the least of 3 kinds." in first
    assert first.endswith("Of these 4 chances the least counts, 4 times.")


def pulls(before: float, now: float, predicted: float) -> Pulls:
    return Pulls(Quantity(before, 2.0), Quantity(now, 1.0), predicted)


@pytest.mark.parametrize(
    ("made", "first"),
    [
        (
            pulls(147.0, 103.0, 92.0),
            "The lever is 44 N (30 %) lighter: 147 N before by the bike file, 103 N now; 92 N was predicted.",
        ),
        (
            pulls(100.0, 110.0, 92.0),
            "The lever is 10 N (10 %) heavier: 100 N before by the bike file, 110 N now; 92 N was predicted.",
        ),
        (pulls(100.0, 96.0, 92.0), "The lever is neither lighter nor heavier for sure: 100 N before"),
        (None, "No pull was read, so whether the lever is lighter is not known."),
    ],
)
def test_the_first_sentence_says_whether_it_worked(made, first):
    answer = comparison_sheet("bike", replace(FOUND, pulls=made)).answer
    assert answer.replace("\N{NO-BREAK SPACE}", " ").startswith(first)


def test_without_a_change_it_says_so_and_a_lever_that_pulls_otherwise_is_not_green():
    alone = replace(FOUND, steps=(), together=0.5, columns=tuple(replace(each, chance=0.5) for each in FOUND.columns))
    light, heavy = (comparison_sheet("bike", replace(alone, pulls=pulls(108.0, now, now))) for now in (110.0, 147.0))
    assert (light.word, light.tone) == ("like the bike file", "sound")
    assert (heavy.word, heavy.tone) == ("doubtful", "marginal")
    assert heavy.answer.startswith("You named no change: compared with the bike as it stands. The lever takes 147")


def test_the_pulls_are_those_of_the_same_places():
    # at 12 to 45 mm the pull of this bike is near its peak: the file's own figures, read by the assessment
    before, after = (assess(BIKE, steps).figures["pull_peak_N"] for steps in ((), STEPS))
    assert FOUND.pulls.before.value == pytest.approx(before, rel=0.02)
    assert FOUND.pulls.predicted == pytest.approx(after, rel=0.02)
    assert FOUND.loop.before.peak.value == pytest.approx(before, rel=1e-12)
    assert FOUND.loop.after.peak.value == pytest.approx(after, rel=1e-12)


def test_the_size_that_could_have_been_seen_is_told():
    kinds = (replace(FOUND.columns[0], seen_from=11.0, predicted=55.0), *FOUND.columns[1:])
    text = printed(replace(FOUND, columns=kinds))
    assert "In 19 of 20 cases they would have shown a difference" in text
    assert "pull at the hook 11 N (20 %)" in text


@pytest.mark.parametrize("width", [WIDE, NARROW])
def test_the_legend_of_the_loop_is_whole_at_any_width(width):
    drawn = next(part.drawing for part in comparison_sheet("bike", FOUND).parts if part.heading == "Before and after")
    root = ElementTree.fromstring(render(drawn.draw(width), "svg"))  # noqa: S314  # our own output
    text = " ".join(element.text or "" for element in root.iter("{http://www.w3.org/2000/svg}text"))
    for words in ("without the changes", "90 of 100 bikes that fit", "taken for mistakes"):
        assert set(words.split()) <= set(text.replace(";", "").replace(",", "").split())


def test_as_data_it_has_every_chance_and_size():
    data = json.loads(json.dumps(comparison_to_json("bike", FOUND), allow_nan=False))
    assert data["chance"] == pytest.approx(
        4 * min(data["chance_together"], *(kind["chance"] for kind in data["kinds"]))
    )
    forces = [kind for kind in data["kinds"] if kind["kind"].startswith("hook")]
    assert [kind["seen_from_N"] for kind in forces] == pytest.approx([each.seen_from for each in FOUND.columns[:2]])
    travel = next(kind for kind in data["kinds"] if kind["kind"] == "arm_travel")
    assert travel["seen_from_mm"] == pytest.approx(FOUND.columns[2].seen_from * 1e3)
    assert np.isfinite(data["chi2"])
