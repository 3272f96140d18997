"""Every setup of a small catalogue, each by the chain alone: what the search is held against."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from clutchwright.assess.checks import run_checks
from clutchwright.assess.figures import measure
from clutchwright.bikefile import MeasuredBike, assemble
from clutchwright.chain import respond
from clutchwright.changes import CHANGES, Step, apply, find
from clutchwright.errors import Refusal
from clutchwright.quantity import Quantity
from clutchwright.study.catalogue import Catalogue, Option
from clutchwright.study.limits import Limits
from clutchwright.study.outcomes import outcomes
from clutchwright.study.tolerance import Sample


@dataclass(frozen=True)
class Plain:
    """One fine setup: steps, objectives (pull, price, hours, minus slip margin) and probabilities."""

    steps: tuple[Step, ...]
    objectives: tuple[float, float, float, float]
    probability: dict[str, float]


def random_bike(bike: MeasuredBike, rng: np.random.Generator) -> MeasuredBike:
    """The bike with every value somewhat off, less torque or less room and smaller doubts."""
    moved = {
        key: Quantity(q.value * (1.0 + 0.03 * rng.uniform(-1, 1)), 0.5 * q.u, q.origin)
        for key, q in bike.quantities.items()
    }
    for key, low, high in (
        ("drive.engine_torque_Nm", 0.7, 1.0),
        ("clearance.bolt_to_cover_mm", 0.7, 1.1),
        ("clearance.arm_room_mm", 0.6, 1.2),
    ):
        if key in moved:
            moved[key] = replace(moved[key], value=moved[key].value * rng.uniform(low, high))
    return replace(bike, quantities=moved)


def choices(catalogue: Catalogue) -> Iterator[tuple[tuple[Option, Step], ...]]:
    """All ways to choose that obey the exclusions, in the order in which the steps are made."""
    for picked in product(*((None, *option.choices) for option in catalogue.options)):
        taken = [(o, step) for o, step in zip(catalogue.options, picked, strict=True) if step is not None]
        names = {option.name for option, _ in taken}
        if not any(names & set(option.excludes) for option, _ in taken):
            yield tuple(sorted(taken, key=lambda pair: find(pair[1].kind).turn))


def every_fine(bike: MeasuredBike, catalogue: Catalogue, sample: Sample, limits: Limits) -> list[Plain]:
    nominal = assemble(bike)
    today = {check.key for check in run_checks(nominal, respond(nominal)) if check.state == "failed"}
    found = []
    for taken in choices(catalogue):
        steps = tuple(step for _, step in taken)
        try:
            setup = apply(nominal, steps)
        except Refusal:
            continue
        events = outcomes(bike, steps, sample.values, size=sample.size).events
        probability = {name: float(np.mean(happens)) for name, happens in events.items()}
        if any(share > getattr(limits, name) for name, share in probability.items()):
            continue
        response = respond(setup)
        if any(check.state == "failed" and check.key not in today for check in run_checks(setup, response)):
            continue
        figures = measure(setup, response)
        price, hours = (round(sum(getattr(option, name) for option, _ in taken), 6) for name in ("price", "hours"))
        objectives = (float(figures["pull_peak_N"]), price, hours, -float(figures["slip_margin_hot"]))
        found.append(Plain(steps, objectives, probability))
    return found


def beats(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    # two ways to the same bike may differ in the last digits of pull and grip
    close = [np.isclose(a, b, rtol=1e-9, atol=0.0) for a, b in zip(one, other, strict=True)]
    no_worse = all(same or a <= b for a, b, same in zip(one, other, close, strict=True))
    return no_worse and not all(close)


def best_of(setups: list[Plain]) -> list[Plain]:
    return [one for one in setups if not any(beats(other.objectives, one.objectives) for other in setups)]


# Values of the one open parameter, as shares of today's or as they are, and the rest.
KINDS: dict[str, tuple[str, str, float, float, dict[str, object]]] = {
    "perch-shift": ("shift_mm", "", 2.0, 25.0, {}),
    "reach-screw": ("rest_span_mm", "lever.rest_span_mm", 0.88, 1.05, {}),
    "cable-radius": ("radius_mm", "lever.cable_radius_mm", 0.8, 1.05, {}),
    "free-play": ("free_play_mm", "", 1.0, 6.0, {}),
    "cable-service": ("friction", "", 0.04, 0.15, {"drag_N": 0.5}),
    "cable-routing": ("bend_deg", "", 40.0, 250.0, {}),
    "cable-stiffer": ("compliance_share", "", 0.3, 1.0, {}),
    "hydraulic": ("area_ratio", "", 0.9, 1.3, {}),
    "inline-unit": ("ratio", "", 1.02, 1.25, {"drag_N": 1.0, "play_mm": 0.3}),
    "arm-length": ("length_mm", "arm.length_mm", 0.9, 1.3, {}),
    "assist-spring": (
        "pretension_N",
        "",
        20.0,
        120.0,
        {"rate_N_per_mm": 1.5, "hook_radius_mm": 14.0, "post_radius_mm": 30.0, "before_centre_deg": 6.0},
    ),
    "springs-softer": ("rate_share", "", 0.7, 0.99, {}),
    "washers": ("thickness_mm", "", 0.2, 1.5, {"outer_mm": 11.0}),
    "springs-fewer": ("left_out", "", 0.0, 0.0, {}),
    "plates": ("friction_share", "", 0.95, 1.3, {"extra_pairs": 0}),
}


def random_catalogue(bike: MeasuredBike, rng: np.random.Generator, *, most: int = 100) -> Catalogue:
    """A few options of random kinds, values and prices, some excluding others."""
    options: list[Option] = []
    names = rng.permutation([*CHANGES, *rng.choice(list(KINDS), 4)]).tolist()
    for number, kind in enumerate(names):
        steps = tuple(Step(kind, values) for values in _values(bike, kind, rng))
        price = float(rng.choice([0, 0, 5, 10.25, 40]))
        options.append(Option(f"{kind} {number}", steps, price, float(rng.choice([0.1, 0.2, 0.3, 1.0])), True))
        if Catalogue("random", tuple(options)).combinations > most:
            options.pop()
            break
    for place, option in enumerate(options):
        if place and rng.random() < 0.3:
            options[place] = replace(option, excludes=(options[int(rng.integers(place))].name,))
    return Catalogue("random", tuple(options))


def _values(bike: MeasuredBike, kind: str, rng: np.random.Generator) -> list[dict[str, object]]:
    if kind not in KINDS:
        return [dict(find(kind).example)]
    name, key, low, high, rest = KINDS[kind]
    if kind == "springs-fewer":
        patterns = ([1, 4], [2, 5], [1, 3, 5], [1], [1, 3])
        return [{name: tuple(patterns[int(rng.integers(len(patterns)))])}]
    today = bike.quantities[key].value if key else 1.0
    count = int(rng.choice([1, 1, 2]))
    given = [{**rest, name: round(today * float(rng.uniform(low, high)), 3)} for _ in range(count)]
    return [find(kind).check(values) for values in given]
