"""Static unbalance and balance grades; a rigid plate on its springs."""

import numpy as np

from clutchwright.physics.balance import (
    permissible_eccentricity,
    permissible_unbalance,
    rotating_force,
    static_unbalance,
)
from clutchwright.physics.plate_tilt import (
    Plane,
    centroid,
    largest_share,
    places,
    plane_under_load,
    softness,
    tilt_stiffness,
)
from tests.validation.rows import Row
from tests.validation.units import RPM

BALANCE = "clutchwright.physics.balance"
TILT = "clutchwright.physics.plate_tilt"
ISO = "ISO 21940-11 (formerly ISO 1940-1)"
BEVAN = "Bevan, The Theory of Machines, ch. 14, ex. 5 [PY]"
KILO_GRAM_METRE = 1e6  # g mm
MILLI_METRE_PER_S = 1e-3
FOOT_SLUG = 32.2  # lb in a slug, as the source rounds it
PLATE = "own derivation"

SIX_X, SIX_Y = places(range(6), bosses=6, circle_radius=0.042)
MIXED = np.array([20e3, 24e3, 27e3, 30e3, 22e3, 26e3])
THREE = np.array([10e3, 12e3, 9e3])
THREE_X, THREE_Y = places(range(3), bosses=3, circle_radius=0.042)


def mixed_plane() -> Plane:
    return plane_under_load(MIXED, x=SIX_X, y=SIX_Y, force=1000.0, force_x=0.005, force_y=-0.003)


def mixed_loads() -> np.ndarray:
    return MIXED * mixed_plane().at(SIX_X, SIX_Y)


def three_loads() -> np.ndarray:
    return THREE * plane_under_load(THREE, x=THREE_X, y=THREE_Y, force=300.0).at(THREE_X, THREE_Y)


