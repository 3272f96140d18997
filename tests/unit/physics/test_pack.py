"""The plate pack against textbook formulas worked by hand."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from clutchwright.physics.pack import (
    Pack,
    mean_radius_uniform_pressure,
    mean_radius_uniform_wear,
    oil_drag_torque,
    torque_capacity,
)

PACK = Pack(
    faces=14,
    outer=0.122,
    inner=0.098,
    friction_static=0.13,
    friction_sliding=0.11,
    hot_factor=0.9,
    stiffness=6e6,
    curve=(),
    face_gap=5e-5,
    flatness=1e-4,
    wear_limit=9e-4,
)
MEASURED = replace(PACK, curve=((0.0, 0.0), (1e-4, 500.0), (2e-4, 1500.0)))


def test_friction_radii():
    assert mean_radius_uniform_wear(0.122, 0.098) == pytest.approx(0.055)
    assert mean_radius_uniform_pressure(0.120, 0.0) == pytest.approx(0.040)  # a full disc: D/3
    assert mean_radius_uniform_pressure(0.122, 0.1219999) == pytest.approx(0.061, rel=1e-5)  # a thin ring


def test_capacity_by_hand():
    """14 x 0.13 x 55 mm x 1500 N."""
    assert torque_capacity(1500.0, faces=14, friction=0.13, mean_radius=0.055) == pytest.approx(150.15)
    assert PACK.capacity(1500.0, 0.13) == pytest.approx(150.15)


def test_an_assist_hub_adds_its_share_of_clamp():
    assert replace(PACK, assist=0.2).capacity(1500.0, 0.13) == pytest.approx(180.18)


def test_new_faces_press_evenly():
    radius = (0.122**3 - 0.098**3) / (3 * (0.122**2 - 0.098**2))
    assert replace(PACK, friction_radius="pressure").mean_radius == pytest.approx(radius)
    assert PACK.mean_radius == pytest.approx(0.055)


def test_linear_pack():
    assert PACK.squash(1500.0) == pytest.approx(0.25e-3)
    np.testing.assert_allclose(PACK.clamp(np.array([0.0, 1e-4, 2.5e-4, 1e-3]), 1500.0), [1500.0, 900.0, 0.0, 0.0])


def test_measured_pack():
    assert MEASURED.squash(1000.0) == pytest.approx(1.5e-4)  # half way up the second piece
    np.testing.assert_allclose(
        MEASURED.clamp(np.array([0.0, 0.5e-4, 1e-4, 1.5e-4, 1e-3]), 1000.0), [1000.0, 500.0, 250.0, 0.0, 0.0], atol=1e-9
    )


def test_measured_pack_goes_on_beyond_its_last_point():
    """A kilonewton per 0.1 mm on the last piece; stronger springs than at the measurement still balance the pack."""
    assert MEASURED.squash(2000.0) == pytest.approx(2.5e-4)
    assert MEASURED.clamp(0.0, 2000.0) == pytest.approx(2000.0)
    assert MEASURED.clamp(1e-4, 2000.0) == pytest.approx(1000.0)


def test_release_needs_squash_gaps_and_flatness():
    """0.25 + 14 x 0.05 + 0.1 mm."""
    assert PACK.release_lift(1500.0) == pytest.approx(1.05e-3)


def test_oil_drag_of_a_full_disc_by_hand():
    """Radius 100 mm, 0.1 Pa s, 10 rad/s, gap 1 mm: pi 0.1 x 10 x 1e-4/(2e-3) = 0.05 pi."""
    torque = oil_drag_torque(faces=1, viscosity=0.1, slip_speed=10.0, outer=0.2, inner=0.0, gap=1e-3)
    assert torque == pytest.approx(0.05 * pi)


def test_oil_drag_of_a_thin_ring_is_shear_times_area_times_radius():
    torque = oil_drag_torque(faces=2, viscosity=0.1, slip_speed=10.0, outer=0.2002, inner=0.1998, gap=1e-3)
    area, shear = pi * 0.2 * 0.0002, 0.1 * 10.0 * 0.1 / 1e-3
    assert torque == pytest.approx(2 * area * shear * 0.1, rel=1e-5)


def test_gap_at_each_face_by_hand():
    """Beyond 0.25 + 0.1 mm of squash and flatness the lift is shared by 14 faces: 0.7 mm gives 0.05 mm each."""
    np.testing.assert_allclose(PACK.gap(np.array([0.2e-3, 0.35e-3, 1.05e-3]), 1500.0), [0.0, 0.0, 5e-5], atol=1e-12)
