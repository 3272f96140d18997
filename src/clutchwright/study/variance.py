"""What matters: the share of the variance of each figure, and of each thing that can go wrong, by input."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from clutchwright.bikefile import MeasuredBike
from clutchwright.changes import Step, with_unknowns
from clutchwright.quantity import Array
from clutchwright.study.outcomes import outcomes
from clutchwright.study.tolerance import combined, first_order, one_at_a_time, uncertain, values_at

# Whether any of the events happens: what the word "unsafe" stands for when many bikes are judged.
UNSAFE = "unsafe"

# An event must happen, and not happen, in this share of the bikes at least: the indices of a rarer one hang on a
# handful of bikes (measured at size 512: from seed to seed they scatter by 0.2 where 2 % of the bikes fail, by 0.1
# where 10 % do; those of figures by 0.03).
RARE = 0.05


@dataclass(frozen=True, slots=True)
class Share:
    """Part of one input in the variance of one figure or event.

    Parameters
    ----------
    key : str
        Name of the input, one of `uncertain`.
    first : float
        First-order index [-]: the share that would go if this alone were known exactly. It and ``total`` are
        estimates; one that is all but nothing may come out a little below 0.
    total : float
        Total index [-]: the share that would stay if all but this were known exactly; more than ``first`` where it
        acts together with others.
    """

    key: str
    first: float
    total: float


@dataclass(frozen=True, slots=True)
class VarianceShares:
    """What matters.

    Parameters
    ----------
    evaluations : int
        Possible bikes worked out for it.
    shares : dict of str to tuple of Share
        By key of ``FIGURES`` and of the events, and for ``UNSAFE``; the greatest total first. A figure that some of
        the bikes do not have, or that is the same for all, is left out, and so is an event rarer than ``RARE``, or as
        rarely missed: what matters for it is what matters for its margin.
    """

    evaluations: int
    shares: dict[str, tuple[Share, ...]]


def variance_shares(
    measured: MeasuredBike, steps: Sequence[Step] = (), *, size: int = 512, rng: np.random.Generator
) -> VarianceShares:
    """Share of the variance of each figure and event by input.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.
    steps : sequence of Step
        Changes made to it, in order.
    size : int
        Possible bikes in each of the two samples that are crossed [-], a power of 2.
    rng : numpy.random.Generator
        Source of randomness.

    Returns
    -------
    VarianceShares
        See there. With n inputs it takes size (n + 2) bikes.

    Raises
    ------
    Refusal
        Where a change cannot be done.
    """
    measured = with_unknowns(measured, steps)
    inputs = uncertain(measured.quantities)
    rare: set[str] = set()

    def figures_and_events(scores: Array) -> dict[str, Array]:
        found = outcomes(
            measured, steps, values_at(measured.quantities, scores, measured.correlation), size=len(scores)
        )
        events = {name: happens.astype(np.float64) for name, happens in found.events.items()}
        events |= {UNSAFE: np.max(list(events.values()), axis=0)}
        rare.update(name for name, happens in events.items() if not RARE <= np.mean(happens) <= 1.0 - RARE)
        return found.figures | events

    shares = sobol_shares(figures_and_events, inputs, size=size, rng=rng) if inputs else {}
    return VarianceShares(size * (len(inputs) + 2), {key: rows for key, rows in shares.items() if key not in rare})


def first_order_shares(measured: MeasuredBike, steps: Sequence[Step] = ()) -> VarianceShares:
    """The same by first order: at once, of the figures only, and as if no input acted together with another.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.
    steps : sequence of Step
        Changes made to it, in order.

    Returns
    -------
    VarianceShares
        See there; ``first`` and ``total`` are alike. With n inputs it takes 2 n bikes.

    Raises
    ------
    Refusal
        Where a change cannot be done.
    """
    measured = with_unknowns(measured, steps)
    inputs = uncertain(measured.quantities)
    values = one_at_a_time(measured.quantities, measured.correlation)
    moved = outcomes(measured, steps, values, size=2 * len(inputs)).figures
    shares = {}
    for key, figure in moved.items():
        parts = first_order(measured.quantities, figure)
        whole = combined(parts) ** 2
        if whole > 0.0 and np.isfinite(whole):
            share = np.array([part**2 / whole for part in parts.values()])
            shares[key] = _ranked(inputs, share, share)
    return VarianceShares(2 * len(inputs), shares)


def sobol_shares(
    function: Callable[[Array], Mapping[str, Array]], inputs: Sequence[str], *, size: int, rng: np.random.Generator
) -> dict[str, tuple[Share, ...]]:
    """Sobol indices of a function of independent standard normal scores.

    Parameters
    ----------
    function : callable
        From scores [-] of shape (samples, inputs) to outputs by name, each of shape (samples,); to at least two of
        them where there is one input.
    inputs : sequence of str
        Names of the inputs, at least one.
    size : int
        Length of each of the two samples that are crossed [-], a power of 2.
    rng : numpy.random.Generator
        Source of randomness.

    Returns
    -------
    dict of str to tuple of Share
        By output, the greatest total first, ties in the order of the inputs; an output that is the same everywhere or
        not finite somewhere is left out.

    References
    ----------
    Saltelli et al., Variance based sensitivity analysis of model output, Computer Physics Communications 181 (2010)
    259, through scipy.
    """
    from scipy.stats import norm, sobol_indices

    finite: dict[str, bool] = {}

    def stacked(scores: Array) -> Array:
        found = function(scores.T)
        for name, values in found.items():
            finite[name] = finite.get(name, True) and bool(np.all(np.isfinite(values)))
        return np.stack([np.where(np.isfinite(values), values, 0.0) for values in found.values()])

    indices = sobol_indices(func=stacked, n=size, dists=[norm()] * len(inputs), rng=rng)
    # scipy drops axes of length 1
    first, total = (
        np.reshape(index, (len(finite), len(inputs))) for index in (indices.first_order, indices.total_order)
    )
    return {
        name: _ranked(inputs, first[row], total[row])
        for row, name in enumerate(finite)
        if finite[name] and np.any(total[row] != 0.0)
    }


def _ranked(inputs: Sequence[str], first: Array, total: Array) -> tuple[Share, ...]:
    rows = map(Share, inputs, first.tolist(), total.tolist())
    return tuple(sorted(rows, key=lambda row: -row.total))
