"""The fit: what it finds, how sure, what mistakes do to it, and that it never beats its instruments."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from clutchwright.calibrate import fit
from clutchwright.calibrate.fitting import log_density
from clutchwright.readings import USUAL
from clutchwright.study.tolerance import uncertain
from tests.bench_simulation import PLAN, Tools, as_file, empty, read
from tests.unit.calibrate.benches import BIKE, FORCES, bench, changed, exact, fitted


def test_it_ends_at_the_top_of_the_posterior():
    found = fitted()
    assert found.converged, found.reason
    rng = np.random.default_rng(5)
    around = found.mode + 0.3 * rng.normal(size=(64, len(found.mode))) @ np.linalg.cholesky(found.covariance).T
    top, others = log_density(found, found.mode[np.newaxis]), log_density(found, around)
    assert np.all(others < top + 0.02)


def test_the_slopes_are_those_of_the_predictions():
    found = fitted()
    scores, step = found.mode, 0.02
    for place in (0, 3, found.bench.size - 1):
        move = np.eye(found.bench.size)[place] * step
        ahead, behind = (found.bench.predict((scores + sign * move)[np.newaxis])[0] for sign in (1, -1))
        assert found.slopes[:, place] == pytest.approx((ahead - behind) / (2 * step) / found.noise, abs=1e-6)


def test_readings_without_errors_give_back_the_truth():
    # all but three exact, instruments that hardly err: the truth must come out
    bike = exact("cable.friction", "springs.rate_N_per_mm", "cable.compliance_mm_per_N")
    truth = {"cable.friction": 0.19, "springs.rate_N_per_mm": 25.9, "cable.compliance_mm_per_N": 0.0052}
    plan = (*FORCES[2:], ("lift", "travel", 30.0, 0), ("spring_load", "length", 30.0, 0))
    fine = {
        tool: replace(tool, resolution=0.0, scatter=tool.scatter / 50, zero_u=0.0, gain_u=0.0)
        for tool in USUAL.values()
    }
    shape = {key: np.array([[value]]) for key, value in truth.items()}
    readings = []
    for row in plan:
        each = empty(*row)
        tools = (fine[each.instrument], fine[each.at_instrument])
        readings.append(replace(each, instrument=tools[0], at_instrument=tools[1]))
    blank = Tools(np.random.default_rng(1))
    blank.show = lambda tool, true, between: true
    blank.stand = lambda tool, shown: shown
    values = read(bike, shape, plan, blank)
    exactly = [replace(each, repeats=other.repeats) for each, other in zip(readings, values, strict=True)]
    found = fit(bike, [as_file(tuple(exactly))])
    values = found.bench.values_of(found.mode[np.newaxis])
    for key, value in truth.items():
        assert values[key][0, 0] == pytest.approx(value, rel=2e-3), key


def test_no_reading_that_touches_nothing_changes_nothing():
    found = fitted()
    untouched = set(uncertain(BIKE.quantities)) - set(found.bench.names)
    assert {"drive.engine_torque_Nm", "pack.friction_static", "heat.steel_mass_kg"} <= untouched


def test_more_of_the_same_readings_never_beat_scale_and_hook():
    # the display's step and the scale's gain are common to all readings: GUM 5.2.4, common influence
    readings = bench(1, FORCES)[1]
    many = tuple(replace(each, at=each.at + shift * 1e-6) for shift in range(40) for each in readings)
    found = fit(BIKE, [as_file(many)])
    pull = next(place for place, each in enumerate(many) if each.name == "hook_pull" and each.at > 0.03)
    count = len(found.bench.names)
    slope = found.slopes[pull, :count] * found.noise[pull]
    u = float(np.sqrt(slope @ found.covariance[:count, :count] @ slope))
    tool = many[0].instrument
    floor = np.hypot(tool.offset_u, tool.gain_u * many[pull].value)
    assert tool.offset_u >= tool.resolution / np.sqrt(12.0)
    assert 0.75 * floor < u < 1.25 * floor


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_one_reading_in_ten_off_by_a_third_is_found_and_hardly_counts(seed):
    readings = bench(seed)[1]
    forces = [place for place, each in enumerate(readings) if each.name.startswith("hook") and each.at > 0.014]
    wrong = set(np.random.default_rng(seed).choice(forces, size=4, replace=False).tolist())
    clean, soiled = fitted(seed), fit(BIKE, [as_file(changed(readings, lambda place, _: place in wrong, 1.3))])
    assert set(np.flatnonzero(soiled.mistake_chances > 0.5).tolist()) >= wrong
    moved = np.abs(soiled.mode - clean.mode) / np.sqrt(np.diag(clean.covariance))
    assert np.median(moved) < 0.5
    assert np.max(moved) < 2.0


def test_a_value_stays_in_the_range_of_its_key():
    bike = replace(
        BIKE, quantities={**BIKE.quantities, "cable.friction": replace(BIKE.quantities["cable.friction"], u=0.2)}
    )
    truth = {"cable.friction": np.array([[0.6]]), "cable.bend_deg": np.array([[200.0]])}
    readings = read(bike, truth, PLAN, Tools(np.random.default_rng(3)))
    found = fit(bike, [as_file(readings)])
    assert found.bench.values_of(found.mode[np.newaxis])["cable.friction"][0, 0] <= 0.6 + 1e-9
    low, high = found.bounds
    assert np.all((found.mode >= low) & (found.mode <= high))


def test_a_good_fit_scatters_as_its_instruments_let_expect():
    found = fitted()
    assert 0.4 < found.misfit < 1.8
    assert len(found.bench.readings) - found.bench.size < found.freedom < len(found.bench.readings)
    assert found.residuals == pytest.approx((found.bench.values - found.predicted) / found.noise)
