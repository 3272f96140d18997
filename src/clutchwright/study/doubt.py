"""Doubt: how sure the decision about a bike is, what it hangs on, and what to measure next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from clutchwright.bikefile import MeasuredBike
from clutchwright.changes import Step
from clutchwright.study.assessment import Assessment, assess
from clutchwright.study.next_measurement import NextMeasurements, next_measurements
from clutchwright.study.tolerance import Sample
from clutchwright.study.variance import VarianceShares, first_order_shares, variance_shares


@dataclass(frozen=True, slots=True)
class Doubt:
    """What is not known for sure about a bike, and what can be done about it.

    Parameters
    ----------
    assessment : Assessment
        The bike as far as it is known.
    measurements : NextMeasurements
        What to measure next.
    shares : VarianceShares
        What matters for each figure.
    sampled : bool
        Whether the shares come from sampled bikes; else they are first order.
    """

    assessment: Assessment
    measurements: NextMeasurements
    shares: VarianceShares
    sampled: bool


def find_doubt(
    measured: MeasuredBike,
    steps: Sequence[Step] = (),
    *,
    size: int = 0,
    rng: np.random.Generator | None = None,
    sample: Sample | None = None,
) -> Doubt:
    """Find what the decision about a bike hangs on.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.
    steps : sequence of Step
        Changes made to it, in order; the decision is about the changed bike.
    size : int
        Possible bikes in each of the two samples that are crossed, a power of 2; 0 for shares by first order [-].
    rng : numpy.random.Generator | None
        Source of randomness; None for shares by first order.
    sample : Sample | None
        Possible bikes that the chances are counted among; None for chances to first order.

    Returns
    -------
    Doubt
        See there.

    Raises
    ------
    Refusal
        Where a change cannot be done.
    """
    if size and rng is not None:
        shares, sampled = variance_shares(measured, steps, size=size, rng=rng), True
    else:
        shares, sampled = first_order_shares(measured, steps), False
    return Doubt(assess(measured, steps, sample), next_measurements(measured, steps, sample), shares, sampled)
