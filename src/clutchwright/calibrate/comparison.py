"""After a change: what was predicted against what was read, and how likely the difference is mere chance."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from clutchwright.bikefile import MeasuredBike
from clutchwright.calibrate.bench import bench
from clutchwright.calibrate.forward import along, situation
from clutchwright.calibrate.loop import Loop, loop_of_change, of_loop
from clutchwright.calibrate.plausible import check_before
from clutchwright.changes import Step
from clutchwright.quantity import Array, Quantity
from clutchwright.readings import Reading, Readings
from clutchwright.study.tolerance import normal_scores

SAMPLES = 2048
DOUBTFUL = 0.05  # below this chance a difference is hardly chance; own judgement, as is usual
_NINETEEN_IN_TWENTY = 1.6448536269514722  # normal deviate of 95 %


@dataclass(frozen=True, slots=True)
class Compared:
    """One reading beside its prediction.

    Parameters
    ----------
    reading : Reading
        What was read.
    predicted : float
        What was to be expected [SI].
    u_predicted, u_read : float
        Standard uncertainty of the prediction, instruments included, and of the reading by itself [SI].
    chance : float
        Chance of a difference at least as large, if prediction and reading are right [-].
    """

    reading: Reading
    predicted: float
    u_predicted: float
    u_read: float
    chance: float

    @property
    def difference(self) -> float:
        """What was read less what was predicted [SI]."""
        return self.reading.value - self.predicted


@dataclass(frozen=True, slots=True)
class Column:
    """All readings of one kind together.

    Parameters
    ----------
    name : str
        Kind of reading.
    dimension : str
        Its dimension, a key of ``ENDINGS``.
    difference : float
        Mean of what was read less what was predicted [SI].
    u : float
        Its standard uncertainty [SI].
    chance : float
        Chance of a mean difference at least as large, of this kind by itself [-].
    predicted : float
        Mean of what was to be expected [SI].
    seen_from : float
        Mean difference that would be called doubtful or worse in 19 of 20 cases [SI].
    """

    name: str
    dimension: str
    difference: float
    u: float
    chance: float
    predicted: float
    seen_from: float


@dataclass(frozen=True, slots=True)
class Pulls:
    """The greatest force at the finger point, each at the travels where a pull was read.

    Parameters
    ----------
    before, now : Quantity
        By the bike file without the changes, and as read [N].
    predicted : float
        By the bike file with the changes [N].
    """

    before: Quantity
    now: Quantity
    predicted: float

    @property
    def sure(self) -> bool:
        """Whether the difference is more than two standard uncertainties."""
        return abs(self.now.value - self.before.value) > 2.0 * math.hypot(self.now.u, self.before.u)


@dataclass(frozen=True, slots=True)
class Comparison:
    """Predicted against read.

    Parameters
    ----------
    steps : tuple of Step
        Changes that the prediction makes.
    rows : tuple of Compared
        Reading by reading.
    columns : tuple of Column
        Kind by kind.
    chi2 : float
        Squared distance of all readings from their prediction, in units of its uncertainty [-].
    together : float
        Chance of a distance at least as large, if everything is as the bike file says [-].
    loop : Loop
        Pull and return without and with the changes.
    pulls : Pulls | None
        Whether the lever is lighter; None where no pull was read.
    """

    steps: tuple[Step, ...]
    rows: tuple[Compared, ...]
    columns: tuple[Column, ...]
    chi2: float
    together: float
    loop: Loop
    pulls: Pulls | None

    @property
    def tests(self) -> int:
        """How many chances were looked at: of all readings together, and of each kind."""
        return 1 + len(self.columns)

    @property
    def chance(self) -> float:
        """Chance that the least of them is so small, if everything is as the bike file says: at most this [-].

        Many readings of many kinds dilute what one kind has to say, so that all together is not enough. Bonferroni's
        bound, the first step of Holm (1979), Scand J Stat 6:65, which asks for no independence.
        """
        return min(1.0, self.tests * min(self.together, *(column.chance for column in self.columns)))


def compare(
    measured: MeasuredBike, files: Sequence[Readings], steps: Sequence[Step], rng: np.random.Generator
) -> Comparison:
    """Hold readings against what a bike file predicts.

    Parameters
    ----------
    measured : MeasuredBike
        As filed, best after a fit; its uncertainties are those of the prediction.
    files : sequence of Readings
        What was read after the changes; not what the bike was fitted to.
    steps : sequence of Step
        Changes that were made; as sure as each says its outcome is.
    rng : numpy.random.Generator
        Source of randomness.

    Returns
    -------
    Comparison
        See there.

    Raises
    ------
    InputError
        For readings that this bike cannot have shown, or that went into its file already.
    Refusal
        Where a change cannot be done.

    Notes
    -----
    Posterior predictive check: Gelman et al., Bayesian Data Analysis, sec. 6.3, with the squared distance as the test
    quantity and the predictive distribution taken as normal with the mean and covariance of possible bikes.
    """
    readings = [reading for file in files for reading in file.readings]
    about = bench(measured, readings, steps)
    check_before(about, files)
    possible = about.predict(normal_scores(SAMPLES, about.size, rng))
    noise = about.noise(np.zeros(about.size))
    mean = np.mean(possible, axis=0)
    spread = np.atleast_2d(np.cov(possible, rowvar=False))
    total = spread + np.diag(noise**2)
    off = about.values - mean
    chi2 = float(off @ np.linalg.solve(total, off))
    rows = tuple(
        Compared(reading, float(value), math.sqrt(own), float(u), two_sided(gap / math.sqrt(own + u**2)))
        for reading, value, own, u, gap in zip(readings, mean, np.diag(spread), noise, off, strict=True)
    )
    loop = loop_of_change(measured, readings, steps, rng)
    return Comparison(
        steps=tuple(steps),
        rows=rows,
        columns=_columns(readings, mean, off, total),
        chi2=chi2,
        together=_chance(chi2, len(readings)),
        loop=loop,
        pulls=_pulls(measured, steps, readings, loop),
    )


def _pulls(measured: MeasuredBike, steps: Sequence[Step], readings: Sequence[Reading], loop: Loop) -> Pulls | None:
    along_travel = [reading for reading in readings if of_loop(reading)]
    pulled = [both for both in zip(loop.points, along_travel, strict=True) if both[0].pulling]
    if not pulled:
        return None
    point, reading = max(pulled, key=lambda both: both[0].force)
    u = point.force * math.hypot(reading.u / reading.value, reading.instrument.gain_u)
    travels = np.array([[each.travel for each, _ in pulled]])
    before, predicted = (_greatest(measured, made, travels) for made in ((), steps))
    return Pulls(Quantity(before, loop.before.peak.u), Quantity(point.force, u, "measured"), predicted)


def _greatest(measured: MeasuredBike, steps: Sequence[Step], travels: Array) -> float:
    """Greatest pull at the finger point at some travels [m], by the bike file [N]."""
    stroke = situation(measured, {}, steps, float(np.max(travels))).stroke
    return float(np.max(along(stroke.travel, stroke.pull, travels)))


def two_sided(distance: float) -> float:
    """Chance that a standard normal score lies at least so far from 0, to either side [-]."""
    return math.erfc(abs(distance) / math.sqrt(2.0))


def _chance(chi2: float, count: int) -> float:
    from scipy.special import chdtrc

    return float(chdtrc(count, chi2))


def seen_from(u: float, tests: int) -> float:
    """Least difference that is called doubtful or worse in 19 of 20 cases.

    Parameters
    ----------
    u : float
        Standard uncertainty of the difference, any unit.
    tests : int
        How many chances are looked at.

    Returns
    -------
    float
        In the same unit.

    References
    ----------
    Currie (1968), Anal Chem 40:586: the critical value, here two-sided and shared among the tests, and as far again as
    a miss in 20 asks for; from memory.
    """
    from scipy.special import ndtri

    return (_NINETEEN_IN_TWENTY - float(ndtri(DOUBTFUL / (2.0 * tests)))) * u


def _columns(readings: Sequence[Reading], mean: Array, off: Array, total: Array) -> tuple[Column, ...]:
    found = []
    kinds = dict.fromkeys((reading.name, reading.dimension) for reading in readings)
    for name, dimension in kinds:
        weights = np.array([float(reading.name == name) for reading in readings])
        weights /= np.sum(weights)
        difference, u = float(weights @ off), math.sqrt(float(weights @ total @ weights))
        least = seen_from(u, 1 + len(kinds))
        found.append(Column(name, dimension, difference, u, two_sided(difference / u), float(weights @ mean), least))
    return tuple(found)
