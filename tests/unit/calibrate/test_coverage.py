"""Intervals hold the truth as often as they say: a small run here, 500 bikes in docs/bench/coverage.md."""

from __future__ import annotations

from scipy.stats import binom

from tests.bench_simulation import covered
from tests.unit.calibrate.benches import FORCES, exact

BIKES = 40
KEYS = ("cable.friction", "springs.rate_N_per_mm", "cable.compliance_mm_per_N", "lever.free_play_mm")


def test_ninety_in_a_hundred_hold_the_truth():
    bike = exact(*KEYS)
    plan = (*FORCES[::3], ("lift", "travel", 30.0, 0), ("spring_load", "length", 30.0, 0))
    rows = [covered(bike, plan, (7, number)) for number in range(BIKES)]
    for key in KEYS:
        held = sum(row[key] for row in rows)
        # too few, or too many, with a chance of 1 in 1000 each were the intervals right
        assert binom.ppf(0.001, BIKES, 0.9) <= held <= binom.ppf(0.999, BIKES, 0.9), (key, held)
