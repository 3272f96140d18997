"""The chain: the stages put in a row, from a bike to its response along the whole stroke, pulling and letting out.

Once the arm angle is known everything is explicit: arm angle -> lift -> force -> cable tension -> stretch -> cable
drawn -> lever rotation -> finger travel and force. So positions are laid out in arm angle, and the only unknown, the
arm angle that the lever reaches at its stop, is found by the one solver here, for all samples at once.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from clutchwright.bike import Bike
from clutchwright.physics import PULL, RETURN
from clutchwright.quantity import Array, Number

# Intervals along the stroke: free play, cable drawn taut, bite band, beyond. Multiples of 8, as `smooth_work` asks.
FREE_STEPS, TAUT_STEPS, BITE_STEPS, REST_STEPS = 8, 8, 64, 128
TOUCH = FREE_STEPS + TAUT_STEPS
BITE_END = TOUCH + BITE_STEPS


@dataclass(frozen=True, slots=True)
class Point:
    """The chain's state where the arm stands at some angle. All fields broadcast against each other.

    Parameters
    ----------
    arm_angle : Number
        Arm rotation from rest [rad].
    lift : Number
        Pressure-plate lift [m].
    spring_load : Number
        Load of the springs [N].
    clamp : Number
        Force left on the pack [N].
    bearing_force : Number
        Force on the release bearing [N].
    tension : Number
        Cable tension at the arm [N]; below 0 where the arm would not return by itself.
    lever_tension : Number
        Cable tension at the lever [N].
    drawn : Number
        Cable drawn at the lever, free play included [m].
    travel : Number
        Finger travel [m]; NaN beyond what the lever can draw.
    force : Number
        Force at the finger point [N].
    """

    arm_angle: Number
    lift: Number
    spring_load: Number
    clamp: Number
    bearing_force: Number
    tension: Number
    lever_tension: Number
    drawn: Number
    travel: Number
    force: Number


@dataclass(frozen=True, slots=True)
class Response:
    """What the lever does from rest to its stop. Arrays of shape (positions,) or (samples, positions).

    Parameters
    ----------
    travel : Array
        Finger travel on the pull [m]; in the first ``TOUCH`` intervals the arm does not turn yet.
    pull : Array
        Finger force on the pull [N].
    return_travel : Array
        Finger travel on the return [m], arm at the same angle: with less tension the cable is less stretched.
    returning : Array
        Finger force on the return, at ``return_travel`` [N]; the last is the least force that holds the lever in.
    lift : Array
        Pressure-plate lift on the pull [m].
    spring_load : Array
        Load of the springs [N].
    clamp : Array
        Force on the pack [N].
    full_angle : Array
        Arm rotation at the lever's stop [rad], last axis of length 1.
    """

    travel: Array
    pull: Array
    return_travel: Array
    returning: Array
    lift: Array
    spring_load: Array
    clamp: Array
    full_angle: Array


def at_angle(bike: Bike, arm_angle: Number, direction: Number) -> Point:
    """State of the chain with the arm at an angle.

    Parameters
    ----------
    bike : Bike
        The clutch.
    arm_angle : Number
        Arm rotation from rest [rad].
    direction : Number
        PULL or RETURN [-], or both along an axis of their own.

    Returns
    -------
    Point
        See there; all stages' own formulas, in a row.
    """
    lift, spring_load, clamp, bearing_force = _loads(bike, arm_angle)
    tension = _tension(bike, arm_angle, bearing_force, direction)
    lever_tension = bike.line.lever_tension(np.maximum(tension, 0.0), direction)
    drawn = _drawn(bike, arm_angle, tension, direction)
    travel = bike.lever.travel(drawn)
    force = bike.lever.finger_force(lever_tension, travel, direction)
    return Point(arm_angle, lift, spring_load, clamp, bearing_force, tension, lever_tension, drawn, travel, force)


def _loads(bike: Bike, arm_angle: Number) -> tuple[Number, Number, Number, Number]:
    """Lift [m], spring load, clamp and bearing force [N]."""
    bearing_ratio = bike.springs.bearing_ratio
    lift = bike.lift.travel(arm_angle) / bearing_ratio
    spring_load = bike.springs.load(lift, bike.pack.wear)
    clamp = bike.pack.clamp(lift, bike.engaged_clamp)
    return lift, spring_load, clamp, (spring_load - clamp) / bearing_ratio


def shaft_moment(bike: Bike, arm_angle: Number, direction: Number) -> Number:
    """Moment that the lift asks of the arm's shaft [N m] at an arm rotation [rad], direction PULL or RETURN [-]."""
    return _moment(bike, arm_angle, _loads(bike, arm_angle)[-1], direction)


