"""Values that fit their ranges, but not each other: impossible geometry, refused with the numbers that forbid it."""

from __future__ import annotations

import math

from clutchwright.bikefile.assembling import SiValues, arm_of, lever_of, lift_of, pack_of, springs_of
from clutchwright.bikefile.measured import MeasuredBike
from clutchwright.errors import InputError, Refusal
from clutchwright.physics.lift import require_back_drive

# The first must be below the second, for the reason given.
_RISING = (
    ("lever.stop_span_mm", "lever.rest_span_mm", "the lever closes the span as it is pulled"),
    ("lever.finger_radius_mm", "lever.blade_length_mm", "the fingers pull on the blade"),
    ("springs.solid_length_mm", "springs.installed_length_mm", "the coils would touch before the clutch is lifted"),
    ("springs.installed_length_mm", "springs.free_length_mm", "the springs would be loose"),
    ("lever.cable_radius_mm", "lever.finger_radius_mm", "the fingers pull farther out than the cable"),
    ("drive.start_rpm", "drive.top_rpm", "a start is slower than the highest speed"),
    ("oil.idle_rpm", "drive.start_rpm", "a start is faster than idling"),
    ("oil.hot_viscosity_mPas", "oil.cold_viscosity_mPas", "oil is thinner hot"),
    ("heat.steel_mass_kg", "drive.clutch_mass_kg", "the plates are part of the clutch"),
    ("springs.inner_mm", "springs.outer_mm", "a ring is smaller inside than outside"),
    ("springs.tip_radius_mm", "springs.pivot_radius_mm", "the fingers point inwards from the ring it rocks on"),
    ("springs.pivot_radius_mm", "springs.plate_radius_mm", "the plate is pressed outside the ring it rocks on"),
    ("pack.inner_mm", "pack.outer_mm", "a ring is smaller inside than outside"),
)

# What decides on each, by kind; any of it may be the wrong value.
_TURN = ("lever.rest_span_mm", "lever.stop_span_mm", "lever.finger_radius_mm")
_PRELOAD = {
    "coil": ("springs.free_length_mm", "springs.installed_length_mm"),
    "diaphragm": ("springs.cone_height_mm", "springs.deflection_mm"),
}
_LIFTING = {
    "rack": ("lift.pinion_radius_mm",),
    "screw": ("lift.lead_mm",),
    "ramp": ("lift.ramp_radius_mm", "lift.ramp_angle_deg"),
    "cam": ("lift.eccentricity_mm", "lift.start_angle_deg"),
    "table": ("lift.points",),
}
_BACK_DRIVE = {
    "screw": ("lift.lead_mm", "lift.thread_diameter_mm", "lift.flank_deg"),
    "ramp": ("lift.ramp_angle_deg",),
}


def check_geometry(measured: MeasuredBike) -> None:
    """Refuse a bike that cannot be built.

    Parameters
    ----------
    measured : MeasuredBike
        Each value in its own range; of some sections only, then what hangs on the others is left unchecked.

    Raises
    ------
    InputError
        With the values that do not fit each other; the source is left open.
    """
    for smaller, larger, reason in _RISING:
        _require_below(measured, smaller, larger, reason)
    known = {key.partition(".")[0] for key in (*measured.quantities, *measured.choices)}
    for needed, check in _RULES:
        if known.issuperset(needed):
            check(measured)


def _value(measured: MeasuredBike, key: str) -> float | None:
    return measured.quantities[key].value if key in measured.quantities else None


def _require_below(measured: MeasuredBike, smaller: str, larger: str, reason: str, factor: float = 1.0) -> None:
    """Refuse unless one value is below another times a factor; a value that is not given is not compared."""
    first, second = _value(measured, smaller), _value(measured, larger)
    if first is not None and second is not None and not first < second * factor:
        limit = f"{larger} = {second:g}" if factor == 1.0 else f"{larger} x {factor:g} = {second * factor:g}"
        message = f"must be below {limit}: {reason}; measure both again"
        raise InputError(smaller, first, message, others=(larger,))


