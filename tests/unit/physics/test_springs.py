"""Coil springs against sums worked by hand."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from clutchwright.errors import ModelRangeError
from clutchwright.physics.springs import (
    END_TURNS,
    MATERIALS,
    CoilSet,
    CoilSpring,
    Wire,
    bergstraesser_factor,
    least_gap_sum,
    shear_stress,
    spring_rate,
    tensile_strength,
    wahl_factor,
)

WIRE = Wire(diameter=0.004, outer_diameter=0.024, total_turns=7.0, ends="squared ground", material="hard drawn")
SPRING = CoilSpring(30e3, free_length=0.041, installed_length=0.032, solid_length=0.026, position=0, washer=0.001)


def test_rate_by_hand():
    """80e9 x 256e-12 = 20.48; 8 x 8e-6 x 5 = 3.2e-4; their ratio is 64 N/mm."""
    assert spring_rate(wire=0.004, mean_diameter=0.020, active_turns=5, shear_modulus=80e9) == pytest.approx(64e3)


def test_stress_factors_at_index_five():
    assert bergstraesser_factor(5.0) == pytest.approx(22 / 17)  # (4 C + 2)/(4 C - 3)
    assert wahl_factor(5.0) == pytest.approx(19 / 16 + 0.123)


def test_a_wide_spring_needs_no_correction():
    assert bergstraesser_factor(1e9) == pytest.approx(1.0)
    assert wahl_factor(1e9) == pytest.approx(1.0)


def test_stress_by_hand():
    """8 F D = 80 N m over pi d^3 is 397.9 MPa before the correction."""
    stress = shear_stress(500.0, wire=0.004, mean_diameter=0.020)
    assert stress == pytest.approx(80.0 / (pi * 64e-9) * 22 / 17)


@pytest.mark.parametrize("material", [name for name in MATERIALS if name != "patented drawn"])
def test_thinner_wire_is_stronger(material):
    assert tensile_strength(material, 0.002) > tensile_strength(material, 0.004)


def test_strength_of_one_millimetre_of_music_wire_is_the_table_s_factor():
    assert tensile_strength("music", 0.001) == pytest.approx(2211e6, rel=1e-12)


def test_unknown_wire_names_the_known():
    with pytest.raises(
        ModelRangeError, match=r"springs.material = 'liquorice': not in the table; choose one of music,"
    ):
        tensile_strength("liquorice", 0.004)


def test_least_gaps_by_hand():
    """D = 20, d = 4: n (0.0015 D^2/d + 0.1 d) = 5 (0.15 + 0.4) mm."""
    assert least_gap_sum(wire=0.004, mean_diameter=0.020, active_turns=5.0) == pytest.approx(2.75e-3)
    assert WIRE.least_gap_sum == pytest.approx(2.75e-3)


def test_wire_measures():
    assert WIRE.mean_diameter == pytest.approx(0.020)
    assert WIRE.inner_diameter == pytest.approx(0.016)
    assert WIRE.active_turns == 5.0
    assert WIRE.rate == pytest.approx(64e3)  # 80 GPa


@pytest.mark.parametrize(
    ("ends", "active", "solid_turns"),
    [("plain", 7, 8), ("plain ground", 6, 7), ("squared", 5, 8), ("squared ground", 5, 7)],
)
def test_ends_take_turns(ends, active, solid_turns):
    """Shigley, Mechanical Engineering Design, table 10-1 (from memory)."""
    wire = replace(WIRE, ends=ends)
    assert wire.active_turns == active
    assert wire.solid_length == pytest.approx(solid_turns * 0.004)
    assert set(END_TURNS) == {"plain", "plain ground", "squared", "squared ground"}


def test_one_spring():
    assert SPRING.preload_travel(0.0) == pytest.approx(0.008)  # 41 - 32 - 1 mm
    assert SPRING.load(0.0, 0.0) == pytest.approx(240.0)
    assert SPRING.load(0.0, 0.0005) == pytest.approx(225.0)
    assert SPRING.load(0.002, 0.0005) == pytest.approx(285.0)


def test_a_set_is_the_sum_of_its_springs():
    soft = replace(SPRING, rate=20e3, washer=0.0, position=1)  # 9 mm: 180 N
    pair = CoilSet((SPRING, soft), bosses=2, circle_radius=0.042)
    assert pair.load_engaged(0.0) == pytest.approx(240.0 + 180.0)
    assert pair.stiffness == pytest.approx(50e3)
    assert pair.load(0.002, 0.0) == pytest.approx(300.0 + 220.0)
    assert pair.bearing_ratio == 1.0


@pytest.mark.parametrize(
    ("field", "value", "load"),
    [
        ("rate", 20e3, 160.0),  # 20 N/mm by 8 mm
        ("free_length", 0.042, 270.0),  # 30 N/mm by 9 mm
        ("installed_length", 0.034, 180.0),
        ("washer", 0.0, 270.0),
    ],
)
def test_springs_that_differ_in_one_thing_are_not_taken_for_alike(field, value, load):
    other = replace(SPRING, position=1, **{field: value})
    assert CoilSet((SPRING, other), bosses=2, circle_radius=0.042).load_engaged(0.0) == pytest.approx(240.0 + load)
    assert CoilSet((other,), bosses=1, circle_radius=0.042).load_engaged(0.0) == pytest.approx(load)


def test_the_loosest_spring_counts():
    long = replace(SPRING, washer=0.0, position=1)
    pair = CoilSet((SPRING, long), bosses=2, circle_radius=0.042)
    assert pair.loosest(0.0) == pytest.approx(0.008)
    assert pair.loosest(0.0085) == pytest.approx(-0.0005)


def test_the_loosest_of_a_sample_is_found_in_each():
    wear = np.array([[0.0], [0.001]])
    np.testing.assert_allclose(CoilSet((SPRING,), 1, 0.042).loosest(wear), [[0.008], [0.007]])
