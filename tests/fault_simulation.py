"""Synthetic bikes with known faults, read with a whole sheet of readings.

The faults are made here as they would be made in a garage, of even severities, and not by the diagnosis' own idea of
them: springs differ one by one, and a jerky return jerks reading by reading.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from clutchwright import usecases
from clutchwright.bikefile import MeasuredBike
from clutchwright.calibrate.faults import FAULTS
from clutchwright.calibrate.forward import predicted, situation
from clutchwright.quantity import Quantity
from clutchwright.readings import KINDS, USUAL, Reading
from tests.bench_simulation import Tools, empty, true_values

KEYS = tuple(fault.key for fault in FAULTS)
LEVER = tuple(
    (name, "travel", travel, 0) for travel in (0.9, *range(4, 46, 3)) for name in ("hook_pull", "hook_return")
)
# The sheet of readings filled in as a whole: kind, place [shown unit], spring.
SHEET = (
    *LEVER,
    *(("arm_travel", "travel", travel, 0) for travel in (12.0, 22.0, 32.0, 42.0)),
    *(("lift", "travel", travel, 0) for travel in (16.0, 24.0, 33.0, 42.0)),
    *((name, "weight", weight, 0) for weight in (20.0, 50.0, 80.0) for name in ("cable_pull", "cable_return")),
    *((name, "arm_turn", turn, 0) for turn in (5.0, 9.0, 13.0, 17.0) for name in ("arm_pull", "arm_return")),
    *(("lift", "arm_turn", turn, 0) for turn in (6.0, 12.0, 18.0)),
    *(("spring_load", "length", length, spring) for length in (35.5, 32.0) for spring in range(1, 7)),
    *(("spring_free", "", 0.0, spring) for spring in range(1, 7)),
    *(("hub_slip", "", 0.0, 0), ("stack", "", 0.0, 0), ("bite_creep", "", 0.0, 0)),
    ("lever.free_play_mm", "", 0.0, 0),
)


def healthy_bike() -> MeasuredBike:
    """The first demo bike, the thickness of its new pack known."""
    bike = usecases.read_demo()
    stack = {"pack.stack_mm": Quantity(38.4, 0.05, "manual")}
    return replace(bike, quantities={**bike.quantities, **stack})


@dataclass(frozen=True)
class Patient:
    """A bike with faults.

    Parameters
    ----------
    values : mapping of str to Array
        True values by key, shape (1, 1).
    springs : mapping of int to (float, float)
        Springs that differ: factor of the rate, and what is added to the free length [mm].
    jerk : float
        Standard deviation of the return's jerks, as a share of it [-].
    """

    values: Mapping[str, np.ndarray]
    springs: Mapping[int, tuple[float, float]] = field(default_factory=dict)
    jerk: float = 0.0


def broken(patient: Patient, fault: str, rng: np.random.Generator, place: float | None = None) -> Patient:
    """The same bike with one fault more, at a place within its range, from 0 to 1, or drawn evenly."""

    def moved(**changes: float) -> Patient:
        given = {key.replace("__", "."): np.array([[value]]) for key, value in changes.items()}
        return replace(patient, values={**patient.values, **given})

    def old(key: str) -> float:
        return float(patient.values[key][0, 0])

    def within(low: float, high: float) -> float:
        return low + (rng.uniform() if place is None else place) * (high - low)

    if fault == "dry-cable":
        if rng.uniform() < 0.3:
            return moved(cable__drag_N=old("cable.drag_N") + within(7.0, 18.0))
        return moved(cable__friction=old("cable.friction") * within(2.0, 3.5))
    if fault == "sagged-springs":
        return moved(springs__free_length_mm=old("springs.free_length_mm") - within(1.0, 2.5))
    if fault == "wrong-angle":
        return moved(arm__cable_angle_deg=old("arm.cable_angle_deg") + rng.choice([-1.0, 1.0]) * within(20.0, 38.0))
    if fault == "mixed-springs":
        numbers = rng.permutation(6)[: rng.integers(1, 4)] + 1
        kinds = {int(number): (within(0.75, 0.88), rng.normal() * 0.4) for number in numbers}
        return replace(patient, springs=kinds)
    if fault == "grooved-basket":
        return replace(patient, jerk=within(0.12, 0.4))
    given = {
        "binding-pivot": ("lever__pivot_friction", 0.1, 0.28),
        "dry-shaft": ("lift__friction", 0.18, 0.4),
        "worn-serration": ("arm__play_deg", 2.0, 8.0),
        "worn-pack": ("pack__wear_mm", 0.45, 0.95),
        "excess-play": ("lever__free_play_mm", 6.0, 12.0),
        "missing-play": ("lever__free_play_mm", 0.0, 0.7),
    }
    key, low, high = given[fault]
    return moved(**{key: within(low, high)})


def _blank(row: tuple[str, str, float, int]) -> Reading:
    if "." not in row[0]:
        return empty(*row)
    return Reading(row[0], "length", "", 0.0, 0, (0.0,), USUAL["ruler", "length"], None)


def _mean_springs(patient: Patient) -> dict[str, np.ndarray]:
    """Rate and free length that all springs together act like."""
    rate, free = patient.values["springs.rate_N_per_mm"], patient.values["springs.free_length_mm"]
    each = [patient.springs.get(place, (1.0, 0.0)) for place in range(1, 7)]
    mean = sum(factor for factor, _ in each) / 6.0
    longer = sum(factor * more for factor, more in each) / 6.0 / mean
    return {"springs.rate_N_per_mm": rate * mean, "springs.free_length_mm": free + longer}


def examined(
    bike: MeasuredBike,
    faults: tuple[str, ...],
    rng: np.random.Generator,
    plan: tuple = SHEET,
    place: float | None = None,
) -> tuple[Reading, ...]:
    """Readings of a bike drawn from a file, with some faults; places as in `broken`."""
    patient = Patient(true_values(bike, rng))
    for fault in faults:
        patient = broken(patient, fault, rng, place)
    loose = replace(bike, quantities={"arm.play_deg": Quantity(0.0), **bike.quantities})
    tools, readings = Tools(rng), []
    for blank in map(_blank, plan):
        own = _mean_springs(patient)
        if blank.spring:
            factor, more = patient.springs.get(blank.spring, (1.0, 0.0))
            own = {
                "springs.rate_N_per_mm": patient.values["springs.rate_N_per_mm"] * factor,
                "springs.free_length_mm": patient.values["springs.free_length_mm"] + more,
            }
        at = tools.stand(blank.at_instrument, blank.at)
        farthest = max(at, blank.at) if blank.position == "travel" else 0.0
        now = situation(loose, {**patient.values, **own}, (), farthest)
        true = float(predicted(now, blank.name, blank.position, np.array([[max(at, 0.0)]]), blank.spring)[0, 0])
        if blank.name == "hook_return":
            true *= max(1.0 + patient.jerk * rng.normal(), 0.0)
        between = KINDS[blank.name, blank.position].between if "." not in blank.name else 0.0
        readings.append(replace(blank, repeats=(tools.show(blank.instrument, true, between),)))
    return tuple(readings)
