"""What no change may do, whatever its kind: each limit gives what is left and says it in one line.

A bike that breaches a limit already, unchanged, is a matter for its checks; a change is refused where it makes a
breach, or makes one worse. All limits are judged on the nominal bike; where numbers are samples, on the median of what
is left.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from clutchwright.bike import Bike
from clutchwright.chain import at_angle, full_angle, respond
from clutchwright.changes.parts import typical
from clutchwright.errors import Refusal
from clutchwright.physics import RETURN
from clutchwright.physics.balance import static_unbalance
from clutchwright.physics.plate_tilt import centroid, patterns, places
from clutchwright.physics.springs import CoilSet
from clutchwright.quantity import Array, Number

# Own judgement, no source: one of six springs may be softer by the trade's tolerance of 10 % (0.1/5.9). Off centre by
# e, the load varies by 2 e/R round the circle.
CENTRE_SHARE = 0.02
# Own judgement, no source: static unbalance of the empty bosses, in springs at their circle.
EMPTY_UNBALANCE = 0.05
LEAST_FITTED = Fraction(2, 3)  # common practice, no source: fewer springs press the plates unevenly
RETURN_SHARE = 0.2  # own judgement, no source: of what brings arm or lever back without an assist spring
HIGHEST_FRICTION = 0.6  # of plates; the same as in bike files
STROKE_POSITIONS = 61


@dataclass(frozen=True, slots=True)
class Margin:
    """How a bike stands against a limit.

    Parameters
    ----------
    fine : bool
        Whether it keeps the limit.
    left : float
        What is left, larger is better.
    message : str
        The breach in one line, with the number that forbids it and what to do.
    """

    fine: bool
    left: float
    message: str


def tight_springs(bike: Bike) -> Margin:
    """No spring comes loose before the pack is worn to its limit."""
    left = typical(bike.springs.loosest(bike.pack.wear_limit))
    message = (
        f"the loosest spring would be squeezed by {left * 1e3:.2f} mm with the pack worn to its limit of "
        f"{typical(bike.pack.wear_limit) * 1e3:.2f} mm (more than 0 needed); take less off its preload"
    )
    return Margin(left > 0.0, left, message)


def central_force(bike: Bike) -> Margin | None:
    """The springs press on the centre of the clutch, to 2 % of their circle's radius, with the pack new and worn."""
    if not isinstance(bike.springs, CoilSet):
        return None
    share = max(
        _off_centre(bike.springs, [spring.load(0.0, bike.pack.wear_limit) for spring in bike.springs.springs]),
        _off_centre(bike.springs, [spring.rate for spring in bike.springs.springs]),
    )
    message = (
        f"the springs would press {share:.1%} of their circle's radius off centre (at most {CENTRE_SHARE:.0%}); "
        "change springs in a balanced pattern"
    )
    return Margin(share <= CENTRE_SHARE, CENTRE_SHARE - share, message)


def _off_centre(springs: CoilSet, weights: list[float | Array]) -> float:
    # centred with the pack worn and centred in the rates is centred at every lift and wear: F = F_worn + k (h + w)
    weight = np.stack(np.broadcast_arrays(*weights), axis=-1)
    x, y = places([spring.position for spring in springs.springs], bosses=springs.bosses, circle_radius=1.0)
    return typical(np.hypot(*centroid(weight, x=x, y=y)))


def enough_springs(bike: Bike) -> Margin | None:
    """At least two thirds of the bosses carry a spring."""
    if not isinstance(bike.springs, CoilSet):
        return None
    fitted, bosses = len(bike.springs.springs), bike.springs.bosses
    message = f"{fitted} of {bosses} springs would be left (at least {LEAST_FITTED} of them needed); leave out fewer"
    return Margin(fitted >= LEAST_FITTED * bosses, fitted / bosses, message)


