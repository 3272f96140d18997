"""From a bike as measured, in the units of the file, to a `Bike` in SI, nominal or sampled."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from clutchwright.bike import Bike
from clutchwright.bikefile.measured import MeasuredBike
from clutchwright.errors import InputError
from clutchwright.physics.arm import Arm
from clutchwright.physics.cable import Cable
from clutchwright.physics.clearance import Clearance
from clutchwright.physics.demand import Drive
from clutchwright.physics.diaphragm import Diaphragm
from clutchwright.physics.heat import HeatLimits
from clutchwright.physics.lever import CableEnd, CamEnd, FarCable, Lever, NearCable
from clutchwright.physics.lift import Cam, Lift, LiftTable, Rack, Ramp, Screw
from clutchwright.physics.pack import Oil, Pack
from clutchwright.physics.springs import CoilSet, CoilSpring, Wire
from clutchwright.quantity import Number, si_factor

# What counts where neither the file nor a draw says it [unit of the key]: a job that turns out as expected.
_UNSAID: Mapping[str, float] = {"cable.service_share": 1.0}


@dataclass(frozen=True, slots=True)
class SiValues:
    """Values by key, handed out in SI; a key always gives the same number, so that equal springs share theirs."""

    measured: MeasuredBike
    replaced: Mapping[str, Number] = field(default_factory=dict)
    _converted: dict[str, Number] = field(default_factory=dict)

    def __call__(self, key: str) -> Number:
        """Value of a key that every such bike has."""
        if key not in self._converted:
            filed = _UNSAID[key] if key in _UNSAID and key not in self else self.measured.quantities[key].value
            given = self.replaced.get(key, filed)
            self._converted[key] = given * si_factor(key)
        return self._converted[key]

    def __contains__(self, key: str) -> bool:
        return key in self.measured.quantities

    def known(self, key: str) -> Number | None:
        """Value of a key; None where the bike has none."""
        return self(key) if key in self else None

    def own(self, name: str, place: int) -> str:
        """Key of a spring's own value, or of the whole set's where it has none."""
        key = f"springs.each.{place}.{name}"
        return key if key in self else f"springs.{name}"

    def word(self, key: str) -> str:
        """Word of a key."""
        return str(self.measured.choices[key])

    def curve(self, key: str, first_unit: str, second_unit: str) -> tuple[tuple[float, float], ...]:
        """Pairs of a key, in two units; empty where there are none."""
        first, second = si_factor(first_unit), si_factor(second_unit)
        return tuple((x * first, y * second) for x, y in self.measured.curves.get(key, ()))


def assemble(measured: MeasuredBike, values: Mapping[str, Number] | None = None) -> Bike:
    """Bike in SI.

    Parameters
    ----------
    measured : MeasuredBike
        As read from a bike file.
    values : mapping of str to Number | None
        Other values for some keys, in the units of the keys; arrays of shape (samples, 1) for many bikes at once.

    Returns
    -------
    Bike
        Nominal where no value is replaced.

    Raises
    ------
    InputError
        For a key that this bike does not have.
    """
    replaced = values or {}
    for key in replaced.keys() - measured.quantities.keys() - _UNSAID.keys():
        raise InputError(key, None, f"no such quantity in {measured.name!r}; it has {', '.join(measured.quantities)}")
    value = SiValues(measured, replaced)
    springs = springs_of(value)
    return Bike(
        lever=lever_of(value),
        line=Cable(
            bend=value("cable.bend_deg"),
            friction=value("cable.friction"),
            drag=value("cable.drag_N"),
            compliance=value("cable.compliance_mm_per_N"),
            service_share=value("cable.service_share"),
        ),
        arm=arm_of(value),
        lift=lift_of(value),
        springs=springs,
        pack=pack_of(value, springs),
        oil=Oil(
            cold_viscosity=value("oil.cold_viscosity_mPas"),
            hot_viscosity=value("oil.hot_viscosity_mPas"),
            idle_speed=value("oil.idle_rpm"),
        ),
        drive=_drive(value),
        heat=HeatLimits(
            steel_mass=value("heat.steel_mass_kg"),
            energy_limit=value("heat.energy_limit_J_per_mm2"),
            power_limit=value("heat.power_limit_W_per_mm2"),
        ),
        clearance=_clearance(value),
    )


def lever_of(value: SiValues) -> Lever:
    """The lever alone."""
    lever = Lever(
        cable_end=_CABLE_ENDS[value.word("lever.cable_end")](value),
        finger_radius=value("lever.finger_radius_mm"),
        rest_span=value("lever.rest_span_mm"),
        stop_span=value("lever.stop_span_mm"),
        free_play=value("lever.free_play_mm"),
        pivot_friction=value("lever.pivot_friction"),
        blade_length=value.known("lever.blade_length_mm"),
        level_angle=value.known("lever.level_angle_deg"),
    )
    if "arm.play_deg" not in value:
        return lever
    return replace(lever, free_play=lever.travel(lever.free_draw + arm_slack(value)))


def arm_slack(value: SiValues) -> Number:
    """Cable drawn at the arm [m] while it turns on its shaft through its play: a small turn times the moment arm.

    Own derivation. It is counted as free play of the lever, since nothing else moves meanwhile.
    """
    return value("arm.play_deg") * arm_of(value).moment_arm(0.0)


def arm_of(value: SiValues) -> Arm:
    """The arm alone."""
    return Arm(length=value("arm.length_mm"), cable_angle=value("arm.cable_angle_deg"))


def lift_of(value: SiValues) -> Lift:
    """The lift alone."""
    return _LIFTS[value.word("lift.kind")](value)


def springs_of(value: SiValues) -> CoilSet | Diaphragm:
    """The springs alone."""
    return _SPRINGS[value.word("springs.kind")](value)


_CABLE_ENDS: dict[str, Callable[[SiValues], CableEnd]] = {
    "far": lambda value: FarCable(radius=value("lever.cable_radius_mm"), angle=value("lever.cable_angle_deg")),
    "near": lambda value: NearCable(
        radius=value("lever.cable_radius_mm"),
        angle=value("lever.cable_angle_deg"),
        distance=value("lever.adjuster_distance_mm"),
    ),
    "cam": lambda value: CamEnd(radius=value("lever.cable_radius_mm")),
}


def _lift_table(value: SiValues) -> LiftTable:
    rotations, travels = zip(*value.curve("lift.points", "_deg", "_mm"), strict=True)
    return LiftTable(rotations=rotations, travels=travels, kappa=value("lift.friction"))


_LIFTS: dict[str, Callable[[SiValues], Lift]] = {
    "rack": lambda value: Rack(pinion_radius=value("lift.pinion_radius_mm"), kappa=value("lift.friction")),
    "screw": lambda value: Screw(
        lead=value("lift.lead_mm"),
        thread_diameter=value("lift.thread_diameter_mm"),
        thread_friction=value("lift.thread_friction"),
        flank_angle=value("lift.flank_deg"),
    ),
    "ramp": lambda value: Ramp(
        ramp_radius=value("lift.ramp_radius_mm"),
        ramp_angle=value("lift.ramp_angle_deg"),
        rolling_friction=value("lift.rolling_friction"),
    ),
    "cam": lambda value: Cam(
        eccentricity=value("lift.eccentricity_mm"),
        start_angle=value("lift.start_angle_deg"),
        kappa=value("lift.friction"),
    ),
    "table": _lift_table,
}


def _coil_set(value: SiValues) -> CoilSet:
    choices = value.measured.choices
    count = int(choices["springs.count"])
    wire = _wire(value)
    places = [place for place in range(1, count + 1) if choices.get(f"springs.each.{place}.fitted", True)]
    springs = [_coil_spring(value, place, wire) for place in places]
    return CoilSet(tuple(springs), count, value("springs.circle_radius_mm"), wire, value.known("springs.mass_g"))


def _coil_spring(value: SiValues, place: int, wire: Wire | None) -> CoilSpring:
    """The spring in a place, counted from 1: its own values, or the set's, or those of the wire."""
    rate, solid = value.own("rate_N_per_mm", place), "springs.solid_length_mm"
    return CoilSpring(
        rate=value(rate) if wire is None or rate in value else wire.rate,
        free_length=value(value.own("free_length_mm", place)),
        installed_length=value("springs.installed_length_mm"),
        solid_length=value.known(solid) if wire is None or solid in value else wire.solid_length,
        position=place - 1,
    )


