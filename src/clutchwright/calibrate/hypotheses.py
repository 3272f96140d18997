"""States that a bike may be in, healthy or with one or two faults: each fitted to the same readings, and weighed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from clutchwright.bikefile import MeasuredBike
from clutchwright.bikefile.measured import lot
from clutchwright.calibrate.bench import Bench, bench
from clutchwright.calibrate.faults import FAULTS, Fault, Form
from clutchwright.calibrate.fitted import Fit
from clutchwright.calibrate.fitting import fit_bench, log_density
from clutchwright.changes import Step
from clutchwright.quantity import Array
from clutchwright.readings import Reading

# Chance of each fault before anything is read [-]; own judgement. Faults come independently of each other.
_BEFORE = 0.03
LOG_ODDS_BEFORE = math.log(_BEFORE / (1.0 - _BEFORE))
# Pairs of faults are looked at unless the healthy bike is at least so probable [-].
_HEALTHY = 0.99
# A form is not tried in pairs where another of the same fault is so much more probable, natural logarithm [-].
_HOPELESS = 7.0


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


@dataclass(frozen=True, slots=True)
class Search:
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
        if probabilities(states)[0] > _HEALTHY:
            return states
        first = max(singles, key=lambda state: state.log_weight)
        return states + [pair for other in _likely_forms(singles) if (pair := self._pair(first, other))]

    def _pair(self, first: Hypothesis, other: Hypothesis) -> Hypothesis | None:
        form = first.form.together(other.form)
        if form is None or first.faults == other.faults:
            return None
        split = sum(math.log(len(each.faults[0].make(self.measured))) for each in (first, other))
        return self._state((*first.faults, *other.faults), form, -split, first)

    def _state(self, faults: tuple[Fault, ...], form: Form, log_share: float, near: Hypothesis | None) -> Hypothesis:
        readings = form.readings(self.readings)
        if near is not None and (form.quantities, readings) == (near.form.quantities, near.fit.bench.readings):
            found = near.fit  # what strays was not read
        else:
            about = bench(form.bike(self.measured), readings, self.steps)
            found = fit_bench(about, self.sources, None if near is None else _start(about, near, form))
        prior = len(faults) * LOG_ODDS_BEFORE + log_share
        return Hypothesis(faults, form, found, prior + log_evidence(found))


def _likely_forms(singles: Sequence[Hypothesis]) -> list[Hypothesis]:
    """Those that are not far less probable than another form of the same fault."""
    best = {
        faults: max(state.log_weight for state in singles if state.faults == faults)
        for faults in {state.faults for state in singles}
    }
    return [state for state in singles if state.log_weight > best[state.faults] - _HOPELESS]


def _start(about: Bench, near: Hypothesis, form: Form) -> Array:
    """Where a fit begins: where the one near it ended, but for what the fault changes."""
    known = dict(zip(near.fit.bench.names, near.fit.mode, strict=False))
    changed = {lot(key) for key in form.quantities.keys() - near.form.quantities.keys()}
    scores = [0.0 if name in changed else known.get(name, 0.0) for name in about.names]
    return np.array([*scores, *[0.0] * len(about.terms)])


def probabilities(states: Sequence[Hypothesis]) -> list[float]:
    """Bayes' rule."""
    logs = np.array([state.log_weight for state in states])
    weights = np.exp(logs - np.max(logs))
    return [float(weight) for weight in weights / np.sum(weights)]
