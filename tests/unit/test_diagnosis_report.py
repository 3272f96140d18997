"""The sheet of a diagnosis: a part for each named fault, free ones first; verdicts; what a remedy gives, in words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from clutchwright.calibrate.signs import look_closer
from clutchwright.quantity import Quantity
from clutchwright.report.diagnosis import diagnosis_sheet, diagnosis_to_json
from tests.unit.calibrate.test_diagnosis import diagnosed


@pytest.fixture(scope="module")
def double():
    return diagnosed("binding-pivot", "sagged-springs")


def test_free_faults_come_before_parts_each_with_check_and_remedy(double):
    sheet = diagnosis_sheet(double)
    first, second = sheet.parts[:2]
    assert (first.heading, second.heading) == (
        "Binding lever pivot: free to put right",
        "Sagged springs: needs parts or skill",
    )
    assert all([tick.split(":")[0] for tick in part.ticks] == ["Check", "If so"] for part in (first, second))
    assert "Do what is free first, and read again before a part is bought." in sheet.points
    assert sheet.word == "faults found"


def test_a_single_fault_says_nothing_of_what_comes_first():
    sheet = diagnosis_sheet(diagnosed("sagged-springs"))
    assert not [point for point in sheet.points if "free first" in point]


def test_newtons_and_millimetres_have_their_direction(double):
    def point(peak: Quantity, lift: Quantity) -> str:
        suspect = replace(double.named[0], peak=peak, lift=lift)
        return diagnosis_sheet(replace(double, suspects=(suspect,))).points[0].replace("\N{NO-BREAK SPACE}", " ")

    nothing, lost, won = (Quantity(value, u) for value, u in ((0.0, 0.0), (-20.0, 2.0), (0.3, 0.04)))
    moved = "the peak pull at the finger falls by 20.0 ± 2.0 N, the full lift rises by 0.300 ± 0.040 mm."
    assert point(lost, won).endswith(moved)
    assert "the peak pull at the finger stays as it is" in point(nothing, won)
    assert "if at all" in point(Quantity(1.0, 0.8), won)


def test_without_a_name_it_says_whether_something_is_wrong(double):
    unnamed = tuple(replace(each, probability=0.3) for each in double.suspects)
    assert diagnosis_sheet(replace(double, suspects=unnamed, probability=0.2)).word == "unclear"
    quiet = replace(diagnosed(), suspects=unnamed, probability=0.9)
    assert not quiet.standing_out
    sound = diagnosis_sheet(quiet)
    assert (sound.word, sound.tone) == ("nothing found", "sound")


def test_what_stands_out_is_never_green(double):
    # one healthy bike in 20 has the farthest of n signs beyond the normal deviate of 0.05/(2 n), tables: n = 1 and 5
    assert look_closer(1) == pytest.approx(1.960, abs=5e-4)
    assert look_closer(5) == pytest.approx(2.576, abs=5e-4)
    unnamed = tuple(replace(each, probability=0.1) for each in double.suspects)
    sheet = diagnosis_sheet(replace(double, suspects=unnamed, probability=0.9))
    assert double.standing_out
    assert (sheet.word, sheet.tone) == ("undecided", "marginal")
    assert "It is free; then read again." in sheet.answer


def test_a_healthy_value_that_was_only_assumed_is_said_to_be(double):
    bike = double.healthy.fit.bench
    quantities = {**bike.measured.quantities, "cable.friction": Quantity(0.1, 0.02, "assumed: in good order")}
    fit = replace(double.healthy.fit, bench=replace(bike, measured=replace(bike.measured, quantities=quantities)))
    points = " ".join(diagnosis_sheet(replace(double, healthy=replace(double.healthy, fit=fit))).points)
    said = points.partition("Healthy values that nobody measured, taken as those of parts in good order: ")[2]
    assert "friction coefficient of inner wire on liner 0.100" in said
    # the pivot of this bike binds: its friction was put to 0.19 by hand, 0.02 is assumed
    assert "share of the pull lost in the lever's pivot 0.020 \N{PLUS-MINUS SIGN} 0.010, but 0.19" in said.replace(
        "\xa0", " "
    )


def test_readings_are_counted_as_on_their_own_page(double):
    assert "20 readings, 77 with each repeat by itself" in " ".join(diagnosis_sheet(replace(double, read=20)).points)


def test_data_hold_the_same(double):
    found = diagnosis_to_json(double)
    assert found["named"] == ["binding-pivot", "sagged-springs"]
    by_key = {each["fault"]: each for each in found["faults"]}
    assert by_key["sagged-springs"]["severity"]["springs.free_length_mm"]["value"] < 41.0
    assert (
        by_key["sagged-springs"]["change"]["pull_peak_N"]["value"]
        > 0.0
        > by_key["binding-pivot"]["change"]["pull_peak_N"]["value"]
    )
