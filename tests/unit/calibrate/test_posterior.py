"""Samples of the posterior: seeds, spread, what they leave in a bike file, and that a second fit goes on from there."""

from __future__ import annotations

import numpy as np
import pytest

from clutchwright import bikefile, usecases, usecases_bench
from clutchwright.calibrate import calibrate, fit, posterior
from clutchwright.calibrate.posterior import calibrated, fingerprint
from clutchwright.changes import parse
from clutchwright.errors import InputError
from clutchwright.quantity import Quantity
from clutchwright.study.outcomes import outcomes
from clutchwright.study.tolerance import random_values
from tests.bench_simulation import PLAN, Tools, as_file, read
from tests.unit.calibrate.benches import BIKE, bench, fitted, known

PULL = "pull_peak_N"


def test_the_same_seed_gives_the_same_samples_and_another_gives_others():
    first, again, other = (posterior(fitted(), np.random.default_rng(seed), 512) for seed in (1, 1, 2))
    assert np.array_equal(first.scores, again.scores)
    assert not np.array_equal(first.scores, other.scores)


def test_samples_lie_round_the_most_likely_bike_and_are_worth_enough():
    found = known()
    assert found.sure
    assert found.scores.shape == (4096, found.fit.bench.size)
    assert found.effective > 1000.0
    spread = np.sqrt(np.diag(found.fit.covariance))
    assert np.max(np.abs(np.mean(found.scores, axis=0) - found.fit.mode) / spread) < 0.5
    assert np.std(found.scores, axis=0) / spread == pytest.approx(np.ones(len(spread)), abs=0.25)


def test_estimates_are_the_samples_means_and_spreads():
    found = known()
    for estimate in found.estimates:
        values = found.values[estimate.key]
        assert estimate.after.value == pytest.approx(np.mean(values), rel=1e-3)
        assert estimate.after.u == pytest.approx(np.std(values), rel=1e-3)
        assert estimate.after.origin == f"fitted: readings {fingerprint(found.fit)[:8]}"
        assert estimate.learnt < 1.0
    by_key = {estimate.key: estimate for estimate in found.estimates}
    assert by_key["springs.rate_N_per_mm"].learnt > 0.5
    assert abs(by_key["cable.drag_N"].learnt) < 0.2


def test_readings_shift_what_is_known_towards_the_truth():
    truth = bench(1)[0]
    off = [
        ((estimate.after.value - truth[estimate.key][0, 0]) / estimate.after.u) ** 2 for estimate in known().estimates
    ]
    assert np.mean(off) < 2.5


def test_the_calibrated_bike_is_a_bike_file_that_keeps_its_comments():
    text = usecases.demo_text(usecases.DEMOS[0])
    found = calibrate(BIKE, [as_file(bench(1)[1])], (), np.random.default_rng(1))
    written = usecases_bench.calibrated_text(text, found, "new.toml")
    again = bikefile.loads(written, "new.toml")
    assert "# An invented bike" in written
    assert again.name == f"{BIKE.name}, calibrated"
    assert again.quantities == found.bike.quantities
    assert again.curves["fitted.readings"] == (("bench.csv", "0" * 64),)
    assert again.correlation.keys == found.posterior.fit.bench.names
    assert np.max(np.abs(again.correlation.matrix - found.posterior.correlation.matrix)) < 1e-5
    assert max(len(line) for line in written.splitlines()) < 400


def test_possible_bikes_of_the_new_file_pull_as_the_posterior_says():
    new = calibrated(known())
    values = random_values(new.quantities, 2048, np.random.default_rng(3), new.correlation)
    pulls = outcomes(new, (), values, size=2048).figures[PULL]
    exactly = {key: value[::2] for key, value in known().values.items()}
    others = {key: value for key, value in values.items() if key not in exactly}
    expected = outcomes(BIKE, (), {**others, **exactly}, size=2048).figures[PULL]
    assert np.mean(pulls) == pytest.approx(np.mean(expected), abs=0.15 * np.std(expected))
    assert np.std(pulls) == pytest.approx(np.std(expected), rel=0.1)
    assert usecases.assess_bike(new).u[PULL] == pytest.approx(np.std(expected), rel=0.15)
    assert np.std(expected) < 0.4 * usecases.assess_bike(BIKE).u[PULL]


def test_a_fit_after_a_change_goes_on_from_the_first():
    truth = bench(1)[0]
    steps = (parse("arm-length:length_mm=38"),)
    new = calibrated(known())
    plan = tuple(row for row in PLAN if row[1] == "travel")
    after = _read_changed(truth, plan)
    found = posterior(fit(new, [as_file(after, fingerprint="1")], steps), np.random.default_rng(1))
    assert found.fit.bench.names == known().fit.bench.names
    again = calibrated(found)
    assert again.curves["fitted.readings"] == (("bench.csv", "0" * 64), ("bench.csv", "1" * 64))
    assert sum(each.learnt for each in found.estimates) > 0.3
    with pytest.raises(InputError, match="would count twice"):
        fit(again, [as_file(after, fingerprint="1")], steps)


def _read_changed(truth, plan):
    text = bikefile.set_value(usecases.demo_text(usecases.DEMOS[0]), "arm.length_mm", Quantity(38.0, 0.4))
    longer = bikefile.loads(text, "longer.toml")
    values = {key: value for key, value in truth.items() if key != "arm.length_mm"}
    return read(longer, values, plan, Tools(np.random.default_rng(7)))
