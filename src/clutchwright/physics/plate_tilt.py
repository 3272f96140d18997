"""The pressure plate as a rigid plate on its springs: off-centre force, tilt, and which bosses may stay empty.

Springs lie on the last axis of every array. The plate's deflection is w(x, y) = w0 + ax x + ay y; balance of force and
of the two moments gives three equations for w0, ax, ay.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

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


def tilt_stiffness(rates: Array, *, x: Array, y: Array) -> Number:
    """Stiffness of a plate on its springs against tilting about its softest axis.

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
        Moment per tilt [N m/rad]: the lesser eigenvalue of sum k (r - c)(r - c)', c the centre of the rates; 0 where
        the springs lie on one line. Own derivation (see `plane_under_load`, moments taken about c).
    """
    centre_x, centre_y = (np.asarray(place)[..., np.newaxis] for place in centroid(rates, x=x, y=y))
    about = np.stack(np.broadcast_arrays(x - centre_x, y - centre_y), axis=-2)
    return np.linalg.eigvalsh(np.einsum("...in,...jn,...n->...ij", about, about, rates))[..., 0]


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


def softness(rates: Array, *, bosses: int, x: Array, y: Array) -> float:
    """How much easier a set of springs tilts than one spring of unit rate on each boss of the unit circle.

    Parameters
    ----------
    rates : Array
        Rates, those of the full set counted as 1 [-].
    bosses : int
        Bosses, evenly spaced.
    x : Array
        Places of the springs, over the circle's radius [-].
    y : Array
        Places of the springs, over the circle's radius [-].

    Returns
    -------
    float
        Tilt about the softest axis over that of the full set [-]; inf for springs on one line. Own derivation: the
        full set has bosses/2 about any axis.
    """
    least = float(tilt_stiffness(rates, x=x, y=y))
    return bosses / 2.0 / least if least > 1e-9 * bosses else math.inf


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
        Own derivation: the vector sum of the empty places, and `softness` of the fitted ones.
    """
    fitted = [position for position in range(bosses) if position not in left_out]
    empty_x, empty_y = places(left_out, bosses=bosses, circle_radius=1.0)
    x, y = places(fitted, bosses=bosses, circle_radius=1.0)
    unbalance = float(np.hypot(np.sum(empty_x), np.sum(empty_y)))
    return Pattern(tuple(left_out), unbalance, softness(np.ones(len(fitted)), bosses=bosses, x=x, y=y))


def arrangements(bosses: int, kinds: int) -> tuple[tuple[int, ...], ...]:
    """All ways of putting kinds of spring on a circle of bosses.

    Parameters
    ----------
    bosses : int
        Bosses, evenly spaced.
    kinds : int
        Kinds, an empty boss counted as one.

    Returns
    -------
    tuple of tuple of int
        Kind on each boss; one of each that differ by more than a rotation or a reflection, the one with the highest
        kinds first. Own derivation (full enumeration).
    """

    def turned(chosen: tuple[int, ...]) -> tuple[tuple[int, ...], ...]:
        return tuple(hand[by:] + hand[:by] for hand in (chosen, chosen[::-1]) for by in range(bosses))

    chosen = product(range(kinds), repeat=bosses)
    return tuple(each for each in chosen if each == max(turned(each)))


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
        derivation (full enumeration, see `arrangements`).
    """
    found = [
        pattern(bosses, [position for position, out in enumerate(chosen) if out])
        for chosen in arrangements(bosses, 2)
        if sum(chosen) == empty
    ]
    return tuple(sorted(found, key=lambda p: (round(p.unbalance, 9), round(p.softness, 9), p.left_out)))
