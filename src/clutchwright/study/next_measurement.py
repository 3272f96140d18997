"""Which measurement would take most doubt out of the decision.

The decision hangs on whether the clutch slips worn and hot, releases, and touches nothing. With the chance P that one
of these happens, the doubt about it is P (1 - P), the variance of the answer: 0 when it is known, 1/4 when it may as
well be the one as the other. Doubt adds up over all that can go wrong, one part for each measured gap. What a
measurement is expected to leave of it can be said before it is made; a perfect one takes away that input's first-order
share of the answer's variance.

The chance of a wrong answer, the lesser of P and 1 - P, is no use here: it is expected to stay the same for every
measurement that cannot by itself turn the answer round, however much surer it makes one.

Margins are taken as normal, linear in the inputs, inputs as independent (first order; see `tolerance`).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from clutchwright.bikefile import MeasuredBike
from clutchwright.bikefile.measured import lot
from clutchwright.bikefile.measuring import MEASURING, Measuring
from clutchwright.bikefile.schema import find_key
from clutchwright.changes import Step, with_unknowns
from clutchwright.study.outcomes import outcomes
from clutchwright.study.tolerance import Sample, combined, first_order, one_at_a_time, uncertain
from clutchwright.tomlfile.keys import Key

# Shrinks of doubt are counted in steps of this size: less is nothing, and equal counts tie.
RESOLUTION = 1e-5
# Share of the decision's doubt, and of the pull's standard uncertainty, that is worth the while of a measurement; own
# judgement [-].
WORTH, WORTH_PULL = 0.02, 0.02


@dataclass(frozen=True, slots=True)
class Question:
    """One thing that can go wrong.

    Parameters
    ----------
    key : str
        ``slips``, ``does_not_release`` or the name of a gap.
    margin : float
        What is left before it happens, nominal: slip margin over its limit [-], or [mm].
    u : float
        Standard uncertainty of the margin, first order, same unit.
    probability : float
        Chance that it happens [-]: counted where possible bikes were drawn, else to first order.
    doubt : float
        Variance of the answer [-], from 0 to 0.25.
    """

    key: str
    margin: float
    u: float
    probability: float
    doubt: float


@dataclass(frozen=True, slots=True)
class Measurement:
    """A measurement that could still be made.

    Parameters
    ----------
    key : str
        What is measured: a key of the bike file; for springs measured one by one, that of the whole set.
    label, how, tool : str
        What it is, how it is done and with what.
    minutes : float
        Time it takes [min].
    u_now, u_measured, u_after : float
        Standard uncertainty now, of the measurement by itself, and of both together [unit of the key].
    doubt_after : float
        Doubt to expect once it is made [-].
    shrink : float
        What it is expected to take away, as a share of the doubt today [-].
    pull_u_after : float
        Standard uncertainty of the peak pull to expect once it is made [N].
    """

    key: str
    label: str
    how: str
    tool: str
    minutes: float
    u_now: float
    u_measured: float
    u_after: float
    doubt_after: float
    shrink: float
    pull_u_after: float


@dataclass(frozen=True, slots=True)
class NextMeasurements:
    """What to measure next.

    Parameters
    ----------
    doubt : float
        Doubt today [-], over all questions.
    questions : tuple of Question
        What can go wrong.
    ranked : tuple of Measurement
        All that could be measured better than it is; the greatest shrink first, ties by minutes, then as in the file.
    pull_u : float
        Standard uncertainty of the peak pull today [N].
    samples : int
        Possible bikes that the chances were counted among; 0 for none [-].
    """

    doubt: float
    questions: tuple[Question, ...]
    ranked: tuple[Measurement, ...]
    pull_u: float
    samples: int = 0

    @property
    def worth(self) -> tuple[Measurement, ...]:
        """Those that are worth their while for the decision."""
        counts = (row for row in self.ranked if _steps(self.doubt - row.doubt_after) > 0)
        return tuple(row for row in counts if row.shrink >= WORTH)

    @property
    def first(self) -> Measurement | None:
        """What to measure first; None where no measurement is worth its while."""
        return next(iter(self.worth), None)

    @property
    def surer_of_pull(self) -> tuple[Measurement, ...]:
        """Those that make the peak pull surer, the most telling first."""
        rows = [row for row in self.ranked if row.pull_u_after <= (1.0 - WORTH_PULL) * self.pull_u]
        return tuple(sorted(rows, key=lambda row: (row.pull_u_after, row.minutes)))


def next_measurements(
    measured: MeasuredBike, steps: Sequence[Step] = (), sample: Sample | None = None
) -> NextMeasurements:
    """Rank the measurements that could still be made by the doubt they are expected to take away.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.
    steps : sequence of Step
        Changes made to it, in order; the decision is about the changed bike.
    sample : Sample | None
        Possible bikes that the chances are counted among; None for chances to first order.

    Returns
    -------
    NextMeasurements
        See there.

    Raises
    ------
    Refusal
        Where a change cannot be done.
    """
    measured = with_unknowns(measured, steps)
    names = uncertain(measured.quantities)
    values = one_at_a_time(measured.quantities, measured.correlation)
    possible = outcomes(measured, steps, values, size=2 * len(names))
    moved = possible.margins
    pull = first_order(measured.quantities, possible.figures["pull_peak_N"]) if names else {}
    nominal = outcomes(measured, steps, {}, size=1).margins
    parts = {key: first_order(measured.quantities, moved[key]) for key in nominal} if names else {}
    counted = {} if sample is None else outcomes(measured, steps, sample.values, size=sample.size).chances
    questions = tuple(
        _question(key, float(nominal[key][0]), of_inputs, counted.get(key)) for key, of_inputs in parts.items()
    )
    doubt = math.fsum(question.doubt for question in questions)
    rows = [_measurement(found, questions, parts, pull, doubt) for found in _candidates(measured, names)]
    ranked = sorted(rows, key=lambda row: (-_steps(doubt - row.doubt_after), row.minutes))
    return NextMeasurements(
        doubt, questions, tuple(ranked), combined(pull), samples=0 if sample is None else sample.size
    )


def _steps(shrink: float) -> int:
    return round(shrink / RESOLUTION)


def _question(key: str, margin: float, contributions: Mapping[str, float], counted: float | None) -> Question:
    from scipy.special import ndtr

    u = combined(contributions)
    certain = float(not margin >= 0.0)
    probability = float(ndtr(-margin / u)) if u > 0.0 and math.isfinite(margin / u) else certain
    chance = probability if counted is None else counted
    return Question(key, margin, u, chance, expected_doubt(margin, u=u, explained=0.0))


@dataclass(frozen=True, slots=True)
class _Candidate:
    key: str
    entry: Key
    way: Measuring
    u_now: float
    u_measured: float


def _candidates(measured: MeasuredBike, names: Sequence[str]) -> Iterator[_Candidate]:
    """What can be measured better than it is known, in the file's order."""
    for name in names:
        way, entry = MEASURING.get(name), find_key(name, measured.choices)
        members = [quantity for key, quantity in measured.quantities.items() if lot(key) == name]
        widest = max(members, key=lambda quantity: quantity.u)
        if way is not None and way.reachable(entry, widest.value) < widest.u:
            yield _Candidate(name, entry, way, widest.u, way.reachable(entry, widest.value))


