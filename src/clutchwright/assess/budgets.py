"""Where the force goes and where the travel goes. Both budgets add up exactly: each row is a difference of totals."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from clutchwright.assess.figures import release_point
from clutchwright.bike import Bike
from clutchwright.chain import Point
from clutchwright.physics import PULL
from clutchwright.physics.cable import Hydraulic
from clutchwright.quantity import Number


@dataclass(frozen=True, slots=True)
class Place:
    """One place in the chain at the release point, from the springs to the finger.

    Its value is that of the place before x ``ratio`` x ``friction`` + ``added``.

    Parameters
    ----------
    key : str
        Name of the place, one of ``PLACE_LABELS``.
    value : float
        Force [N], or moment [N m] at the shaft.
    unit : str
        ``N`` or ``N m``.
    ratio : float
        What is left of one newton of the place before, friction left out [-], [m] at the shaft, [1/m] at the arm.
    friction : float
        What friction makes of one newton on the way to it [-].
    added : float
        What drag adds, or an assist spring takes off, in ``unit``.
    """

    key: str
    value: float
    unit: str
    ratio: float
    friction: float = 1.0
    added: float = 0.0


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
    "seal_friction": "Friction of the two seals",
    "drag": "Drag of seals and boots",
    "pivot_friction": "Friction in the lever pivot",
}
TRAVEL_LABELS = {
    "free_play": "Free play",
    "stretch": "Stretch of the cable",
    "swelling": "Swelling of the hose",
    "pack": "Squash of the pack",
    "gaps": "Gaps between the faces",
    "spare": "To spare",
}
PLACE_LABELS = {
    "springs": "Springs on the plate",
    "bearing": "Release bearing",
    "shaft": "Arm shaft",
    "arm_end": "Cable at the arm",
    "slave": "Slave cylinder",
    "lever_end": "Cable at the lever",
    "master": "Master cylinder",
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
        In the order of the chain; a hydraulic line has its cylinders in place of the cable's ends. Own derivation,
        moments and virtual work at each stage.
    """
    point = release_point(bike, PULL)
    plate = point.spring_load - point.clamp
    arm = bike.arm.moment_arm(point.arm_angle)
    assist, oil = _assist_moment(bike, point), isinstance(bike.line, Hydraulic)
    rows = (
        ("springs", plate, "N", 1.0, 1.0, 0.0),
        ("bearing", point.bearing_force, "N", 1.0 / bike.springs.bearing_ratio, 1.0, 0.0),
        ("shaft", _moment(bike, point), "N m", bike.lift.slope(point.arm_angle), 1.0 + bike.lift.friction(PULL), 0.0),
        ("slave" if oil else "arm_end", np.maximum(point.tension, 0.0), "N", 1.0 / arm, 1.0, assist / arm),
        (
            "master" if oil else "lever_end",
            point.lever_tension,
            "N",
            1.0 / bike.line.ratio,
            bike.line.bend_gain(PULL),
            bike.line.drag,
        ),
        (
            "finger",
            point.force,
            "N",
            1.0 / bike.lever.ratio(point.travel),
            1.0 + bike.lever.pivot_friction,
            -bike.lever.help(point.travel),
        ),
    )
    return tuple(Place(key, float(value), unit, *map(float, way)) for key, value, unit, *way in rows)


def _moment(bike: Bike, point: Point) -> Number:
    """Moment that the lift asks of the shaft, friction included [N m]."""
    return point.bearing_force * bike.lift.slope(point.arm_angle) * (1.0 + bike.lift.friction(PULL))


def _assist_moment(bike: Bike, point: Point) -> Number:
    """What an assist spring adds to that moment; below 0 it helps, by all of it at most: a cable cannot push [N m]."""
    if bike.arm.assist is None:
        return 0.0
    return -np.minimum(bike.arm.assist.moment(point.arm_angle), _moment(bike, point))


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
    at_arm_helped = _assist_moment(bike, point) * ratio
    at_arm = ideal + lift_friction + at_arm_helped
    line = at_arm * (bike.line.bend_gain(PULL) - 1.0)
    drag = bike.line.drag / bike.lever.ratio(point.travel)
    pivot = (at_arm + line + drag) * bike.lever.pivot_friction
    rows = {
        "ideal": ideal,
        "lift_friction": lift_friction,
        "assist": at_arm_helped - bike.lever.help(point.travel),
        "seal_friction" if isinstance(bike.line, Hydraulic) else "bend_friction": line,
        "drag": drag,
        "pivot_friction": pivot,
    }
    return tuple(Item(key, float(value)) for key, value in rows.items())


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
    rows = {
        "free_play": free,
        "swelling" if isinstance(bike.line, Hydraulic) else "stretch": released - released_rigid,
        "pack": bite_end - free,
        "gaps": released_rigid - bite_end,
        "spare": float(lever.full_travel) - released,
    }
    return tuple(Item(key, value) for key, value in rows.items())
