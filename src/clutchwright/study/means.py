"""Means to a lighter lever, each taken as far as the clutch still works.

Each means has two ends. The *dependable* one keeps the comfortable margins of the verdict's rules, or is what ordinary
parts of the kind reach. The *utmost* one is the bound that no product of the kind can pass on this bike: one step
further the clutch no longer releases, slips, or does not return by itself, or there is nothing left to gain.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, fields, replace

import numpy as np

from clutchwright.assess.verdict import RULES
from clutchwright.bike import Bike
from clutchwright.chain import at_angle, full_angle, increasing_root, respond
from clutchwright.changes import find
from clutchwright.changes.limits import RETURN_SHARE, STROKE_POSITIONS
from clutchwright.physics import RETURN
from clutchwright.physics.arm import Arm
from clutchwright.physics.cable import Cable
from clutchwright.quantity import Array, Number

MOST_PUSHED = 0.95  # a twentieth of the springs, or twenty times the leverage: further than any claim
# An ordinary assist spring: long and soft, the hook well inside the post. Own judgement, no source: it passes dead
# centre late enough to be set by hand.
PLAIN_SPRING = {"rate": 0.0, "hook_radius": 0.030, "post_radius": 0.090, "before_centre": np.radians(3.0)}
COMFORTABLE_RETURN = 0.25  # of the returning tension, left by an ordinary assist spring; own judgement, no source
FRICTIONS = {
    "lever": ("pivot_friction",),
    "line": ("friction", "drag", "seal_loss"),
    "lift": ("kappa", "thread_friction", "rolling_friction"),
}

_RULES = {rule.key: rule for rule in RULES}


@dataclass(frozen=True, slots=True)
class Means:
    """One means to a lighter lever.

    Parameters
    ----------
    key : str
        Short name.
    title : str
        In words.
    kinds : tuple of str
        The kinds of change that make it real.
    dependable, utmost : callable
        Bike to bike, nominal or sampled; see the module.
    pushed : callable | None
        Bike and amount [-] to bike, for an amount from 0 on, however little is then left of the clutch; None where
        there is nothing beyond the utmost.
    family : str
        Key of the means in ``MEANS`` that it is a case of, or its own.
    """

    key: str
    title: str
    kinds: tuple[str, ...]
    dependable: Callable[[Bike], Bike]
    utmost: Callable[[Bike], Bike]
    pushed: Callable[[Bike, Number], Bike] | None = None
    family: str = ""


def peak(bike: Bike) -> Array:
    """Peak pull at the finger [N], on a last axis of length 1."""
    return np.max(respond(bike).pull, axis=-1, keepdims=True)


def reduction(before: Bike, after: Bike) -> Array:
    """Share of the peak pull that is gone [-], on a last axis of length 1."""
    return 1.0 - peak(after) / peak(before)


# Leverage


def geared(bike: Bike, amount: Number) -> Bike:
    """Bike with 1/(1 - amount) times the leverage between lever and arm, no play and no drag added.

    Lever, cable or arm trade force for travel in the same ratio; it sits at the arm, where it is worth most, as it
    takes the same factor off the force that stretches the line. Own derivation.
    """
    line, more = bike.line, 1.0 / (1.0 - amount)
    if isinstance(line, Cable):
        return replace(bike, line=replace(line, ratio=line.ratio * more, compliance=line.compliance / more**2))
    return replace(bike, line=replace(line, area_ratio=line.area_ratio * more, expansion=line.expansion / more**2))


def most_geared(
    bike: Bike, *, spare_lift: float, spare_travel: float, by: Callable[[Bike, Number], Bike] = geared
) -> Bike:
    """Bike with the most leverage that still releases.

    Parameters
    ----------
    bike : Bike
        The clutch.
    spare_lift : float
        Lift to be left beyond a clean release [m].
    spare_travel : float
        Finger travel to be left beyond a clean release [m].
    by : callable
        What gives the leverage: bike and amount [-] to bike.

    Returns
    -------
    Bike
        Found with the real chain by a bounded root; today's leverage where it has less to spare already. Lift and
        free travel both fall as leverage grows, so there is one root.
    """

    def missing(amount: Array) -> Array:
        more = by(bike, amount)
        return -np.minimum(_spare(more, 0.0) - spare_lift, _spare(more, spare_travel))

    none = np.zeros(np.broadcast_shapes((1,), np.shape(full_angle(bike)), missing(np.zeros(1)).shape))
    return by(bike, _number(increasing_root(missing, none, none + MOST_PUSHED)))


def _spare(bike: Bike, before_stop: float) -> Array:
    """Lift beyond a clean release [m] where the lever is still some travel [m] away from its stop."""
    early = replace(bike, lever=replace(bike.lever, stop_span=bike.lever.stop_span + before_stop))
    lift = bike.lift.travel(full_angle(early)) / bike.springs.bearing_ratio
    return np.asarray(lift - bike.pack.release_lift(bike.engaged_clamp))


def _number(found: Array) -> Number:
    """A plain number for a nominal bike, an array of shape (samples, 1) for a sampled one."""
    return found if found.ndim > 1 else float(found[0])


def most_geared_with_comfort(bike: Bike, by: Callable[[Bike, Number], Bike] = geared) -> Bike:
    """Bike with the most leverage that keeps the comfortable release margins."""
    lift, travel = (_RULES[key].comfort * 1e-3 for key in ("release_margin_mm", "release_margin_finger_mm"))
    return most_geared(bike, spare_lift=lift, spare_travel=travel, by=by)


def most_geared_at_all(bike: Bike, by: Callable[[Bike, Number], Bike] = geared) -> Bike:
    """Bike with all the leverage that still just releases."""
    return most_geared(bike, spare_lift=0.0, spare_travel=0.0, by=by)


# Springs


def softer(bike: Bike, amount: Number) -> Bike:
    """Bike with springs of 1 - amount of their rate. Washers and fewer springs cost as much clamp or more."""
    return find("springs-softer").apply(bike, {"rate_share": 1.0 - amount, "positions": ()})


def softest(bike: Bike, *, new: float, hot: float) -> Bike:
    """Bike with the softest springs that still carry the full torque so many times.

    Parameters
    ----------
    bike : Bike
        The clutch.
    new : float
        Slip margin to keep with a new pack [-].
    hot : float
        Slip margin to keep at the wear limit and hot [-].

    Returns
    -------
    Bike
        With today's springs where they carry less already. Clamp is in proportion to the rate, so this is exact.
    """
    pack, torque = bike.pack, bike.drive.torque
    margin_new = pack.capacity(bike.springs.load_engaged(0.0), pack.friction_static) / torque
    margin_hot = (
        pack.capacity(bike.springs.load_engaged(pack.wear_limit), pack.friction_static * pack.hot_factor) / torque
    )
    spent = np.minimum(margin_new / new, margin_hot / hot)
    return softer(bike, 1.0 - 1.0 / np.maximum(spent, 1.0))


def _softest_with_comfort(bike: Bike) -> Bike:
    return softest(bike, new=_RULES["slip_margin_new"].comfort, hot=_RULES["slip_margin_hot"].comfort)


def _softest(bike: Bike) -> Bike:
    return softest(bike, new=_RULES["slip_margin_new"].limit, hot=_RULES["slip_margin_hot"].limit)


# Friction


def frictionless(bike: Bike) -> Bike:
    """Bike without any friction in lever, line and lift."""
    for stage, names in FRICTIONS.items():
        part = getattr(bike, stage)
        own = {each.name for each in fields(part)}
        bike = replace(bike, **{stage: replace(part, **{name: 0.0 for name in names if name in own})})
    return bike


def _serviced(bike: Bike) -> Bike:
    service = find("cable-service")
    return service.apply(bike, service.values({})) if isinstance(bike.line, Cable) else bike


# Hydraulics


def _hydraulic(bike: Bike) -> Bike:
    conversion = find("hydraulic")
    return conversion.apply(bike, conversion.values({}))


def _lossless_line(bike: Bike) -> Bike:
    conversion = find("hydraulic")
    return conversion.apply(bike, conversion.values({}) | {"seal_loss": 0.0, "expansion": 0.0})


# Assist springs


@dataclass(frozen=True, slots=True)
class HelpedArm(Arm):
    """An arm with an imagined helper that takes the same share of the returning tension all along the stroke.

    No spring, whatever its linkage, can take more anywhere and still leave the rest: of two states of wear it takes
    what the weaker one allows.

    Parameters
    ----------
    share : Number
        Share of the returning tension taken [-].
    alone : Bike
        The bike without the helper.
    """

    share: Number = field(kw_only=True)
    alone: Bike = field(kw_only=True)

    def tension(self, moment: Number, rotation: Number) -> Number:
        """Cable tension at the arm [N] for the lift's moment [N m] at a rotation [rad], less the helper's part."""
        return Arm.tension(self, moment, rotation) - self.share * returning_tension(self.alone, rotation)


def returning_tension(bike: Bike, rotation: Number) -> Number:
    """Least tension that brings the arm back [N] at a rotation [rad], pack new or worn to its limit."""
    worn = (bike.worn(wear) for wear in (0.0, bike.pack.wear_limit))
    new, limit = (np.maximum(at_angle(each, rotation, RETURN).tension, 0.0) for each in worn)
    return np.minimum(new, limit)


def helped(bike: Bike, amount: Number) -> Bike:
    """Bike with an imagined helper that takes a share [-] of the tension that brings the arm back."""
    arm = bike.arm
    return replace(bike, arm=HelpedArm(arm.length, arm.cable_angle, arm.assist, share=amount, alone=bike))


def most_assisted(bike: Bike) -> Bike:
    """Bike with the strongest ordinary assist spring that leaves a quarter of the tension that brings the arm back.

    Parameters
    ----------
    bike : Bike
        The clutch, without an assist spring.

    Returns
    -------
    Bike
        The spring's moment is in proportion to its force, and held against what may be taken at each position, pack
        new and worn, up to where a line without stretch would let the arm turn.

    Raises
    ------
    Refusal
        Where the arm has an assist spring already.
    """
    change = find("assist-spring")
    unit = change.apply(bike, PLAIN_SPRING | {"pretension": 1.0})
    if unit.arm.assist is None:
        return bike
    drawn = (bike.lever.full_draw - bike.lever.free_draw) / bike.line.ratio
    angles = np.fmax(bike.arm.rotation(drawn), full_angle(bike)) * np.linspace(0.0, 1.0, STROKE_POSITIONS)
    per_newton = unit.arm.assist.moment(angles) / bike.arm.moment_arm(angles)
    spare = (1.0 - COMFORTABLE_RETURN) * returning_tension(bike, angles)
    helps = per_newton > 0.0
    most = np.min(np.where(helps, spare / np.where(helps, per_newton, 1.0), np.inf), axis=-1, keepdims=True)
    highest = next(each for each in change.parameters if each.name == "pretension_N").high
    return change.apply(bike, PLAIN_SPRING | {"pretension": _number(np.atleast_1d(np.minimum(most, highest)))})


def _most_helped(bike: Bike) -> Bike:
    return helped(bike, 1.0 - RETURN_SHARE)


# All together


def _all_with_comfort(bike: Bike) -> Bike:
    lighter = _softest_with_comfort(_serviced(bike))
    return most_geared_with_comfort(most_assisted(lighter) if lighter.arm.assist is None else lighter)


def _all(bike: Bike) -> Bike:
    return most_geared_at_all(_most_helped(_softest(frictionless(bike))))


_LEVERAGE = ("cable-radius", "arm-length", "inline-unit")
_SPRINGS = ("springs-softer", "springs-fewer", "washers")
_FRICTION = ("cable-service", "cable-routing")
_ASSIST = ("assist-spring", "assist-lever")
MEANS: dict[str, Means] = {
    means.key: means
    for means in (
        Means("leverage", "leverage alone", _LEVERAGE, most_geared_with_comfort, most_geared_at_all, geared),
        Means("springs", "softer, fewer or looser springs", _SPRINGS, _softest_with_comfort, _softest, softer),
        Means("friction", "less friction", _FRICTION, _serviced, frictionless),
        Means("hydraulic", "a hydraulic line", ("hydraulic",), _hydraulic, _lossless_line),
        Means("assist", "an assist spring", _ASSIST, most_assisted, _most_helped, helped),
        Means(
            "anything",
            "everything together",
            (*_FRICTION, *_SPRINGS, *_LEVERAGE, *_ASSIST),
            _all_with_comfort,
            _all,
        ),
    )
}
