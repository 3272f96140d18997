"""What each kind of reading would show on a bike: one forward model for each, from the stages' own formulas.

A bike may stand for many: then a model gives a row for each of them, and a column for each reading.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from clutchwright.assess.figures import bite_travel
from clutchwright.bike import Bike
from clutchwright.bikefile import MeasuredBike, assemble
from clutchwright.chain import Response, at_angle, respond
from clutchwright.changes import Step, apply
from clutchwright.errors import InputError
from clutchwright.physics import PULL, RETURN
from clutchwright.physics.lever import finger_force_from_hook
from clutchwright.physics.springs import CoilSet
from clutchwright.quantity import Array, Number, si_factor

# The lever is given this share of travel beyond the farthest place read, so that the return is one from further in.
_BEYOND = 1.1
_LEAST_STROKE = 1e-3


@dataclass(frozen=True)
class Situation:
    """A bike, nominal or many, as the bench sees it.

    Parameters
    ----------
    measured : MeasuredBike
        As filed.
    values : mapping of str to Number
        Other values for some keys [unit of the key].
    bike : Bike
        Assembled from both, with the changes made.
    farthest : float
        Greatest finger travel at which something was read [m].
    """

    measured: MeasuredBike
    values: Mapping[str, Number]
    bike: Bike
    farthest: float

    def value(self, key: str) -> Number:
        """Value of a key of the bike file [SI]; raises `InputError` where this bike has none."""
        if key not in self.measured.quantities:
            allowed = "not known of this bike, and a reading needs it; put it into the bike file"
            raise InputError(key, None, allowed, self.measured.name)
        given = self.values[key] if key in self.values else self.measured.quantities[key].value
        return given * si_factor(key)

    @cached_property
    def stroke(self) -> Response:
        """Response with as much travel as the readings ask for, wherever the lever's stop may be."""
        travel = max(_BEYOND * self.farthest, _LEAST_STROKE)
        lever = replace(self.bike.lever, stop_span=self.bike.lever.rest_span - travel)
        return respond(replace(self.bike, lever=lever))


def situation(
    measured: MeasuredBike, values: Mapping[str, Number], steps: Sequence[Step], farthest: float
) -> Situation:
    """A bike as the bench sees it.

    Parameters
    ----------
    measured : MeasuredBike
        As filed.
    values : mapping of str to Number
        Other values for some keys [unit of the key], of shape (samples, 1) for many bikes.
    steps : sequence of Step
        Changes made before the readings were taken.
    farthest : float
        Greatest finger travel at which something was read [m].

    Returns
    -------
    Situation
        See there.
    """
    return Situation(measured, values, apply(assemble(measured, values), steps), farthest)


Model = Callable[[Situation, Array, int], Number]


def along(places: Array, values: Array, at: Array) -> Array:
    """Values of curves at places, row by row.

    Parameters
    ----------
    places, values : Array
        Curves, shape (positions,) or (samples, positions), places rising.
    at : Array
        Where [unit of places], shape (samples or 1, readings).

    Returns
    -------
    Array
        Shape (samples, readings); beyond the ends of a curve its end.
    """
    places, values = np.atleast_2d(places), np.atleast_2d(values)
    size = max(len(places), len(values), len(at))
    at, places, values = (np.broadcast_to(part, (size, part.shape[-1])) for part in (at, places, values))
    known = np.all(np.isfinite(places), axis=-1, keepdims=True)
    line = np.where(known, places, np.linspace(0.0, 1.0, places.shape[-1]))
    # one long curve, row after row: numpy interpolates along one curve at a time only
    first, last = line[:, :1], line[:, -1:]
    offset = 2.0 * np.max(last - first) * np.arange(size)[:, np.newaxis] - first
    inside = np.clip(at, first, last) + offset
    found = np.interp(inside.ravel(), (line + offset).ravel(), values.ravel()).reshape(at.shape)
    return np.where(known, found, np.nan)


def _pull(now: Situation, at: Array, _spring: int) -> Array:
    return along(now.stroke.travel, now.stroke.pull, at)


def _return(now: Situation, at: Array, _spring: int) -> Array:
    return along(now.stroke.return_travel, now.stroke.returning, at)


def _hooked(finger: Model) -> Model:
    """What the scale shows at the hook for a force at the finger point: the inverse of `finger_force_from_hook`."""

    def model(now: Situation, at: Array, spring: int) -> Number:
        per_hook = finger_force_from_hook(
            1.0, hook_radius=now.value("lever.hook_radius_mm"), finger_radius=now.bike.lever.finger_radius
        )
        return finger(now, at, spring) / per_hook

    return model


def _drawn(now: Situation, at: Array, _spring: int) -> Number:
    return now.bike.lever.cable_end.drawn(at / now.bike.lever.finger_radius)


def _lift(now: Situation, at: Array, _spring: int) -> Array:
    return along(now.stroke.travel, now.stroke.lift, at)


def _arm_turn(now: Situation, at: Array, spring: int) -> Number:
    return now.bike.lift.rotation(_lift(now, at, spring) * now.bike.springs.bearing_ratio)