def _wire(value: SiValues) -> Wire | None:
    if "springs.wire_mm" not in value:
        return None
    return Wire(
        diameter=value("springs.wire_mm"),
        outer_diameter=value("springs.outer_mm"),
        total_turns=value("springs.total_turns"),
        ends=value.word("springs.ends"),
        material=value.word("springs.material"),
    )


def _diaphragm(value: SiValues) -> Diaphragm:
    return Diaphragm(
        outer=value("springs.outer_mm"),
        inner=value("springs.inner_mm"),
        thickness=value("springs.thickness_mm"),
        cone_height=value("springs.cone_height_mm"),
        deflection=value("springs.deflection_mm"),
        plate_radius=value("springs.plate_radius_mm"),
        pivot_radius=value("springs.pivot_radius_mm"),
        tip_radius=value("springs.tip_radius_mm"),
        modulus=value("springs.modulus_GPa"),
    )


_SPRINGS: dict[str, Callable[[SiValues], CoilSet | Diaphragm]] = {"coil": _coil_set, "diaphragm": _diaphragm}


def pack_of(value: SiValues, springs: CoilSet | Diaphragm) -> Pack:
    """The pack alone; its stiffness is the engaged clamp of its springs as filed, pack new, over its compression."""
    curve = value.curve("pack.curve", "_mm", "_N")
    return Pack(
        faces=int(value.measured.choices["pack.faces"]),
        outer=value("pack.outer_mm"),
        inner=value("pack.inner_mm"),
        friction_static=value("pack.friction_static"),
        friction_sliding=value("pack.friction_sliding"),
        hot_factor=value("pack.hot_factor"),
        stiffness=springs.load_engaged(0.0) / (curve[-1][0] if curve else value("pack.compression_mm")),
        curve=curve,
        face_gap=value("pack.face_gap_mm"),
        flatness=value("pack.flatness_mm"),
        wear_limit=value("pack.wear_limit_mm"),
        wear=value("pack.wear_mm"),
        wear_closes_free_play=bool(value.measured.choices["pack.wear_closes_free_play"]),
        assist=value("pack.assist"),
        friction_radius=value.word("pack.friction_radius"),
    )