def _moment(bike: Bike, arm_angle: Number, bearing_force: Number, direction: Number) -> Number:
    return bearing_force * bike.lift.slope(arm_angle) * (1.0 + direction * bike.lift.friction(direction))


def _tension(bike: Bike, arm_angle: Number, bearing_force: Number, direction: Number) -> Number:
    return bike.arm.tension(_moment(bike, arm_angle, bearing_force, direction), arm_angle)


def _drawn(bike: Bike, arm_angle: Number, tension: Number, direction: Number) -> Number:
    taut = np.maximum(tension, 0.0)
    return bike.lever.free_draw + bike.line.drawn(bike.arm.movement(arm_angle), taut, direction)


def at_lift(bike: Bike, lift: Number, direction: float) -> Point:
    """State of the chain at a plate lift [m], direction PULL or RETURN [-]; NaN where it cannot lift so far."""
    return at_angle(bike, bike.lift.rotation(lift * bike.springs.bearing_ratio), direction)


def full_angle(bike: Bike) -> Array:
    """Arm rotation at the lever's stop, on the pull.

    Parameters
    ----------
    bike : Bike
        The clutch.

    Returns
    -------
    Array
        Rotation [rad], at least 1-D; 0 where the free play eats the whole stroke; the dead point where the lever
        would pull the arm past it.
    """
    available = bike.lever.full_draw
    # without stretch the arm would turn at least as far as with it: that is the upper end of the bracket
    rigid = bike.arm.rotation((available - bike.lever.free_draw) / bike.line.ratio)
    dead = np.minimum(bike.arm.dead_rotation, bike.lift.dead_rotation) * (1.0 - 1e-9)
    high = np.atleast_1d(np.maximum(np.fmin(rigid, dead), 0.0))

    def surplus(angle: Array) -> Array:
        tension = _tension(bike, angle, _loads(bike, angle)[-1], PULL)
        return np.asarray(_drawn(bike, angle, tension, PULL) - available)

    shape = np.broadcast_shapes(high.shape, surplus(np.zeros_like(high)).shape)
    return increasing_root(surplus, np.zeros(shape), np.broadcast_to(high, shape))


def increasing_root(function: Callable[[Array], Array], low: Array, high: Array) -> Array:
    """Root of a function that rises from ``low`` to ``high``, elementwise, by the Illinois false-position method.

    Parameters
    ----------
    function : callable
        Array to array of the same shape.
    low : Array
        Where the function is not above 0; returned where it is above 0 there.
    high : Array
        Where the function is not below 0; returned where it is below 0 there.

    Returns
    -------
    Array
        The root: there the function is within 1e-14 of its value at ``low``, or it is known within 1e-14 of the
        bracket.

    Notes
    -----
    Secants creep along a function with a very steep end, so after 30 of them the bracket is halved instead. scipy's
    elementwise root finder gives the same roots and costs more than the whole response of one bike, import not
    counted.

    References
    ----------
    Dowell and Jarratt, A modified regula falsi method for computing the root of an equation, BIT 11 (1971) 168.
    """
    f_low, f_high = function(low), function(high)
    outside = np.where(f_low >= 0.0, low, np.where(f_high <= 0.0, high, np.nan))
    sought = np.isnan(outside)
    width, small = np.abs(high - low), 1e-14 * np.abs(f_low)
    for step in range(100):
        with np.errstate(invalid="ignore", divide="ignore"):
            secant = np.where(f_high == f_low, low, high - f_high * (high - low) / (f_high - f_low))
        guess = np.where(sought, secant if step < 30 else 0.5 * (low + high), high)
        f_guess = function(guess)
        crossed = f_guess * f_high < 0.0
        # Illinois: where the same end stays twice, its value is halved, so that it must move
        low = np.where(crossed, high, low)
        f_low = np.where(crossed, f_high, 0.5 * f_low)
        high, f_high = guess, f_guess
        sought &= (np.abs(f_guess) > small) & (np.abs(high - low) > 1e-14 * width)
        if not np.any(sought):
            break
    return np.where(np.isnan(outside), high, outside)