def _arm_travel(now: Situation, at: Array, spring: int) -> Number:
    """Cable drawn at the arm: its shaft's turn, and before it the play of the arm on the shaft where there is any."""
    turned = now.bike.arm.movement(_arm_turn(now, at, spring))
    if "arm.play_deg" not in now.measured.quantities:
        return turned
    cable_slack = replace(now.bike.lever, free_play=now.value("lever.free_play_mm")).free_draw
    drawn = (_drawn(now, at, spring) - cable_slack) / now.bike.line.ratio
    return turned + np.clip(drawn, 0.0, now.value("arm.play_deg") * now.bike.arm.moment_arm(0.0))


def _lift_by_arm(now: Situation, at: Array, _spring: int) -> Number:
    return now.bike.lift.travel(at) / now.bike.springs.bearing_ratio


def _at_arm(direction: float) -> Model:
    def model(now: Situation, at: Array, _spring: int) -> Number:
        return np.maximum(at_angle(now.bike, at, direction).tension, 0.0)

    return model


def _bearing(now: Situation, at: Array, _spring: int) -> Number:
    bike = now.bike
    load = bike.springs.load(at, bike.pack.wear) - bike.pack.clamp(at, bike.engaged_clamp)
    return load / bike.springs.bearing_ratio


def _spring(now: Situation, place: int) -> tuple[Number, Number]:
    """Rate [N/m] and free length [m] of a spring, or of all where none is named and all are alike."""
    springs = now.bike.springs
    if not isinstance(springs, CoilSet):
        raise InputError("spring", place or None, "this bike has a diaphragm spring", now.measured.name)
    found = [each for each in springs.springs if place in (0, each.position + 1)]
    if not found:
        raise InputError(
            "spring", place, f"no spring is fitted there; there are {springs.bosses} places", now.measured.name
        )
    if not place and any(key.startswith("springs.each.") for key in now.measured.quantities):
        raise InputError("spring", None, "the springs of this bike differ; say which one was read", now.measured.name)
    return found[0].rate, found[0].free_length


def _spring_load(now: Situation, at: Array, place: int) -> Number:
    rate, free_length = _spring(now, place)
    return rate * (free_length - at)


def _spring_free(now: Situation, _at: Array, place: int) -> Number:
    return _spring(now, place)[1]


def _cable(direction: float) -> Model:
    def model(now: Situation, at: Array, _spring: int) -> Number:
        return now.bike.line.lever_tension(at, direction)

    return model


def _stretch(now: Situation, at: Array, _spring: int) -> Number:
    line = now.bike.line
    arm_tension = np.maximum(at - line.drag, 0.0) * line.ratio / line.bend_gain(PULL)
    return line.drawn(0.0, arm_tension, PULL)


def _hub_slip(now: Situation, _at: Array, _spring: int) -> Number:
    pack = now.bike.pack
    return pack.capacity(now.bike.engaged_clamp, pack.friction_static)


def _crank_slip(now: Situation, at: Array, spring: int) -> Number:
    drive = now.bike.drive
    return _hub_slip(now, at, spring) / (drive.primary_ratio * drive.primary_efficiency)


def _bite_start(now: Situation, _at: Array, _spring: int) -> Number:
    return bite_travel(now.bike, 0.0) * 1e-3


def _bite_creep(now: Situation, _at: Array, _spring: int) -> Number:
    return bite_travel(now.bike, now.bike.drive.creep_torque) * 1e-3


def _stack(now: Situation, _at: Array, _spring: int) -> Number:
    return now.value("pack.stack_mm") - now.bike.pack.wear


# By name and position, as in `KINDS`. Each takes the situation, the places [SI] of shape (samples or 1, readings) and
# the spring's place, and gives what would be read [SI].
FORWARD: dict[tuple[str, str], Model] = {
    ("pull", "travel"): _pull,
    ("return", "travel"): _return,
    ("hook_pull", "travel"): _hooked(_pull),
    ("hook_return", "travel"): _hooked(_return),
    ("drawn", "travel"): _drawn,
    ("arm_travel", "travel"): _arm_travel,
    ("arm_turn", "travel"): _arm_turn,
    ("lift", "travel"): _lift,
    ("lift", "arm_turn"): _lift_by_arm,
    ("arm_pull", "arm_turn"): _at_arm(PULL),
    ("arm_return", "arm_turn"): _at_arm(RETURN),
    ("bearing", "lift"): _bearing,
    ("spring_load", "length"): _spring_load,
    ("cable_pull", "weight"): _cable(PULL),
    ("cable_return", "weight"): _cable(RETURN),
    ("stretch", "tension"): _stretch,
    ("spring_free", ""): _spring_free,
    ("hub_slip", ""): _hub_slip,
    ("crank_slip", ""): _crank_slip,
    ("bite_start", ""): _bite_start,
    ("bite_creep", ""): _bite_creep,
    ("stack", ""): _stack,
}


def predicted(now: Situation, name: str, position: str, at: Array, spring: int) -> Array:
    """What would be read.

    Parameters
    ----------
    now : Situation
        The bike.
    name, position : str
        Kind of reading, or a key of the bike file with no position.
    at : Array
        Places [SI], shape (samples or 1, readings).
    spring : int
        Which spring; 0 for any [-].

    Returns
    -------
    Array
        Readings [SI], shape (samples or 1, readings).
    """
    found = now.value(name) if "." in name else FORWARD[name, position](now, at, spring)
    return np.asarray(found, dtype=np.float64) + np.zeros((1, at.shape[-1]))
