"""Means that are one kind of change: a longer arm alone, a shorter cable radius alone, fingers further out alone."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from clutchwright.bike import Bike
from clutchwright.changes import CHANGES, find
from clutchwright.changes.change import nearest
from clutchwright.errors import InputError
from clutchwright.quantity import Number
from clutchwright.study.means import MEANS, Means, most_geared_at_all, most_geared_with_comfort

USUAL_SHIFT, MOST_SHIFT = 0.040, 0.080  # of a perch whose blade was not measured [m]; own judgement


def longer_arm(bike: Bike, amount: Number) -> Bike:
    """Bike whose release arm is 1/(1 - amount) times as long."""
    return replace(bike, arm=replace(bike.arm, length=bike.arm.length / (1.0 - amount)))


def shorter_radius(bike: Bike, amount: Number) -> Bike:
    """Bike with a lever whose cable end is 1 - amount times as far from the pivot."""
    return find("cable-radius").apply(bike, {"radius": bike.lever.cable_end.radius * (1.0 - amount)})


def further_out(bike: Bike, amount: Number) -> Bike:
    """Bike whose fingers pull 1/(1 - amount) times as far from the pivot, on the same lever."""
    return find("perch-shift").apply(bike, {"shift": bike.lever.finger_radius * amount / (1.0 - amount)})


def _shifted(bike: Bike, most: float) -> Bike:
    lever = bike.lever
    room = most if lever.blade_length is None else np.minimum(lever.blade_length - lever.finger_radius, most)
    return find("perch-shift").apply(bike, {"shift": np.maximum(room, 0.0)})


def _further_out_as_usual(bike: Bike) -> Bike:
    return _shifted(bike, USUAL_SHIFT)


def _furthest_out(bike: Bike) -> Bike:
    return _shifted(bike, MOST_SHIFT)


ONE_KIND: dict[str, Means] = {
    means.key: means
    for means in (
        Means(
            "arm-length",
            "a longer release arm alone",
            ("arm-length",),
            lambda bike: most_geared_with_comfort(bike, longer_arm),
            lambda bike: most_geared_at_all(bike, longer_arm),
            longer_arm,
            "leverage",
        ),
        Means(
            "cable-radius",
            "a lever with a shorter cable radius alone",
            ("cable-radius",),
            lambda bike: most_geared_with_comfort(bike, shorter_radius),
            lambda bike: most_geared_at_all(bike, shorter_radius),
            shorter_radius,
            "leverage",
        ),
        Means(
            "perch-shift",
            "fingers further out on the same lever alone",
            ("perch-shift",),
            _further_out_as_usual,
            _furthest_out,
            further_out,
            "perch",
        ),
    )
}
_SINGLE = tuple(means for means in MEANS.values() if means.key != "anything")
_OF_KIND = {kind: means for means in _SINGLE for kind in means.kinds}


def find_means(by: str) -> Means:
    """Means by its key, or by a kind of change.

    Parameters
    ----------
    by : str
        Key of ``MEANS``, or a kind of change that makes the lever lighter.

    Returns
    -------
    Means
        That kind alone; the means that it is a case of where it reaches as far by itself.

    Raises
    ------
    InputError
        For any other.
    """
    found = MEANS.get(by) or ONE_KIND.get(by) or _OF_KIND.get(by)
    if found is not None:
        return found
    if by in CHANGES:
        raise InputError("--by", by, "takes nothing off the pull by itself; choose a change that does")
    raise InputError("--by", by, nearest(by, dict.fromkeys([*MEANS, *ONE_KIND, *_OF_KIND])))


def ways_to_say() -> dict[str, str]:
    """Titles of all means by their keys, everything together first."""
    together = MEANS["anything"]
    return {together.key: together.title} | {means.key: means.title for means in (*MEANS.values(), *ONE_KIND.values())}
