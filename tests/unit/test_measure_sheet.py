"""What to measure next as a sheet and as data, on findings written by hand."""

import io
import json
import re
from dataclasses import replace

import pytest
from rich.console import Console

from clutchwright.assess.gaps import measured_gaps
from clutchwright.bikefile import assemble
from clutchwright.bikefile.measuring import MEASURING
from clutchwright.report.measure import QUESTIONS, measure_sheet, measure_to_json
from clutchwright.report.sheet import print_sheet, sheet_page
from clutchwright.study.doubt import Doubt
from clutchwright.study.next_measurement import Measurement, NextMeasurements, Question
from clutchwright.study.variance import UNSAFE, Share, VarianceShares
from clutchwright.usecases import DEMOS, read_demo
from tests.unit.shown_assessment import assessment

SPRING = Measurement(
    "springs.rate_N_per_mm", "Spring rate", "Press it.", "scales", 50.0, 2.0, 1.0, 0.8944, 0.06, 0.4, 4.0
)
TORQUE = Measurement(
    "drive.engine_torque_Nm", "Peak crank torque", "Run it.", "power run", 60.0, 3.0, 2.0, 1.664, 0.09, 0.1, 10.0
)
IDLE = Measurement("oil.idle_rpm", "Idle speed", "Look.", "tachometer", 2.0, 150.0, 50.0, 47.43, 0.1, 0.0, 10.0)
QUESTION = (Question("slips", 0.25, 0.2, 0.10565, 0.0945), Question("arm_room", 9.0, 1.0, 1e-19, 0.0))
SHARES = {
    "release_margin_mm": (Share("pack.face_gap_mm", 0.7, 0.72), Share("springs.rate_N_per_mm", 0.3, 0.3)),
    "pull_peak_N": (Share("springs.rate_N_per_mm", 0.996, 0.998), Share("pack.face_gap_mm", -0.01, 0.004)),
    UNSAFE: (Share("pack.face_gap_mm", 0.5, 0.8), Share("springs.rate_N_per_mm", 0.2, 0.5)),
}


def doubt(sampled=False, ranked=(SPRING, TORQUE, IDLE)):
    shares = {key: rows for key, rows in SHARES.items() if sampled or key != UNSAFE}
    found = NextMeasurements(0.1, QUESTION, tuple(ranked), 10.0)
    return Doubt(assessment(), found, VarianceShares(1234, shares), sampled)


def text_of(found, width=110):
    raw = io.StringIO()
    print_sheet(measure_sheet(found, read_demo()), Console(file=raw, width=width))
    return re.sub(r"\s+", " ", raw.getvalue())


def test_the_first_is_named_with_tool_minutes_and_what_it_is_worth():
    text = text_of(doubt())
    assert (
        "MEASURE ON. Measure first: spring rate (scales, 50 min). It is expected to take away 40 % of the doubt" in text
    )
    assert "How: press it. 1 more could be measured better" in text
    assert "Spring rate scales, 50 min 2.0 N/mm 0.89 N/mm 40 %" in text
    assert "Peak crank torque power run, 60 min 3.0 N m 1.7 N m 10 %" in text
    assert "tachometer" not in text


def test_none_worth_its_while_is_measured_enough():
    # under half a percent of the doubt taken away
    text = text_of(doubt(ranked=(replace(TORQUE, doubt_after=0.0997, shrink=0.003),)))
    assert "MEASURED ENOUGH. Nothing left to measure would make the decision much surer." in text
    assert "None is worth its while." in text


def test_what_makes_the_pull_surer_stands_beside_it_with_its_way():
    text = text_of(doubt())
    assert "Today the peak pull is sure to ± 10 N" in text
    assert "Spring rate scales, 50 min ± 4.0 N" in text
    assert "Spring rate: press it." in text
    assert "Peak crank torque power run, 60 min ±" not in text


def test_a_dangerous_way_begins_with_the_word():
    torque = replace(TORQUE, how=MEASURING["pack.friction_static"].steps)
    assert "How: DANGER: engine" in text_of(doubt(ranked=(torque,)))


def test_chances_and_margins_of_all_that_could_go_wrong():
    text = text_of(doubt())
    assert "It slips under full torque, worn and hot 0.25 ± 0.20 11 %" in text
    assert "The arm meets what is behind it 9.0 ± 1.0 mm under 1 %" in text


def test_shares_stand_beside_each_other_the_greatest_first():
    text = text_of(doubt())
    assert (
        "Unknown Release margin Peak pull Spring rate 30 % over 99 % Gap wanted at each face when released 70 % 0 %"
        in text
    )
    assert "to first order" in text
    assert "70 % of its doubt cannot be measured away at home: gap wanted at each face when released." in text


def test_sampled_shares_are_shown_alone_and_together():
    text = text_of(doubt(sampled=True))
    assert "Unknown Release margin Verdict unsafe Peak pull" in text
    assert "Spring rate 30 % / 30 % 20 % / 50 % over 99 % / over 99 %" in text
    assert "1234 possible bikes" in text


@pytest.mark.parametrize("ranked", [(), (replace(IDLE, doubt_after=0.1),)])
def test_where_nothing_would_help_it_says_so(ranked):
    sheet = measure_sheet(doubt(ranked=ranked), read_demo())
    assert (sheet.word, sheet.tone) == ("measured enough", "sound")
    assert "Nothing left to measure would make the decision much surer." in text_of(doubt(ranked=ranked))
    assert "None is worth its while." in text_of(doubt(ranked=ranked))


def test_the_page_draws_the_shares_and_needs_nothing_beside_itself():
    source = sheet_page(measure_sheet(doubt(sampled=True), read_demo()))
    assert source.count("<svg") >= 3
    assert "What matters for the peak pull" in source
    assert "<script" not in source


def test_as_data():
    found = json.loads(json.dumps(measure_to_json(doubt(sampled=True)), allow_nan=False))
    assert (found["first"], found["doubt"], found["deciding"]) == ("springs.rate_N_per_mm", 0.1, "release_margin_mm")
    assert [row["key"] for row in found["measure"]] == [row.key for row in (SPRING, TORQUE, IDLE)]
    assert found["measure"][0]["doubt_after"] == 0.06
    assert set(found["shares"]) == set(SHARES)
    assert found["shares"][UNSAFE][0] == {"key": "pack.face_gap_mm", "first": 0.5, "total": 0.8}
    assert found["questions"][0]["probability"] == 0.10565


@pytest.mark.parametrize("demo", DEMOS)
def test_every_question_has_its_words(demo):
    gaps = measured_gaps(assemble(read_demo(demo)), full_lift=0.0, full_angle=0.0)
    assert {"slips", "does_not_release", *gaps} <= set(QUESTIONS)
