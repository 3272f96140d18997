"""The posterior against a general-purpose sampler, on three benches of few unknowns.

The other side is written out anew: it walks in the values themselves, not in scores, with lognormal and normal priors
and normal mixtures from scipy. Only what a bike would show, and the doubt about places, are shared. emcee's snooker
move is left out: in release 3.1 it weighs a jump by half the exponent of ter Braak and Vrugt, Statistics and Computing
18 (2008) 435, eq. 3, and finds 0.80 for the spread of a standard normal of seven dimensions; its plain move finds 1.00.
"""

from __future__ import annotations

import os
from dataclasses import dataclass

import emcee
import numpy as np
import pytest
from scipy.stats import lognorm, norm

from clutchwright.calibrate import fit, posterior
from clutchwright.calibrate.forward import predicted, situation
from clutchwright.calibrate.noise import COARSER, MISTAKES
from clutchwright.quantity import unit_of
from tests.bench_simulation import as_file
from tests.unit.calibrate.benches import FORCES, bench, exact

WALKERS, STEPS, BURN = 256, 500, 100


@dataclass(frozen=True)
class Case:
    """Unknowns, and what is read."""

    uncertain: tuple[str, ...]
    plan: tuple[tuple[str, str, float, int], ...]
    seed: int


CASES = {
    "friction and springs at the lever": Case(
        ("cable.friction", "lift.friction", "springs.rate_N_per_mm", "lever.free_play_mm"), FORCES[4:], 3
    ),
    "cable alone": Case(
        ("cable.friction", "cable.bend_deg", "cable.drag_N"),
        tuple((name, "weight", weight, 0) for weight in (20.0, 60.0, 100.0) for name in ("cable_pull", "cable_return")),
        4,
    ),
    "stretch, squash and angles": Case(
        ("cable.compliance_mm_per_N", "pack.compression_mm", "arm.cable_angle_deg", "lever.cable_angle_deg"),
        (*FORCES[8:], ("lift", "travel", 20.0, 0), ("lift", "travel", 40.0, 0), ("arm_travel", "travel", 30.0, 0)),
        5,
    ),
}


class Target:
    """Log density of values, zeros and gains: prior times likelihood."""

    def __init__(self, found) -> None:
        self.bench, self.noise = found.bench, found.noise
        self.keys = tuple(found.bench.quantities)
        self.groups = {}
        for place, each in enumerate(found.bench.readings):
            self.groups.setdefault((each.name, each.position), []).append(place)

    def prior(self, key):
        quantity = self.bench.quantities[key]
        if unit_of(key) == "°":
            return norm(quantity.value, quantity.u)
        spread = np.sqrt(np.log(1.0 + (quantity.u / quantity.value) ** 2))
        return lognorm(spread, scale=quantity.value * np.exp(-(spread**2) / 2.0))

    def shown(self, parameters):
        count = len(self.keys)
        values = {key: parameters[:, [place]] for place, key in enumerate(self.keys)}
        places = np.array([[each.at for each in self.bench.readings]]) + np.zeros((len(parameters), 1))
        zero, gain, off, stretched = (np.zeros_like(places) for _ in range(4))
        for term, error in zip(self.bench.terms, parameters[:, count:].T, strict=True):
            of_value, of_place = (gain, stretched) if term.gain else (zero, off)
            of_value += error[:, np.newaxis] * term.values
            of_place += error[:, np.newaxis] * term.places
        places = (places - off) / (1.0 + stretched)
        farthest = max(each.at for each in self.bench.readings)
        now = situation(self.bench.measured, values, (), farthest)
        found = np.empty_like(places)
        for (name, position), columns in self.groups.items():
            found[:, columns] = predicted(now, name, position, places[:, columns], 0)
        return found * (1.0 + gain) + zero

    def __call__(self, parameters):
        count = len(self.keys)
        density = sum(self.prior(key).logpdf(parameters[:, place]) for place, key in enumerate(self.keys))
        density += sum(
            norm(0.0, term.u).logpdf(error)
            for term, error in zip(self.bench.terms, parameters[:, count:].T, strict=True)
        )
        possible = density > np.max(density) - 200.0
        off = np.full((len(parameters), len(self.bench.readings)), np.inf)
        with np.errstate(all="ignore"):
            off[possible] = (self.shown(parameters[possible]) - self.bench.values) / self.noise
            off = np.nan_to_num(off, nan=np.inf)
            likelihood = (1.0 - MISTAKES) * norm.pdf(off) + MISTAKES * norm.pdf(off, scale=COARSER)
            return density + np.sum(np.log(likelihood), axis=1)


def start(found, rng):
    """Walkers drawn at the mode."""
    factor = np.linalg.cholesky(found.covariance)
    scores = found.mode + rng.normal(size=(WALKERS, len(factor))) @ factor.T
    values = found.bench.values_of(scores)
    errors = scores[:, len(found.bench.names) :] * [term.u for term in found.bench.terms]
    return np.concatenate([*values.values(), errors], axis=1)


# The other two take a minute each, of the same statement.
EVERY_RUN = "cable alone"
LONG = pytest.mark.skipif("CLUTCHWRIGHT_LONG" not in os.environ, reason="long: set CLUTCHWRIGHT_LONG=1")


@pytest.mark.parametrize("name", [pytest.param(name, marks=() if name == EVERY_RUN else LONG) for name in CASES])
def test_means_and_spreads_agree(name):
    case = CASES[name]
    bike = exact(*case.uncertain)
    found = fit(bike, [as_file(bench(case.seed, case.plan, bike)[1])])
    rng = np.random.default_rng(1)
    target, places = Target(found), start(found, rng)
    sampler = emcee.EnsembleSampler(WALKERS, places.shape[1], target, moves=emcee.moves.DEMove(), vectorize=True)
    sampler.random_state = np.random.RandomState(1).get_state()
    sampler.run_mcmc(places, STEPS)
    other = sampler.get_chain(discard=BURN, flat=True)
    worth = WALKERS * (STEPS - BURN) / np.max(sampler.get_autocorr_time(discard=BURN, quiet=True))
    assert worth > 1500.0, "the comparison itself must be sharp enough"
    ours = posterior(found, rng)
    for place, key in enumerate(target.keys):
        mean, spread = np.mean(other[:, place]), np.std(other[:, place])
        assert np.mean(ours.values[key]) == pytest.approx(mean, abs=0.1 * spread), key
        assert np.std(ours.values[key]) == pytest.approx(spread, rel=0.1), key