def _check_springs(measured: MeasuredBike) -> None:
    if measured.choices["springs.kind"] == "diaphragm":
        _require_below(measured, "springs.plate_radius_mm", "springs.outer_mm", "the plate presses on the ring", 0.5)
        _require_below(measured, "springs.tip_radius_mm", "springs.inner_mm", "the fingers reach inside the ring", 0.5)
        pivot, inner = (measured.quantities[f"springs.{name}_mm"].value for name in ("pivot_radius", "inner"))
        if pivot < 0.5 * inner:
            limit = f"springs.inner_mm / 2 = {inner / 2:g}"
            allowed = f"must be at least {limit}: it rocks on the closed ring; measure both again"
            raise InputError("springs.pivot_radius_mm", pivot, allowed, others=("springs.inner_mm",))
        return
    for key in measured.quantities:
        if key.startswith("springs.each.") and key.endswith(".free_length_mm"):
            _require_below(measured, "springs.installed_length_mm", key, "the spring would be loose")


def _check_clamp(measured: MeasuredBike) -> None:
    kind, value = str(measured.choices["springs.kind"]), SiValues(measured)
    clamp = springs_of(value).load_engaged(value("pack.wear_mm"))
    if not clamp > 0.0:
        allowed = f"would press with {clamp:.0f} N, clutch engaged; above 0 N needed, measure them again"
        raise InputError("springs", kind, allowed, others=(*_PRELOAD[kind], "pack.wear_mm"))


def _check_lever(measured: MeasuredBike) -> None:
    lever = lever_of(SiValues(measured))
    # a micrometre, so that 3 mm of 35 less 32 mm is not less for the sake of a rounding
    if not lever.free_play < lever.full_travel - 1e-6:
        allowed = f"must be below the lever's full travel, {lever.full_travel * 1e3:g} mm: the arm would never turn"
        raise InputError("lever.free_play_mm", _value(measured, "lever.free_play_mm"), allowed, others=_TURN[:2])
    turn = lever.full_travel / lever.finger_radius
    if not lever.cable_end.moment_arm(turn) > 0.0:
        allowed = (
            f"the lever would pass its dead point before it stops, as it turns by {math.degrees(turn):.0f}°; "
            "give a smaller angle, or measure the spans again"
        )
        raise InputError("lever.cable_angle_deg", _value(measured, "lever.cable_angle_deg"), allowed, others=_TURN)


def _check_back_drive(measured: MeasuredBike) -> None:
    try:
        require_back_drive(lift_of(SiValues(measured)))
    except Refusal as refusal:
        kind = str(measured.choices["lift.kind"])
        key = "lift.thread_friction" if kind == "screw" else "lift.rolling_friction"
        allowed = str(refusal).removeprefix("lift: ")
        raise InputError(key, _value(measured, key), allowed, others=_BACK_DRIVE[kind]) from None


def _check_release(measured: MeasuredBike) -> None:
    value, kind = SiValues(measured), str(measured.choices["lift.kind"])
    arm, lift, springs = arm_of(value), lift_of(value), springs_of(value)
    pack = pack_of(value, springs)
    clamp, bearing = springs.load_engaged(pack.wear), springs.bearing_ratio
    if math.isnan(lift.rotation(pack.squash(clamp) * bearing)):
        most = lift.travel(lift.dead_rotation) / bearing * 1e3
        allowed = f"lifts the plate by {most:.2g} mm at most, less than the pack's squash; measure both again"
        raise InputError("lift", kind, allowed, others=(*_LIFTING[kind], "pack.compression_mm"))
    needed = lift.rotation(pack.release_lift(clamp) * bearing)
    dead = math.degrees(arm.dead_rotation)
    if not math.isnan(needed) and math.degrees(needed) >= dead:
        allowed = (
            f"the arm would pass its dead point at {dead:.0f}° of turn, and needs {math.degrees(needed):.0f}° to "
            "release; give a smaller angle, or check the lift"
        )
        key = "arm.cable_angle_deg"
        raise InputError(key, _value(measured, key), allowed, others=(*_LIFTING[kind], "pack.compression_mm"))


# Sections that a rule needs, and the rule.
_RULES = (
    (("springs",), _check_springs),
    (("springs", "pack"), _check_clamp),
    (("lever",), _check_lever),
    (("lift",), _check_back_drive),
    (("arm", "lift", "springs", "pack"), _check_release),
)
