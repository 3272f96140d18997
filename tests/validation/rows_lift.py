"""Screws and ramps: raising, lowering, efficiency."""

import math

from clutchwright.physics import PULL, RETURN
from clutchwright.physics.lift import Rack, Screw
from tests.validation.rows import Row
from tests.validation.units import INCH, LBF, LBF_IN, MM

LIFT = "clutchwright.physics.lift"
KHURMI = "Khurmi and Gupta, Theory of Machines, ex."
WENTZELL = "Wentzell, Machine Design, ex."
BEER = "Beer et al., Vector Mechanics for Engineers: Statics, sample problem 8.5 [PY]"
SHIGLEY = "Shigley, Mechanical Engineering Design, ex. 8-1"
DEGREE = math.pi / 180.0


def torque(lift, load, direction):
    return load * lift.slope(0.0) * (1.0 + direction * lift.friction(direction))


def efficiency(lift):
    return 1.0 / (1.0 + lift.friction(PULL))


def lead_angle(screw):
    """From the slope, which is the radius times its tangent [rad]."""
    return math.atan(screw.slope(0.0) / (screw.thread_diameter / 2.0))


CLAMP = Screw(4.0 * MM, 10.0 * MM, 0.30, 0.0)
SQUARE = Screw(INCH / 3.0, 1.354 * INCH, 0.15, 0.0)
ACME = Screw(0.25 * INCH, 1.375 * INCH, 0.15, 14.5 * DEGREE)
JACK = Screw(12.5 * MM, 50.0 * MM, 0.13, 0.0)
COUPLING = Screw(3.0 * MM, 22.0 * MM, 0.15, 30.0 * DEGREE)
BAR = Screw(10.0 * MM, 50.0 * MM, 0.15, 0.0)
POWER = Screw(8.0 * MM, 30.0 * MM, 0.08, 0.0)
COLLAR = 6.4e3 * 0.08 * 20.0 * MM
BALL = Rack(0.5 * INCH / (2.0 * math.pi), 1.0 / 0.9 - 1.0)
MACHINE = Rack(1.0 / 6.0, 20.0 * 6.0 / 100.0 - 1.0)

