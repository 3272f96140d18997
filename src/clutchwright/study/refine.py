"""Refining: values that may lie anywhere in a range, moved off the grid to where the setup is lightest.

The search knows a range by a grid of values. Each of its best setups is taken up where the grid left it, and its free
values are moved, within their ranges, to the least peak pull at which every limit still holds and the clutch grips no
less. That a share of the possible bikes may fail is a limit on one of them: with k allowed to fail, on the margin of
the one that is (k + 1)th from the worst. This margin is continuous in the values, where a count of bikes is not, so
that a bounded method for smooth problems can follow it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import product

import numpy as np
from numpy.typing import NDArray

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
from clutchwright.study.progress import Progress, unheard
from clutchwright.study.search import OBJECTIVES, SearchResult, Setup, stated_order
from clutchwright.study.stacking import rows
from clutchwright.study.sweep import failing, objection
from clutchwright.study.tolerance import Sample
from clutchwright.study.variants import make

REFINING = "finding the best values between those tried"
SLOPE_STEP = 1e-4  # of a range, for slopes by differences
TOLERANCE = 1e-6  # of the pull
STEPS = 12  # of the method: where it settles it needs fewer; at a kink of the limits it goes to and fro for ever
HALVINGS = 10
SPARE = 8  # possible bikes that are looked at, for each that may fail
# Cable left to draw is a fraction of a metre, a slip margin about 1; the method wants numbers of one size.
SCALES = {"slips": 1.0, "does_not_release": 1e3, "touches": 1e3}


def refine(
    measured: MeasuredBike,
    result: SearchResult,
    *,
    sample: Sample,
    hand: Hand | None = None,
    progress: Progress = unheard,
) -> SearchResult:
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
    progress : Progress
        Told how many of the best setups are refined.

    Returns
    -------
    SearchResult
        With a front in which each setup is as light as before or lighter, at the same price and hours, gripping no
        less; setups that another one now beats are dropped.
    """
    bikes = assemble(measured), assemble(measured, sample.values)
    already = failing(bikes[0])
    setups = []
    for count, setup in enumerate(result.front):
        progress(REFINING, count, len(result.front))
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
        self._kept = self._deciding()
        self.worst = rows(bikes[1], self._kept)
        self.start = np.array([(self._given(place, key) - low) / (high - low) for place, key, low, high in self.free])

    def _deciding(self) -> NDArray[np.intp]:
        """The possible bikes on which the limits hang, with some to spare; all of them are looked at in the end."""
        left = margins(self._changed(self.bikes[1], self.setup.steps), self.size)
        worst = [np.argpartition(left[name], count)[:count] for name, count in self._spare().items()]
        return np.unique(np.concatenate([*worst, np.zeros(1, dtype=np.intp)]))

    def _spare(self) -> dict[str, int]:
        """How many possible bikes are looked at for each limit that can be broken."""
        return {
            name: min(SPARE * (may + 1), self.size - 1) for name, may in self.allowed.items() if may + 1 < self.size
        }

    @staticmethod
    def _changed(bike: Bike, steps: Sequence[Step]) -> Bike:
        for step in steps:
            bike = make(bike, step)
        return bike

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

    def pull(self, shares: Array) -> float:
        """Peak pull over that of the setup on the grid [-]."""
        return float(np.max(respond(self._changed(self.bikes[0], self.steps(shares))).pull)) / self.setup.pull_peak_N

    def slack(self, shares: Array) -> Array:
        """What is left before each limit, 0 or more where it holds, by the possible bikes that decide."""
        steps = self.steps(shares)
        left = margins(self._changed(self.worst, steps), len(self._kept))
        deciding = [
            np.partition(left[name], self.allowed[name])[self.allowed[name]] * SCALES[name] for name in self._spare()
        ]
        grip = float(worn_hot_margin(self._changed(self.bikes[0], steps))) - self.setup.slip_margin_hot
        # a gap that never closes has no end of room, which the method could not take a difference of
        return np.minimum(np.array([*deciding, grip]), 1.0)

    def tried(self, shares: Array) -> Setup | None:
        """The setup with other values, by all possible bikes; None where something speaks against it."""
        steps = self.steps(shares)
        try:
            bike = apply(self.bikes[0], steps)
        except Refusal:
            return None
        left = margins(self._changed(self.bikes[1], steps), self.size)
        failing = {name: int(np.count_nonzero(left[name] < 0.0)) for name in left}
        grip = float(worn_hot_margin(bike))
        # the same numbers may give the grip with another last digit
        if any(failing[name] > may for name, may in self.allowed.items()) or grip < self.setup.slip_margin_hot - 1e-12:
            return None
        response = respond(bike)
        stroke = Stroke(float(response.lift[-1]), float(response.full_angle[0]))
        if objection(bike, stroke, already=self.already, hand=self.hand):
            return None
        return replace(
            self.setup,
            steps=steps,
            pull_peak_N=float(np.max(response.pull)),
            slip_margin_hot=max(grip, self.setup.slip_margin_hot),
            probability={name: count / self.size for name, count in failing.items()},
            rest_span_mm=float(bike.lever.rest_span) * 1e3,
        )

    def solve(self) -> Setup:
        """The setup with the best values found; as it was where none are better."""
        wanted = self._lightest()
        found = self._rounded(wanted) or self._rounded(self._farthest(wanted))
        return min([self.setup, *found], key=lambda setup: setup.pull_peak_N)

    def _lightest(self) -> Array:
        """Values of least pull that hold the limits, but for the method's own tolerance."""
        from scipy.optimize import minimize

        found = minimize(
            self.pull,
            self.start,
            method="SLSQP",
            bounds=[(0.0, 1.0)] * len(self.start),
            constraints={"type": "ineq", "fun": self.slack},
            options={"eps": SLOPE_STEP, "ftol": TOLERANCE, "maxiter": STEPS},
        )
        return np.clip(found.x, 0.0, 1.0)

    def _rounded(self, shares: Array) -> list[Setup]:
        """Setups with values near by that have no more digits than a thousandth of their range, as far as fine."""
        near = []
        for share, (_, _, low, high) in zip(shares.tolist(), self.free, strict=True):
            digit = 10.0 ** np.floor(np.log10(1e-3 * (high - low)))
            steps = (low + share * (high - low)) / digit
            values = (float(f"{step * digit:.12g}") for step in (np.floor(steps), np.ceil(steps)))
            near.append([(min(max(value, low), high) - low) / (high - low) for value in values])
        setups = (self.tried(np.array(found)) for found in product(*near))
        return [setup for setup in setups if setup is not None]

    def _farthest(self, wanted: Array) -> Array:
        """About the farthest point on the way from the grid to the wanted values that is fine, by halving."""
        low, high = 0.0, 1.0
        for _ in range(HALVINGS):
            middle = 0.5 * (low + high)
            fine = self.tried(self.start + middle * (wanted - self.start)) is not None
            low, high = (middle, high) if fine else (low, middle)
        return self.start + low * (wanted - self.start)
