"""Friction of the cable (belt friction) and the hydraulic line."""

import math

from clutchwright.physics import PULL, RETURN
from clutchwright.physics.cable import Cable, Hydraulic
from tests.validation.rows import Row
from tests.validation.units import INCH, LBF, LBF_IN

LINE = "clutchwright.physics.cable"
BEER = "Beer et al., Vector Mechanics for Engineers: Statics, sample problem"
TAYAL = "Tayal, Engineering Mechanics, ex."
DIGHE = "Dighe, Hydraulics Made Easy, ex."
TURN = 2.0 * math.pi
DEGREE = math.pi / 180.0


def rope(friction, bend):
    return Cable(bend, friction, 0.0, 0.0)


def hawser_friction():
    """Friction at which 150 N hold 7500 N over two turns; the exponent is linear in it."""
    return math.log(7500.0 / 150.0) / math.log(rope(1.0, 2.0 * TURN).bend_gain(PULL))


def piston(small, large):
    """Line between bores [m]."""
    return Hydraulic((large / small) ** 2, 0.0, 0.0)


ROWS = [
    Row(
        "K-01 friction",
        f"{LINE}.Cable.bend_gain",
        "150 N hold 7500 N over 2 turns: friction coefficient [-]",
        "0.311",
        hawser_friction,
        f"{BEER} 8.7 [PY]",
        "found",
    ),
    Row(
        "K-01 load",
        f"{LINE}.Cable.lever_tension",
        "the same friction, 3 turns: load held by 150 N [kN]",
        "53.0",
        lambda: rope(hawser_friction(), 3.0 * TURN).lever_tension(150.0, PULL) / 1e3,
        f"{BEER} 8.7 [PY]",
        "found",
    ),
    Row(
        "K-02",
        f"{LINE}.Cable.lever_tension",
        "600 lbf on the tight side, friction 0.25, 120°, radius 8 in: torque [lbf in]",
        "1957",
        lambda: (600.0 * LBF - rope(0.25, 120.0 * DEGREE).lever_tension(600.0 * LBF, RETURN)) * 8.0 * INCH / LBF_IN,
        f"{BEER} 8.8 [PY]",
        "found",
        tolerance=1.0,
        reason="the book goes on with the slack side rounded to 355.4 lbf",
    ),
    Row(
        "K-04",
        f"{LINE}.Cable.lever_tension",
        "1000 N, friction 0.3, 3 turns: force that holds it [N]",
        "3.50",
        lambda: rope(0.3, 3.0 * TURN).lever_tension(1000.0, RETURN),
        f"{TAYAL} 7.6 [PY]",
        "found",
    ),
    Row(
        "K-05",
        f"{LINE}.Cable.lever_tension",
        "200 N on the tight side, friction 0.5, 225°, radius 0.25 m: torque [N m]",
        "42.98",
        lambda: (200.0 - rope(0.5, 225.0 * DEGREE).lever_tension(200.0, RETURN)) * 0.25,
        f"{TAYAL} 7.5 [PY]",
        "found",
    ),
    *(
        Row(
            f"K-08 {friction} {bend}°",
            f"{LINE}.Cable.bend_gain",
            f"friction {friction}, bends {bend}°: efficiency of the pull [-]",
            printed,
            lambda friction=friction, bend=bend: 1.0 / rope(friction, bend * DEGREE).bend_gain(PULL),
            "capstan law",
            "derived",
        )
        for friction, bend, printed in ((0.1, 90, "0.8546"), (0.05, 180, "0.8546"), (0.15, 180, "0.6242"))
    ),
    Row(
        "H-01",
        f"{LINE}.Hydraulic.ratio",
        "master 12.7 mm, slave 33.6 mm: travel ratio [-]",
        "7.0",
        lambda: piston(12.7, 33.6).ratio,
        "Pascal's law",
        "derived",
    ),
    Row(
        "H-02",
        f"{LINE}.Hydraulic.drawn",
        "master 9/16 in, slave 30 mm, 10 mm at the master: slave travel [mm]",
        "2.268",
        lambda: 10.0 / piston(9.0 / 16.0 * 25.4, 30.0).drawn(1.0, 0.0, PULL),
        "Pascal's law",
        "derived",
    ),
    Row(
        "H-04",
        f"{LINE}.Hydraulic.lever_tension",
        "5 lbf on 1/8 in², ram of 50 in²: load [lbf]",
        "2000",
        lambda: 5.0 / Hydraulic(50.0 / 0.125, 0.0, 0.0).lever_tension(1.0, PULL),
        f"{DIGHE} 1.1 [PY]",
        "found",
    ),
    Row(
        "H-05",
        f"{LINE}.Hydraulic.lever_tension",
        "15 long tons, bores 1 and 10 in, leverage 12: force at the handle [lbf]",
        "28",
        lambda: piston(1.0, 10.0).lever_tension(15.0 * 2240.0, PULL) / 12.0,
        f"{DIGHE} 1.2 [PY]",
        "found",
    ),
]
