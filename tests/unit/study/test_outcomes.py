"""Many bikes at once come to the same as each by itself, and what goes wrong is counted as it should be."""

from dataclasses import replace

import numpy as np
import pytest

from clutchwright.assess.figures import FIGURES, measure
from clutchwright.bikefile import assemble
from clutchwright.chain import respond
from clutchwright.changes import Step
from clutchwright.quantity import Quantity
from clutchwright.study import outcomes as module
from clutchwright.study.outcomes import Outcomes, outcomes
from clutchwright.study.tolerance import random_values
from clutchwright.usecases import DEMOS, read_demo


def sample(bike, size):
    return random_values(bike.quantities, size, np.random.default_rng(3))


def alone(bike, values, row):
    """The bike of one row, written down as a measured bike of its own."""
    own = {key: Quantity(float(column[row, 0])) for key, column in values.items()}
    return replace(bike, quantities={**bike.quantities, **own})


@pytest.mark.parametrize("demo", DEMOS)
def test_each_bike_of_many_is_what_it_is_alone(demo):
    bike = read_demo(demo)
    values = sample(bike, 5)
    many = outcomes(bike, (), values, size=5)
    for row in range(5):
        single = assemble(alone(bike, values, row))
        figures = measure(single, respond(single))
        for key, figure in figures.items():
            np.testing.assert_allclose(many.figures[key][row], figure, rtol=1e-9, atol=1e-12, err_msg=key)


@pytest.mark.parametrize("demo", DEMOS)
def test_the_block_length_does_not_matter(demo, monkeypatch):
    bike = read_demo(demo)
    values = sample(bike, 8)
    steps = (Step("arm-length", {"length_mm": 1.1 * bike.quantities["arm.length_mm"].value}),)
    whole = outcomes(bike, steps, values, size=8)
    monkeypatch.setattr(module, "BLOCK", 3)
    parts = outcomes(bike, steps, values, size=8)
    for name in ("figures", "gaps"):
        for key, column in getattr(whole, name).items():
            np.testing.assert_allclose(getattr(parts, name)[key], column, rtol=1e-9, atol=1e-12, err_msg=key)


def test_changes_are_made_to_every_bike():
    bike = read_demo()
    values = sample(bike, 4)
    plain = outcomes(bike, (), values, size=4).figures["clamp_new_N"]
    # two of six equal springs out: a third of the clamp gone
    fewer = outcomes(bike, (Step("springs-fewer", {"left_out": (1, 4)}),), values, size=4).figures["clamp_new_N"]
    np.testing.assert_allclose(fewer, plain * 4.0 / 6.0)


def test_without_values_all_are_the_bike_as_filed():
    bike = read_demo()
    found = outcomes(bike, (), {}, size=3)
    nominal = assemble(bike)
    figures = measure(nominal, respond(nominal))
    for key, column in found.figures.items():
        np.testing.assert_allclose(column, [figures[key]] * 3)


def test_none_at_all():
    found = outcomes(read_demo(), (), {}, size=0)
    assert {len(column) for column in found.figures.values()} == {0}


def made_up(**given):
    figures = {figure.key: np.full(4, 2.0) for figure in FIGURES}
    gaps = given.pop("gaps", {})
    return Outcomes(figures | {key: np.array(column) for key, column in given.items()}, gaps)


def test_events_are_margins_below_their_limit():
    found = made_up(slip_margin_hot=[0.99, 1.0, 1.2, np.nan], release_margin_mm=[0.1, -0.01, 0.0, np.nan])
    np.testing.assert_array_equal(found.events["slips"], [True, False, False, True])
    np.testing.assert_array_equal(found.events["does_not_release"], [False, True, False, True])


def test_any_gap_below_zero_touches():
    gaps = {"bolt_room": np.array([1.0, -0.1, 0.0, 2.0]), "arm_room": np.array([1.0, 1.0, -1.0, 0.0])}
    np.testing.assert_array_equal(made_up(gaps=gaps).events["touches"], [False, True, True, False])
    assert list(made_up(gaps=gaps).margins) == ["slips", "does_not_release", "bolt_room", "arm_room"]


def test_nothing_touches_where_no_gap_was_measured():
    np.testing.assert_array_equal(made_up().events["touches"], [False] * 4)
