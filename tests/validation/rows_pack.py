"""Torque capacity of plate clutches, and drag of the oil between parted faces."""

import math

from scipy.optimize import minimize_scalar

from clutchwright.physics.pack import (
    mean_radius_uniform_pressure,
    mean_radius_uniform_wear,
    oil_drag_torque,
    torque_capacity,
)
from clutchwright.physics.springs import CoilSet, CoilSpring
from tests.validation.rows import Row
from tests.validation.units import INCH, LBF_IN, MM, MPA, PSI, RPM

PACK = "clutchwright.physics.pack"
BHANDARI = "Bhandari, Design of Machine Elements, ex."
KHURMI = "Khurmi and Gupta, Theory of Machines, ex."
SHIGLEY = "Shigley, Mechanical Engineering Design, ch. 16, hydraulic multi-disk clutch problem"
CENGEL = "Cengel and Cimbala, Fluid Mechanics, ch. 2, clutch with an oil film"


def worn_in(force, outer, inner, *, faces, friction):
    return torque_capacity(force, faces=faces, friction=friction, mean_radius=mean_radius_uniform_wear(outer, inner))


def brand_new(force, outer, inner, *, faces, friction):
    radius = mean_radius_uniform_pressure(outer, inner)
    return torque_capacity(force, faces=faces, friction=friction, mean_radius=radius)


def wear_force(pressure, outer, inner):
    """Force at a largest pressure, which uniform wear puts at the inner edge: pi p d (D - d)/2."""
    return math.pi * pressure * inner * (outer - inner) / 2.0


def cork_faces():
    """Faces for 10 N m on 306.3 N, 5 % of each face lost to slots."""
    return math.ceil(10.0 / (0.95 * worn_in(306.3, 95.0 * MM, 65.0 * MM, faces=1.0, friction=0.2)))


TRANSMITTED = 25e3 / (1575.0 * RPM)
RING = {"outer": 240.0 * MM, "inner": 120.0 * MM}


def largest_pressure():
    force = TRANSMITTED / worn_in(1.0, **RING, faces=4.0, friction=0.3)
    return force / wear_force(1.0, **RING) / MPA


def even_pressure_force():
    return TRANSMITTED / brand_new(1.0, **RING, faces=4.0, friction=0.3)


def power_after_wear():
    """Six springs of 13 kN/m, 8 faces worn by 1.25 mm each, run in [kW]."""
    squeeze = even_pressure_force() / 6.0 / 13e3
    springs = tuple(CoilSpring(13e3, squeeze, 0.0, None, place) for place in range(6))
    left = CoilSet(springs, 6, 0.05).load(0.0, 8 * 1.25 * MM)
    return worn_in(left, **RING, faces=4.0, friction=0.3) * 1575.0 * RPM / 1e3


def shigley_torque(inner_inches):
    """Six faces, D 6.5 in, 120 psi, friction 0.24 [lbf in]."""
    outer, inner = 6.5 * INCH, inner_inches * INCH
    return worn_in(wear_force(120.0 * PSI, outer, inner), outer, inner, faces=6.0, friction=0.24) / LBF_IN


def best_inner():
    return minimize_scalar(lambda inner: -shigley_torque(inner), bounds=(1.0, 6.4), method="bounded").x


def drag(gap, first, second):
    return oil_drag_torque(
        faces=1.0, viscosity=0.38, slip_speed=(first - second) * RPM, outer=300.0 * MM, inner=0.0, gap=gap
    )


