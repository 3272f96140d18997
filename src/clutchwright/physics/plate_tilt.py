"""The pressure plate as a rigid plate on its springs: off-centre force, tilt, and which bosses may stay empty.

Springs lie on the last axis of every array. The plate's deflection is w(x, y) = w0 + ax x + ay y; balance of force and
of the two moments gives three equations for w0, ax, ay.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from clutchwright.quantity import Array, Number


def places(positions: Sequence[int], *, bosses: int, circle_radius: Number) -> tuple[Array, Array]:
    """Where bosses lie, the clutch axis at the origin.

    Parameters
    ----------
    positions : sequence of int
        Bosses, counted round the circle from 0.
    bosses : int
        All bosses, evenly spaced.
    circle_radius : Number
        Clutch axis to spring axis [m].

    Returns
    -------
    tuple of Array
        x and y [m], one more axis than ``circle_radius``. Own derivation (polar coordinates).
    """
    angles = 2.0 * np.pi * np.asarray(positions, dtype=np.float64) / bosses
    radius = np.asarray(circle_radius, dtype=np.float64)[..., np.newaxis]
    return radius * np.cos(angles), radius * np.sin(angles)


def centroid(weights: Array, *, x: Array, y: Array) -> tuple[Number, Number]:
    """Point on which forces, rates or masses are centred.

    Parameters
    ----------
    weights : Array
        Forces [N], rates [N/m] or masses [kg].
    x : Array
        Places [m].
    y : Array
        Places [m].

    Returns
    -------
    tuple of Number
        sum(w x)/sum(w) and sum(w y)/sum(w) [m]; own derivation (moments about the axis).
    """
    total = np.sum(weights, axis=-1)
    return np.sum(weights * x, axis=-1) / total, np.sum(weights * y, axis=-1) / total


@dataclass(frozen=True, slots=True)
class Plane:
    """Deflection of a rigid plate.

    Parameters
    ----------
    centre : Number
        w0, deflection on the clutch axis [m].
    slope_x : Number
        ax [rad].
    slope_y : Number
        ay [rad].
    """

    centre: Number
    slope_x: Number
    slope_y: Number

    @property
    def tilt(self) -> Number:
        """Angle between the plate and square to the axis [rad], small angles."""
        return np.hypot(self.slope_x, self.slope_y)

    def at(self, x: Array, y: Array) -> Array:
        """Deflection [m] at places x [m] and y [m], on a new last axis; own derivation (a plane)."""
        centre, slope_x, slope_y = np.stack([self.centre, self.slope_x, self.slope_y])[..., np.newaxis]
        return np.asarray(centre + slope_x * x + slope_y * y)


def plane_under_load(
    rates: Array, *, x: Array, y: Array, force: Number, force_x: Number = 0.0, force_y: Number = 0.0
) -> Plane:
    """How a rigid plate settles on springs under one force.

    Parameters
    ----------
    rates : Array
        Spring rates [N/m].
    x : Array
        Places of the springs [m].
    y : Array
        Places of the springs [m].
    force : Number
        Force on the plate [N].
    force_x : Number
        Where it acts [m].
    force_y : Number
        Where it acts [m].

    Returns
    -------
    Plane
        w0 [m], ax and ay [rad] from three equations: own derivation, balance of force and of both moments,
        [sum k, sum kx, sum ky; ., sum kx², sum kxy; ., ., sum ky²] (w0, ax, ay) = (F, F xF, F yF).

    Raises
    ------
    numpy.linalg.LinAlgError
        For springs on one line, which cannot hold a plate.
    """
    ones = np.ones_like(x)
    basis = np.stack(np.broadcast_arrays(ones, x, y), axis=-2)
    matrix = np.einsum("...in,...jn,...n->...ij", basis, basis, np.broadcast_to(rates, basis[..., 0, :].shape))
    load = np.stack(np.broadcast_arrays(force, force * force_x, force * force_y), axis=-1)
    solved = np.linalg.solve(matrix, np.broadcast_to(load, matrix.shape[:-1])[..., np.newaxis])[..., 0]
    return Plane(solved[..., 0], solved[..., 1], solved[..., 2])


def tilt_per_lift(rates: Array, *, x: Array, y: Array) -> Number:
    """Tilt of a plate that is lifted by a force on the axis.

    Parameters
    ----------
    rates : Array
        Spring rates [N/m].
    x : Array
        Places of the springs [m].
    y : Array
        Places of the springs [m].

    Returns
    -------
    Number
        Tilt per lift at the axis [rad/m]; times a radius, the lift lost at one edge and won at the other per lift. Own
        derivation (see `plane_under_load`).
    """
    plane = plane_under_load(rates, x=x, y=y, force=1.0)
    return plane.tilt / plane.centre


def largest_share(rates: Array, *, x: Array, y: Array, force_x: Number, force_y: Number) -> Number:
    """Load of the hardest pressed spring when the force is off centre.

    Parameters
    ----------
    rates : Array
        Spring rates [N/m].
    x : Array
        Places of the springs [m].
    y : Array
        Places of the springs [m].
    force_x : Number
        Where the force acts [m].
    force_y : Number
        Where the force acts [m].

    Returns
    -------
    Number
        Its load over the mean load [-]; own derivation (see `plane_under_load`).
    """
    loads = rates * plane_under_load(rates, x=x, y=y, force=1.0, force_x=force_x, force_y=force_y).at(x, y)
    return np.max(loads, axis=-1) * np.shape(x)[-1]


@dataclass(frozen=True, slots=True)
class Pattern:
    """A choice of bosses without a spring, all springs alike.

    Parameters
    ----------
    left_out : tuple of int
        Empty bosses.
    unbalance : float
        Static unbalance, in springs on the circle [-]; the force is off centre by unbalance/fitted radii.
    softness : float
        Tilt under an off-centre force, about the softest axis, over that of the full set [-]; inf where the springs
        left lie on one line.
    """

    left_out: tuple[int, ...]
    unbalance: float
    softness: float


def pattern(bosses: int, left_out: Sequence[int]) -> Pattern:
    """Unbalance and softness of a pattern of empty bosses.

    Parameters
    ----------
    bosses : int
        Bosses, evenly spaced.
    left_out : sequence of int
        Empty ones.

    Returns
    -------
    Pattern
        Own derivation: the vector sum of the empty places, and the lesser eigenvalue of sum(r r') of the fitted ones
        against bosses/2, which the full set has about any axis.
    """
    fitted = [position for position in range(bosses) if position not in left_out]
    empty_x, empty_y = places(left_out, bosses=bosses, circle_radius=1.0)
    spots = np.stack(places(fitted, bosses=bosses, circle_radius=1.0))
    about_centroid = spots - np.mean(spots, axis=-1, keepdims=True)
    least = float(np.linalg.eigvalsh(about_centroid @ about_centroid.T)[0])
    softness = bosses / 2.0 / least if least > 1e-9 * bosses else math.inf
    return Pattern(tuple(left_out), float(np.hypot(np.sum(empty_x), np.sum(empty_y))), softness)


def patterns(bosses: int, empty: int) -> tuple[Pattern, ...]:
    """All patterns of so many empty bosses, best first.

    Parameters
    ----------
    bosses : int
        Bosses, evenly spaced.
    empty : int
        How many stay empty, fewer than all.

    Returns
    -------
    tuple of Pattern
        One of each that differ by more than a rotation or a reflection, by unbalance, then softness, then position. Own
        derivation (full enumeration).
    """

    def turned(chosen: tuple[int, ...], by: int, hand: int) -> tuple[int, ...]:
        return tuple(sorted((hand * position + by) % bosses for position in chosen))

    kinds = {
        min(turned(chosen, by, hand) for by in range(bosses) for hand in (1, -1))
        for chosen in combinations(range(bosses), empty)
    }
    found = [pattern(bosses, chosen) for chosen in kinds]
    return tuple(sorted(found, key=lambda p: (round(p.unbalance, 9), round(p.softness, 9), p.left_out)))