def balanced_bosses(bike: Bike) -> Margin | None:
    """The empty bosses balance each other: static unbalance at most a twentieth of one spring on its circle."""
    if not isinstance(bike.springs, CoilSet):
        return None
    springs = bike.springs
    fitted = {spring.position for spring in springs.springs}
    empty = [position for position in range(springs.bosses) if position not in fitted]
    x, y = places(empty, bosses=springs.bosses, circle_radius=1.0)
    unbalance = float(static_unbalance(np.ones(len(empty)), x=x, y=y))
    fine = unbalance <= EMPTY_UNBALANCE
    return Margin(fine, -unbalance, "" if fine else _unbalance_message(springs, empty, unbalance))


def _unbalance_message(springs: CoilSet, empty: list[int], unbalance: float) -> str:
    weighed = ""
    if springs.mass is not None:
        weighed = f", {typical(springs.mass * springs.circle_radius) * unbalance * 1e6:.0f} g mm"
    good = [found for found in patterns(springs.bosses, len(empty)) if found.unbalance <= EMPTY_UNBALANCE]
    listed = ", ".join(_counted_from_one(found.left_out) for found in good)
    none = f"with {len(empty)} empty no pattern of {springs.bosses} balances"
    advice = f"in balance are {listed} and these turned round" if good else none
    return (
        f"empty bosses {_counted_from_one(empty)} of {springs.bosses} leave an unbalance of {unbalance:.2f} springs "
        f"at their circle{weighed} (at most {EMPTY_UNBALANCE}); {advice}"
    )


def _counted_from_one(positions: Iterable[int]) -> str:
    return "+".join(str(position + 1) for position in positions)


def thread_left(bike: Bike) -> Margin | None:
    """The spring bolts still reach their threads."""
    engagement = bike.clearance.thread_engagement
    if engagement is None or not isinstance(bike.springs, CoilSet):
        return None
    left = min(typical(engagement - spring.washer) for spring in bike.springs.springs)
    message = f"{left * 1e3:.1f} mm of the spring bolts' thread would be left (more than 0 needed); use thinner washers"
    return Margin(left > 0.0, left, message)


def stroke_left(bike: Bike) -> Margin:
    """The free play ends before the lever does."""
    left = typical(bike.lever.full_travel - bike.lever.free_play)
    message = (
        f"the free play of {typical(bike.lever.free_play) * 1e3:.1f} mm would eat the lever's whole travel of "
        f"{typical(bike.lever.full_travel) * 1e3:.1f} mm"
    )
    return Margin(left > 0.0, left, message)


def on_the_blade(bike: Bike) -> Margin | None:
    """The fingers stay on the lever's blade, where its length was measured."""
    length = bike.lever.blade_length
    if length is None:
        return None
    left = typical(length - bike.lever.finger_radius)
    message = (
        f"the finger point would lie {typical(bike.lever.finger_radius) * 1e3:.0f} mm from the pivot, beyond the last "
        f"usable {typical(length) * 1e3:.0f} mm of the blade"
    )
    return Margin(left >= 0.0, left, message)


def returns_by_itself(bike: Bike) -> Margin | None:
    """Assist springs leave more than a fifth of what brings arm and lever back, everywhere, pack new and worn."""
    worn = [bike.worn(wear) for wear in (0.0, bike.pack.wear_limit)]
    found = [_arm_returns(each) for each in worn if each.arm.assist is not None]
    found += [_lever_returns(each) for each in worn if each.lever.assist is not None]
    return min(found, key=lambda margin: margin.left, default=None)


def _arm_returns(bike: Bike) -> Margin:
    angles = full_angle(bike) * np.linspace(0.0, 1.0, STROKE_POSITIONS)
    alone = replace(bike, arm=replace(bike.arm, assist=None))
    with_it, without = (at_angle(each, angles, RETURN) for each in (bike, alone))
    return _return_left(bike, "arm", with_it.tension, without.tension, with_it.lift)


