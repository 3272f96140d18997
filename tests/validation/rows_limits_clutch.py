"""Springs, pack and what lies behind: limit cases and energy, whatever any book says."""

import math
from dataclasses import replace

import numpy as np
from scipy.integrate import quad

from clutchwright.physics.demand import Drive, clutch_torque, equivalent_inertia
from clutchwright.physics.diaphragm import (
    Diaphragm,
    disc_load,
    disc_shape_factor,
    disc_shape_factor_almen_laszlo,
    disc_stress,
    reference_stress,
)
from clutchwright.physics.heat import face_area
from clutchwright.physics.pack import Pack, mean_radius_uniform_pressure, oil_drag_torque
from clutchwright.physics.plate_tilt import Plane, tilt_per_lift
from clutchwright.physics.springs import CoilSet, CoilSpring, Wire, bergstraesser_factor, wahl_factor
from tests.validation.rows import identity
from tests.validation.units import GPA, MM

SPRING = CoilSpring(20e3, 42.0 * MM, 33.0 * MM, None, 0, 0.5 * MM)
WEAKER = CoilSpring(10e3, 40.0 * MM, 33.0 * MM, None, 1)
COILS = CoilSet((SPRING, WEAKER), 2, 0.04)
WOUND = Wire(2.0, 17.0, 8.0, "squared ground", "music")

SPRING_ROWS = [
    identity("springs.Wire.mean_diameter", "outside 17 mm, wire 2 mm [mm]", "15.0", lambda: WOUND.mean_diameter),
    identity("springs.Wire.inner_diameter", "the same [mm]", "13.0", lambda: WOUND.inner_diameter),
    identity("springs.Wire.active_turns", "8 turns, squared and ground [-]", "6.0", lambda: WOUND.active_turns),
    identity(
        "springs.Wire.least_gap_sum",
        "6 turns of 2 mm, D 15 mm: 6 (0.16875 + 0.2) [mm]",
        "2.2125",
        lambda: WOUND.least_gap_sum,
    ),
    identity(
        "springs.bergstraesser_factor",
        "straight bar, D/d without end [-]",
        "1.0000",
        lambda: bergstraesser_factor(1e6),
        tag="straight",
    ),
    identity(
        "springs.wahl_factor", "straight bar, D/d without end [-]", "1.0000", lambda: wahl_factor(1e6), tag="straight"
    ),
    identity(
        "springs.CoilSpring.preload_travel",
        "42 - 33 - 0.5 mm washer - 1 mm wear [mm]",
        "7.5000",
        lambda: SPRING.preload_travel(1.0 * MM) / MM,
    ),
    identity(
        "springs.CoilSpring.load", "20 N/mm over 7.5 + 2 mm [N]", "190.000", lambda: SPRING.load(2.0 * MM, 1.0 * MM)
    ),
    identity(
        "springs.CoilSet.load", "190 N and 10 N/mm over 6 + 2 mm [N]", "270.000", lambda: COILS.load(2.0 * MM, 1.0 * MM)
    ),
    identity(
        "springs.CoilSet.load_engaged", "the same without lift [N]", "210.000", lambda: COILS.load_engaged(1.0 * MM)
    ),
    identity("springs.CoilSet.stiffness", "20 and 10 N/mm [N/mm]", "30.000", lambda: COILS.stiffness * MM),
    identity("springs.CoilSet.loosest", "preloads 7.5 and 6 mm [mm]", "6.0000", lambda: COILS.loosest(1.0 * MM) / MM),
]


EDGES = Diaphragm(0.12, 0.09, 1.8 * MM, 2.4 * MM, 2.0 * MM, 0.06, 0.045, 0.025, 206.0 * GPA)
INSIDE = replace(EDGES, plate_radius=0.0585, pivot_radius=0.0465)
FLAT = {"outer": 0.12, "inner": 0.09, "thickness": 2.0 * MM, "modulus": 206.0 * GPA}


def at_the_edges(deflection):
    return disc_load(deflection, outer=0.12, inner=0.09, thickness=1.8 * MM, cone_height=2.4 * MM, modulus=206.0 * GPA)


def energy(load, start, end):
    return quad(load, start, end)[0]


def ring_energy():
    """Energy to move the rings, over that to move the edges as far as the cone turns with them."""
    rings = energy(lambda lift: INSIDE.load(lift, INSIDE.deflection), 0.0, 1.2 * MM)
    return rings / energy(at_the_edges, 0.0, 1.2 * MM * 30.0 / 24.0)


