"""A plan: the changes of a setup one by one, with the reading that should follow, what to check and when to stop."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from clutchwright.assess.checks import run_checks
from clutchwright.assess.figures import measure
from clutchwright.assess.verdict import RULES, Word, judge
from clutchwright.bike import Bike
from clutchwright.bikefile import MeasuredBike, assemble
from clutchwright.chain import respond
from clutchwright.changes import Step, apply, find, with_unknowns
from clutchwright.errors import InputError
from clutchwright.quantity import Array, Quantity
from clutchwright.study.checking import changed_fields, checks_after, remeasured
from clutchwright.study.limits import Limits
from clutchwright.study.order import Job, best_order, job_of
from clutchwright.study.outcomes import Outcomes, outcomes
from clutchwright.study.target import require_target
from clutchwright.study.tolerance import Sample, combined, first_order, one_at_a_time, uncertain

REPEATS = 0.02  # share to which a careful reading with the same scale and hook repeats; own judgement, no source
COVERAGE = 2.0  # standard uncertainties on either side of an expected reading
PEAK = "pull_peak_N"


@dataclass(frozen=True, slots=True)
class Reading:
    """What a scale at the finger point should show while pulling in.

    Parameters
    ----------
    pull_N : float
        Expected greatest pull [N].
    u_N : float
        One standard uncertainty of the pull, as far as the bike is known [N].
    tolerance_N : float
        Two standard uncertainties of what a scale shows, its own included [N].
    share : float
        The same over the reading before the change [-].
    share_tolerance : float
        Two standard uncertainties of that share, both readings' own included [-]. Much surer than the pull itself, as
        what is not known about the bike is in both.
    hook_N : float | None
        Expected where the bike file says a scale is hooked [N]; None where it does not say.
    hook_ratio : float | None
        Force where the bike file says a scale is hooked, over that at the finger [-]. A change that moves the
        finger point changes it.
    hook_share : float | None
        Reading there over the reading there before the change [-].
    """

    pull_N: float
    u_N: float
    tolerance_N: float
    share: float
    share_tolerance: float
    hook_N: float | None
    hook_ratio: float | None
    hook_share: float | None


@dataclass(frozen=True, slots=True)
class PlanStep:
    """One change of a plan, never two at once.

    Parameters
    ----------
    job : Job
        The change, its price and its work.
    reading : Reading
        After it.
    figures : dict of str to float
        After it, by key of ``FIGURES``, nominal.
    free_play_mm : float
        To be set at the finger after it [mm].
    word : str
        Verdict on the bike as it stands then.
    reasons : tuple of str
        What keeps it from being sound.
    checks : tuple of str
        What the rider can do to see that it went well.
    remeasure : tuple of str
        Keys of the bike file to measure again.
    caution : str
        What to mind.
    enough : bool
        Whether the pull wanted should be reached with it, so that the plan may stop here.
    probability : dict of str to float
        How many of the possible bikes go wrong then, by event [-]; empty where none were drawn.
    over : tuple of str
        Events that then happen more often than the limits allow, and than today.
    """

    job: Job
    reading: Reading
    figures: dict[str, float]
    free_play_mm: float
    word: Word
    reasons: tuple[str, ...]
    checks: tuple[str, ...]
    remeasure: tuple[str, ...]
    caution: str
    enough: bool
    probability: dict[str, float]
    over: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Held:
    """What the bike is held against after each step: the same as a study holds its setups against.

    Parameters
    ----------
    limits : Limits
        How often things may go wrong.
    sample : Sample
        Possible bikes.
    """

    limits: Limits
    sample: Sample


@dataclass(frozen=True, slots=True)
class Plan:
    """Changes in the order in which to make them.

    Parameters
    ----------
    name : str
        The bike's name.
    target_N : float | None
        Pull wanted [N]; None where the plan is to be gone through.
    first : Reading
        Today, before anything is changed; its share is 1.
    steps : tuple of PlanStep
        In order, see `clutchwright.study.order`.
    catalogue : str
        Name of the catalogue with the prices; empty where all are those of the kinds of change.
    limits : Limits | None
        How often things may go wrong; None where no possible bikes were drawn.
    samples : int
        Possible bikes drawn [-].
    today : dict of str to float
        How many of them go wrong today, by event [-].
    """

    name: str
    target_N: float | None
    first: Reading
    steps: tuple[PlanStep, ...]
    catalogue: str
    limits: Limits | None
    samples: int
    today: dict[str, float]

    @property
    def price(self) -> tuple[float, float]:
        """Money for all of it, from and to."""
        low, high = (math.fsum(step.job.price[end] for step in self.steps) for end in (0, 1))
        return low, high

    @property
    def hours(self) -> float:
        """Work for all of it [h]."""
        return math.fsum(step.job.hours for step in self.steps)

    @property
    def parts(self) -> tuple[str, ...]:
        """What must be bought or found, each once."""
        return tuple(dict.fromkeys(part for step in self.steps for part in step.job.parts))

    @property
    def enough_after(self) -> int | None:
        """Number of steps, from 1, after which the pull wanted should be reached; 0 before any; None never."""
        if self.target_N is None:
            return None
        pulls = (self.first.pull_N, *(step.reading.pull_N for step in self.steps))
        return next((count for count, pull in enumerate(pulls) if pull <= self.target_N), None)


def make_plan(
    measured: MeasuredBike,
    jobs: Sequence[Job | Step],
    *,
    target_N: float | None = None,
    held: Held | None = None,
    catalogue: str = "",
) -> Plan:
    """Put the changes of a setup in order and say what to check after each.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.
    jobs : sequence of Job or Step
        Changes; a bare step has the price and hours of its kind.
    target_N : float | None
        Pull wanted [N].
    held : Held | None
        What to hold each step against; None for the verdict alone.
    catalogue : str
        Name of the catalogue that the jobs are from; empty for none.

    Returns
    -------
    Plan
        See there.

    Raises
    ------
    InputError
        For a target that is no force, no change, one that is there twice, or too many.
    Refusal
        Where the setup cannot be made.
    """
    require_target(target_N)
    listed = [job if isinstance(job, Job) else job_of(job) for job in jobs]
    _require_changes([job.step for job in listed])
    measured = with_unknowns(measured, [job.step for job in listed])
    bike = assemble(measured)
    order = best_order(bike, listed)
    first = before = _state(measured, bike, ())
    today = _possible(measured, (), held)
    steps = []
    for count, place in enumerate(order, 1):
        done = [listed[other].step for other in sorted(order[:count])]
        after = _state(measured, apply(bike, done), done)
        possible = _possible(measured, done, held)
        step = _step(listed[place], before, after, measured.quantities, target_N, possible)
        steps.append(_held(step, possible, today, held))
        before = after
    return Plan(
        name=measured.name,
        target_N=target_N,
        first=_reading(first, first, measured.quantities),
        steps=tuple(steps),
        catalogue=catalogue,
        limits=None if held is None else held.limits,
        samples=0 if held is None else held.sample.size,
        today={} if today is None else today.probability,
    )


def _possible(measured: MeasuredBike, steps: Sequence[Step], held: Held | None) -> Outcomes | None:
    """What the possible bikes come to; None where none were drawn."""
    return None if held is None else outcomes(measured, steps, held.sample.values, size=held.sample.size)


def _held(step: PlanStep, possible: Outcomes | None, today: Outcomes | None, held: Held | None) -> PlanStep:
    if held is None or possible is None or today is None:
        return step
    chances = possible.probability
    return replace(step, probability=chances, over=held.limits.broken(chances, held.sample.size, today.probability))


def _require_changes(steps: Sequence[Step]) -> None:
    if not steps:
        raise InputError("--with", None, "name at least one change; see: clutchwright changes")
    done: list[tuple[str, dict[str, object]]] = []
    for step in steps:
        made = step.kind, find(step.kind).values(step.parameters)
        if made in done:
            message = "is there twice; a plan makes each change once, so name it once, as it is to be in the end"
            raise InputError("--with", str(step), message)
        done.append(made)


@dataclass(frozen=True, slots=True)
class State:
    """The bike between two steps: nominal, its figures, and these with one unknown moved at a time."""

    bike: Bike
    figures: dict[str, float]
    moved: dict[str, Array]


def _state(measured: MeasuredBike, bike: Bike, steps: Sequence[Step]) -> State:
    values = one_at_a_time(measured.quantities, measured.correlation)
    moved = outcomes(measured, steps, values, size=2 * len(uncertain(measured.quantities))).figures
    return State(bike, _figures(bike), moved)


def _figures(bike: Bike) -> dict[str, float]:
    return {key: float(value) for key, value in measure(bike, respond(bike)).items()}


def _reading(before: State, after: State, quantities: Mapping[str, Quantity]) -> Reading:
    pull = after.figures[PEAK]
    share = pull / before.figures[PEAK]
    u = combined(first_order(quantities, after.moved[PEAK]))
    share_u = combined(first_order(quantities, after.moved[PEAK] / before.moved[PEAK]))
    hooks = [_hook_ratio(state.bike, quantities.get("lever.hook_radius_mm")) for state in (before, after)]
    return Reading(
        pull_N=pull,
        u_N=u,
        tolerance_N=COVERAGE * float(np.hypot(u, REPEATS * pull)),
        share=share,
        share_tolerance=COVERAGE * float(np.hypot(share_u, np.sqrt(2.0) * REPEATS * share)),
        hook_N=None if hooks[1] is None else pull * hooks[1],
        hook_ratio=hooks[1],
        hook_share=None if hooks[0] is None or hooks[1] is None else share * hooks[1] / hooks[0],
    )


def _hook_ratio(bike: Bike, hook: Quantity | None) -> float | None:
    """By the lever's own leverage: the moment about its pivot is the same."""
    return None if hook is None else float(bike.lever.finger_radius) * 1e3 / hook.value


def _step(
    job: Job,
    before: State,
    after: State,
    quantities: Mapping[str, Quantity],
    target_N: float | None,
    possible: Outcomes | None,
) -> PlanStep:
    u = {rule.key: combined(first_order(quantities, after.moved[rule.key])) for rule in RULES}
    counted = {} if possible is None else possible.short
    verdict = judge(after.figures, run_checks(after.bike, respond(after.bike)), u, counted)
    changed = changed_fields(before.bike, after.bike)
    return PlanStep(
        job=job,
        reading=_reading(before, after, quantities),
        figures=after.figures,
        free_play_mm=float(after.bike.lever.free_play) * 1e3,
        word=verdict.word,
        reasons=() if verdict.word == "sound" else verdict.reasons[:2],
        checks=tuple(checks_after(after.bike, changed, before.figures, after.figures)),
        remeasure=tuple(dict.fromkeys(remeasured(changed, quantities))),
        caution=find(job.step.kind).caution,
        enough=target_N is not None and after.figures[PEAK] <= target_N,
        probability={},
        over=(),
    )
