"""What wear does to a clutch nobody adjusts: the free play closes, then the rod carries part of the springs."""

from __future__ import annotations

import numpy as np

from clutchwright.bike import Bike
from clutchwright.chain import increasing_root
from clutchwright.physics.cable import Cable
from clutchwright.quantity import Array, Number


def lift_per_draw(bike: Bike) -> Number:
    """Plate lift per cable drawn at the lever, arm at rest.

    Parameters
    ----------
    bike : Bike
        The clutch.

    Returns
    -------
    Number
        dh/dx [-]; own derivation, the product of the stages' ratios at rest.
    """
    per_arm_movement = bike.lift.slope(0.0) / (bike.arm.moment_arm(0.0) * bike.springs.bearing_ratio)
    return per_arm_movement / bike.line.ratio


def free_play_lift(bike: Bike) -> Number:
    """Free play of the lever, seen at the pressure plate: the wear it lasts.

    Parameters
    ----------
    bike : Bike
        The clutch.

    Returns
    -------
    Number
        Thickness of pack [m] that may wear off before the rod starts to carry; own derivation, ratios at rest.
        Leverage makes it smaller in the same ratio in which it makes the lever lighter. NaN where nothing closes it:
        in a pull design, and with a hydraulic line, which sets itself.
    """
    return bike.lever.free_draw * lift_per_draw(bike) if _closes(bike) else np.nan


def _closes(bike: Bike) -> bool:
    return bike.pack.wear_closes_free_play and isinstance(bike.line, Cable)


def unadjusted_clamp(bike: Bike, wear: Number) -> Number:
    """Clamp of a worn clutch whose cable was never adjusted since it was new.

    Parameters
    ----------
    bike : Bike
        The clutch, free play as found with a new pack.
    wear : Number
        Thickness lost [m].

    Returns
    -------
    Number
        Clamp [N]. Own derivation: once the free play is gone, further wear holds the plate off the pack by as much,
        less what the cable's stretch gives back. Force on the rod rises by K = pack stiffness + spring stiffness per
        lift, so the lift forced is excess/(1 + c K (dh/dx)^2), c the line's compliance seen from the arm.
    """
    excess = wear - free_play_lift(bike) if _closes(bike) else -np.inf
    engaged = np.maximum(bike.springs.load_engaged(wear), 0.0)
    squash = np.asarray(bike.pack.squash(engaged), dtype=np.float64)
    pressed = squash > 0.0
    slope = np.where(pressed, bike.springs.load(squash, wear) / np.where(pressed, squash, 1.0), 0.0)
    at_arm = lift_per_draw(bike) * bike.line.ratio
    give = bike.line.stretch(1.0, 0.0) * slope * at_arm**2
    forced = np.maximum(excess, 0.0) / (1.0 + give)
    return np.where(forced > 0.0, bike.pack.clamp(forced, engaged), engaged)


def wear_until_slip(bike: Bike) -> Array:
    """Wear at which an unadjusted clutch can no longer carry the engine's torque.

    Parameters
    ----------
    bike : Bike
        The clutch, free play as found with a new pack.

    Returns
    -------
    Array
        Wear [m], at least 1-D, between 0 and the wear limit (the limit where it carries until then).
    """

    def shortfall(wear: Array) -> Array:
        capacity = bike.pack.capacity(unadjusted_clamp(bike, wear), bike.pack.friction_static)
        return np.asarray(bike.drive.torque - capacity)

    limit = np.atleast_1d(np.asarray(bike.pack.wear_limit, dtype=np.float64))
    shape = np.broadcast_shapes(limit.shape, shortfall(np.zeros(1)).shape)
    return increasing_root(shortfall, np.zeros(shape), np.broadcast_to(limit, shape))
