"""Checks of the geometry that breaks parts, each passed, tight, failed or not checked, with its number."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from clutchwright.assess.gaps import arm_gap, bolt_gap, coil_gap, washer_thickness
from clutchwright.assess.heat import all_faces, heat_of_start, power_of_start
from clutchwright.bike import Bike
from clutchwright.chain import Response, at_angle
from clutchwright.numbers import against, with_unit
from clutchwright.physics import PULL, RETURN
from clutchwright.physics.balance import permissible_unbalance, static_unbalance
from clutchwright.physics.diaphragm import Diaphragm, reference_stress
from clutchwright.physics.lift import LiftTable
from clutchwright.physics.plate_tilt import places, tilt_per_lift
from clutchwright.physics.springs import PERMISSIBLE_SHARE, CoilSet, shear_stress, tensile_strength
from clutchwright.quantity import Array

BALANCE_GRADE = 6.3e-3  # G 6.3 [m/s]

State = Literal["passed", "tight", "failed", "not checked"]


@dataclass(frozen=True, slots=True)
class Check:
    """One check.

    Parameters
    ----------
    key : str
        Short name.
    label : str
        What is checked.
    state : str
        ``passed``, ``tight``, ``failed`` or ``not checked``.
    value : float | None
        The number, in ``unit``; None when not checked.
    limit : float | None
        The number it is held against.
    unit : str
        Unit of both.
    note : str
        Source of the limit, or what to measure so that it can be checked.
    comfort : float | None
        The number beyond which it is tight, above the limit or below it; None when not checked.
    """

    key: str
    label: str
    state: State
    value: float | None
    limit: float | None
    unit: str
    note: str
    comfort: float | None = None

    @property
    def sentence(self) -> str:
        """The check in one line."""
        if self.value is None or self.limit is None or self.comfort is None:
            return f"{self.label}: not checked; {self.note}"
        found, limit = (with_unit(text, self.unit) for text in against(self.value, self.limit))
        comfort = with_unit(against(self.value, self.comfort)[1], self.unit)
        side, only, beyond = ("below", "only ", "unsafe") if self.comfort >= self.limit else ("above", "", "too much")
        if self.state == "failed":
            return f"{self.label}: {only}{found} ({side} {limit} is {beyond})"
        return f"{self.label}: {only}{found} ({side} {comfort} is tight, {side} {limit} {beyond})"


def not_checked(key: str, label: str, missing: str) -> Check:
    """Build a check that lacks a measurement: what is missing is never fine."""
    return Check(key, label, "not checked", None, None, "", f"measure {missing}")


def at_least(key: str, label: str, value: float, *, limit: float, tight: float, unit: str, note: str) -> Check:
    """Build a check that a value [unit] is at least a limit [unit], tight up to another [unit]."""
    state: State = "failed" if not value >= limit else "tight" if value < tight else "passed"
    return Check(key, label, state, value, limit, unit, note, tight)


def at_most(key: str, label: str, value: float, *, limit: float, tight: float, unit: str, note: str) -> Check:
    """Build a check that a value [unit] is at most a limit [unit], tight from another [unit] on."""
    state: State = "failed" if not value <= limit else "tight" if value > tight else "passed"
    return Check(key, label, state, value, limit, unit, note, tight)


@dataclass(frozen=True, slots=True)
class Stroke:
    """The end of the stroke: lift of the plate [m] and arm rotation [rad] with the lever at its stop."""

    full_lift: float
    full_angle: float


def run_checks(bike: Bike, response: Response) -> tuple[Check, ...]:
    """Make all checks that apply.

    Parameters
    ----------
    bike : Bike
        The clutch, nominal.
    response : Response
        What `respond` gave for it.

    Returns
    -------
    tuple of Check
        In a fixed order.
    """
    return checks_at(bike, Stroke(float(response.lift[-1]), float(response.full_angle[0])))


def checks_at(bike: Bike, stroke: Stroke) -> tuple[Check, ...]:
    """Make the same checks where the end of the stroke is known."""
    common = tuple(check(bike, stroke) for check in COMMON_CHECKS)
    if isinstance(bike.springs, CoilSet):
        springs = bike.springs
        return (*common, *(check(bike, springs, stroke) for check in COIL_CHECKS))
    return (*common, _diaphragm_stress(bike, bike.springs, stroke))


def _returns_by_itself(bike: Bike, stroke: Stroke) -> Check:
    worn = bike.worn(bike.pack.wear_limit)
    return at_least(
        "returns",
        "Share of the pull left to bring arm and lever back",
        100.0 * min(_returning_share(each, stroke.full_angle) for each in (bike, worn)),
        limit=5.0,
        tight=20.0,
        unit="%",
        note="own judgement, of the pull without an assist spring, pack as it is and worn: unsafe below 5 %, tight "
        "below 20 %; a new assist spring must leave a fifth of the return there was",
    )


def _returning_share(bike: Bike, full_angle: float) -> float:
    """Least return over pull, at the arm anywhere and at the finger beyond the bite band; NaN for no stroke at all."""
    if not full_angle > 0.0:
        return float("nan")
    band = float(bike.lift.rotation(bike.pack.squash(bike.engaged_clamp) * bike.springs.bearing_ratio))
    angles = full_angle * np.linspace(0.05, 1.0, 40)
    back, pulled = at_angle(bike, angles, RETURN), at_angle(bike.unaided, angles, PULL)
    with np.errstate(divide="ignore", invalid="ignore"):
        # a diaphragm that snaps through turns both tensions round; their ratio must not hide it
        at_arm = np.asarray(back.tension / np.abs(pulled.tension))
        at_finger = np.asarray(back.force / pulled.force)[angles >= min(band, full_angle)]
    return float(np.min(np.concatenate([at_arm, at_finger])))


def _dead_point(bike: Bike, stroke: Stroke) -> Check:
    measured = isinstance(bike.lift, LiftTable)
    left = float(np.degrees(np.minimum(bike.arm.dead_rotation, bike.lift.dead_rotation) - stroke.full_angle))
    return at_least(
        "dead_point",
        "Turn of the arm left at full lever before its dead point or the end of the lift",
        left,
        limit=0.01 if measured else 3.0,
        tight=0.01 if measured else 8.0,
        unit="°",
        note="own judgement: past a dead point the clutch stays out; a measured lift must reach to the lever's stop",
    )


def _wear_left(bike: Bike, stroke: Stroke) -> Check:
    del stroke
    left, limit = float(bike.pack.wear_limit - bike.pack.wear) * 1e3, float(bike.pack.wear_limit) * 1e3
    return at_least(
        "wear",
        "Wear left before the pack's limit",
        left,
        limit=0.0,
        tight=0.1 * limit,
        unit="mm",
        note="workshop manual's limit; tight in its last tenth, own judgement",
    )


def _arm_room(bike: Bike, stroke: Stroke) -> Check:
    label = "Room for the arm's end at full lever"
    room = arm_gap(bike, stroke.full_angle)
    if room is None:
        return not_checked("arm_room", label, "the movement of the arm's end until it touches the case")
    return at_least(
        "arm_room", label, float(room) * 1e3, limit=0.0, tight=2.0, unit="mm", note="common practice, no source"
    )


def _arm_past_square(bike: Bike, stroke: Stroke) -> Check:
    past = np.degrees(bike.arm.cable_angle + stroke.full_angle - np.pi / 2)
    limit = float(np.degrees(bike.clearance.arm_past_square))
    return at_most(
        "arm_square",
        "Cable past square to the arm at full lever",
        float(past),
        limit=limit,
        tight=0.8 * limit,
        unit="°",
        note="common practice, no source: past square the arm loses force again",
    )


def _start_energy(bike: Bike, stroke: Stroke) -> Check:
    del stroke
    found, limit = heat_of_start(bike) / all_faces(bike) * 1e-6, bike.heat.energy_limit * 1e-6
    return _guide("start_energy", "Heat of a start per face area", float(found), float(limit), "J/mm²")


def _start_power(bike: Bike, stroke: Stroke) -> Check:
    del stroke
    found, limit = power_of_start(bike) / all_faces(bike) * 1e-6, bike.heat.power_limit * 1e-6
    return _guide("start_power", "Greatest power of a start per face area", float(found), float(limit), "W/mm²")


def _guide(key: str, label: str, value: float, limit: float, unit: str) -> Check:
    note = "our own guess, unless the bike file says otherwise; no published limit was found"
    return at_most(key, label, value, limit=limit, tight=0.8 * limit, unit=unit, note=note)


def _bolt_room(bike: Bike, springs: CoilSet, stroke: Stroke) -> Check:
    del springs
    label, room = "Spring bolts to cover", bolt_gap(bike, stroke.full_lift)
    if room is None:
        return not_checked("bolt_room", label, "the spring bolt heads to the cover")
    return at_least(
        "bolt_room", label, float(room) * 1e3, limit=1.0, tight=1.5, unit="mm", note="common practice, no source"
    )


def _thread_engagement(bike: Bike, springs: CoilSet, stroke: Stroke) -> Check:
    del springs, stroke
    label, room = "Thread engagement of the spring bolts", bike.clearance
    if room.thread_engagement is None or room.bolt_diameter is None or room.boss is None:
        return not_checked("thread", label, "a spring bolt's thread in its boss, its diameter, the boss's material")
    diameters = float((room.thread_engagement - washer_thickness(bike)) / room.bolt_diameter)
    limit = {"steel": 1.0, "aluminium": 1.5}[room.boss]
    return at_least(
        "thread", label, diameters, limit=limit, tight=limit + 0.2, unit="diameters", note="handbook rule, from memory"
    )


def _coil_bind(bike: Bike, springs: CoilSet, stroke: Stroke) -> Check:
    label = "Gap to coil bind in the tightest spring at full lever"
    gap = coil_gap(bike, stroke.full_lift)
    if gap is None:
        return not_checked("coil_bind", label, "a spring with all coils touching, in a vice")
    return at_least(
        "coil_bind",
        label,
        float(gap) * 1e3,
        limit=0.3,
        tight=0.8 if springs.wire is None else float(springs.wire.least_gap_sum) * 1e3,
        unit="mm",
        note="common practice, no source: coils must not touch; tight below the gaps of EN 13906-1 (from memory)",
    )


def _spring_loose(bike: Bike, stroke: Stroke) -> Check:
    del stroke
    left = float(np.min(bike.springs.loosest(bike.pack.wear_limit))) * 1e3
    return at_least(
        "loose",
        "Preload travel left at the wear limit",
        left,
        limit=0.1,
        tight=1.0,
        unit="mm",
        note="own judgement: a spring must never come loose",
    )


def _spring_stress(bike: Bike, springs: CoilSet, stroke: Stroke) -> Check:
    label = "Shear stress in the spring wire at full lever"
    wire = springs.wire
    if wire is None:
        return not_checked("stress", label, "the wire of a spring, its outside diameter, turns, ends and material")
    load = max(float(spring.load(stroke.full_lift, bike.pack.wear)) for spring in springs.springs)
    stress = shear_stress(load, wire=wire.diameter, mean_diameter=wire.mean_diameter)
    limit = PERMISSIBLE_SHARE * float(tensile_strength(wire.material, wire.diameter)) * 1e-6
    return at_most(
        "stress",
        label,
        float(stress) * 1e-6,
        limit=limit,
        tight=0.9 * limit,
        unit="MPa",
        note="EN 13906-1, 0.56 of the tensile strength (from memory)",
    )


def _tilt(bike: Bike, springs: CoilSet, stroke: Stroke) -> Check:
    label = "Lift lost at the plate's low edge by tilt, at full lever"
    x, y = _places(springs)
    rates = np.array([float(spring.rate) for spring in springs.springs])
    lost = float(tilt_per_lift(rates, x=x, y=y) * stroke.full_lift * bike.pack.outer / 2) * 1e3
    limit = float(bike.pack.faces * bike.pack.face_gap) * 1e3 / 2
    return at_most(
        "tilt", label, lost, limit=limit, tight=limit / 2, unit="mm", note="own judgement: half the gaps of all faces"
    )


def _unbalance(bike: Bike, springs: CoilSet, stroke: Stroke) -> Check:
    del stroke
    label, drive = "Unbalance of the spring pattern", bike.drive
    if springs.mass is None or drive.clutch_mass is None or drive.top_speed is None:
        return not_checked("unbalance", label, "the mass of a spring and of the clutch, and the top speed")
    x, y = _places(springs)
    unbalance = float(static_unbalance(np.full(len(x), float(springs.mass)), x=x, y=y)) * 1e6
    speed = float(drive.top_speed / drive.primary_ratio)
    limit = float(permissible_unbalance(grade=BALANCE_GRADE, mass=drive.clutch_mass, speed=speed)) * 1e6
    return at_most(
        "unbalance",
        label,
        unbalance,
        limit=limit,
        tight=limit / 2,
        unit="g mm",
        note="ISO 21940-11, G 6.3 as for flywheels; no grade is published for clutch baskets",
    )


def _places(springs: CoilSet) -> tuple[Array, Array]:
    positions = [spring.position for spring in springs.springs]
    return places(positions, bosses=springs.bosses, circle_radius=float(springs.circle_radius))


def _diaphragm_stress(bike: Bike, springs: Diaphragm, stroke: Stroke) -> Check:
    deflection = springs.deflection - bike.pack.wear + stroke.full_lift
    stress = reference_stress(springs, deflection)
    return at_most(
        "stress",
        "Reference stress (OM) of the diaphragm at full lever",
        abs(float(stress)) * 1e-6,
        limit=1600.0,
        tight=1400.0,
        unit="MPa",
        note="EN 16983, static use, yield of the usual spring steel (from memory)",
    )


COMMON_CHECKS: tuple[Callable[[Bike, Stroke], Check], ...] = (
    _returns_by_itself,
    _dead_point,
    _wear_left,
    _spring_loose,
    _arm_room,
    _arm_past_square,
    _start_energy,
    _start_power,
)
COIL_CHECKS: tuple[Callable[[Bike, CoilSet, Stroke], Check], ...] = (
    _bolt_room,
    _thread_engagement,
    _coil_bind,
    _spring_stress,
    _tilt,
    _unbalance,
)