ROWS = (
    Row(
        id="B-01",
        formula=f"{BALANCE}.permissible_unbalance",
        inputs="G 2.5, 3600 kg, 3000/min: U_per in g mm",
        printed="28.6e3",
        compute=lambda: (
            permissible_unbalance(grade=2.5 * MILLI_METRE_PER_S, mass=3600.0, speed=3000 * RPM) * KILO_GRAM_METRE
        ),
        source=f"{ISO}, worked example",
        confidence="memory",
    ),
    Row(
        id="B-01 eccentricity",
        formula=f"{BALANCE}.permissible_eccentricity",
        inputs="G 2.5, 3000/min: e_per in micrometres",
        printed="8",
        compute=lambda: permissible_eccentricity(grade=2.5 * MILLI_METRE_PER_S, speed=3000 * RPM) * 1e6,
        source=f"{ISO}, worked example",
        confidence="memory",
    ),
    Row(
        id="B-02",
        formula=f"{BALANCE}.permissible_eccentricity",
        inputs="G 6.3, 3000/min: e_per in micrometres",
        printed="20",
        compute=lambda: permissible_eccentricity(grade=6.3 * MILLI_METRE_PER_S, speed=3000 * RPM) * 1e6,
        source=f"{ISO}, e_per = G/w by hand",
        confidence="derived",
    ),
    Row(
        id="B-03",
        formula=f"{BALANCE}.rotating_force",
        inputs="2 g at 50 mm, 9000/min: force in N",
        printed="88.8",
        compute=lambda: rotating_force(0.002 * 0.050, 9000 * RPM),
        source="m r w² by hand",
        confidence="derived",
    ),
    Row(
        id="B-04 mass",
        formula=f"{BALANCE}.static_unbalance",
        inputs="180 lb and half of 150 lb at 7.5 in: balance mass at 6 in, in lb",
        printed="318.8",
        compute=lambda: float(static_unbalance(np.array([180.0, 75.0]), x=np.array([7.5, 7.5]), y=np.zeros(2))) / 6.0,
        source=BEVAN,
        confidence="found",
        tolerance=0.051,
        reason="the source rounds 318.75 up",
    ),
    Row(
        id="B-04 force",
        formula=f"{BALANCE}.rotating_force",
        inputs="75 lb left unbalanced at 7.5 in, 300/min: force in lbf",
        printed="1436",
        compute=lambda: rotating_force(75.0 / FOOT_SLUG * 7.5 / 12.0, 300 * RPM),
        source=BEVAN,
        confidence="found",
        tolerance=1.0,
        reason="the source cuts 1436.7 off, with 32.2 lb to the slug",
    ),
    Row(
        id="P-01",
        formula=f"{TILT}.largest_share",
        inputs="6 equal springs on R, force off centre by R/4 towards one: largest load over mean, 1 + 2 e/R",
        printed="1.5",
        compute=lambda: largest_share(np.full(6, 25e3), x=SIX_X, y=SIX_Y, force_x=0.042 / 4, force_y=0.0),
        source=PLATE,
        confidence="identity",
        tolerance=1e-12,
    ),
    Row(
        id="P-02 force",
        formula=f"{TILT}.plane_under_load",
        inputs="unequal rates, 1000 N off centre: sum of the loads in N",
        printed="1000",
        compute=lambda: float(np.sum(mixed_loads())),
        source=PLATE,
        confidence="identity",
        tolerance=1e-9,
    ),
    Row(
        id="P-02 moment about y",
        formula=f"{TILT}.Plane.at",
        inputs="the same: place of the loads' resultant, x in mm",
        printed="5",
        compute=lambda: float(centroid(mixed_loads(), x=SIX_X, y=SIX_Y)[0]) * 1e3,
        source=PLATE,
        confidence="identity",
        tolerance=1e-9,
    ),
    Row(
        id="P-02 moment about x",
        formula=f"{TILT}.centroid",
        inputs="the same: place of the loads' resultant, y in mm",
        printed="-3",
        compute=lambda: float(centroid(mixed_loads(), x=SIX_X, y=SIX_Y)[1]) * 1e3,
        source=PLATE,
        confidence="identity",
        tolerance=1e-9,
    ),
    *(
        Row(
            id=f"P-03 spring {number}",
            formula=f"{TILT}.plane_under_load",
            inputs="3 springs of 10, 12, 9 N/mm at 120°, 300 N on the axis: load of one in N",
            printed="100",
            compute=lambda number=number: float(three_loads()[number]),
            source=f"{PLATE}: with three springs the split does not depend on the rates, only the tilt does",
            confidence="identity",
            tolerance=1e-9,
        )
        for number in range(3)
    ),
    Row(
        id="P-04 full set",
        formula=f"{TILT}.tilt_stiffness",
        inputs="6 equal springs of 25 N/mm on 42 mm: n k R²/2 in N m/rad",
        printed="132.3",
        compute=lambda: tilt_stiffness(np.full(6, 25e3), x=SIX_X, y=SIX_Y),
        source="second moment of a regular polygon by hand",
        confidence="derived",
        tolerance=1e-9,
    ),
    Row(
        id="P-04 two out",
        formula=f"{TILT}.tilt_stiffness",
        inputs="the same without two opposite ones: k R² about the line of the empty bosses, in N m/rad",
        printed="44.1",
        compute=lambda: tilt_stiffness(np.full(4, 25e3), x=SIX_X[[1, 2, 4, 5]], y=SIX_Y[[1, 2, 4, 5]]),
        source="4 k (R/2)² by hand",
        confidence="derived",
        tolerance=1e-9,
    ),
    Row(
        id="P-05",
        formula=f"{TILT}.softness",
        inputs="4 of 4 springs, two opposite ones of half the rate: 4 k R²/2 over 2 (k/2) R²",
        printed="2",
        compute=lambda: softness(
            np.array([1.0, 0.5, 1.0, 0.5]),
            bosses=4,
            x=np.array([1.0, 0.0, -1.0, 0.0]),
            y=np.array([0.0, 1.0, 0.0, -1.0]),
        ),
        source="second moments by hand",
        confidence="derived",
        tolerance=1e-12,
    ),
)
