"""Where the force goes and where the travel goes. Both budgets add up exactly: each row is a difference of totals."""

from __future__ import annotations

from dataclasses import dataclass

from clutchwright.assess.figures import release_point
from clutchwright.bike import Bike
from clutchwright.physics import PULL
from clutchwright.quantity import Number


@dataclass(frozen=True, slots=True)
class Place:
    """One place in the chain at the release point, from the springs to the finger.

    Parameters
    ----------
    key : str
        Name of the place.
    value : float
        Force [N], or moment [N m] at the shaft.
    unit : str
        ``N`` or ``N m``.
    ratio : float
        What is left of one newton of the place before, friction left out [-], or [m] at the shaft.
    """

    key: str
    value: float
    unit: str
    ratio: float


@dataclass(frozen=True, slots=True)
class Item:
    """One row of a budget: a key and what it costs at the finger [N or m]."""

    key: str
    value: float


FORCE_LABELS = {
    "ideal": "Springs, through all leverage",
    "lift_friction": "Friction in the lift",
    "assist": "Assist spring",
    "bend_friction": "Friction in the cable's bends",
    "drag": "Drag of seals and boots",
    "pivot_friction": "Friction in the lever pivot",
}
TRAVEL_LABELS = {
    "free_play": "Free play",
    "stretch": "Stretch of the cable",
    "pack": "Pack springing back (bite band)",
    "gaps": "Gaps between the faces",
    "spare": "To spare",
}
PLACE_LABELS = {
    "springs": "Springs on the plate",
    "bearing": "Release bearing",
    "shaft": "Arm shaft",
    "arm_end": "Cable at the arm",
    "lever_end": "Cable at the lever",
    "finger": "Finger point",
}


def force_places(bike: Bike) -> tuple[Place, ...]:
    """Force at each place from the springs to the finger, at the release point on the pull.

    Parameters
    ----------
    bike : Bike
        The clutch, nominal.

    Returns
    -------
    tuple of Place
        In the order of the chain; own derivation, moments and virtual work at each stage.
    """
    point = release_point(bike, PULL)
    plate = point.spring_load - point.clamp
    slope = bike.lift.slope(point.arm_angle)
    moment = point.bearing_force * slope * (1.0 + bike.lift.friction(PULL))
    rows = (
        ("springs", plate, "N", 1.0),
        ("bearing", point.bearing_force, "N", 1.0 / bike.springs.bearing_ratio),
        ("shaft", moment, "N m", slope),
        ("arm_end", point.tension, "N", 1.0 / bike.arm.moment_arm(point.arm_angle)),
        ("lever_end", point.lever_tension, "N", 1.0 / bike.line.ratio),
        ("finger", point.force, "N", 1.0 / bike.lever.ratio(point.travel)),
    )
    return tuple(Place(key, float(value), unit, float(ratio)) for key, value, unit, ratio in rows)


def force_budget(bike: Bike) -> tuple[Item, ...]:
    """What the pull at release is made of.

    Parameters
    ----------
    bike : Bike
        The clutch, nominal.

    Returns
    -------
    tuple of Item
        Newton at the finger, keys of ``FORCE_LABELS``; they add up to the pull at release. Own derivation: the force
        that the ratios alone would ask for, then what each loss adds to it, from the springs outwards.
    """
    point = release_point(bike, PULL)
    ratio = 1.0 / (bike.arm.moment_arm(point.arm_angle) * bike.line.ratio * bike.lever.ratio(point.travel))
    ideal_moment = point.bearing_force * bike.lift.slope(point.arm_angle)
    ideal = ideal_moment * ratio
    lift_friction = ideal * bike.lift.friction(PULL)
    assist = -bike.arm.assist.moment(point.arm_angle) * ratio if bike.arm.assist is not None else 0.0
    at_arm = ideal + lift_friction + assist
    bends = at_arm * (bike.line.bend_gain(PULL) - 1.0)
    drag = bike.line.drag / bike.lever.ratio(point.travel)
    pivot = (at_arm + bends + drag) * bike.lever.pivot_friction
    rows = (ideal, lift_friction, assist, bends, drag, pivot)
    return tuple(Item(key, float(value)) for key, value in zip(FORCE_LABELS, rows, strict=True))


def travel_budget(bike: Bike) -> tuple[Item, ...]:
    """What the finger's travel is spent on.

    Parameters
    ----------
    bike : Bike
        The clutch, nominal.

    Returns
    -------
    tuple of Item
        Metre at the finger, keys of ``TRAVEL_LABELS``; they add up to the full travel. A negative last row is the
        travel that is missing. Own derivation: travel without stretch to the end of the bite band and to release,
        then the stretch at release.
    """
    point = release_point(bike, PULL)
    squash = bike.pack.squash(bike.engaged_clamp)
    lever, ratio = bike.lever, bike.line.ratio

    def rigid_travel(arm_angle: Number) -> float:
        return float(lever.travel(lever.free_draw + bike.arm.movement(arm_angle) * ratio))

    bite_end = rigid_travel(bike.lift.rotation(squash * bike.springs.bearing_ratio))
    released_rigid, released = rigid_travel(point.arm_angle), float(point.travel)
    free = float(lever.free_play)
    rows = (
        free,
        released - released_rigid,
        bite_end - free,
        released_rigid - bite_end,
        float(lever.full_travel) - released,
    )
    return tuple(Item(key, value) for key, value in zip(TRAVEL_LABELS, rows, strict=True))
