"""Slip energy, slip time, temperature rise."""

import math

from clutchwright.physics.heat import slip_energy, slip_time, start_energy, temperature_rise
from clutchwright.physics.pack import mean_radius_uniform_wear, torque_capacity
from tests.validation.rows import Row
from tests.validation.units import LBF_FT, MPA, POUND, RPM

HEAT = "clutchwright.physics.heat"

PAIR = {"driver_inertia": 60.0 * 0.14**2, "driven_inertia": 20.0 * 0.08**2, "speed_step": 750.0 * RPM}
CONE = {"driver_inertia": 1e12, "driven_inertia": 13.5 * 0.15**2, "speed_step": 1000.0 * RPM}
KELVIN_PER_FAHRENHEIT = 5.0 / 9.0


def jindal_torque():
    """Torque of one face; the text says both sides work, but its numbers count one."""
    force = math.pi * 0.1 * MPA * 0.14 * (0.22 - 0.14) / 2.0
    return torque_capacity(force, faces=1.0, friction=0.28, mean_radius=mean_radius_uniform_wear(0.22, 0.14))


def drum_rise():
    heat = LBF_FT / (POUND * KELVIN_PER_FAHRENHEIT) * 93.0
    return temperature_rise(289620.0 * LBF_FT, mass=40.0 * POUND, specific_heat=heat) / KELVIN_PER_FAHRENHEIT


KHURMI_3 = "Khurmi and Gupta, Theory of Machines, ex. 3.12 [PY]"
KHURMI_10 = "Khurmi and Gupta, Theory of Machines, ex. 10.34 [PY]"
JINDAL = "Jindal, Machine Design, ex. 22-1 [PY]"

ROWS = [
    Row(
        "E-01 time",
        f"{HEAT}.slip_time",
        "60 kg x (0.14 m)² and 20 kg x (0.08 m)², 750/min, 150 N m: time [s]",
        "0.06",
        lambda: slip_time(**PAIR, torque=150.0),
        KHURMI_3,
        "found",
    ),
    Row(
        "E-01 energy",
        f"{HEAT}.slip_energy",
        "the same: energy lost [J]",
        "356",
        lambda: slip_energy(**PAIR),
        KHURMI_3,
        "found",
    ),
    Row(
        "E-03 torque",
        "clutchwright.physics.pack.torque_capacity",
        "friction 0.28, radii 110/70 mm, 0.1 MPa at the inner edge, one face: torque [N m]",
        "44.33",
        jindal_torque,
        JINDAL,
        "found",
    ),
    Row(
        "E-03 time",
        f"{HEAT}.slip_time",
        "the same torque, 7.2 kg m² brought to 300/min: time [s]",
        "5.1",
        lambda: slip_time(driver_inertia=1e12, driven_inertia=7.2, speed_step=300.0 * RPM, torque=jindal_torque()),
        JINDAL,
        "found",
    ),
    Row(
        "E-03 energy",
        f"{HEAT}.start_energy",
        "the same: energy lost [J]",
        "3553",
        lambda: start_energy(driven_inertia=7.2, speed=300.0 * RPM),
        JINDAL,
        "found",
    ),
    Row(
        "E-04",
        f"{HEAT}.start_energy",
        "150 kg x (0.25 m)² brought to 1440/min: energy lost [kJ]",
        "106.59",
        lambda: start_energy(driven_inertia=150.0 * 0.25**2, speed=1440.0 * RPM) / 1e3,
        "Bhandari, Design of Machine Elements, ex. 11.11 [BH]",
        "found",
    ),
    Row(
        "E-05 time",
        f"{HEAT}.slip_time",
        "cone clutch of 7.8 N m, 13.5 kg x (0.15 m)² brought to 1000/min: time [s]",
        "4.1",
        lambda: slip_time(**CONE, torque=7.8),
        KHURMI_10,
        "found",
    ),
    Row(
        "E-05 energy",
        f"{HEAT}.slip_energy",
        "the same: energy lost [J]",
        "1674",
        lambda: slip_energy(**CONE),
        KHURMI_10,
        "found",
        tolerance=10.0,
        reason="the book multiplies its rounded torque and time, 7.8 N m x 4.1 s x 104.7/2 rad/s",
    ),
    Row(
        "E-06",
        f"{HEAT}.temperature_rise",
        "289620 ft lbf into 40 lb at 93 ft lbf/(lb °F): rise [°F]",
        "77.85",
        drum_rise,
        "Wentzell, Machine Design, ex. 16.5 [PY]",
        "found",
    ),
]
