"""What nobody knows of a change's outcome before it is done, as quantities of the bike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from clutchwright.bikefile import MeasuredBike
from clutchwright.changes.change import Step
from clutchwright.changes.registry import CHANGES, find
from clutchwright.quantity import Quantity


def unknowns() -> dict[str, Quantity]:
    """Those of all kinds of change, by key of the bike file [unit of the key]."""
    return {key: quantity for change in CHANGES.values() for key, quantity in change.unknown.items()}


def with_unknowns(measured: MeasuredBike, steps: Sequence[Step]) -> MeasuredBike:
    """A bike file that also says how sure the outcome of some changes is.

    Parameters
    ----------
    measured : MeasuredBike
        As filed.
    steps : sequence of Step
        Changes to make.

    Returns
    -------
    MeasuredBike
        With the unknowns of these changes after all else; what the file knows of them already stays.
    """
    all_ = {key: quantity for step in steps for key, quantity in find(step.kind).unknown.items()}
    new = {key: quantity for key, quantity in all_.items() if key not in measured.quantities}
    return replace(measured, quantities={**measured.quantities, **new}) if new else measured
