"""Unbalance and balance grades against limit cases."""

import numpy as np
import pytest

from clutchwright.physics.balance import permissible_unbalance, rotating_force, static_unbalance
from clutchwright.physics.plate_tilt import places


@pytest.mark.parametrize("bosses", [2, 3, 4, 6])
def test_equal_masses_round_a_circle_balance(bosses):
    x, y = places(range(bosses), bosses=bosses, circle_radius=0.042)
    assert static_unbalance(np.full(bosses, 0.02), x=x, y=y) == pytest.approx(0.0, abs=1e-17)


def test_one_mass_alone_is_mass_times_radius():
    assert static_unbalance(np.array([0.02]), x=np.array([0.03]), y=np.array([0.04])) == pytest.approx(0.02 * 0.05)


def test_masses_missing_weigh_as_much_as_masses_left():
    x, y = places(range(6), bosses=6, circle_radius=0.042)
    left = np.array([0.02, 0.0, 0.02, 0.02, 0.02, 0.0])
    assert static_unbalance(left, x=x, y=y) == pytest.approx(static_unbalance(0.02 - left, x=x, y=y))


def test_the_permissible_unbalance_follows_the_textbook_number_9549():
    """U_per = 9549 G m/n in g mm, mm/s, kg, 1/min (ISO 21940-11, from memory)."""
    unbalance = permissible_unbalance(grade=6.3e-3, mass=2.0, speed=3000 * 2 * np.pi / 60)
    assert unbalance * 1e6 == pytest.approx(9549 * 6.3 * 2.0 / 3000, rel=1e-4)


def test_the_force_grows_with_the_square_of_the_speed():
    assert rotating_force(1e-4, 200.0) == pytest.approx(4 * rotating_force(1e-4, 100.0))


def test_samples_are_each_alone():
    masses = np.array([[0.02, 0.03], [0.01, 0.05]])[:, np.newaxis, :]
    x, y = np.array([0.04, -0.04]), np.zeros(2)
    assert static_unbalance(masses, x=x, y=y)[:, 0] == pytest.approx([0.0004, 0.0016])
    assert static_unbalance(masses, x=y, y=x)[:, 0] == pytest.approx([0.0004, 0.0016])