def _drive(value: SiValues) -> Drive:
    return Drive(
        engine_torque=value("drive.engine_torque_Nm"),
        primary_ratio=value("drive.primary_ratio"),
        primary_efficiency=value("drive.primary_efficiency"),
        start_speed=value("drive.start_rpm"),
        drop_speed=value("drive.drop_rpm"),
        engine_inertia=value("drive.engine_inertia_kgm2"),
        first_gear_ratio=value("drive.first_gear_ratio"),
        final_ratio=value("drive.final_ratio"),
        wheel_circumference=value("drive.wheel_circumference_mm"),
        mass=value("drive.mass_kg"),
        driveline_stiffness=value.known("drive.driveline_stiffness_Nm_per_rad"),
        creep_torque=value("drive.creep_torque_Nm"),
        top_speed=value.known("drive.top_rpm"),
        clutch_mass=value.known("drive.clutch_mass_kg"),
    )


def _clearance(value: SiValues) -> Clearance:
    choices, known = value.measured.choices, value.known
    wire = _wire(value)
    inner = known("springs.inner_mm") if choices["springs.kind"] == "coil" else None
    if inner is None and wire is not None:
        inner = wire.inner_diameter
    return Clearance(
        bolt_to_cover=known("clearance.bolt_to_cover_mm"),
        plate_moves=value.word("clearance.plate_moves"),
        thread_engagement=known("clearance.thread_engagement_mm"),
        bolt_diameter=known("clearance.bolt_diameter_mm"),
        boss=str(choices["clearance.boss"]) if "clearance.boss" in choices else None,
        spring_inner=inner,
        arm_room=known("clearance.arm_room_mm"),
        arm_past_square=value("clearance.arm_past_square_deg"),
    )