def respond(bike: Bike) -> Response:
    """The whole stroke of a bike.

    Parameters
    ----------
    bike : Bike
        The clutch; its fields may be arrays of shape (samples, 1).

    Returns
    -------
    Response
        See there. Positions lie evenly in arm angle within the bite band and beyond it, so that the ends of free play
        and bite band are positions themselves.
    """
    full = full_angle(bike)
    band = bike.lift.rotation(bike.pack.squash(bike.engaged_clamp) * bike.springs.bearing_ratio)
    bite_end = np.fmin(band, full)
    inside = bite_end * np.linspace(0.0, 1.0, BITE_STEPS + 1)
    beyond = bite_end + (full - bite_end) * np.linspace(0.0, 1.0, REST_STEPS + 1)[1:]
    angles = np.concatenate([inside, beyond], axis=-1)
    rest = at_angle(bike, 0.0, PULL)
    both = np.reshape([PULL, RETURN], (2,) + (1,) * max(np.ndim(rest.force), full.ndim))
    point = at_angle(bike, angles, both)
    slack_travel, slack_force = _before_touch(bike, rest.tension, both)
    fields = (slack_travel, slack_force, point.travel, point.force, point.clamp)
    samples = np.broadcast_shapes(*(np.shape(field)[:-1] for field in fields))[1:]

    def joined(slack: Number, turning: Number, shape: tuple[int, ...]) -> Array:
        parts = ((slack, TOUCH), (turning, angles.shape[-1]))
        return np.concatenate([np.broadcast_to(part, (*shape, count)) for part, count in parts], axis=-1)

    pull_travel, return_travel = joined(slack_travel, point.travel, (2, *samples))
    pull, returning = joined(slack_force, point.force, (2, *samples))
    return Response(
        travel=pull_travel,
        pull=pull,
        return_travel=return_travel,
        returning=returning,
        lift=joined(0.0, point.lift, samples),
        spring_load=joined(bike.engaged_clamp, point.spring_load, samples),
        clamp=joined(bike.engaged_clamp, point.clamp, samples),
        full_angle=full,
    )


def _before_touch(bike: Bike, rest_tension: Number, direction: Number) -> tuple[Number, Number]:
    """Travel [m] and force [N] until the arm turns: free play, then the cable drawn taut.

    In the free play only drag and the pivot are felt; the cable is drawn taut against an assist spring that holds the
    arm back at rest, and where there is none the arm turns at once.
    """
    held = np.maximum(rest_tension, 0.0)
    free, taut = (np.linspace(0.0, 1.0, steps + 1)[:-1] for steps in (FREE_STEPS, TAUT_STEPS))
    tension = held * np.concatenate([0.0 * free, taut])
    free_draw = np.minimum(bike.lever.free_draw, bike.lever.full_draw)
    drawn = free_draw * np.concatenate([free, 1.0 + 0.0 * taut]) + bike.line.drawn(0.0, tension, direction)
    travel = bike.lever.travel(drawn)
    return travel, bike.lever.finger_force(bike.line.lever_tension(tension, direction), travel, direction)


def path_work(force: Array, travel: Array) -> Array:
    """Work of a force over the whole stroke, both known at the positions of a `Response`.

    Parameters
    ----------
    force : Array
        Force at each position [N], shape (..., positions).
    travel : Array
        Travel at each position [m], same shape.

    Returns
    -------
    Array
        Integral of force over travel [J], shape (...); see `smooth_work`, part by part of the stroke.
    """
    ends = (0, FREE_STEPS, TOUCH, BITE_END, BITE_END + REST_STEPS)
    parts = [slice(a, b + 1) for a, b in pairwise(ends)]
    return np.asarray(sum(smooth_work(force[..., part], travel[..., part]) for part in parts))


def smooth_work(force: Array, travel: Array) -> Array:
    """Work of a force along a path without a kink, sampled at even steps of whatever both depend on.

    Parameters
    ----------
    force : Array
        Force [N], shape (..., 8 m + 1).
    travel : Array
        Travel [m], same shape.

    Returns
    -------
    Array
        Integral of force over travel [J], shape (...).

    Notes
    -----
    The error of the trapezoid sum is a series in even powers of the step; three halvings take out its first three
    terms.

    References
    ----------
    Romberg extrapolation; Press et al., Numerical Recipes, sec. 4.3.
    """
    sums = []
    for stride in (8, 4, 2, 1):
        f, s = force[..., ::stride], travel[..., ::stride]
        sums.append(np.sum(0.5 * (f[..., 1:] + f[..., :-1]) * np.diff(s, axis=-1), axis=-1))
    for order in (4.0, 16.0, 64.0):
        sums = [(order * fine - coarse) / (order - 1.0) for coarse, fine in pairwise(sums)]
    return np.asarray(sums[0])
