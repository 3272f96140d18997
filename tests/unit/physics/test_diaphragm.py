"""Disc and diaphragm springs against the formula's own special points."""

from dataclasses import replace
from math import log, pi

import pytest

from clutchwright.physics.diaphragm import (
    Diaphragm,
    disc_load,
    disc_shape_factor,
    disc_shape_factor_almen_laszlo,
    disc_stress,
    reference_stress,
)

DISC = {"outer": 0.120, "inner": 0.060, "thickness": 0.002, "cone_height": 0.003, "modulus": 206e9}
K1 = (1 / 4) / (3 - 2 / log(2)) / pi  # De/Di = 2: ((2 - 1)/2)^2 and (2 + 1)/(2 - 1)
SPRING = Diaphragm(
    outer=0.120,
    inner=0.090,
    thickness=0.0018,
    cone_height=0.003,
    deflection=0.0025,
    plate_radius=0.058,
    pivot_radius=0.048,
    tip_radius=0.023,
    modulus=206e9,
)
AT_EDGES = replace(SPRING, plate_radius=0.060, pivot_radius=0.045)


def test_shape_factors_at_a_diameter_ratio_of_two():
    assert disc_shape_factor(2.0) == pytest.approx(K1)
    assert disc_shape_factor(2.0) == pytest.approx(0.69, abs=0.005)  # DIN 2092, table of K1 (from memory)
    assert disc_shape_factor_almen_laszlo(2.0) == pytest.approx(6 / (4 * pi * log(2)))


def test_flat_disc_by_hand():
    """At s = h0 the bracket is 1: F = 4E/(1 - mu^2) t^3 h0/(K1 De^2)."""
    flat = 4 * 206e9 / 0.91 * 0.002**3 * 0.003 / (K1 * 0.120**2)
    assert disc_load(0.003, **DISC) == pytest.approx(flat)


@pytest.mark.parametrize("beyond", [0.0005, 0.001, 0.003])
def test_load_is_the_same_amount_above_and_below_flat(beyond):
    flat = disc_load(0.003, **DISC)
    assert disc_load(0.003 + beyond, **DISC) + disc_load(0.003 - beyond, **DISC) == pytest.approx(2 * flat)


def test_a_free_disc_carries_nothing():
    assert disc_load(0.0, **DISC) == 0.0


def test_a_given_shape_factor_is_used():
    ours, theirs = disc_load(0.002, **DISC), disc_load(0.002, **DISC, shape_factor=2 * K1)
    assert ours == pytest.approx(2 * theirs)


def test_stress_in_the_middle_by_hand():
    stress = -4 * 206e9 / 0.91 * 0.002 * 0.001 / (K1 * 0.120**2) * 3 / pi
    found = disc_stress(0.001, outer=0.120, inner=0.060, thickness=0.002, modulus=206e9)
    assert found == pytest.approx(stress)


def test_rings_at_the_edges_load_the_bare_disc():
    bare = disc_load(0.0025, outer=0.120, inner=0.090, thickness=0.0018, cone_height=0.003, modulus=206e9)
    assert AT_EDGES.load(0.0, 0.0) == pytest.approx(bare)
    assert AT_EDGES.load_engaged(0.0) == pytest.approx(bare)


def test_rings_inside_the_edges_gain_force_and_lose_travel():
    """30 mm between the edges' diameters over 20 mm between the rings': half as much again."""
    bare = disc_load(0.00375, outer=0.120, inner=0.090, thickness=0.0018, cone_height=0.003, modulus=206e9)
    assert SPRING.load(0.0, 0.0) == pytest.approx(1.5 * bare)


def test_lift_presses_and_wear_relaxes():
    assert SPRING.load(0.0005, 0.0) == SPRING.load(0.0008, 0.0003)
    assert SPRING.load(0.0, 0.0004) == pytest.approx(replace(SPRING, deflection=0.0021).load(0.0, 0.0))
    assert SPRING.loosest(0.0004) == pytest.approx(0.0021)
    assert SPRING.loosest(0.0026) < 0.0


def test_load_falls_with_lift_beyond_flat():
    """h0/t = 1.67 lies above sqrt 2, so the load falls around flat, which is at 3 mm/1.5 between the rings."""
    assert SPRING.load(0.0, 0.0005) > SPRING.load(0.0, 0.0)


def test_another_spring_of_the_same_shape():
    assert replace(SPRING, load_scale=0.8).load(0.0, 0.0) == pytest.approx(0.8 * SPRING.load(0.0, 0.0))


def test_fingers_are_levers():
    assert SPRING.bearing_ratio == pytest.approx(25 / 10)  # 48 - 23 over 58 - 48 mm


def test_reference_stress_counts_the_edges_deflection():
    at_edges = disc_stress(0.003, outer=0.120, inner=0.090, thickness=0.0018, modulus=206e9)
    assert reference_stress(SPRING, 0.002) == pytest.approx(at_edges)
