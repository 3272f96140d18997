"""Synthetic benches: true bikes drawn from a bike file, read with instruments that err as they say they do.

The errors are made here step by step, display and all, and not by the model that the fit has of them.
"""

from __future__ import annotations

import numpy as np

from clutchwright.bikefile import MeasuredBike
from clutchwright.calibrate import fit, posterior
from clutchwright.calibrate.forward import predicted, situation
from clutchwright.quantity import si_factor
from clutchwright.readings import KINDS, POSITIONS, USUAL, Instrument, Reading, Readings
from clutchwright.readings.kinds import shown_ending
from clutchwright.study.tolerance import random_values

# What a patient owner reads: kind, place [shown unit], spring.
PLAN = (
    *((name, "travel", travel, 0) for travel in (0.9, *range(4, 46, 3)) for name in ("hook_pull", "hook_return")),
    *(("arm_travel", "travel", travel, 0) for travel in (12.0, 28.0, 42.0)),
    *(("lift", "travel", travel, 0) for travel in (24.0, 42.0)),
    *(("spring_load", "length", length, 0) for length in (36.0, 32.0, 30.5)),
    *(("spring_free", "", 0.0, spring) for spring in (1, 3)),
)


def empty(name: str, position: str, place: float, spring: int) -> Reading:
    """A reading before it is taken, with the usual instruments."""
    kind = KINDS[name, position]
    at = POSITIONS.get(position)
    return Reading(
        name=name,
        dimension=kind.dimension,
        position=position,
        at=place * si_factor(shown_ending(at.dimension)) if at else 0.0,
        spring=spring,
        repeats=(0.0,),
        instrument=USUAL[kind.tool, kind.dimension],
        at_instrument=USUAL[at.tool, at.dimension] if at else None,
    )


class Tools:
    """Instruments with the zeros and gains they happen to have."""

    def __init__(self, rng: np.random.Generator) -> None:
        self.rng, self.errors = rng, {}

    def error(self, tool: Instrument) -> tuple[float, float]:
        """Zero and gain of an instrument, the same each time."""
        if tool not in self.errors:
            zero, gain = self.rng.normal(size=2)
            self.errors[tool] = (zero * tool.zero_u, gain * tool.gain_u)
        return self.errors[tool]

    def show(self, tool: Instrument, true: float, between: float) -> float:
        """What an instrument shows of a true value, of a part that differs from its like by a little."""
        zero, gain = self.error(tool)
        exact = (true + between * self.rng.normal()) * (1.0 + gain) + zero + tool.scatter * self.rng.normal()
        return max(round(exact / tool.resolution) * tool.resolution, 0.0)

    def stand(self, tool: Instrument | None, shown: float) -> float:
        """Where a thing truly stands that an instrument shows to stand at a place."""
        if tool is None:
            return shown
        zero, gain = self.error(tool)
        step = self.rng.uniform(-0.5, 0.5) * tool.resolution
        return (shown + step - zero - tool.scatter * self.rng.normal()) / (1.0 + gain)


def true_values(bike: MeasuredBike, rng: np.random.Generator) -> dict[str, np.ndarray]:
    """One bike that the file may stand for: values by key, of shape (1, 1)."""
    return {key: value[:1] for key, value in random_values(bike.quantities, 2, rng, bike.correlation).items()}


def read(
    bike: MeasuredBike, truth: dict[str, np.ndarray], plan: tuple[tuple[str, str, float, int], ...], tools: Tools
) -> tuple[Reading, ...]:
    """Readings of a true bike."""
    readings = []
    for each in (empty(*row) for row in plan):
        at = tools.stand(each.at_instrument, each.at)
        now = situation(bike, truth, (), max(at, each.at) if each.position == "travel" else 0.0)
        true = float(predicted(now, each.name, each.position, np.array([[max(at, 0.0)]]), each.spring)[0, 0])
        shown = tools.show(each.instrument, true, KINDS[each.name, each.position].between)
        readings.append(
            Reading(
                each.name, each.dimension, each.position, each.at, each.spring, (shown,), each.instrument,
                each.at_instrument,
            )
        )  # fmt: skip
    return tuple(readings)


def as_file(readings: tuple[Reading, ...], name: str = "bench.csv", fingerprint: str = "0") -> Readings:
    """Readings as if they came from a file."""
    return Readings(name, fingerprint * 64, readings)


def covered(
    bike: MeasuredBike, plan: tuple[tuple[str, str, float, int], ...], seed: tuple[int, ...]
) -> dict[str, bool]:
    """Whether the interval from the 5 to the 95 % quantile of the posterior holds the true value, by key."""
    rng = np.random.default_rng(seed)
    truth = true_values(bike, rng)
    found = posterior(fit(bike, [as_file(read(bike, truth, plan, Tools(rng)))]), rng, 1024)
    ends = {key: np.quantile(values[:, 0], (0.05, 0.95)) for key, values in found.values.items()}
    return {key: bool(low <= truth[key][0, 0] <= high) for key, (low, high) in ends.items()}
