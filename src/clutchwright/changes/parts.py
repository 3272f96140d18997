"""What several changes ask of a bike: its cable, its coil springs, the springs on some bosses."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from clutchwright.bike import Bike
from clutchwright.errors import Refusal
from clutchwright.physics.assist import AssistSpring
from clutchwright.physics.cable import Cable
from clutchwright.physics.springs import CoilSet, CoilSpring
from clutchwright.quantity import Number, si_factor

ROUNDING = 1e-9  # of a value that went from one unit to another and back, as a share


def typical(number: Number) -> float:
    """The number itself, or the median of samples: what a refusal is judged by."""
    return number if isinstance(number, float) else float(np.median(number))


def cable_of(bike: Bike) -> Cable:
    """The bike's cable; refused where it has a hydraulic line."""
    if not isinstance(bike.line, Cable):
        message = "this clutch has a hydraulic line, not a cable"
        raise Refusal(message)
    return bike.line


def coils_of(bike: Bike) -> CoilSet:
    """The bike's coil springs; refused where it has a diaphragm spring."""
    if not isinstance(bike.springs, CoilSet):
        message = "this clutch has a diaphragm spring, not coil springs"
        raise Refusal(message)
    return bike.springs


def require_fitted(springs: CoilSet, positions: tuple[int, ...]) -> None:
    """Refuse positions that carry no spring."""
    fitted = sorted(spring.position for spring in springs.springs)
    for position in positions:
        if position not in fitted:
            there = ", ".join(str(place + 1) for place in fitted)
            message = f"no spring on position {position + 1}; there is one on {there}"
            raise Refusal(message)


def each_spring(
    springs: CoilSet, positions: tuple[int, ...], changed: Callable[[CoilSpring], CoilSpring]
) -> tuple[CoilSpring, ...]:
    """The springs, those on some positions (all, when none are named) changed; refused where there is none."""
    require_fitted(springs, positions)
    return tuple(
        changed(spring) if not positions or spring.position in positions else spring for spring in springs.springs
    )


def over_centre_spring(part: str, fitted: AssistSpring | None, values: Mapping[str, Any]) -> AssistSpring:
    """The assist spring that a change hooks to a part.

    Parameters
    ----------
    part : str
        What it is hooked to, for messages.
    fitted : AssistSpring | None
        What is hooked there already; refused where there is one.
    values : mapping
        Fields of `AssistSpring`, but ``before_centre`` [rad] for its start angle with the sign turned.
    """
    if fitted is not None:
        message = f"the {part} has an assist spring already; give one spring that does the work of both"
        raise Refusal(message)
    rest = {name: value for name, value in values.items() if name != "before_centre"}
    return AssistSpring(**rest, start_angle=-values["before_centre"])


def require_no_worse(name: str, wanted: float, today: Number, *, more: bool = False) -> None:
    """Refuse a value that would undo what the change is for.

    Parameters
    ----------
    name : str
        Name of the value, ending in its unit.
    wanted : float
        Value after the change [SI].
    today : float or array
        Value before it [SI]; of samples, some are better already than any value, so they are not judged.
    more : bool
        Whether a larger value is the better one.

    Raises
    ------
    Refusal
        With both numbers.
    """
    if not isinstance(today, float):
        return
    if wanted < today * (1.0 - ROUNDING) if more else wanted > today * (1.0 + ROUNDING):
        then, now = (f"{value / si_factor(name):.6g}" for value in (wanted, today))
        message = (
            f"{name} = {then} would be a change for the worse, since it is {now} already; give a "
            f"{'larger' if more else 'smaller'} value, or leave the change out"
        )
        raise Refusal(message)
