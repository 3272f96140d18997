"""Figures of the simple bike against hand arithmetic; the sums stand in the tests."""

from __future__ import annotations

from dataclasses import replace
from math import asin, cos, pi

import numpy as np
import pytest

from clutchwright.assess.figures import FIGURES, measure
from clutchwright.assess.wear import free_play_lift, unadjusted_clamp, wear_until_slip
from clutchwright.chain import respond
from clutchwright.physics.cable import Cable
from clutchwright.physics.pack import Pack
from tests.unit.assess.simple_bike import simple_bike


def figures_of(**parts):
    bike = simple_bike(**parts)
    return measure(bike, respond(bike))


def test_every_figure_is_there_once_and_in_order():
    assert list(figures_of()) == [figure.key for figure in FIGURES]
    assert len({figure.key for figure in FIGURES}) == len(FIGURES)


def test_full_lift_follows_from_the_geometry():
    # 36 mm of finger past the free play draw 9 mm of cable; the arm turns asin(9/40); the rack lifts 5 mm per radian
    assert figures_of()["lift_full_mm"] == pytest.approx(5.0 * asin(9.0 / 40.0), rel=1e-12)


def test_pull_at_release_is_the_spring_load_over_the_ratios():
    # 0.7 mm of lift: 800 + 80 * 0.7 = 856 N on the rack; 5 mm pinion, arm 40 mm at an angle of 0.7/5 rad past square
    tension = 856.0 * 5.0 / (40.0 * cos(0.7 / 5.0))
    assert figures_of()["pull_at_release_N"] == pytest.approx(tension / 4.0, rel=1e-12)


def test_without_friction_return_equals_pull_and_hold_equals_the_last_pull():
    found = figures_of()
    assert found["return_at_release_N"] == pytest.approx(found["pull_at_release_N"], rel=1e-12)
    assert found["hold_N"] == pytest.approx(found["pull_peak_N"], rel=1e-12)


def test_release_margins():
    found = figures_of()
    assert found["lift_needed_mm"] == pytest.approx(0.2 + 10 * 0.05)
    assert found["release_margin_mm"] == pytest.approx(found["lift_full_mm"] - 0.7)
    # 0.7 mm of lift turn the arm by 0.14 rad, moving the cable 40 sin(0.14) mm, the finger four times that
    travel = 4.0 + 4.0 * 40.0 * np.sin(0.14)
    assert found["release_margin_finger_mm"] == pytest.approx(40.0 - travel)


def test_floor_is_the_lift_work_over_the_travel():
    # plate work to 0.7 mm: 800 N * 0.7 mm + 80 N/mm * 0.7^2/2 mm2 - 800 N * 0.2 mm/2 (what the pack gives) = 499.6 N mm
    assert figures_of()["floor_N"] == pytest.approx(499.6 / 36.0, rel=1e-9)


def test_floor_grows_with_the_bends():
    line = Cable(bend=2.0, friction=0.1, drag=3.0, compliance=2e-6)
    assert figures_of(line=line)["floor_N"] == pytest.approx(499.6 / 36.0 * np.exp(0.2), rel=1e-9)


def test_slip_margins():
    # 10 faces * 0.12 * 50 mm * 800 N = 48 N m against 16 * 2.5 = 40 N m; at 1 mm of wear 720 N, hot 0.9 of it
    found = figures_of()
    assert found["slip_margin_new"] == pytest.approx(48.0 / 40.0)
    assert found["slip_margin_worn"] == pytest.approx(43.2 / 40.0)
    assert found["slip_margin_hot"] == pytest.approx(0.9 * 43.2 / 40.0)
    assert found["regrip_margin"] == pytest.approx(0.9 * 36.0 / 40.0)


def test_bite_points():
    # 48 N m at 0 lift, falling in a straight line to 0 at 0.2 mm: 40 N m at 0.2 * 8/48 mm, 2 N m at 0.2 * 46/48 mm
    def travel(lift):
        return 4.0 + 4.0 * 40.0 * np.sin(lift / 5.0)

    found = figures_of()
    assert found["bite_start_mm"] == pytest.approx(travel(0.2))
    assert found["bite_full_mm"] == pytest.approx(travel(0.2 * 8.0 / 48.0))
    assert found["bite_creep_mm"] == pytest.approx(travel(0.2 * 46.0 / 48.0))


def test_a_torque_never_carried_has_no_bite_point():
    bike = simple_bike()
    assert np.isnan(figures_of(drive=replace(bike.drive, engine_torque=25.0))["bite_full_mm"])