def _lever_returns(bike: Bike) -> Margin:
    alone = replace(bike, lever=replace(bike.lever, assist=None))
    with_it, without = respond(bike), respond(alone)  # at the same places: the cable does not feel the lever's spring
    return _return_left(bike, "lever", with_it.returning, without.returning, with_it.lift)


def _return_left(bike: Bike, part: str, with_it: Number, without: Number, lift: Number) -> Margin:
    """What is left of the forces [N] that bring a part back; where there were none, the spring must hold it back."""
    left = _typical_along(with_it - without + (1.0 - RETURN_SHARE) * np.maximum(without, 0.0))
    worst = int(np.argmin(left))
    held, alone, lifted = (_typical_along(values)[worst] for values in (with_it, without, lift))
    if alone < 0.5:  # no whole newton to speak of
        message = (
            f"at {lifted * 1e3:.2f} mm lift hardly anything brings the {part} back yet, and the spring would already "
            f"pull it on with {alone - held:.2g} N; let it start further before dead centre"
        )
    else:
        message = (
            f"at {lifted * 1e3:.2f} mm lift with the pack worn by {typical(bike.pack.wear) * 1e3:.2f} mm it would "
            f"leave {held:.0f} N of {alone:.0f} N to bring the {part} back (more than {RETURN_SHARE:.0%} needed), so "
            "the lever might stay in; use a weaker spring, or one that starts further before dead centre"
        )
    return Margin(bool(left[worst] > 0.0), float(left[worst]), message)


def _typical_along(values: Number) -> Array:
    """Median over samples at each position."""
    return np.median(np.atleast_2d(values), axis=0)


def assist_springs_taut(bike: Bike) -> Margin | None:
    """An assist spring stays stretched all along the stroke."""
    stroke = np.linspace(0.0, 1.0, STROKE_POSITIONS)
    turned = [
        (bike.arm.assist, full_angle(bike)),
        (bike.lever.assist, bike.lever.full_travel / bike.lever.finger_radius),
    ]
    forces = [np.min(_typical_along(spring.force(full * stroke))) for spring, full in turned if spring is not None]
    if not forces:
        return None
    left = float(min(forces))
    message = f"its force would fall to {left:.0f} N within the stroke (more than 0 N needed); give it more pretension"
    return Margin(left > 0.0, left, message)


def known_friction(bike: Bike) -> Margin:
    """The plates grip no better than any that a bike file may have."""
    friction = max(typical(bike.pack.friction_static), typical(bike.pack.friction_sliding))
    message = (
        f"the plates' friction coefficient would be {friction:.3g} (at most {HIGHEST_FRICTION} is known); "
        "give a smaller friction_share"
    )
    return Margin(friction <= HIGHEST_FRICTION, HIGHEST_FRICTION - friction, message)


LIMITS: tuple[Callable[[Bike], Margin | None], ...] = (
    tight_springs,
    enough_springs,
    balanced_bosses,
    central_force,
    thread_left,
    stroke_left,
    on_the_blade,
    assist_springs_taut,
    returns_by_itself,
    known_friction,
)


def require_return(bike: Bike) -> None:
    """Refuse a lift that does not run back by itself, whatever is changed: friction takes all the returning moment."""
    share = typical(bike.lift.friction(RETURN))
    if not share < 1.0:
        message = (
            f"the lift's friction takes {share:.0%} of the returning moment (below 100% needed), so the clutch would "
            "stay out; give it a steeper lead or less friction"
        )
        raise Refusal(message)


def require_within_limits(before: Bike, after: Bike) -> None:
    """Refuse a change that breaches a limit.

    Parameters
    ----------
    before : Bike
        The bike as it was.
    after : Bike
        The bike with the change.

    Raises
    ------
    Refusal
        With the number that forbids it, for the first limit breached that was kept before, or less breached.
    """
    for limit in LIMITS:
        now = limit(after)
        if now is None or now.fine:
            continue
        was = limit(before)
        if was is None or not was.left <= now.left:
            raise Refusal(now.message)