ROWS = [
    Row(
        "M-01 clamp",
        f"{LIFT}.Screw.friction",
        "double thread, pitch 2 mm, mean 10 mm, friction 0.30, 40 N m: clamping force [kN]",
        "18.01",
        lambda: 40.0 / torque(CLAMP, 1.0, PULL) / 1e3,
        BEER,
        "found",
    ),
    Row(
        "M-01 loosen",
        f"{LIFT}.screw_friction",
        "the same: torque to loosen it [N m]",
        "14.97",
        lambda: -torque(CLAMP, 40.0 / torque(CLAMP, 1.0, PULL), RETURN),
        BEER,
        "found",
    ),
    Row(
        "M-02 torque",
        f"{LIFT}.Screw.friction",
        "square thread, 1/3 in lead, mean 1.354 in, friction 0.15, 2900 lbf: torque [lbf in]",
        "453.68",
        lambda: torque(SQUARE, 2900.0 * LBF, PULL) / LBF_IN,
        f"{WENTZELL} 18.1 [PY]",
        "found",
    ),
    Row(
        "M-02 efficiency",
        f"{LIFT}.screw_friction",
        "the same: efficiency [%]",
        "33.91",
        lambda: 100.0 * efficiency(SQUARE),
        f"{WENTZELL} 18.2 [PY]",
        "found",
    ),
    Row(
        "M-03 angle",
        f"{LIFT}.Screw.slope",
        "lead 0.25 in, mean 1.375 in: lead angle [°]",
        "3.31",
        lambda: lead_angle(ACME) / DEGREE,
        f"{WENTZELL} 18.3 [PY]",
        "found",
    ),
    Row(
        "M-03 torque",
        f"{LIFT}.thread_friction_angle",
        "the same, flank 14.5°, friction 0.15, 2900 lbf: torque [lbf in]",
        "428.13",
        lambda: torque(ACME, 2900.0 * LBF, PULL) / LBF_IN,
        f"{WENTZELL} 18.3 [PY]",
        "found",
    ),
    Row(
        "M-04",
        f"{LIFT}.Rack.slope",
        "ball screw, 90 % efficient, lead 0.5 in, 2900 lbf: torque [lbf in]",
        "256.65",
        lambda: torque(BALL, 2900.0 * LBF, PULL) / LBF_IN,
        f"{WENTZELL} 18.4 [PY]; a lift of even slope, efficiency 1/(1 + kappa)",
        "found",
        tolerance=0.3,
        reason="the book rounds 1/(2 pi 0.9) = 0.17684 to 0.177",
    ),
    Row(
        "M-05 torque",
        f"{LIFT}.Screw.friction",
        "mean 50 mm, lead 12.5 mm, friction 0.13, 25 kN: torque to raise [N m]",
        "132.6",
        lambda: torque(JACK, 25e3, PULL),
        f"{KHURMI} 10.10 [PY]",
        "found",
        tolerance=0.66,
        reason="the book rounds its angles; 0.5 %",
    ),
    Row(
        "M-05 ratio",
        f"{LIFT}.screw_friction",
        "the same: torque to raise over torque to lower [-]",
        "4.2",
        lambda: -torque(JACK, 25e3, PULL) / torque(JACK, 25e3, RETURN),
        f"{KHURMI} 10.10 [PY]",
        "found",
    ),
    Row(
        "M-05 efficiency",
        f"{LIFT}.screw_friction",
        "the same: efficiency [%]",
        "37.6",
        lambda: 100.0 * efficiency(JACK),
        f"{KHURMI} 10.10 [PY]",
        "found",
        tolerance=0.1,
        reason="the book rounds its angles",
    ),
    Row(
        "M-06",
        f"{LIFT}.thread_friction_angle",
        "V thread of 60°, mean 22 mm, lead 3 mm, friction 0.15, 40 kN, two rods: torque [N m]",
        "191.9",
        lambda: 2.0 * torque(COUPLING, 40e3, PULL),
        f"{KHURMI} 10.13 [PY]",
        "found",
        tolerance=0.96,
        reason="the book rounds its angles; 0.5 %",
    ),
    Row(
        "M-07 raise",
        f"{LIFT}.Screw.friction",
        "mean 50 mm, lead 10 mm, friction 0.15, 20 kN, bar of 0.7 m: force to raise [N]",
        "155",
        lambda: torque(BAR, 20e3, PULL) / 0.7,
        f"{KHURMI} 10.9 [PY]",
        "found",
        tolerance=1.0,
        reason="the copy puts the tangent in place of the angle",
    ),
    Row(
        "M-07 lower",
        f"{LIFT}.screw_friction",
        "the same: force to lower [N]",
        "62",
        lambda: -torque(BAR, 20e3, RETURN) / 0.7,
        f"{KHURMI} 10.9 [PY]",
        "found",
        tolerance=1.5,
        reason="the copy puts the tangent in place of the angle",
    ),
    Row(
        "M-08",
        f"{LIFT}.Rack.friction",
        "velocity ratio 6, 20 N lift 100 N: efficiency [%]",
        "83.33",
        lambda: 100.0 * efficiency(MACHINE),
        "Tayal, Engineering Mechanics, ex. 8.1 [PY]",
        "found",
    ),
    Row(
        "M-10 raise",
        f"{LIFT}.Screw.friction",
        "2 starts, 32 mm outside, pitch 4 mm, 6.4 kN, friction 0.08, collar 40 mm with 0.08: torque to raise [N m]",
        "26.18",
        lambda: torque(POWER, 6.4e3, PULL) + COLLAR,
        SHIGLEY,
        "memory",
    ),
    Row(
        "M-10 lower",
        f"{LIFT}.screw_friction",
        "the same: torque to lower [N m]",
        "9.77",
        lambda: COLLAR - torque(POWER, 6.4e3, RETURN),
        SHIGLEY,
        "memory",
    ),
    Row(
        "M-10 efficiency",
        f"{LIFT}.Screw.slope",
        "the same: efficiency [-]",
        "0.311",
        lambda: 6.4e3 * POWER.slope(0.0) / (torque(POWER, 6.4e3, PULL) + COLLAR),
        SHIGLEY,
        "memory",
    ),
]
