"""The invented bike that the drawings show, so that all of them agree with each other.

Six coil springs, rack and pinion, plain cable. No machine was measured for it.
"""

from __future__ import annotations

from math import radians

from clutchwright.bike import Bike
from clutchwright.physics.arm import Arm
from clutchwright.physics.cable import Cable
from clutchwright.physics.clearance import Clearance
from clutchwright.physics.demand import Drive
from clutchwright.physics.diaphragm import Diaphragm
from clutchwright.physics.heat import HeatLimits
from clutchwright.physics.lever import FarCable, Lever
from clutchwright.physics.lift import Rack
from clutchwright.physics.pack import Oil, Pack
from clutchwright.physics.springs import CoilSet, CoilSpring

PER_RPM = radians(6.0)

SPRING_RATE, FREE_LENGTH, INSTALLED_LENGTH, SOLID_LENGTH = 27e3, 41.0e-3, 32.0e-3, 26.0e-3
SPRINGS = CoilSet(
    springs=tuple(
        CoilSpring(SPRING_RATE, FREE_LENGTH, INSTALLED_LENGTH, SOLID_LENGTH, position) for position in range(6)
    ),
    bosses=6,
    circle_radius=42e-3,
)

PACK = Pack(
    faces=14,
    outer=122e-3,
    inner=98e-3,
    friction_static=0.13,
    friction_sliding=0.11,
    hot_factor=0.85,
    stiffness=SPRINGS.load_engaged(0.0) / 0.25e-3,
    curve=(),
    face_gap=0.05e-3,
    flatness=0.1e-3,
    wear_limit=0.9e-3,
)

DRIVE = Drive(
    engine_torque=38.0,
    primary_ratio=2.9,
    primary_efficiency=0.98,
    start_speed=2500 * PER_RPM,
    drop_speed=5000 * PER_RPM,
    engine_inertia=0.008,
    first_gear_ratio=2.6,
    final_ratio=3.2,
    wheel_circumference=1.96,
    mass=220.0,
    driveline_stiffness=None,
    creep_torque=8.0,
)

CABLE_END = FarCable(radius=26e-3, angle=radians(80))
CABLE = Cable(bend=radians(140), friction=0.12, drag=2.0, compliance=4e-6)

BIKE = Bike(
    lever=Lever(
        cable_end=CABLE_END,
        finger_radius=82e-3,
        rest_span=78e-3,
        stop_span=32e-3,
        free_play=3e-3,
        pivot_friction=0.02,
    ),
    line=CABLE,
    arm=Arm(length=32e-3, cable_angle=radians(75)),
    lift=Rack(pinion_radius=4.5e-3, kappa=0.06),
    springs=SPRINGS,
    pack=PACK,
    oil=Oil(cold_viscosity=0.3, hot_viscosity=0.015, idle_speed=1300 * PER_RPM),
    drive=DRIVE,
    heat=HeatLimits(steel_mass=0.9, energy_limit=0.8e6, power_limit=1.5e6),
    clearance=Clearance(
        bolt_to_cover=3.0e-3,
        plate_moves="outward",
        thread_engagement=10e-3,
        bolt_diameter=6e-3,
        boss="aluminium",
        spring_inner=11e-3,
        arm_room=25e-3,
        arm_past_square=radians(20),
    ),
)

# A diaphragm spring of about the same clamp, for the page about it.
DIAPHRAGM = Diaphragm(
    outer=122e-3,
    inner=98e-3,
    thickness=1.37e-3,
    cone_height=2.45e-3,
    deflection=1.6e-3,
    plate_radius=60e-3,
    pivot_radius=50e-3,
    tip_radius=25e-3,
    modulus=206e9,
)
