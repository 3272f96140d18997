"""Diagnosis: which fault, if any, explains readings better than the bike file does, and how sure that is.

The healthy bike and every fault are hypotheses of their own: each is a bike file with its own prior, fitted to the same
readings. What the readings say for one of them is its evidence, the likelihood averaged over that prior, so that a
fault which must be just so severe to fit, or which moves what need not be moved, pays for it by itself. Bayes' rule
makes probabilities of them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import chain

import numpy as np

from clutchwright.bikefile import MeasuredBike, assemble
from clutchwright.calibrate.faults import FAULTS, Fault
from clutchwright.calibrate.fitted import Fit
from clutchwright.calibrate.good_order import in_good_order
from clutchwright.calibrate.hypotheses import LOG_ODDS_BEFORE, Hypothesis, Search, probabilities
from clutchwright.calibrate.plausible import check_after, check_before, check_gross
from clutchwright.calibrate.signs import Sign, look_closer, signs
from clutchwright.chain import respond
from clutchwright.changes import Step, apply
from clutchwright.quantity import Array, Number, Quantity, si_factor
from clutchwright.readings import Reading, Readings

# A fault is named from this probability on [-]; and is not tested where the readings move its odds by less than this
# much, natural logarithm [-].
NAMED, UNTESTED = 0.5, 0.3
_SAMPLES = 64


@dataclass(frozen=True, slots=True)
class Clue:
    """What one kind of reading says.

    Parameters
    ----------
    label : str
        The kind.
    count : int
        How many readings [-].
    expected, fitted : float
        Root mean square distance from what is to be expected without the fault, and from the bike fitted with it, in
        standard uncertainties [-].
    """

    label: str
    count: int
    expected: float
    fitted: float


@dataclass(frozen=True, slots=True)
class Suspect:
    """One fault after the readings.

    Parameters
    ----------
    fault : Fault
        Which.
    probability : float
        Chance that it is there [-].
    log_odds : float
        Natural logarithm of how many times more likely than on a healthy bike the readings are with this fault alone.
    severity : mapping of str to (Quantity, Quantity)
        By key of what it changes: as filed, and as fitted with the fault [unit of the key].
    springs : tuple of int
        Which springs alone are odd, counted from 1; empty where none stands out.
    clues : tuple of Clue
        By kind of reading, what it explains best first.
    peak, lift : Quantity
        What putting it right changes: in peak pull at the finger [N] and in full lift of the plate [mm].
    """

    fault: Fault
    probability: float
    log_odds: float
    severity: Mapping[str, tuple[Quantity | None, Quantity]]
    springs: tuple[int, ...]
    clues: tuple[Clue, ...]
    peak: Quantity
    lift: Quantity

    @property
    def named(self) -> bool:
        """Whether it is more likely there than not."""
        return self.probability > NAMED

    @property
    def untested(self) -> bool:
        """Whether the readings say next to nothing of it."""
        return abs(self.log_odds) < UNTESTED


@dataclass(frozen=True, eq=False)
class Diagnosis:
    """What readings say of a bike's faults.

    Parameters
    ----------
    healthy, best : Hypothesis
        The healthy bike, and the most probable state.
    probability : float
        Chance that none of the faults is there [-].
    suspects : tuple of Suspect
        All faults, the most probable first.
    read : int
        How many readings there were, those that were repeated counted once [-].
    """

    healthy: Hypothesis
    best: Hypothesis
    probability: float
    suspects: tuple[Suspect, ...]
    read: int

    @property
    def named(self) -> tuple[Suspect, ...]:
        """Faults that are more likely there than not; what is free to put right first."""
        return tuple(sorted((each for each in self.suspects if each.named), key=lambda each: not each.fault.free))

    @cached_property
    def signs(self) -> tuple[Sign, ...]:
        """What one sees without any fit."""
        return signs(self.healthy.fit.bench)

    @property
    def standing_out(self) -> tuple[Sign, ...]:
        """Signs that are not those of a healthy bike, the farthest off first."""
        least = look_closer(len(self.signs))
        return tuple(
            sorted((each for each in self.signs if abs(each.distance) > least), key=lambda s: -abs(s.distance))
        )

    @property
    def assumed(self) -> dict[str, tuple[Quantity, Quantity]]:
        """What is only assumed of the healthy bike though faults change it: as assumed, and with the readings."""
        about = self.healthy.fit.bench
        serviceable = {key for fault in FAULTS for form in fault.make(about.measured) for key in form.quantities}
        values = about.values_of(np.stack([self.healthy.fit.mode, *_moved(self.healthy.fit)]))
        return {
            key: (quantity, _fitted(values[key]))
            for key, quantity in about.quantities.items()
            if key in serviceable and quantity.assumed
        }


def diagnose(
    measured: MeasuredBike, files: Sequence[Readings], steps: Sequence[Step], rng: np.random.Generator
) -> Diagnosis:
    """Find what is wrong with a bike.

    Parameters
    ----------
    measured : MeasuredBike
        The healthy bike as filed; its uncertainties are the prior. What is only assumed of parts that dry or wear
        gives way to a part in good order.
    files : sequence of Readings
        What was read of it now.
    steps : sequence of Step
        Changes that were made to it before the readings were taken.
    rng : numpy.random.Generator
        Source of randomness, for the uncertainty of what a remedy gives.

    Returns
    -------
    Diagnosis
        See there.

    Raises
    ------
    InputError
        For readings that this bike cannot have shown, whatever is wrong with it.
    Refusal
        Where a change cannot be done.
    """
    read = sum(len(file.readings) for file in files)
    files = [replace(file, readings=tuple(chain.from_iterable(map(_singles, file.readings)))) for file in files]
    readings = tuple(chain.from_iterable(file.readings for file in files))
    sources = tuple((file.name, file.fingerprint) for file in files)
    measured = in_good_order(measured)
    states = Search(measured, readings, tuple(steps), sources).states()
    best = max(states, key=lambda state: state.log_weight)
    check_gross(states[0].fit.bench, files)
    check_before(best.fit.bench, files)
    check_after(best.fit, files)
    weights = probabilities(states)
    suspects = [_suspect(fault, states, weights, rng) for fault in FAULTS if fault.make(measured)]
    return Diagnosis(states[0], best, weights[0], tuple(sorted(suspects, key=lambda each: -each.probability)), read)


def _singles(reading: Reading) -> Iterable[Reading]:
    """Repeats as readings of their own: how far they lie apart is what tells a jerk from an instrument."""
    return (replace(reading, repeats=(value,)) for value in reading.repeats)


def _suspect(fault: Fault, states: Sequence[Hypothesis], weights: Sequence[float], rng: np.random.Generator) -> Suspect:
    healthy = states[0]
    alone = [state for state in states if state.faults == (fault,)]
    odds = float(np.logaddexp.reduce([state.log_weight for state in alone])) - LOG_ODDS_BEFORE - healthy.log_weight
    with_it = [(weight, state) for state, weight in zip(states, weights, strict=True) if fault in state.faults]
    probability = math.fsum(weight for weight, _ in with_it)
    state = max(with_it, key=lambda each: each[0])[1]
    without = _rest(state, fault, states)
    peak, lift = _remedied(state, fault, healthy, rng)
    severity, clues = _severity(state, fault, healthy), _clues(without, state)
    return Suspect(fault, probability, odds, severity, _odd_springs(state, fault, healthy), clues, peak, lift)


def _rest(state: Hypothesis, fault: Fault, states: Sequence[Hypothesis]) -> Hypothesis:
    """The most probable state with the same faults but this one."""
    others = tuple(each for each in state.faults if each is not fault)
    return max((each for each in states if each.faults == others), key=lambda each: each.log_weight)


def _own_keys(fault: Fault, state: Hypothesis, healthy: Hypothesis) -> tuple[str, ...]:
    """Keys that one of a state's faults changes."""
    own = {key for form in fault.make(healthy.fit.bench.measured) for key in form.quantities}
    return tuple(key for key in state.form.quantities if key in own)


