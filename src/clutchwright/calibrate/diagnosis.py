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
from clutchwright.bikefile.measured import lot
from clutchwright.calibrate.bench import Bench, bench
from clutchwright.calibrate.faults import FAULTS, Fault, Form
from clutchwright.calibrate.fitted import Fit
from clutchwright.calibrate.fitting import fit_bench, log_density
from clutchwright.calibrate.plausible import check_after, check_before, check_gross
from clutchwright.chain import respond
from clutchwright.changes import Step, apply
from clutchwright.quantity import Array, Number, Quantity, si_factor
from clutchwright.readings import Reading, Readings

# Chance of each fault before anything is read [-]; own judgement. Faults come independently of each other.
BEFORE = 0.03
# A fault is named from this probability on [-]; and is not tested where the readings move its odds by less than this
# much, natural logarithm [-].
NAMED, UNTESTED = 0.5, 0.3
# Pairs of faults are looked at unless the healthy bike is at least so probable [-].
_HEALTHY = 0.99
_SAMPLES = 64


@dataclass(frozen=True, eq=False)
class Hypothesis:
    """One state of the bike, fitted.

    Parameters
    ----------
    faults : tuple of Fault
        What is wrong; empty for the healthy bike.
    form : Form
        In which form.
    fit : Fit
        Its fit.
    log_weight : float
        Log of prior times evidence, up to a constant common to all [-].
    """

    faults: tuple[Fault, ...]
    form: Form
    fit: Fit
    log_weight: float

    @cached_property
    def surprises(self) -> Array:
        """How far each reading lies from what this state lets expect before any fit, in their joint uncertainty [-]."""
        about = self.fit.bench
        start = np.zeros(about.size)
        doubt = np.hypot(about.noise(start), np.linalg.norm(about.slopes(start), axis=-1))
        return np.asarray((about.values - about.predict(start[np.newaxis])[0]) / doubt)


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
    clues : tuple of Clue
        By kind of reading, what it explains best first.
    peak, lift : Quantity
        What putting it right changes: in peak pull at the finger [N] and in full lift of the plate [mm].
    """

    fault: Fault
    probability: float
    log_odds: float
    severity: Mapping[str, tuple[Quantity | None, Quantity]]
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


@dataclass(frozen=True, slots=True, eq=False)
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
    """

    healthy: Hypothesis
    best: Hypothesis
    probability: float
    suspects: tuple[Suspect, ...]

    @property
    def named(self) -> tuple[Suspect, ...]:
        """Faults that are more likely there than not; what is free to put right first."""
        return tuple(sorted((each for each in self.suspects if each.named), key=lambda each: not each.fault.free))


