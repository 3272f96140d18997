"""Random valid bikes for Hypothesis, and what the laws do to them.

The ranges are wide around what such machines have, and narrow enough that lever, arm and lift stay clear of their dead
points and that a lift runs back by itself.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from functools import cache
from math import radians
from typing import Any

import numpy as np
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st

from clutchwright.bike import Bike
from clutchwright.physics.arm import Arm
from clutchwright.physics.assist import AssistSpring
from clutchwright.physics.cable import Cable, Hydraulic, Line
from clutchwright.physics.clearance import Clearance
from clutchwright.physics.demand import Drive
from clutchwright.physics.diaphragm import Diaphragm
from clutchwright.physics.heat import HeatLimits
from clutchwright.physics.lever import CableEnd, CamEnd, FarCable, Lever, NearCable
from clutchwright.physics.lift import Cam, Lift, LiftTable, Rack, Ramp, Screw
from clutchwright.physics.pack import Oil, Pack
from clutchwright.physics.springs import CoilSet, CoilSpring

LAW = settings(
    max_examples=500,
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


@cache  # a strategy is costlier to make than to draw from
def between(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


def degrees(low: float, high: float) -> st.SearchStrategy[float]:
    return between(radians(low), radians(high))


CABLE_ENDS: st.SearchStrategy[CableEnd] = st.one_of(
    st.builds(FarCable, between(0.020, 0.028), degrees(60, 100)),
    st.builds(NearCable, between(0.020, 0.028), degrees(70, 110), between(0.03, 0.12)),
    st.builds(CamEnd, between(0.020, 0.028)),
)


@st.composite
def levers(draw: Callable[..., Any]) -> Lever:
    finger_radius = draw(between(0.06, 0.10))
    stop_span = draw(between(0.025, 0.045))
    swing = draw(between(0.4, 0.7))
    return Lever(
        cable_end=draw(CABLE_ENDS),
        finger_radius=finger_radius,
        rest_span=stop_span + swing * finger_radius,
        stop_span=stop_span,
        free_play=draw(between(0.0, 0.005)),
        pivot_friction=draw(between(0.0, 0.05)),
    )


LINES: st.SearchStrategy[Line] = st.one_of(
    st.builds(
        Cable,
        bend=between(0.0, 5.0),
        friction=between(0.0, 0.2),
        drag=between(0.0, 8.0),
        compliance=between(0.0, 8e-6),
        ratio=st.one_of(st.just(1.0), between(1.0, 1.4)),
    ),
    st.builds(Hydraulic, area_ratio=between(1.0, 1.4), seal_loss=between(0.0, 0.06), expansion=between(0.0, 5e-6)),
)

ASSISTS = st.builds(
    AssistSpring,
    rate=between(0.0, 3e3),
    pretension=between(20.0, 60.0),
    hook_radius=between(0.010, 0.020),
    post_radius=between(0.025, 0.040),
    start_angle=degrees(-30, 0),
)


LEVER_ASSISTS = st.builds(
    AssistSpring,
    rate=between(0.0, 2e3),
    pretension=between(5.0, 40.0),
    hook_radius=between(0.006, 0.012),
    post_radius=between(0.020, 0.040),
    start_angle=degrees(-20, 0),
)


@cache
def arms(*, assisted: bool) -> st.SearchStrategy[Arm]:
    assist = st.one_of(st.none(), ASSISTS) if assisted else st.none()
    return st.builds(Arm, length=between(0.030, 0.045), cable_angle=degrees(75, 105), assist=assist)


@st.composite
def lift_tables(draw: Callable[..., Any]) -> LiftTable:
    steps = draw(st.lists(st.tuples(between(0.1, 0.5), between(3.5e-3, 5.5e-3)), min_size=3, max_size=6))
    rotations = np.cumsum([0.0] + [step for step, _ in steps] + [2.0])
    travels = np.cumsum([0.0] + [step * slope for step, slope in steps] + [8e-3])
    return LiftTable(tuple(rotations.tolist()), tuple(travels.tolist()), draw(between(0.0, 0.15)))


SMOOTH_LIFTS: st.SearchStrategy[Lift] = st.one_of(
    st.builds(Rack, between(3e-3, 6e-3), between(0.0, 0.15)),
    st.builds(
        Screw,
        lead=between(0.018, 0.036),
        thread_diameter=between(0.012, 0.020),
        thread_friction=between(0.0, 0.12),
        flank_angle=degrees(0, 30),
    ),
    st.builds(Ramp, between(0.010, 0.020), degrees(12, 22), between(0.0, 0.02)),
    st.builds(Cam, between(4e-3, 7e-3), degrees(-40, 0), between(0.0, 0.15)),
)
LIFTS: st.SearchStrategy[Lift] = st.one_of(SMOOTH_LIFTS, lift_tables())


@st.composite
def coil_sets(draw: Callable[..., Any], *, equal: bool | None = None) -> CoilSet:
    bosses = draw(st.integers(3, 6))
    same = draw(st.booleans()) if equal is None else equal
    kinds = [draw(st.tuples(between(10e3, 35e3), between(0.006, 0.012))) for _ in range(1 if same else bosses)]
    kinds = kinds * bosses if same else kinds
    springs = tuple(
        CoilSpring(rate, 0.030 + preload, 0.030, 0.022, position) for position, (rate, preload) in enumerate(kinds)
    )
    return CoilSet(springs, bosses, 0.042)


@st.composite
def diaphragms(draw: Callable[..., Any]) -> Diaphragm:
    outer = draw(between(0.110, 0.135))
    inner = outer * draw(between(0.74, 0.82))
    thickness = draw(between(1.5e-3, 2.0e-3))
    plate, pivot = outer / 2 - draw(between(0.0, 2e-3)), inner / 2 + draw(between(0.0, 2e-3))
    gain = (outer - inner) / (2 * (plate - pivot))
    cone = thickness * draw(between(0.9, 1.7))
    return Diaphragm(
        outer=outer,
        inner=inner,
        thickness=thickness,
        cone_height=cone,
        deflection=cone / gain * draw(between(0.8, 1.1)),
        plate_radius=plate,
        pivot_radius=pivot,
        tip_radius=draw(between(0.020, 0.030)),
        modulus=206e9,
    )


@st.composite
def packs(draw: Callable[..., Any], engaged_clamp: float, *, wear: float, measured: bool) -> Pack:
    outer = draw(between(0.10, 0.15))
    compression = draw(between(0.15e-3, 0.35e-3))
    curve: tuple[tuple[float, float], ...] = ()
    if measured and draw(st.booleans()):
        bow = draw(between(1.0, 2.0))
        shares = np.linspace(0.0, 1.0, draw(st.integers(3, 6)))
        top = engaged_clamp * draw(between(0.9, 1.2))
        curve = tuple((float(share * compression), float(top * share**bow)) for share in shares)
    return Pack(
        faces=draw(st.integers(4, 9)) * 2,
        outer=outer,
        inner=outer * draw(between(0.70, 0.85)),
        friction_static=draw(between(0.10, 0.16)),
        friction_sliding=draw(between(0.08, 0.10)),
        hot_factor=draw(between(0.7, 1.0)),
        stiffness=engaged_clamp / compression,
        curve=curve,
        face_gap=draw(between(0.02e-3, 0.1e-3)),
        flatness=draw(between(0.0, 0.1e-3)),
        wear_limit=0.9e-3,
        wear=wear,
    )


OIL = Oil(cold_viscosity=0.2, hot_viscosity=0.01, idle_speed=140.0)
DRIVES = st.builds(
    Drive,
    engine_torque=between(20.0, 70.0),
    primary_ratio=between(1.5, 3.5),
    primary_efficiency=between(0.95, 1.0),
    start_speed=st.just(200.0),
    drop_speed=st.just(400.0),
    engine_inertia=between(0.005, 0.03),
    first_gear_ratio=between(2.0, 3.0),
    final_ratio=between(2.0, 3.5),
    wheel_circumference=between(1.8, 2.1),
    mass=between(180.0, 350.0),
    driveline_stiffness=st.none(),
    creep_torque=between(1.0, 5.0),
)
UNKNOWN_ROOM = Clearance(None, "outward", None, None, None, None, None, 0.3)


@st.composite
def bikes(
    draw: Callable[..., Any],
    *,
    smooth: bool = False,
    springs: st.SearchStrategy[CoilSet | Diaphragm] | None = None,
) -> Bike:
    """A valid bike; a smooth one has no measured table, no measured curve and no assist spring."""
    held = draw(springs if springs is not None else st.one_of(coil_sets(), diaphragms()))
    wear = draw(st.one_of(st.just(0.0), between(0.0, 0.5e-3)))
    return Bike(
        lever=draw(levers()),
        line=draw(LINES),
        arm=draw(arms(assisted=not smooth)),
        lift=draw(SMOOTH_LIFTS if smooth else LIFTS),
        springs=held,
        pack=draw(packs(held.load_engaged(wear), wear=wear, measured=not smooth)),
        oil=OIL,
        drive=draw(DRIVES),
        heat=HeatLimits(steel_mass=0.6, energy_limit=1e6, power_limit=1.5e6),
        clearance=UNKNOWN_ROOM,
    )


FRICTIONS = {
    "lever": ("pivot_friction",),
    "line": ("friction", "drag", "seal_loss"),
    "lift": ("kappa", "thread_friction", "rolling_friction"),
}


def friction_fields(bike: Bike) -> list[tuple[str, str]]:
    """Stage and field of every friction this bike has."""
    return [(stage, name) for stage, names in FRICTIONS.items() for name in names if name in own(getattr(bike, stage))]


def own(stage: object) -> list[str]:
    return [field.name for field in fields(stage)]  # type: ignore[arg-type]


def with_field(bike: Bike, stage: str, name: str, value: object) -> Bike:
    return replace(bike, **{stage: replace(getattr(bike, stage), **{name: value})})


def frictionless(bike: Bike) -> Bike:
    for stage, name in friction_fields(bike):
        bike = with_field(bike, stage, name, 0.0)
    return bike


def rigid(bike: Bike) -> Bike:
    """The same bike with a line that does not stretch."""
    return with_field(bike, "line", "expansion" if isinstance(bike.line, Hydraulic) else "compliance", 0.0)


def stopped_at(bike: Bike, travel: float) -> Bike:
    """The same bike with its lever stopped after some finger travel."""
    return with_field(bike, "lever", "stop_span", bike.lever.rest_span - travel)


def map_floats(value: Any, change: Callable[[float], Any]) -> Any:
    """The same tree of frozen stages with each float field changed; integers, tuples of numbers and names are kept."""
    if is_dataclass(value):
        names = own(value)
        return replace(value, **{name: map_floats(getattr(value, name), change) for name in names})  # type: ignore[type-var]
    if isinstance(value, tuple) and value and is_dataclass(value[0]):
        return tuple(map_floats(item, change) for item in value)
    return change(value) if isinstance(value, float) else value
