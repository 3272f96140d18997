"""Predicted against read: even chances where all is right, small ones where it is not."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import kstest, norm

from clutchwright.calibrate import compare
from clutchwright.calibrate.comparison import two_sided
from clutchwright.calibrate.posterior import calibrated
from clutchwright.changes import parse
from clutchwright.errors import InputError
from tests.bench_simulation import PLAN, Tools, as_file, read
from tests.unit.calibrate.benches import BIKE, bench, changed, known

STEPS = (parse("arm-length:length_mm=38"),)


def test_where_the_file_is_right_every_chance_is_as_likely():
    # a p-value is uniform under the hypothesis it tests; bikes drawn from the file itself, 24 of them
    chances = [
        compare(BIKE, [as_file(bench(seed)[1])], (), np.random.default_rng(seed)).chance for seed in range(100, 124)
    ]
    assert kstest(chances, "uniform").pvalue > 0.01


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