def load_over_stress():
    """A flat disc, hardly bent: load over stress is pi t²/3."""
    slight = 1e-6 * MM
    load = disc_load(slight, cone_height=0.0, **FLAT)
    return -load / disc_stress(slight, **FLAT) / (math.pi * FLAT["thickness"] ** 2 / 3.0)


def mirrored():
    """The load is odd about flat but for the load at flat itself: F(h + a) + F(h - a) = 2 F(h)."""
    flat = at_the_edges(2.4 * MM)
    return (at_the_edges(3.1 * MM) + at_the_edges(1.7 * MM)) / (2.0 * flat)


DISC_ROWS = [
    identity(
        "diaphragm.disc_shape_factor",
        "thin ring, De/Di 1.01: over Almen and Laszlo's M [-]",
        "1.00000",
        lambda: disc_shape_factor(1.01) / disc_shape_factor_almen_laszlo(1.01),
        tag="thin ring",
    ),
    identity(
        "diaphragm.disc_shape_factor_almen_laszlo",
        "thin ring, De/Di 1.001: M over 6 (De/Di - 1)/pi [-]",
        "1.00",
        lambda: disc_shape_factor_almen_laszlo(1.001) / (6.0 * 0.001 / math.pi),
    ),
    identity(
        "diaphragm.disc_load",
        "as far above flat as below: mean load over the load at flat [-]",
        "1.00000",
        mirrored,
        tag="mirror",
    ),
    identity("diaphragm.disc_stress", "flat disc: load over stress, over pi t²/3 [-]", "1.00000", load_over_stress),
    identity(
        "diaphragm.Diaphragm.load",
        "rings at the edges: over the disc's load [-]",
        "1.00000",
        lambda: EDGES.load(0.5 * MM, 0.1 * MM) / at_the_edges(2.4 * MM),
    ),
    identity(
        "diaphragm.Diaphragm.load",
        "rings inside: energy over the disc's for the same turn of the cone [-]",
        "1.000000",
        ring_energy,
        tag="energy",
    ),
    identity(
        "diaphragm.Diaphragm.load_engaged",
        "over the load without lift [-]",
        "1.00000",
        lambda: INSIDE.load_engaged(0.1 * MM) / INSIDE.load(0.0, 0.1 * MM),
    ),
    identity(
        "diaphragm.Diaphragm.loosest", "2 mm squeezed, 0.5 mm worn [mm]", "1.5000", lambda: EDGES.loosest(0.5 * MM) / MM
    ),
    identity("diaphragm.Diaphragm.bearing_ratio", "radii 60, 45, 25 mm [-]", "1.33333", lambda: EDGES.bearing_ratio),
    identity(
        "diaphragm.reference_stress",
        "rings at the edges: over the disc's [-]",
        "1.00000",
        lambda: (
            reference_stress(EDGES, 1.0 * MM)
            / disc_stress(1.0 * MM, outer=0.12, inner=0.09, thickness=1.8 * MM, modulus=206.0 * GPA)
        ),
    ),
]


PACK = Pack(2.0, 200.0 * MM, 100.0 * MM, 0.15, 0.1, 0.9, 5e6, (), 0.05 * MM, 0.1 * MM, 1.0 * MM, assist=0.2)
CURVED = replace(PACK, curve=((0.0, 0.0), (0.1 * MM, 200.0), (0.3 * MM, 1000.0)))
DRIVE = Drive(50.0, 2.0, 0.98, 200.0, 300.0, 0.01, 2.5, 4.0, math.pi, 300.0, None, 2.0)


def kinetic_energy_ratio():
    """Energy of the turning equivalent over that of the machine at 10 m/s."""
    clutch_speed = 10.0 / 1.9 * 2.0 * math.pi * 8.0
    inertia = equivalent_inertia(mass=300.0, wheel_circumference=1.9, overall_ratio=8.0)
    return inertia * clutch_speed**2 / (300.0 * 10.0**2)


def thin_drag():
    outer, inner, gap = 0.1001, 0.0999, 1e-4
    area = math.pi * (outer**2 - inner**2) / 4.0
    torque = oil_drag_torque(faces=1.0, viscosity=0.1, slip_speed=100.0, outer=outer, inner=inner, gap=gap)
    return torque / (area * 0.1 * 100.0 * 0.05 / gap * 0.05)


