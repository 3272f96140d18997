"""What several changes ask of a bike: its cable, its coil springs, the springs on some bosses."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from clutchwright.bike import Bike
from clutchwright.errors import Refusal
from clutchwright.physics.cable import Cable
from clutchwright.physics.springs import CoilSet, CoilSpring
from clutchwright.quantity import Number


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
