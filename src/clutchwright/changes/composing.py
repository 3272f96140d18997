"""Changes made to a bike, one after the other."""

from __future__ import annotations

from collections.abc import Sequence

from clutchwright.bike import Bike
from clutchwright.changes.change import Step
from clutchwright.changes.limits import require_return, require_within_limits
from clutchwright.changes.registry import find
from clutchwright.errors import InputError, Refusal

MOST_STEPS = 50


def apply(bike: Bike, steps: Sequence[Step]) -> Bike:
    """Bike with changes made.

    Parameters
    ----------
    bike : Bike
        The clutch; its fields may be arrays of shape (samples, 1).
    steps : sequence of Step
        Changes, made in the order of `in_turn`.

    Returns
    -------
    Bike
        The changed clutch. Free play is what the bike says, set again at the finger after each change, but for the
        changes that say otherwise.

    Raises
    ------
    Refusal
        Where a change cannot or must not be done, with the number that forbids it. Judged on the nominal bike; where
        numbers are samples, on their median.
    InputError
        For an unknown kind, an unknown, missing or wrong value, or more than ``MOST_STEPS`` steps.
    """
    if len(steps) > MOST_STEPS:
        raise InputError("changes", len(steps), f"at most {MOST_STEPS} steps are made at once; leave some out")
    require_return(bike)
    for step in in_turn(steps):
        change = find(step.kind)
        try:
            changed = change.apply(bike, change.values(step.parameters))
            require_within_limits(bike, changed)
        except Refusal as refusal:
            message = f"{step.kind}: {refusal}"
            raise Refusal(message) from refusal
        bike = changed
    return bike


def in_turn(steps: Sequence[Step]) -> list[Step]:
    """Changes in the order in which they are made, so that no length means another for the order it was named in.

    A length that is set is what one measures once all that would move it is done, and an assist spring is held against
    the parts that it will sit on. All others stay in the order given.
    """
    return sorted(steps, key=lambda step: find(step.kind).turn)
