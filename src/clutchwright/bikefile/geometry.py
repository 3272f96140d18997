"""Values that fit their ranges, but not each other: impossible geometry, refused with the numbers that forbid it."""

from __future__ import annotations

import math

from clutchwright.bike import Bike
from clutchwright.bikefile.assembling import assemble
from clutchwright.bikefile.measured import MeasuredBike
from clutchwright.errors import InputError, Refusal
from clutchwright.physics.lift import require_back_drive

# The first must be below the second, for the reason given.
_RISING = (
    ("lever.stop_span_mm", "lever.rest_span_mm", "the lever closes the span as it is pulled"),
    ("lever.finger_radius_mm", "lever.blade_length_mm", "the fingers pull on the blade"),
    ("springs.solid_length_mm", "springs.installed_length_mm", "the coils would touch before the clutch is lifted"),
    ("springs.installed_length_mm", "springs.free_length_mm", "the springs would be loose"),
    ("springs.inner_mm", "springs.outer_mm", "a ring is smaller inside than outside"),
    ("springs.tip_radius_mm", "springs.pivot_radius_mm", "the fingers point inwards from the ring it rocks on"),
    ("springs.pivot_radius_mm", "springs.plate_radius_mm", "the plate is pressed outside the ring it rocks on"),
    ("pack.inner_mm", "pack.outer_mm", "a ring is smaller inside than outside"),
)


def check_geometry(measured: MeasuredBike) -> None:
    """Refuse a bike that cannot be built.

    Parameters
    ----------
    measured : MeasuredBike
        Each value in its own range.

    Raises
    ------
    InputError
        With one of the values that do not fit each other; the source is left open.
    """
    for smaller, larger, reason in _RISING:
        _require_below(measured, smaller, larger, reason)
    _check_springs(measured)
    bike = assemble(measured)
    if not bike.engaged_clamp > 0.0:
        allowed = f"would press with {bike.engaged_clamp:.0f} N, clutch engaged; above 0 N needed, measure them again"
        raise InputError("springs", measured.choices["springs.kind"], allowed)
    _check_lever(measured, bike)
    _check_lift(measured, bike)


def _value(measured: MeasuredBike, key: str) -> float | None:
    return measured.quantities[key].value if key in measured.quantities else None


def _require_below(measured: MeasuredBike, smaller: str, larger: str, reason: str, factor: float = 1.0) -> None:
    """Refuse unless one value is below another times a factor; a value that is not given is not compared."""
    first, second = _value(measured, smaller), _value(measured, larger)
    if first is not None and second is not None and not first < second * factor:
        limit = f"{larger} = {second:g}" if factor == 1.0 else f"{larger} x {factor:g} = {second * factor:g}"
        raise InputError(smaller, first, f"must be below {limit}: {reason}; measure both again")


def _check_springs(measured: MeasuredBike) -> None:
    if measured.choices["springs.kind"] == "diaphragm":
        _require_below(measured, "springs.plate_radius_mm", "springs.outer_mm", "the plate presses on the ring", 0.5)
        _require_below(measured, "springs.tip_radius_mm", "springs.inner_mm", "the fingers reach inside the ring", 0.5)
        pivot, inner = (measured.quantities[f"springs.{name}_mm"].value for name in ("pivot_radius", "inner"))
        if pivot < 0.5 * inner:
            limit = f"springs.inner_mm / 2 = {inner / 2:g}"
            allowed = f"must be at least {limit}: it rocks on the closed ring; measure both again"
            raise InputError("springs.pivot_radius_mm", pivot, allowed)
        return
    for key in measured.quantities:
        if key.startswith("springs.each.") and key.endswith(".free_length_mm"):
            _require_below(measured, "springs.installed_length_mm", key, "the spring would be loose")


def _check_lever(measured: MeasuredBike, bike: Bike) -> None:
    lever = bike.lever
    if not lever.free_play < lever.full_travel:
        allowed = f"must be below the lever's full travel, {lever.full_travel * 1e3:g} mm: the arm would never turn"
        raise InputError("lever.free_play_mm", _value(measured, "lever.free_play_mm"), allowed)
    turn = lever.full_travel / lever.finger_radius
    if not lever.cable_end.moment_arm(turn) > 0.0:
        allowed = (
            f"the lever would pass its dead point before it stops, as it turns by {math.degrees(turn):.0f}°; "
            "give a smaller angle, or measure the spans again"
        )
        raise InputError("lever.cable_angle_deg", _value(measured, "lever.cable_angle_deg"), allowed)


def _check_lift(measured: MeasuredBike, bike: Bike) -> None:
    try:
        require_back_drive(bike.lift)
    except Refusal as refusal:
        key = "lift.thread_friction" if measured.choices["lift.kind"] == "screw" else "lift.rolling_friction"
        raise InputError(key, _value(measured, key), str(refusal).removeprefix("lift: ")) from None
    bearing = bike.springs.bearing_ratio
    parting = bike.lift.rotation(bike.pack.squash(bike.engaged_clamp) * bearing)
    if math.isnan(parting):
        most = bike.lift.travel(bike.lift.dead_rotation) / bearing * 1e3
        allowed = f"lifts the plate by {most:.2g} mm at most, less than the pack's squash; measure both again"
        raise InputError("lift", measured.choices["lift.kind"], allowed)
    needed = bike.lift.rotation(bike.pack.release_lift(bike.engaged_clamp) * bearing)
    dead = math.degrees(bike.arm.dead_rotation)
    if not math.isnan(needed) and math.degrees(needed) >= dead:
        allowed = (
            f"the arm would pass its dead point at {dead:.0f}° of turn, and needs {math.degrees(needed):.0f}° to "
            "release; give a smaller angle, or check the lift"
        )
        raise InputError("arm.cable_angle_deg", _value(measured, "arm.cable_angle_deg"), allowed)
