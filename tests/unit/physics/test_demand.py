"""What engine and driveline ask, against hand calculation and the limit of one huge inertia."""

from math import pi, sqrt

import pytest

from clutchwright.physics.demand import Drive, clutch_torque, drop_torque, equivalent_inertia

DRIVE = Drive(
    engine_torque=40.0,
    primary_ratio=3.0,
    primary_efficiency=0.98,
    start_speed=200.0,
    drop_speed=300.0,
    engine_inertia=0.01,
    first_gear_ratio=2.5,
    final_ratio=3.0,
    wheel_circumference=0.6 * pi,
    mass=250.0,
    driveline_stiffness=400.0,
    creep_torque=2.0,
)


def test_primary_drive_multiplies_torque():
    assert clutch_torque(engine_torque=40.0, primary_ratio=3.0, primary_efficiency=0.98) == pytest.approx(117.6)
    assert DRIVE.torque == pytest.approx(117.6)


def test_primary_drive_multiplies_inertia_twice():
    assert DRIVE.driver_inertia == pytest.approx(0.09)


def test_machine_as_a_flywheel():
    """Wheel radius 0.3 m over 7.5 is 40 mm; 250 kg at 40 mm is 0.4 kg m²."""
    inertia = equivalent_inertia(mass=250.0, wheel_circumference=0.6 * pi, overall_ratio=7.5)
    assert inertia == pytest.approx(0.4)
    assert DRIVE.driven_inertia == pytest.approx(0.4)


def test_drop_by_hand():
    """0.1 and 0.4 kg m² act as 0.08; 100 rad/s x sqrt(400 x 0.08)."""
    torque = drop_torque(speed_step=100.0, stiffness=400.0, driver_inertia=0.1, driven_inertia=0.4)
    assert torque == pytest.approx(100.0 * sqrt(32.0))


def test_drop_against_a_wall_stores_all_the_engine_s_energy():
    torque = drop_torque(speed_step=100.0, stiffness=400.0, driver_inertia=0.1, driven_inertia=1e12)
    assert torque**2 / (2 * 400.0) == pytest.approx(0.5 * 0.1 * 100.0**2)
