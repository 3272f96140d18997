"""Gaps between parts that must not touch, as far as they were measured."""

from __future__ import annotations

import numpy as np

from clutchwright.bike import Bike
from clutchwright.physics.springs import CoilSet
from clutchwright.quantity import Number


def washer_thickness(bike: Bike) -> Number:
    """Thickest washer under any spring bolt [m]; 0 for a diaphragm spring."""
    if not isinstance(bike.springs, CoilSet):
        return 0.0
    thickest: Number = 0.0
    for spring in bike.springs.springs:
        thickest = np.maximum(thickest, spring.washer)
    return thickest


def bolt_gap(bike: Bike, full_lift: Number) -> Number | None:
    """Spring bolt heads to the cover.

    Parameters
    ----------
    bike : Bike
        The clutch.
    full_lift : Number
        Plate lift with the lever at its stop [m].

    Returns
    -------
    Number or None
        Room less washer, less the lift where the plate moves outward [m]; None when not measured. Own derivation.
    """
    room = bike.clearance.bolt_to_cover
    if room is None or not isinstance(bike.springs, CoilSet):
        return None
    moved = full_lift if bike.clearance.plate_moves == "outward" else 0.0
    return room - washer_thickness(bike) - moved


def coil_gap(bike: Bike, full_lift: Number) -> Number | None:
    """Travel left in the spring that is nearest to coil bind.

    Parameters
    ----------
    bike : Bike
        The clutch.
    full_lift : Number
        Plate lift with the lever at its stop [m].

    Returns
    -------
    Number or None
        Installed length + washer + wear - lift - solid length [m]; None when a solid length is not known. Own
        derivation.
    """
    if not isinstance(bike.springs, CoilSet):
        return None
    least: Number = np.inf
    for spring in bike.springs.springs:
        if spring.solid_length is None:
            return None
        length = spring.installed_length + spring.washer + bike.pack.wear - full_lift
        least = np.minimum(least, length - spring.solid_length)
    return least


def arm_gap(bike: Bike, full_angle: Number) -> Number | None:
    """Room left for the arm's end with the lever at its stop.

    Parameters
    ----------
    bike : Bike
        The clutch.
    full_angle : Number
        Arm rotation with the lever at its stop [rad].

    Returns
    -------
    Number or None
        Measured room - arc of the arm's end [m]; None when not measured. Own derivation.
    """
    room = bike.clearance.arm_room
    return None if room is None else room - bike.arm.length * full_angle


def measured_gaps(bike: Bike, *, full_lift: Number, full_angle: Number) -> dict[str, Number]:
    """All gaps that were measured.

    Parameters
    ----------
    bike : Bike
        The clutch.
    full_lift : Number
        Plate lift with the lever at its stop [m].
    full_angle : Number
        Arm rotation with the lever at its stop [rad].

    Returns
    -------
    dict of str to Number
        Gap by name [m]; below 0 parts touch.
    """
    gaps = {
        "bolt_room": bolt_gap(bike, full_lift),
        "coil_bind": coil_gap(bike, full_lift),
        "arm_room": arm_gap(bike, full_angle),
    }
    return {name: gap for name, gap in gaps.items() if gap is not None}
