"""Time what is known after readings: python -m benchmarks.bench_fit [REPEATS]. Exit status 1 when the rival is faster.

Against emcee, a general-purpose sampler that walks the same posterior, written out anew by the tests: the time of a
thousand independent samples, by what each sampler says its chains are worth.
"""

import sys
import time
from collections.abc import Iterator

import emcee
import numpy as np

from benchmarks.table import Row, run, seconds
from clutchwright.calibrate import fit, posterior
from tests.bench_simulation import as_file
from tests.independent.test_emcee import BURN, CASES, STEPS, WALKERS, Target, start
from tests.unit.calibrate.benches import bench, exact

NAME = "cable alone"


def rows(repeats: float) -> Iterator[Row]:
    """Every figure."""
    case = CASES[NAME]
    bike = exact(*case.uncertain)
    found = fit(bike, [as_file(bench(case.seed, case.plan, bike)[1])])
    ours = posterior(found, np.random.default_rng(1))
    (took,) = seconds(lambda: posterior(found, np.random.default_rng(1)), repeats=int(repeats))
    yield Row(f"1,000 bikes that fit readings of the {NAME}", 1e3 * took / ours.effective, "s", walked(found), "emcee")


def walked(found: object) -> float:
    """Time of a thousand independent samples by emcee [s], its way to the posterior left out."""
    target, rng = Target(found), np.random.default_rng(1)
    places = start(found, rng)
    sampler = emcee.EnsembleSampler(WALKERS, places.shape[1], target, moves=emcee.moves.DEMove(), vectorize=True)
    sampler.random_state = np.random.RandomState(1).get_state()  # what emcee takes
    places = sampler.run_mcmc(places, BURN)
    sampler.reset()
    begun = time.perf_counter()
    sampler.run_mcmc(places, STEPS - BURN)
    took = time.perf_counter() - begun
    return 1e3 * took * float(np.max(sampler.get_autocorr_time(tol=0))) / (WALKERS * (STEPS - BURN))


if __name__ == "__main__":
    sys.exit(run(rows, 2))