ROWS = [
    Row(
        "C-01 torque",
        f"{PACK}.torque_capacity",
        "15708 N, 200/100 mm, friction 0.2, one face, uniform wear: torque [N m]",
        "235.62",
        lambda: worn_in(15708.0, 0.2, 0.1, faces=1.0, friction=0.2),
        f"{BHANDARI} 11.1 [BH]",
        "found",
    ),
    Row(
        "C-01 power",
        f"{PACK}.mean_radius_uniform_wear",
        "1 MPa at the inner edge, the same, 750/min: power [kW]",
        "18.51",
        lambda: worn_in(wear_force(1.0 * MPA, 0.2, 0.1), 0.2, 0.1, faces=1.0, friction=0.2) * 750.0 * RPM / 1e3,
        f"{BHANDARI} 11.1 [BH]",
        "found",
    ),
    Row(
        "C-02",
        f"{PACK}.mean_radius_uniform_pressure",
        "23562 N, 200/100 mm, friction 0.2, one face, uniform pressure: torque [N m]",
        "366.52",
        lambda: brand_new(23562.0, 0.2, 0.1, faces=1.0, friction=0.2),
        f"{BHANDARI} 11.2 [BH]",
        "found",
    ),
    Row(
        "C-03",
        f"{PACK}.torque_capacity",
        "wet cork, 306.3 N, 95/65 mm, friction 0.2, 10 N m, 5 % slots: faces [-]",
        "5",
        cork_faces,
        f"{BHANDARI} 11.7 [BH]",
        "found",
        tolerance=0.0,
    ),
    Row(
        "C-04 torque",
        f"{PACK}.torque_capacity",
        "5 steel and 4 bronze discs, 8 faces, 2650.7 N, 150/75 mm, friction 0.1: torque [N m]",
        "119.28",
        lambda: worn_in(2650.7, 0.15, 0.075, faces=8.0, friction=0.1),
        f"{BHANDARI} 11.8 [BH]",
        "found",
    ),
    Row(
        "C-04 power",
        f"{PACK}.mean_radius_uniform_wear",
        "the same from 0.3 MPa at the inner edge, 750/min: power [kW]",
        "9.37",
        lambda: worn_in(wear_force(0.3 * MPA, 0.15, 0.075), 0.15, 0.075, faces=8.0, friction=0.1) * 750.0 * RPM / 1e3,
        f"{BHANDARI} 11.8 [BH]",
        "found",
    ),
    Row(
        "C-06",
        f"{PACK}.torque_capacity",
        "4 faces, friction 0.3, 0.127 MPa at the inner edge, radii 125/75 mm, 500/min: power [kW]",
        "18.8",
        lambda: worn_in(wear_force(0.127 * MPA, 0.25, 0.15), 0.25, 0.15, faces=4.0, friction=0.3) * 500.0 * RPM / 1e3,
        f"{KHURMI} 10.28 [PY]",
        "found",
    ),
    Row(
        "C-07",
        f"{PACK}.mean_radius_uniform_wear",
        "3 + 2 discs, friction 0.3, 240/120 mm, 25 kW at 1575/min: largest pressure [N/mm²]",
        "0.062",
        largest_pressure,
        f"{KHURMI} 10.29 [PY]",
        "found",
    ),
    Row(
        "C-08 force",
        f"{PACK}.mean_radius_uniform_pressure",
        "the same, uniform pressure: force [N]",
        "1353",
        even_pressure_force,
        f"{KHURMI} 10.30 [PY]",
        "found",
        tolerance=1.0,
        reason="the book goes on with the torque rounded to 151.6 N m",
    ),
    Row(
        "C-08 worn",
        "clutchwright.physics.springs.CoilSet.load",
        "then 8 faces worn by 1.25 mm, 6 springs of 13 kN/m, run in: power [kW]",
        "10.21",
        power_after_wear,
        f"{KHURMI} 10.30 [PY]",
        "found",
        tolerance=0.01,
        reason="the book goes on with the force rounded to 1353 N",
    ),
    *(
        Row(
            f"C-11 d {inner}",
            f"{PACK}.torque_capacity",
            f"6 faces, D 6.5 in, d {inner} in, 120 psi at the inner edge, friction 0.24: torque [lbf in]",
            printed,
            lambda inner=inner: shigley_torque(inner),
            SHIGLEY,
            "memory",
        )
        for inner, printed in ((2, "5191"), (3, "6769"), (4, "7125"), (5, "5853"), (6, "2545"))
    ),
    Row(
        "C-12",
        f"{PACK}.mean_radius_uniform_wear",
        "the same: inner diameter for the greatest torque [in]",
        "3.75",
        best_inner,
        SHIGLEY,
        "memory",
    ),
    Row(
        "C-13 wear",
        f"{PACK}.mean_radius_uniform_wear",
        "250/175 mm, 4 kN, friction 0.30, one pair, uniform wear: torque [N m]",
        "127.5",
        lambda: worn_in(4e3, 0.25, 0.175, faces=1.0, friction=0.3),
        "Shigley, Mechanical Engineering Design, ch. 16, problem",
        "memory",
    ),
    Row(
        "C-13 pressure",
        f"{PACK}.mean_radius_uniform_pressure",
        "the same, uniform pressure: torque [N m]",
        "128.8",
        lambda: brand_new(4e3, 0.25, 0.175, faces=1.0, friction=0.3),
        "the same problem by the other formula",
        "derived",
    ),
    Row(
        "O-01",
        f"{PACK}.oil_drag_torque",
        "one face, D 300 mm, film 3 mm, 0.38 Pa s, 1450 and 1398/min: torque [N m]",
        "0.55",
        lambda: drag(3.0 * MM, 1450.0, 1398.0),
        CENGEL,
        "memory",
    ),
    Row(
        "O-02",
        f"{PACK}.oil_drag_torque",
        "the same disc, film 2 mm, 1200 and 1125/min: torque [N m]",
        "1.187",
        lambda: drag(2.0 * MM, 1200.0, 1125.0),
        f"{CENGEL}, later edition, problem 2-79: inputs found, the answer printed there (0.151) is a slip",
        "derived",
    ),
]
