"""Slip heat against hand calculation and balances of energy and momentum."""

from math import pi

import pytest

from clutchwright.physics.heat import face_area, slip_energy, slip_time, start_energy, temperature_rise

PAIR = {"driver_inertia": 0.1, "driven_inertia": 0.4}


def test_slip_energy_is_what_the_common_speed_lacks():
    """0.1 kg m² at 100 rad/s brings 0.5 to 20 rad/s: 500 J before, 100 J after."""
    assert slip_energy(**PAIR, speed_step=100.0) == pytest.approx(500.0 - 100.0)


def test_slip_time_is_momentum_over_torque():
    """0.4 kg m² gains 20 rad/s: 8 N m s, at 80 N m a tenth of a second."""
    assert slip_time(**PAIR, speed_step=100.0, torque=80.0) == pytest.approx(0.1)


def test_slip_energy_is_torque_times_mean_slip_times_time():
    time = slip_time(**PAIR, speed_step=100.0, torque=80.0)
    assert 80.0 * 50.0 * time == pytest.approx(slip_energy(**PAIR, speed_step=100.0))


def test_a_start_heats_as_much_as_it_moves():
    assert start_energy(driven_inertia=0.4, speed=100.0) == pytest.approx(2000.0)
    huge_engine = slip_energy(driver_inertia=1e12, driven_inertia=0.4, speed_step=100.0)
    assert start_energy(driven_inertia=0.4, speed=100.0) == pytest.approx(huge_engine)


def test_temperature_rise_by_hand():
    assert temperature_rise(2300.0, mass=0.5, specific_heat=460.0) == pytest.approx(10.0)


def test_face_area_by_hand():
    """A ring of 20 and 10 mm across: 75 pi mm², twice."""
    assert face_area(faces=2, outer=0.020, inner=0.010) == pytest.approx(150e-6 * pi)
