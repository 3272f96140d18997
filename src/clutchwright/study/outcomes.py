"""What many possible bikes come to, all with the same changes: their figures, and which of them go wrong."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from clutchwright.assess.figures import FIGURES, measure
from clutchwright.assess.gaps import measured_gaps
from clutchwright.assess.verdict import RULES
from clutchwright.bike import Bike
from clutchwright.bikefile import MeasuredBike, assemble
from clutchwright.chain import respond
from clutchwright.changes import Step, apply
from clutchwright.quantity import Array
from clutchwright.study.stacking import rows

Flags = NDArray[np.bool_]

# Possible bikes worked out at a time. Measured: with 4,096 the arrays leave the cache and it takes twice as long.
BLOCK = 1024

_LIMITS = {rule.key: rule.limit for rule in RULES}


@dataclass(frozen=True, slots=True)
class Outcomes:
    """What possible bikes come to.

    Parameters
    ----------
    figures : dict of str to Array
        Values by key of ``FIGURES``, in the unit of the key, shape (size,).
    gaps : dict of str to Array
        Measured gaps by name [mm], shape (size,); see `measured_gaps`.
    """

    figures: dict[str, Array]
    gaps: dict[str, Array]

    @property
    def margins(self) -> dict[str, Array]:
        """What is left before each thing goes wrong, shape (size,): slip margin over its limit [-], the others [mm]."""
        return {
            "slips": self.figures["slip_margin_hot"] - _LIMITS["slip_margin_hot"],
            "does_not_release": self.figures["release_margin_mm"] - _LIMITS["release_margin_mm"],
            **self.gaps,
        }

    @property
    def events(self) -> dict[str, Flags]:
        """Whether each bike slips (worn and hot, full torque), does not release, touches (any measured gap)."""
        slips, does_not_release, *touching = self._failing.values()
        touches = np.logical_or.reduce([np.zeros_like(slips), *touching])
        return {"slips": slips, "does_not_release": does_not_release, "touches": touches}

    @property
    def _failing(self) -> dict[str, Flags]:
        """Whether each bike has nothing left of each margin; one that could not be worked out counts as nothing."""
        return {name: ~(margin >= 0.0) for name, margin in self.margins.items()}

    @property
    def chances(self) -> dict[str, float]:
        """Share of the bikes that have nothing left of each margin [-], by its name."""
        return {name: float(np.mean(fails)) for name, fails in self._failing.items()}

    @property
    def probability(self) -> dict[str, float]:
        """Share of the bikes to which each event happens [-]."""
        return {event: float(np.mean(happens)) for event, happens in self.events.items()}

    @property
    def short(self) -> dict[str, float]:
        """Share of the bikes that fall short of the limit of each rule [-], by the key of its figure."""
        return {key: float(np.mean(~(self.figures[key] >= limit))) for key, limit in _LIMITS.items()}


def outcomes(measured: MeasuredBike, steps: Sequence[Step], values: Mapping[str, Array], *, size: int) -> Outcomes:
    """Work out possible bikes.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.
    steps : sequence of Step
        Changes made to each of them, in order.
    values : mapping of str to Array
        Values by key [unit of the key], each of shape (size, 1); other quantities are as filed.
    size : int
        How many [-].

    Returns
    -------
    Outcomes
        In the order of the values.

    Raises
    ------
    Refusal
        Where a change cannot be done.
    """
    bike = apply(assemble(measured, values), steps)
    blocks = [
        _block(rows(bike, slice(start, start + BLOCK)), min(BLOCK, size - start)) for start in range(0, size, BLOCK)
    ]
    if not blocks:
        return Outcomes({figure.key: np.empty(0) for figure in FIGURES}, {})
    return Outcomes(
        {key: np.concatenate([block.figures[key] for block in blocks]) for key in blocks[0].figures},
        {key: np.concatenate([block.gaps[key] for block in blocks]) for key in blocks[0].gaps},
    )


def _block(bike: Bike, size: int) -> Outcomes:
    response = respond(bike)
    gaps = measured_gaps(bike, full_lift=response.lift[..., -1:], full_angle=response.full_angle)

    def column(value: Any) -> Array:
        return np.broadcast_to(np.asarray(value, dtype=np.float64), (size,))

    return Outcomes(
        {key: column(value) for key, value in measure(bike, response).items()},
        {key: column(np.atleast_1d(gap)[..., 0] * 1e3) for key, gap in gaps.items()},
    )
