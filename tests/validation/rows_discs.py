"""Disc and diaphragm springs. All table loads are from memory: no row here is published."""

import math

from clutchwright.physics.diaphragm import disc_load, disc_shape_factor
from tests.validation.rows import Row
from tests.validation.units import GPA, MM

DISCS = "clutchwright.physics.diaphragm"
TABLE = "DIN 2093 / EN 16983, table of loads at 0.75 h0"

# Size: De, Di, t, h0 [mm], printed load [N], share of it allowed and why.
CLOSE = "the table rounds to 10 or 100 N"
WEAK = "for this size the table, as remembered, lies up to 0.9 % off the standard's own formula"
SIZES = {
    "A50": (50.0, 25.4, 3.0, 1.1, "12000", 0.0025, "the table rounds to 100 N; the 2006 edition prints 11976"),
    "B50": (50.0, 25.4, 2.0, 1.4, "4760", 0.001, CLOSE),
    "C50": (50.0, 25.4, 1.25, 1.6, "1550", 0.001, CLOSE),
    "B40": (40.0, 20.4, 1.5, 1.15, "2620", 0.001, CLOSE),
    "A8": (8.0, 4.2, 0.4, 0.2, "210", 0.004, CLOSE),
    "B31.5": (31.5, 16.3, 1.25, 0.9, "1920", 0.004, CLOSE),
    "C40": (40.0, 20.4, 1.0, 1.3, "1020", 0.004, CLOSE),
    "B100": (100.0, 51.0, 3.5, 2.8, "13100", 0.004, CLOSE),
    "A20": (20.0, 10.2, 1.1, 0.45, "1530", 0.01, WEAK),
    "B20": (20.0, 10.2, 0.8, 0.55, "745", 0.01, WEAK),
    "A25": (25.0, 12.2, 1.5, 0.55, "2910", 0.01, WEAK),
    "B25": (25.0, 12.2, 0.9, 0.7, "868", 0.01, WEAK),
    "A31.5": (31.5, 16.3, 1.75, 0.7, "3900", 0.01, WEAK),
    "A40": (40.0, 20.4, 2.25, 0.9, "6540", 0.01, WEAK),
    "B8": (8.0, 4.2, 0.3, 0.25, "119", 0.01, WEAK),
}


def table_load(size, shape_factor=None):
    """Load at 0.75 h0 [N]."""
    outer, inner, thickness, height = (value * MM for value in SIZES[size][:4])
    return disc_load(
        0.75 * height,
        outer=outer,
        inner=inner,
        thickness=thickness,
        cone_height=height,
        modulus=206.0 * GPA,
        shape_factor=shape_factor,
    )


def slope_at_flat(height_ratio):
    """Slope of the load at flat over the slope at the start, by central differences [-]."""
    shape = {
        "outer": 0.15,
        "inner": 0.12,
        "thickness": 2e-3,
        "cone_height": height_ratio * 2e-3,
        "modulus": 206.0 * GPA,
    }
    step = 1e-7

    def slope(deflection):
        return (disc_load(deflection + step, **shape) - disc_load(deflection - step, **shape)) / (2.0 * step)

    return slope(height_ratio * 2e-3) / slope(0.0)


ROWS = [
    *(
        Row(
            f"D-01 {size}",
            f"{DISCS}.disc_load",
            f"De {outer}, Di {inner}, t {thickness}, h0 {height} mm: load at 0.75 h0 [N]",
            printed,
            lambda size=size: table_load(size),
            TABLE,
            "memory",
            tolerance=share * float(printed),
            reason=reason,
        )
        for size, (outer, inner, thickness, height, printed, share, reason) in SIZES.items()
    ),
    Row(
        "D-01 K1",
        f"{DISCS}.disc_shape_factor",
        "De/Di 2: K1 [-]",
        "0.694",
        lambda: disc_shape_factor(2.0),
        "DIN 2092 / EN 16984, table of K1",
        "memory",
    ),
    Row(
        "D-02",
        f"{DISCS}.disc_load",
        "h0/t = √2: slope of the load at flat over that at the start [-]",
        "0.0000",
        lambda: slope_at_flat(math.sqrt(2.0)),
        "Almen and Laszlo, Trans. ASME 58 (1936) 305: horizontal tangent",
        "derived",
    ),
]
