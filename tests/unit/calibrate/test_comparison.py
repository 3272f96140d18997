"""Predicted against read: even chances where all is right, small ones where it is not."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import kstest, norm

from clutchwright.calibrate import compare
from clutchwright.calibrate.comparison import seen_from, two_sided
from clutchwright.calibrate.posterior import calibrated
from clutchwright.changes import parse
from clutchwright.errors import InputError
from tests.bench_simulation import PLAN, Tools, as_file, read
from tests.unit.calibrate.benches import BIKE, bench, changed, known

STEPS = (parse("arm-length:length_mm=38"),)


def test_where_the_file_is_right_every_chance_is_as_likely():
    # a p-value is uniform under the hypothesis it tests; bikes drawn from the file itself, 24 of them
    chances = [
        compare(BIKE, [as_file(bench(seed)[1])], (), np.random.default_rng(seed)).together for seed in range(100, 124)
    ]
    assert kstest(chances, "uniform").pvalue > 0.01


def test_the_least_chance_counts_as_often_as_chances_were_looked_at():
    """Bonferroni: of three kinds and all together, 4 times 0.003; never above 1."""
    found = compare(BIKE, [as_file(bench(1)[1])], (), np.random.default_rng(1))
    kinds = [replace(found.columns[0], chance=chance) for chance in (0.2, 0.003, 0.9)]
    assert replace(found, columns=tuple(kinds), together=0.4).chance == pytest.approx(0.012)
    assert replace(found, columns=tuple(kinds), together=0.001).chance == pytest.approx(0.004)
    assert replace(found, columns=tuple(kinds[::2]), together=0.7).chance == pytest.approx(0.6)
    assert replace(found, columns=tuple(kinds[2:]), together=0.7).chance == 1.0


def test_one_kind_that_is_off_is_not_diluted_by_many_others_that_are_not():
    """The return alone 8 % too high, among 40 readings of six kinds: together they look like chance."""
    again = read(BIKE, bench(1)[0], PLAN, Tools(np.random.default_rng(99)))
    off = changed(again, lambda _, reading: reading.name == "hook_return", 1.08)
    found = compare(calibrated(known()), [as_file(off, fingerprint="1")], (), np.random.default_rng(1))
    assert len(found.columns) == 6
    assert found.together > 0.1
    assert found.chance < 0.05


@pytest.mark.parametrize("tests", [1, 4, 12])
def test_a_difference_of_the_size_told_is_seen_in_nineteen_of_twenty_cases(tests):
    rng = np.random.default_rng(tests)
    differences = 2.5 * rng.standard_normal(20_000) + seen_from(2.5, tests)
    chances = tests * 2.0 * norm.sf(np.abs(differences) / 2.5)
    assert np.mean(chances < 0.05) == pytest.approx(0.95, abs=0.005)


def test_the_size_that_is_seen_goes_with_each_kind():
    found = compare(BIKE, [as_file(bench(1)[1])], (), np.random.default_rng(1))
    for column in found.columns:
        at_chance = norm.isf(0.05 / (2.0 * found.tests)) + norm.isf(0.05)
        assert column.seen_from == pytest.approx(at_chance * column.u)


def test_a_fitted_bike_predicts_new_readings_of_the_same_bike():
    again = read(BIKE, bench(1)[0], PLAN, Tools(np.random.default_rng(99)))
    found = compare(calibrated(known()), [as_file(again, fingerprint="1")], (), np.random.default_rng(1))
    assert found.chance > 0.02
    by_file = compare(BIKE, [as_file(again)], (), np.random.default_rng(1))
    pairs = zip(found.rows, by_file.rows, strict=True)
    assert np.mean([new.u_predicted / old.u_predicted for new, old in pairs if new.reading.name == "hook_pull"]) < 0.5


def test_a_change_that_was_not_made_is_seen():
    found = compare(calibrated(known()), [as_file(bench(1)[1], fingerprint="1")], STEPS, np.random.default_rng(1))
    assert found.chance < 1e-4
    pull = next(column for column in found.columns if column.name == "hook_pull")
    assert pull.chance < 1e-3
    assert pull.difference > 0.0
    assert found.loop.after.peak.value < found.loop.before.peak.value


def test_one_wrong_reading_stands_out():
    readings = changed(bench(1)[1], lambda place, _: place == 20, 1.3)
    found = compare(calibrated(known()), [as_file(readings, fingerprint="1")], (), np.random.default_rng(1))
    assert min(found.rows, key=lambda row: row.chance) is found.rows[20]
    assert found.rows[20].chance < 1e-6
    assert found.rows[20].difference == pytest.approx(readings[20].value - found.rows[20].predicted)


def test_readings_that_made_the_file_do_not_judge_it():
    with pytest.raises(InputError, match="would count twice"):
        compare(calibrated(known()), [as_file(bench(1)[1])], (), np.random.default_rng(1))


def test_two_sided_chance():
    assert [two_sided(x) for x in (0.0, 1.0, -2.5)] == pytest.approx(2.0 * norm.sf([0.0, 1.0, 2.5]))