def test_wear_the_free_play_lasts():
    # 4 mm of free play draw 1 mm of cable, an eighth of it at the plate
    assert free_play_lift(simple_bike()) == pytest.approx(0.125e-3)


def test_leverage_makes_the_free_play_last_shorter_in_the_same_ratio():
    bike = simple_bike()
    longer = replace(bike, arm=replace(bike.arm, length=0.050))
    assert free_play_lift(longer) / free_play_lift(bike) == pytest.approx(40.0 / 50.0)


def test_unadjusted_clamp_before_and_after_the_free_play_is_gone():
    bike = simple_bike()
    assert unadjusted_clamp(bike, 0.1e-3) == pytest.approx(800.0 - 80.0 * 0.1)
    # 0.025 mm past the free play the plate is held off by as much: a pack of 4000 N/mm gives up 100 N
    assert unadjusted_clamp(bike, 0.15e-3) == pytest.approx(800.0 - 80.0 * 0.15 - 4000.0 * 0.025)


def test_a_stretchy_cable_gives_some_of_it_back():
    bike = simple_bike(line=Cable(2.0, 0.0, 0.0, 64e-6))
    # seen at the plate 64e-6/64 m/N per N = 1e-6 m/N; rod stiffness (788/0.197 + 0) N/mm = 4000 N/mm; give 4
    clamp = 788.0 - 4000.0 * 0.025 / 5.0
    assert unadjusted_clamp(bike, 0.15e-3) == pytest.approx(clamp, rel=1e-3)


def test_a_pull_design_opens_the_free_play():
    bike = simple_bike()
    opens = replace(bike, pack=replace(bike.pack, wear_closes_free_play=False))
    assert unadjusted_clamp(opens, 0.9e-3) == pytest.approx(800.0 - 72.0)


def test_wear_until_slip():
    # carried: 0.06 m * clamp >= 40 N m, so clamp >= 666.7 N = 800 - 80 w - 4000 (w - 0.125), w in mm
    assert wear_until_slip(simple_bike())[0] == pytest.approx((800 + 500 - 40 / 0.06) / 4080 * 1e-3)


def test_a_clutch_that_carries_until_the_wear_limit():
    bike = simple_bike()
    opens = replace(
        bike, pack=replace(bike.pack, wear_closes_free_play=False), drive=replace(bike.drive, engine_torque=15.0)
    )
    assert wear_until_slip(opens)[0] == pytest.approx(bike.pack.wear_limit)


def test_heat_of_a_start_and_of_a_drop():
    found = figures_of()
    inertia = 200.0 * (2.0 / (2 * pi) / 6.0) ** 2
    start = 0.5 * inertia * 100.0**2
    area = 10 * pi * (120.0**2 - 80.0**2) / 4
    assert found["start_energy_J"] == pytest.approx(start)
    assert found["start_energy_J_per_mm2"] == pytest.approx(start / area)
    assert found["start_power_W_per_mm2"] == pytest.approx(40.0 * 100.0 / area)
    assert found["start_warming_K"] == pytest.approx(start / (0.5 * 460.0))
    engine = 0.02 * 2.5**2
    assert found["drop_energy_J"] == pytest.approx(0.5 * engine * inertia / (engine + inertia) * 200.0**2)
    assert found["drop_torque_Nm"] == pytest.approx(48.0)


def test_a_soft_driveline_keeps_the_drop_below_the_fuse():
    bike = simple_bike()
    found = figures_of(drive=replace(bike.drive, driveline_stiffness=0.25))
    engine, machine = 0.02 * 2.5**2, 200.0 * (2.0 / (2 * pi) / 6.0) ** 2
    assert found["drop_torque_Nm"] == pytest.approx(200.0 * np.sqrt(0.25 * engine * machine / (engine + machine)))


def test_oil_drag_cold_over_hot_is_the_ratio_of_viscosities():
    found = figures_of()
    assert found["drag_cold_Nm"] / found["drag_hot_Nm"] == pytest.approx(0.2 / 0.01)


def test_free_play_as_long_as_the_stroke_lifts_nothing():
    bike = simple_bike()
    found = figures_of(lever=replace(bike.lever, free_play=0.040))
    assert found["lift_full_mm"] == 0.0
    assert found["release_margin_mm"] == pytest.approx(-0.7)
    assert found["release_margin_finger_mm"] < 0.0


def test_a_measured_pack_curve_that_is_a_straight_line_changes_nothing():
    bike = simple_bike()
    pack: Pack = replace(bike.pack, curve=((0.0, 0.0), (0.3e-3, 1200.0)))
    plain, curved = figures_of(), figures_of(pack=pack)
    for key in plain:
        assert curved[key] == pytest.approx(plain[key], rel=1e-9), key