def _odd_springs(state: Hypothesis, fault: Fault, healthy: Hypothesis) -> tuple[int, ...]:
    """Springs that one of a state's faults makes stray by themselves."""
    own = {stray for form in fault.make(healthy.fit.bench.measured) for stray in form.strays}
    return tuple(sorted({spring for kind, spring in state.form.strays if spring and (kind, spring) in own}))


def _severity(state: Hypothesis, fault: Fault, healthy: Hypothesis) -> dict[str, tuple[Quantity | None, Quantity]]:
    found, filed = state.fit, healthy.fit.bench.measured.quantities
    values = found.bench.values_of(np.stack([found.mode, *_moved(found)]))
    severity = {}
    for key in _own_keys(fault, state, healthy):
        if key in values:
            severity[key] = (filed.get(key), _fitted(values[key]))
    return severity


def _fitted(values: Array) -> Quantity:
    """A quantity at the mode, shape (1 + n, 1), and moved along each of n axes."""
    return Quantity(float(values[0, 0]), float(np.linalg.norm(values[1:, 0] - values[0, 0])), "fitted")


def _moved(found: Fit) -> Array:
    """The mode moved by one standard deviation along each axis of its covariance."""
    return np.asarray(found.mode + np.linalg.cholesky(found.covariance).T)


def _clues(without: Hypothesis, state: Hypothesis) -> tuple[Clue, ...]:
    groups: dict[str, list[int]] = {}
    for number, reading in enumerate(state.fit.bench.readings):
        groups.setdefault(reading.label, []).append(number)
    expected, fitted = without.surprises, state.fit.residuals
    clues = [Clue(label, len(rows), _size(expected[rows]), _size(fitted[rows])) for label, rows in groups.items()]
    return tuple(sorted(clues, key=lambda clue: clue.fitted - clue.expected))


def _size(distances: Array) -> float:
    """Root mean square."""
    return float(np.sqrt(np.mean(distances**2)))


def _remedied(
    state: Hypothesis, fault: Fault, healthy: Hypothesis, rng: np.random.Generator
) -> tuple[Quantity, Quantity]:
    """What putting a fault right changes in peak pull [N] and full lift [mm], all else as it is."""
    found = state.fit
    scores = found.mode + rng.normal(size=(_SAMPLES, len(found.mode))) @ np.linalg.cholesky(found.covariance).T
    values: dict[str, Number] = dict(found.bench.values_of(np.clip(scores, *found.bounds)))
    filed = healthy.fit.bench.measured.quantities
    right = {key: filed[key].value if key in filed else 0.0 for key in _own_keys(fault, state, healthy)}
    before, after = (
        respond(apply(assemble(found.bench.measured, each), found.bench.steps))
        for each in (values, {**values, **right})
    )
    changes = (
        np.max(after.pull, axis=-1) - np.max(before.pull, axis=-1),
        (after.lift[..., -1] - before.lift[..., -1]) / si_factor("_mm"),
    )
    peak, lift = (Quantity(float(np.mean(each)), float(np.std(each)), "fitted") for each in changes)
    return peak, lift