def diagnose(
    measured: MeasuredBike, files: Sequence[Readings], steps: Sequence[Step], rng: np.random.Generator
) -> Diagnosis:
    """Find what is wrong with a bike.

    Parameters
    ----------
    measured : MeasuredBike
        The healthy bike as filed; its uncertainties are the prior.
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
    files = [replace(file, readings=tuple(chain.from_iterable(map(_singles, file.readings)))) for file in files]
    readings = tuple(chain.from_iterable(file.readings for file in files))
    sources = tuple((file.name, file.fingerprint) for file in files)
    states = _Search(measured, readings, tuple(steps), sources).states()
    best = max(states, key=lambda state: state.log_weight)
    check_gross(states[0].fit.bench, files)
    check_before(best.fit.bench, files)
    check_after(best.fit, files)
    weights = _probabilities(states)
    suspects = [_suspect(fault, states, weights, rng) for fault in FAULTS if fault.make(measured)]
    return Diagnosis(states[0], best, weights[0], tuple(sorted(suspects, key=lambda each: -each.probability)))


def log_evidence(found: Fit) -> float:
    """Log of the likelihood of a fit's readings averaged over its prior.

    Parameters
    ----------
    found : Fit
        The fit.

    Returns
    -------
    float
        Laplace's approximation [-], up to a constant that is the same for all fits of the same readings: the log
        density at the mode, less the log of each reading's uncertainty, plus half the log determinant of the
        covariance. The scores' own prior is standard normal, so the powers of 2 pi cancel.

    References
    ----------
    Kass and Raftery, Bayes factors, J. Am. Stat. Assoc. 90 (1995) 773, sec. 4.1; MacKay, Information Theory, Inference,
    and Learning Algorithms (2003), ch. 27 and 28.
    """
    inside = np.clip(found.mode, *found.bounds)
    density = float(log_density(found, inside[np.newaxis])[0])
    return density - float(np.sum(np.log(found.noise))) + 0.5 * float(np.linalg.slogdet(found.covariance)[1])


def _singles(reading: Reading) -> Iterable[Reading]:
    """Repeats as readings of their own: how far they lie apart is what tells a jerk from an instrument."""
    return (replace(reading, repeats=(value,)) for value in reading.repeats)


@dataclass(frozen=True, slots=True)
class _Search:
    """Fits of all states that are looked at."""

    measured: MeasuredBike
    readings: tuple[Reading, ...]
    steps: tuple[Step, ...]
    sources: tuple[tuple[str, str], ...]

    def states(self) -> list[Hypothesis]:
        """The healthy bike, every single fault, and the most probable of them with each other one."""
        healthy = self._state((), Form(), 0.0, None)
        singles = [
            self._state((fault,), form, -math.log(len(forms)), healthy)
            for fault in FAULTS
            if (forms := fault.make(self.measured))
            for form in forms
        ]
        states = [healthy, *singles]
        if _probabilities(states)[0] > _HEALTHY:
            return states
        first = max(singles, key=lambda state: state.log_weight)
        return states + [pair for other in singles if (pair := self._pair(first, other))]

    def _pair(self, first: Hypothesis, other: Hypothesis) -> Hypothesis | None:
        form = first.form.together(other.form)
        if form is None or first.faults == other.faults:
            return None
        split = sum(math.log(len(each.faults[0].make(self.measured))) for each in (first, other))
        return self._state((*first.faults, *other.faults), form, -split, first)

    def _state(self, faults: tuple[Fault, ...], form: Form, log_share: float, near: Hypothesis | None) -> Hypothesis:
        about = bench(form.bike(self.measured), form.readings(self.readings), self.steps)
        found = fit_bench(about, self.sources, None if near is None else _start(about, near, form))
        prior = len(faults) * math.log(BEFORE / (1.0 - BEFORE)) + log_share
        return Hypothesis(faults, form, found, prior + log_evidence(found))


def _start(about: Bench, near: Hypothesis, form: Form) -> Array:
    """Where a fit begins: where the one near it ended, but for what the fault changes."""
    known = dict(zip(near.fit.bench.names, near.fit.mode, strict=False))
    changed = {lot(key) for key in form.quantities.keys() - near.form.quantities.keys()}
    scores = [0.0 if name in changed else known.get(name, 0.0) for name in about.names]
    return np.array([*scores, *[0.0] * len(about.terms)])


def _probabilities(states: Sequence[Hypothesis]) -> list[float]:
    """Bayes' rule."""
    logs = np.array([state.log_weight for state in states])
    weights = np.exp(logs - np.max(logs))
    return [float(weight) for weight in weights / np.sum(weights)]


def _suspect(fault: Fault, states: Sequence[Hypothesis], weights: Sequence[float], rng: np.random.Generator) -> Suspect:
    healthy = states[0]
    alone = [state for state in states if state.faults == (fault,)]
    prior = math.log(BEFORE / (1.0 - BEFORE))
    odds = float(np.logaddexp.reduce([state.log_weight for state in alone])) - prior - healthy.log_weight
    with_it = [(weight, state) for state, weight in zip(states, weights, strict=True) if fault in state.faults]
    probability = math.fsum(weight for weight, _ in with_it)
    state = max(with_it, key=lambda each: each[0])[1]
    without = _rest(state, fault, states)
    peak, lift = _remedied(state, fault, healthy, rng)
    return Suspect(fault, probability, odds, _severity(state, fault, healthy), _clues(without, state), peak, lift)


def _rest(state: Hypothesis, fault: Fault, states: Sequence[Hypothesis]) -> Hypothesis:
    """The most probable state with the same faults but this one."""
    others = tuple(each for each in state.faults if each is not fault)
    return max((each for each in states if each.faults == others), key=lambda each: each.log_weight)


def _own_keys(fault: Fault, state: Hypothesis, healthy: Hypothesis) -> tuple[str, ...]:
    """Keys that one of a state's faults changes."""
    own = {key for form in fault.make(healthy.fit.bench.measured) for key in form.quantities}
    return tuple(key for key in state.form.quantities if key in own)


def _severity(state: Hypothesis, fault: Fault, healthy: Hypothesis) -> dict[str, tuple[Quantity | None, Quantity]]:
    found, filed = state.fit, healthy.fit.bench.measured.quantities
    values = found.bench.values_of(np.stack([found.mode, *_moved(found)]))
    severity = {}
    for key in _own_keys(fault, state, healthy):
        if key in values:
            u = float(np.linalg.norm(values[key][1:, 0] - values[key][0, 0]))
            severity[key] = (filed.get(key), Quantity(float(values[key][0, 0]), u, "fitted"))
    return severity


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
