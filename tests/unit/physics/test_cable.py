"""Cable and hydraulic line against capstan and Pascal worked by hand."""

from dataclasses import replace
from math import log, pi

import numpy as np
import pytest

from clutchwright.physics import PULL, RETURN
from clutchwright.physics.cable import Cable, Hydraulic

# half a turn at a friction that doubles the tension over it
DOUBLING = Cable(bend=pi, friction=log(2) / pi, drag=5.0, compliance=4e-6, ratio=2.0)


def test_half_a_turn_doubles_the_pull_and_halves_the_return():
    assert DOUBLING.bend_gain(PULL) == pytest.approx(2.0)
    assert DOUBLING.bend_gain(RETURN) == pytest.approx(0.5)


def test_tension_at_the_lever():
    assert DOUBLING.lever_tension(100.0, PULL) == pytest.approx(100.0 * 2.0 / 2.0 + 5.0)
    assert DOUBLING.lever_tension(100.0, RETURN) == pytest.approx(100.0 * 0.5 / 2.0 - 5.0)


def test_a_cable_does_not_push():
    assert DOUBLING.lever_tension(10.0, RETURN) == 0.0  # 2.5 N against 5 N of drag
    assert DOUBLING.lever_tension(0.0, PULL) == 5.0


@pytest.mark.parametrize(("direction", "mean"), [(PULL, 1.0 / log(2)), (RETURN, 0.5 / log(2))])
def test_mean_tension_is_the_mean_of_the_profile(direction, mean):
    """The mean of 2^u over 0..1 is 1/ln 2, that of 2^-u half as much."""
    profile = DOUBLING.bend_gain(direction) ** ((np.arange(100_000) + 0.5) / 100_000)
    assert DOUBLING.mean_gain(direction) == pytest.approx(mean)
    assert DOUBLING.mean_gain(direction) == pytest.approx(np.mean(profile))


@pytest.mark.parametrize("bend", [0.0, 1e-300, 1e-12])
def test_a_straight_cable_has_one_tension(bend):
    straight = replace(DOUBLING, bend=bend)
    assert straight.bend_gain(PULL) == pytest.approx(1.0)
    assert straight.mean_gain(PULL) == pytest.approx(1.0)
    assert straight.mean_gain(RETURN) == pytest.approx(1.0)


def test_a_sample_of_cables_may_hold_a_straight_one():
    some = replace(DOUBLING, bend=np.array([[0.0], [pi]]))
    np.testing.assert_allclose(some.mean_gain(PULL), [[1.0], [1.0 / log(2)]])


def test_stretch_adds_to_the_movement_and_an_inline_unit_multiplies_both():
    stretch = 4e-6 * 100.0 / log(2)
    assert DOUBLING.stretch(100.0, PULL) == pytest.approx(stretch)
    assert DOUBLING.drawn(0.010, 100.0, PULL) == pytest.approx(2.0 * (0.010 + stretch))


HYDRAULIC = Hydraulic(area_ratio=1.25, seal_loss=0.05, expansion=2e-6)


def test_two_seals_each_take_their_share():
    assert HYDRAULIC.lever_tension(100.0, PULL) == pytest.approx(100.0 / 1.25 / 0.95 / 0.95)
    assert HYDRAULIC.lever_tension(100.0, RETURN) == pytest.approx(100.0 / 1.25 * 0.95 * 0.95)


def test_master_travel_is_slave_travel_and_swelling_times_area_ratio():
    assert HYDRAULIC.drawn(0.010, 100.0, PULL) == pytest.approx(1.25 * 10.2e-3)
    assert HYDRAULIC.drawn(0.010, 100.0, RETURN) == pytest.approx(1.25 * 10.2e-3)
    assert HYDRAULIC.ratio == 1.25
    assert HYDRAULIC.drag == 0.0
