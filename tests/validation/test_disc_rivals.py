"""Two published forms of the disc spring's load, held against each other on the sizes of the table.

They differ in the shape constant alone. With x = ln(De/Di), Almen and Laszlo (1936) have M = 6 ((d - 1)/d)²/(pi x), EN
16984 has K1 = ((d - 1)/d)²/pi/(coth(x/2) - 2/x), and coth(x/2) - 2/x = x/6 (1 - x²/60 + ...). So M is the first term of
K1's series, and the loads after M are higher by x²/60: 0.7 to 0.9 % for the discs of the table, which are all near
De/Di = 2, and 0.1 % for a clutch's diaphragm with De/Di = 1.3, where 1 % of thickness is worth 3 % of load.

Held against the loads of the table, as remembered, EN 16984 is nearer for nine of the fifteen sizes, M for A20, A31.5,
A40, B8, B25 and, by a hair, B31.5. The tool uses K1, the standard in force.
"""

import math

import pytest

from clutchwright.physics.diaphragm import disc_shape_factor, disc_shape_factor_almen_laszlo
from tests.validation.rows_discs import SIZES, table_load


@pytest.mark.parametrize("size", SIZES)
def test_the_spread_is_the_next_term_of_the_series(size):
    ratio = SIZES[size][0] / SIZES[size][1]
    rival = table_load(size, disc_shape_factor_almen_laszlo(ratio))
    assert rival / table_load(size) - 1.0 == pytest.approx(math.log(ratio) ** 2 / 60.0, rel=0.01)


@pytest.mark.parametrize("size", SIZES)
def test_the_spread_stays_in_its_band(size):
    ratio = SIZES[size][0] / SIZES[size][1]
    assert 0.006 < disc_shape_factor(ratio) / disc_shape_factor_almen_laszlo(ratio) - 1.0 < 0.009


def test_a_diaphragm_hardly_tells_them_apart():
    assert disc_shape_factor(1.3) / disc_shape_factor_almen_laszlo(1.3) - 1.0 < 0.0012


@pytest.mark.parametrize("size", SIZES)
def test_the_remembered_table_lies_near_one_of_them(size):
    ratio, printed = SIZES[size][0] / SIZES[size][1], float(SIZES[size][4])
    both = [table_load(size), table_load(size, disc_shape_factor_almen_laszlo(ratio))]
    assert min(abs(load / printed - 1.0) for load in both) < 0.006
