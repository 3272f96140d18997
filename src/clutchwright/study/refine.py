"""Refining: values that may lie anywhere in a range, moved off the grid to where the setup is lightest.

The search knows a range by a grid of values. Each of its best setups is taken up where the grid left it, and its free
values are moved, within their ranges, to the least peak pull at which every limit still holds and the clutch grips no
less. That a share of the possible bikes may fail is a limit on one of them: with k allowed to fail, on the margin of
the one that is (k + 1)th from the worst. This margin is continuous in the values, where a count of bikes is not, so
that a bounded method for smooth problems can follow it.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np

from clutchwright.assess.checks import Stroke
from clutchwright.assess.figures import worn_hot_margin
from clutchwright.bike import Bike
from clutchwright.bikefile import MeasuredBike, assemble
from clutchwright.chain import respond
from clutchwright.changes import Step, apply
from clutchwright.errors import Refusal
from clutchwright.hand.hand import Hand
from clutchwright.quantity import Array
from clutchwright.study.components import margins
from clutchwright.study.front import best
from clutchwright.study.search import OBJECTIVES, SearchResult, Setup, stated_order
from clutchwright.study.sweep import failing, objection
from clutchwright.study.tolerance import Sample
from clutchwright.study.variants import make

SLOPE_STEP = 1e-4  # of a range, for slopes by differences
HALVINGS = 30
# Cable left to draw is a fraction of a metre, a slip margin about 1; the method wants numbers of one size.
SCALES = {"slips": 1.0, "does_not_release": 1e3, "touches": 1e3}


def refine(measured: MeasuredBike, result: SearchResult, *, sample: Sample, hand: Hand | None = None) -> SearchResult:
    """Move the free values of the best setups off the grid.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.
    result : SearchResult
        What the search found for it.
    sample : Sample
        The same possible bikes.
    hand : Hand | None
        The same hand.

    Returns
    -------
    SearchResult
        With a front in which each setup is as light as before or lighter, at the same price and hours, gripping no
        less; setups that another one now beats are dropped.
    """
    bikes = assemble(measured), assemble(measured, sample.values)
    already = failing(bikes[0])
    setups = []
    for setup in result.front:
        places = _free(setup, result)
        task = _Refining(bikes, setup, result, hand=hand, already=already, size=sample.size) if places else None
        setups.append(task.solve() if task else setup)
    points = np.array([[sign * getattr(setup, name) for name, sign in OBJECTIVES] for setup in setups])
    kept = best(points.reshape(len(setups), len(OBJECTIVES)))
    front = sorted((s for s, fine in zip(setups, kept, strict=True) if fine), key=stated_order)
    return replace(result, front=tuple(front))


def _free(setup: Setup, result: SearchResult) -> list[tuple[int, str, float, float]]:
    """Free values of a setup: place of the step, parameter, low, high."""
    by_name = {option.name: option.free for option in result.options}
    found = [(place, by_name[name]) for place, name in enumerate(setup.options)]
    return [(place, free.parameter, free.low, free.high) for place, free in found if free is not None]


class _Refining:
    """One setup, its free values as shares of their ranges."""

    def __init__(
        self,
        bikes: tuple[Bike, Bike],
        setup: Setup,
        result: SearchResult,
        *,
        hand: Hand | None,
        already: set[str],
        size: int,
    ) -> None:
        self.bikes, self.setup, self.hand, self.already, self.size = bikes, setup, hand, already, size
        self.free = _free(setup, result)
        self.allowed = result.limits.allowed(size)
        self.start = np.array([(self._given(place, key) - low) / (high - low) for place, key, low, high in self.free])

    def _given(self, place: int, key: str) -> float:
        value = self.setup.steps[place].parameters[key]
        return float(value) if isinstance(value, float) else float("nan")

    def steps(self, shares: Array) -> tuple[Step, ...]:
        """The steps with other values."""
        steps = list(self.setup.steps)
        for share, (place, key, low, high) in zip(shares.tolist(), self.free, strict=True):
            value = min(max(float(f"{low + share * (high - low):.12g}"), low), high)
            steps[place] = Step(steps[place].kind, {**steps[place].parameters, key: value})
        return tuple(steps)

    def bike(self, shares: Array, which: int) -> Bike:
        """The nominal (0) or sampled (1) bike with other values."""
        bike = self.bikes[which]
        for step in self.steps(shares):
            bike = make(bike, step)
        return bike

    def pull(self, shares: Array) -> float:
        """Peak pull over that of the setup on the grid [-]."""
        return float(np.max(respond(self.bike(shares, 0)).pull)) / self.setup.pull_peak_N

    def slack(self, shares: Array) -> Array:
        """What is left before each limit, 0 or more where it holds."""
        left = margins(self.bike(shares, 1), self.size)
        deciding = [
            np.partition(left[name], self.allowed[name])[self.allowed[name]] * scale
            for name, scale in SCALES.items()
            if self.allowed[name] < self.size
        ]
        grip = float(worn_hot_margin(self.bike(shares, 0))) - self.setup.slip_margin_hot
        return np.minimum(np.array([*deciding, grip]), 1.0)

    def fine(self, shares: Array) -> bool:
        """Whether the setup may stand with these values."""
        try:
            bike = apply(self.bikes[0], self.steps(shares))
        except Refusal:
            return False
        response = respond(bike)
        stroke = Stroke(float(response.lift[-1]), float(response.full_angle[0]))
        # the grip is worked out anew from the same numbers, so that it may differ by a rounding
        return bool(np.all(self.slack(shares) >= -1e-12)) and not objection(
            bike, stroke, already=self.already, hand=self.hand
        )

    def solve(self) -> Setup:
        """The setup with the best values found; as it was where none are better."""
        found = self._rounded(self._farthest(self._lightest()))
        pull = self.pull(found)
        if not pull < 1.0:
            return self.setup
        left = margins(self.bike(found, 1), self.size)
        return replace(
            self.setup,
            steps=self.steps(found),
            pull_peak_N=pull * self.setup.pull_peak_N,
            slip_margin_hot=max(float(worn_hot_margin(self.bike(found, 0))), self.setup.slip_margin_hot),
            probability={name: float(np.mean(left[name] < 0.0)) for name in SCALES},
        )

    def _rounded(self, shares: Array) -> Array:
        """The lightest fine values near by with no more digits than a thousandth of their range has."""
        near = []
        for share, (_, _, low, high) in zip(shares.tolist(), self.free, strict=True):
            digit = 10.0 ** np.floor(np.log10(1e-3 * (high - low)))
            steps = (low + share * (high - low)) / digit
            values = (float(f"{step * digit:.12g}") for step in (np.floor(steps), np.ceil(steps)))
            near.append([(min(max(value, low), high) - low) / (high - low) for value in values])
        fine = [found for found in map(np.array, product(*near)) if self.fine(found)]
        return min(fine, key=self.pull, default=shares)

    def _lightest(self) -> Array:
        """Values of least pull that hold the limits, but for the method's own tolerance."""
        from scipy.optimize import minimize

        found = minimize(
            self.pull,
            self.start,
            method="SLSQP",
            bounds=[(0.0, 1.0)] * len(self.start),
            constraints={"type": "ineq", "fun": self.slack},
            options={"eps": SLOPE_STEP, "ftol": 1e-7, "maxiter": 50},
        )
        return np.clip(found.x, 0.0, 1.0)

    def _farthest(self, wanted: Array) -> Array:
        """The farthest point on the way from the grid to the wanted values that is fine, by halving."""
        if self.fine(wanted):
            return wanted
        low, high = 0.0, 1.0
        for _ in range(HALVINGS):
            middle = 0.5 * (low + high)
            if self.fine(self.start + middle * (wanted - self.start)):
                low = middle
            else:
                high = middle
            if high - low < 1e-6:
                break
        return self.start + low * (wanted - self.start)
