"""What lies behind the clutch."""

from clutchwright.physics.demand import tyre_circumference
from tests.validation.rows import Row
from tests.validation.units import INCH, MM

DEMAND = "clutchwright.physics.demand"


def circumference(width_mm, aspect, rim_inches):
    return tyre_circumference(width=width_mm * MM, aspect_ratio=aspect / 100.0, rim_diameter=rim_inches * INCH) / MM


ROWS = [
    Row(
        f"V-01 {width}/{aspect}-17",
        f"{DEMAND}.tyre_circumference",
        f"tyre {width}/{aspect}-17: circumference [mm]",
        printed,
        lambda width=width, aspect=aspect: circumference(width, aspect, 17.0),
        "table of tyre sizes [TY]",
        "found",
        tolerance=3.0,
        reason="the table lies 0.04 to 0.08 % low throughout, as with 3.14 for pi",
    )
    for width, aspect, printed in ((120, 70, "1883"), (160, 60, "1959"), (180, 55, "1977"), (180, 60, "2034"))
]