def _measurement(
    found: _Candidate,
    questions: Sequence[Question],
    parts: Mapping[str, Mapping[str, float]],
    pull: Mapping[str, float],
    doubt: float,
) -> Measurement:
    def moves(question: Question) -> float:
        return explained(parts[question.key][found.key], u=found.u_now, u_measured=found.u_measured)

    told = explained(pull[found.key], u=found.u_now, u_measured=found.u_measured)

    after = math.fsum(expected_doubt(each.margin, u=each.u, explained=moves(each)) for each in questions)
    return Measurement(
        key=found.key,
        label=found.entry.label,
        how=found.way.steps or found.entry.how,
        tool=found.way.tool,
        minutes=found.way.minutes,
        u_now=found.u_now,
        u_measured=found.u_measured,
        u_after=posterior_u(found.u_now, found.u_measured),
        doubt_after=after,
        shrink=1.0 - after / doubt if doubt > 0.0 else 0.0,
        pull_u_after=math.sqrt(max(combined(pull) ** 2 - told**2, 0.0)),
    )


def posterior_u(u: float, u_measured: float) -> float:
    """Standard uncertainty of what was known and a new measurement together.

    Parameters
    ----------
    u, u_measured : float
        Standard uncertainty of each, above 0 the first, same unit.

    Returns
    -------
    float
        (1/u^2 + 1/u_measured^2)^(-1/2), same unit; the weighted mean of two normal values, textbook.
    """
    return u * u_measured / math.hypot(u, u_measured)


def explained(contribution: float, *, u: float, u_measured: float) -> float:
    """How far a measurement is expected to move the estimate of a margin.

    Parameters
    ----------
    contribution : float
        First-order contribution of the input to the margin's uncertainty, its unit.
    u, u_measured : float
        Standard uncertainty of the input now, above 0, and of the measurement [unit of the input].

    Returns
    -------
    float
        Standard deviation of the margin's estimate after the measurement, seen from before it, unit of the margin.
        Own derivation: what the variance of the input loses, u^2 - posterior_u^2, times the slope squared.
    """
    return abs(contribution) * u / math.hypot(u, u_measured)


def expected_doubt(margin: float, *, u: float, explained: float) -> float:
    """Doubt about the sign of a margin once a measurement has been made, seen from before it.

    Parameters
    ----------
    margin : float
        Best estimate of the margin now.
    u : float
        Its standard uncertainty now, same unit.
    explained : float
        Standard deviation of the estimate after the measurement, from 0 (it tells nothing) to u (all), same unit.

    Returns
    -------
    float
        Expected P (1 - P) [-], P the chance of a margin below 0; 0 for a margin known exactly or not at all (no such
        point).

    Notes
    -----
    Own derivation. P (1 - P) is the chance that of two independent draws of the margin, given the measurement, the
    first is below 0 and the second is not. Before it both are normal with mean m and standard deviation u, and their
    correlation is r = (explained/u)^2. Owen's formula for the bivariate normal distribution gives for that chance
    2 T(m/u, sqrt((1 - r)/(1 + r))).

    References
    ----------
    Owen, Tables for computing bivariate normal probabilities, Annals of Mathematical Statistics 27 (1956) 1075.
    """
    from scipy.special import owens_t

    if not math.isfinite(margin) or not math.isfinite(u) or u == 0.0:
        return 0.0
    correlation = min((explained / u) ** 2, 1.0)
    return float(2.0 * owens_t(margin / u, math.sqrt((1.0 - correlation) / (1.0 + correlation))))
