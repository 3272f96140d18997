from dataclasses import replace

import numpy as np
import pytest

from clutchwright.assess.figures import measure
from clutchwright.bikefile import assemble
from clutchwright.chain import respond
from clutchwright.changes import Step, apply
from clutchwright.quantity import Quantity
from clutchwright.study.catalogue import Catalogue, Option, Range
from clutchwright.study.limits import Limits
from clutchwright.study.outcomes import outcomes
from clutchwright.study.refine import HALVINGS, _Refining, refine
from clutchwright.study.search import search
from clutchwright.study.tolerance import Sample, random_values
from clutchwright.usecases import read_demo

LIMITS = Limits(0.02, 0.02, 0.0)
# kind, parameter and range of values that trade pull for lift, or grip
FREE = {
    "arm-length": ("length_mm", 30.0, 42.0),
    "cable-radius": ("radius_mm", 21.0, 27.0),
    "washers": ("thickness_mm", 0.2, 2.0),
}


@pytest.fixture(scope="module")
def bike():
    found = read_demo()
    return replace(found, quantities={**found.quantities, "drive.engine_torque_Nm": Quantity(24.0, 1.0)})


@pytest.fixture(scope="module")
def sample(bike):
    return Sample(3, 512, random_values(bike.quantities, 512, np.random.default_rng(3)))


def catalogue(*kinds, steps):
    options = []
    for kind in kinds:
        name, low, high = FREE[kind]
        rest = {"outer_mm": 11.0} if kind == "washers" else {}
        choices = tuple(Step(kind, {name: float(value), **rest}) for value in np.linspace(low, high, steps))
        options.append(Option(kind, choices, 0.0, 0.0, True, free=Range(name, low, high)))
    return Catalogue("free", tuple(options))


def lightest(found, taken):
    return min((setup.pull_peak_N for setup in found.front if set(setup.options) == set(taken)), default=np.inf)


@pytest.mark.parametrize(
    ("kinds", "fine"), [(("arm-length",), 200), (("cable-radius",), 200), (("arm-length", "cable-radius"), 100)]
)
def test_it_is_as_light_as_the_best_of_a_fine_grid(bike, sample, kinds, fine):
    coarse = search(bike, catalogue(*kinds, steps=5), sample=sample, limits=LIMITS)
    refined = refine(bike, coarse, sample=sample)
    best = search(bike, catalogue(*kinds, steps=fine), sample=sample, limits=LIMITS)
    ours, theirs, grid = (lightest(found, kinds) for found in (refined, best, coarse))
    assert ours < grid
    # a step of the fine grid is worth some 0.2 % of pull; values are rounded to a thousandth of their range
    assert ours <= theirs * (1.0 + 2e-4)
    assert ours >= theirs * (1.0 - 5e-3)


def test_what_it_finds_keeps_every_limit_by_the_chain_alone(bike, sample):
    options = catalogue("arm-length", "cable-radius", "washers", steps=4)
    coarse = search(bike, options, sample=sample, limits=LIMITS)
    refined = refine(bike, coarse, sample=sample)
    assert len(refined.front) > 2
    for setup in refined.front:
        changed = apply(assemble(bike), setup.steps)
        figures = measure(changed, respond(changed))
        assert setup.pull_peak_N == pytest.approx(figures["pull_peak_N"], rel=1e-9)
        assert setup.slip_margin_hot == pytest.approx(figures["slip_margin_hot"], rel=1e-9)
        events = outcomes(bike, setup.steps, sample.values, size=sample.size).events
        shares = {name: float(np.mean(happens)) for name, happens in events.items()}
        assert setup.probability == shares
        assert all(share <= getattr(LIMITS, name) for name, share in shares.items())


def test_no_setup_of_the_grid_is_better(bike, sample):
    coarse = search(bike, catalogue("arm-length", "washers", steps=4), sample=sample, limits=LIMITS)
    refined = refine(bike, coarse, sample=sample)
    for setup in coarse.front:
        assert any(
            found.pull_peak_N <= setup.pull_peak_N
            and found.price <= setup.price
            and found.hours <= setup.hours
            and found.slip_margin_hot >= setup.slip_margin_hot
            for found in refined.front
        )


def test_a_value_that_is_no_range_stays(bike, sample):
    options = catalogue("arm-length", steps=5)
    fixed = replace(options, options=(replace(options.options[0], free=None),))
    coarse = search(bike, fixed, sample=sample, limits=LIMITS)
    assert refine(bike, coarse, sample=sample) == coarse


class Halved(_Refining):
    """From (0, 0.2) on, fine up to where the first share is 0.3."""

    def __init__(self):
        self.start = np.array([0.0, 0.2])

    def tried(self, shares):
        return "fine" if shares[0] <= 0.3 else None


def test_halving_ends_where_the_way_stops_being_fine():
    """Three tenths of the way from (0, 0.2) to (1, 0.6)."""
    assert Halved()._farthest(np.array([1.0, 0.6])) == pytest.approx([0.3, 0.32], abs=0.5**HALVINGS)
