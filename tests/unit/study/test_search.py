import numpy as np
import pytest

from clutchwright.study.search import Limits, search
from clutchwright.study.tolerance import Sample, random_values
from clutchwright.usecases import DEMOS, read_demo
from tests.unit.study.every_setup import best_of, every_fine, random_bike, random_catalogue

SAMPLES = 64


def written(steps):
    return " ".join(map(str, steps))


@pytest.mark.parametrize("seed", range(60))
def test_the_best_are_those_of_brute_force(seed):
    rng = np.random.default_rng(seed)
    bike = random_bike(read_demo(DEMOS[seed % len(DEMOS)]), rng)
    catalogue = random_catalogue(bike, rng)
    sample = Sample(seed, SAMPLES, random_values(bike.quantities, SAMPLES, rng))
    limits = Limits(slips=0.05, does_not_release=0.05, touches=0.05)
    expected = {written(setup.steps): setup for setup in best_of(every_fine(bike, catalogue, sample, limits))}
    for every in (100_000, 0):
        found = search(bike, catalogue, sample=sample, limits=limits, every=every)
        assert {written(setup.steps) for setup in found.front} == expected.keys()
        assert sum(found.counts.values()) == catalogue.combinations
        for setup in found.front:
            pull, price, hours, grip = expected[written(setup.steps)].objectives
            assert (setup.price, setup.hours) == (price, hours)
            assert (setup.pull_peak_N, setup.slip_margin_hot) == pytest.approx((pull, -grip), rel=1e-9)
            assert setup.probability == expected[written(setup.steps)].probability