def crossed():
    places = 0.04 * np.array([[1.0, 0.0, -1.0, 0.0], [0.0, 1.0, 0.0, -1.0]])
    return float(tilt_per_lift(np.array([11e3, 10e3, 9e3, 10e3]), x=places[0], y=places[1]))


BEHIND_ROWS = [
    identity("pack.Pack.mean_radius", "200/100 mm, run in [mm]", "75.0000", lambda: PACK.mean_radius / MM),
    identity(
        "pack.Pack.mean_radius",
        "the same, new: 700/9 mm [mm]",
        "77.7778",
        lambda: replace(PACK, friction_radius="pressure").mean_radius / MM,
        tag="new",
    ),
    identity(
        "pack.Pack.capacity",
        "1 kN, assist 0.2, 2 faces, friction 0.15, 75 mm [N m]",
        "27.0000",
        lambda: PACK.capacity(1e3, 0.15),
    ),
    identity(
        "pack.mean_radius_uniform_pressure",
        "thin ring of 100 mm [mm]",
        "50.000",
        lambda: mean_radius_uniform_pressure(100.001, 99.999),
        tag="thin ring",
    ),
    identity(
        "pack.oil_drag_torque",
        "thin ring: area x speed x viscosity/gap x radius [-]",
        "1.000",
        thin_drag,
        tag="thin ring",
    ),
    identity("pack.Pack.squash", "1 kN on 5 kN/mm [mm]", "0.20000", lambda: PACK.squash(1e3) / MM),
    identity(
        "pack.Pack.squash", "600 N on a measured curve [mm]", "0.20000", lambda: CURVED.squash(600.0) / MM, tag="curve"
    ),
    identity("pack.Pack.clamp", "no lift [N]", "1000.000", lambda: PACK.clamp(0.0, 1e3)),
    identity(
        "pack.Pack.clamp",
        "lifted by the whole squash and more [N]",
        "0.0000",
        lambda: PACK.clamp(0.25 * MM, 1e3),
        tag="free",
    ),
    identity(
        "pack.Pack.clamp",
        "measured curve, from 0.3 mm back to 0.1 mm [N]",
        "200.000",
        lambda: CURVED.clamp(0.2 * MM, 1e3),
        tag="curve",
    ),
    identity(
        "pack.Pack.release_lift",
        "0.2 mm squash, 2 gaps of 0.05 mm, flatness 0.1 mm [mm]",
        "0.40000",
        lambda: PACK.release_lift(1e3) / MM,
    ),
    identity(
        "pack.Pack.gap",
        "0.5 mm lift, 0.2 mm squash, flatness 0.1 mm, 2 gaps [mm]",
        "0.10000",
        lambda: PACK.gap(0.5 * MM, 1e3) / MM,
    ),
    identity("plate_tilt.Plane.tilt", "slopes 0.3 and 0.4 [-]", "0.50000", lambda: Plane(1.0, 0.3, 0.4).tilt),
    identity(
        "plate_tilt.tilt_per_lift",
        "4 springs on 40 mm, one pair 10 % harder and softer: 0.1/0.04 [1/m]",
        "2.5000",
        crossed,
    ),
    identity(
        "demand.clutch_torque",
        "50 N m, ratio 2, 98 % [N m]",
        "98.000",
        lambda: clutch_torque(engine_torque=50.0, primary_ratio=2.0, primary_efficiency=0.98),
    ),
    identity(
        "demand.equivalent_inertia",
        "energy of the turning equivalent over the machine's [-]",
        "1.00000",
        kinetic_energy_ratio,
        why="equal kinetic energy",
    ),
    identity("demand.Drive.torque", "50 N m, ratio 2, 98 % [N m]", "98.000", lambda: DRIVE.torque),
    identity(
        "demand.Drive.driver_inertia", "0.01 kg m² behind a ratio of 2 [kg m²]", "0.04000", lambda: DRIVE.driver_inertia
    ),
    identity(
        "demand.Drive.driven_inertia", "300 kg, radius 0.5 m, ratio 10 [kg m²]", "0.7500", lambda: DRIVE.driven_inertia
    ),
    identity(
        "heat.face_area", "2 whole discs of 2 m [m²]", "6.2832", lambda: face_area(faces=2.0, outer=2.0, inner=0.0)
    ),
]

ROWS = [*SPRING_ROWS, *DISC_ROWS, *BEHIND_ROWS]
