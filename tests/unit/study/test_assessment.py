"""What the assessment says about how sure it is."""

import math
from dataclasses import replace

import numpy as np
import pytest

from clutchwright import bikefile
from clutchwright.changes import Step
from clutchwright.quantity import Quantity
from clutchwright.report.lists import assumed_table
from clutchwright.study.assessment import assess
from clutchwright.study.outcomes import outcomes
from clutchwright.study.tolerance import Sample, random_values
from clutchwright.usecases import DEMOS, assess_bike, demo_text, read_demo
from tests.broken_bikes import GOOD, edited


def drawn(bike, size=256, seed=4):
    return Sample(seed, size, random_values(bike.quantities, size, np.random.default_rng(seed)))


@pytest.mark.parametrize("demo", DEMOS)
def test_quantiles_and_probabilities_are_those_of_the_sample(demo):
    bike = read_demo(demo)
    sample = drawn(bike)
    sampled, found = assess(bike, sample=sample).sampled, outcomes(bike, (), sample.values, size=256)
    assert (sampled.samples, sampled.seed) == (256, 4)
    assert sampled.p50["pull_peak_N"] == pytest.approx(np.median(found.figures["pull_peak_N"]))
    assert sampled.probability["slips"] == np.mean(found.figures["slip_margin_hot"] < 1.0)
    assert sampled.probability["does_not_release"] == np.mean(found.figures["release_margin_mm"] < 0.0)
    for key, middle in sampled.p50.items():
        assert not sampled.p05[key] > middle
        assert not middle > sampled.p95[key]


def test_a_figure_that_no_bike_has_is_not_a_number():
    bike = read_demo()
    strong = replace(bike, quantities=bike.quantities | {"drive.engine_torque_Nm": Quantity(400.0, 1.0)})
    sampled = assess(strong, sample=drawn(strong)).sampled
    # a torque that is never carried has no bite point
    assert all(math.isnan(getattr(sampled, quantile)["bite_full_mm"]) for quantile in ("p05", "p50", "p95"))
    assert sampled.probability["slips"] == 1.0


def test_changed_and_unchanged_bike_share_their_sample():
    step = Step("springs-softer", {"rate_share": 0.9})
    found = assess_bike(read_demo(), (step,), samples=64, seed=2)
    before, after = found.before.sampled, found.sampled
    for quantile in ("p05", "p50", "p95"):
        assert getattr(after, quantile)["clamp_new_N"] == pytest.approx(0.9 * getattr(before, quantile)["clamp_new_N"])


def test_shares_of_assumed_values_add_up_to_what_was_assumed():
    bike = read_demo()
    assumed = {key: replace(each, origin="assumed") for key, each in bike.quantities.items()}
    found = assess(replace(bike, quantities=assumed))
    assert math.fsum(row.share for row in found.assumed) == pytest.approx(1.0)
    assert math.fsum(row.pull_share for row in found.assumed) == pytest.approx(1.0)
    larger = [max(row.share, row.pull_share) for row in found.assumed]
    assert larger == sorted(larger, reverse=True)


def test_a_word_that_nobody_gave_is_listed_as_assumed_without_a_share():
    usual = bikefile.loads(GOOD, "good")
    told = bikefile.loads(GOOD + '[clearance]\nplate_moves = "outward"\n', "told")
    rows = {row.key: row for row in assess(usual).assumed}
    plate = rows["clearance.plate_moves"]
    assert (plate.value, plate.u, plate.share, plate.pull_share) == ("outward", None, 0.0, 0.0)
    assert {"lever.cable_end", "pack.friction_radius", "pack.wear_closes_free_play"} <= rows.keys()
    assert "clearance.plate_moves" not in {row.key for row in assess(told).assumed}
    shown = {row.note: row.cells[1:] for row in assumed_table(assess(usual).assumed).rows}
    assert shown["clearance.plate_moves"] == ("outward", "", "")
    assert shown["pack.wear_closes_free_play"] == ("yes", "", "")


def test_a_plate_whose_way_is_not_known_is_taken_to_move_towards_the_cover():
    room = GOOD + "[clearance]\nbolt_to_cover_mm = 1.6\n"
    states = {}
    for word in ("", 'plate_moves = "outward"\n', 'plate_moves = "inward"\n'):
        checks = assess(bikefile.loads(room + word, "room")).checks
        states[word] = next(check.state for check in checks if check.key == "bolt_room")
    assert list(states.values()) == ["failed", "failed", "passed"]


def test_an_assumed_angle_of_the_arm_does_not_fail_the_check_of_its_cable():
    bike = bikefile.loads(edited(("length_mm = 32\ncable_angle_deg = 80\n", "length_mm = 32\n")), "open")
    found = assess(bike)
    assert "arm.cable_angle_deg" in bike.assumed
    assert "failed" not in {check.state for check in found.checks if "square" in check.label.lower()}
    assert any("square" in check.label.lower() for check in found.checks)


def test_a_clutch_that_asks_for_no_pull_at_release_has_no_budget():
    """A diaphragm with h0/t of 3.3 has no load left there, and its cable no drag: nothing to divide by."""
    text = demo_text("diaphragm-cam")
    values = {"springs.thickness_mm": 0.9, "springs.cone_height_mm": 3.0, "springs.deflection_mm": 2.3}
    for key, value in {**values, "drive.engine_torque_Nm": 12.0, "cable.drag_N": 0.0}.items():
        text = bikefile.set_value(text, key, Quantity(value, 0.0, "estimated"))
    found = assess(bikefile.loads(text, "snapping"))
    assert found.figures["release_travel_mm"] > 0.0
    assert found.figures["pull_at_release_N"] == 0.0
    assert found.force == found.travel == found.places == ()
