"""In which order to make the changes of a setup.

The rule, each line weighing more than all after it:

1. No state on the way breaks a limit of the verdict that today's clutch keeps.
2. A length that is set comes after what would move it, so that it is set once.
3. What only takes friction from the cable comes first, since every later reading depends on it; then what is free and
   can be undone; then the rest.
4. The lever gets light early: the pull that is still there is carried through as little trouble as possible, that is
   the least sum of trouble x pull before each change. Where gains simply add up, that is the most pull gained per
   trouble first (Smith, Naval Research Logistics Quarterly 3 (1956) 59).
5. The names of the kinds of change, so that it does not matter in which order they were given.

A state on the way is the setup with the changes still to come left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from clutchwright.assess.figures import measure
from clutchwright.assess.verdict import RULES
from clutchwright.bike import Bike
from clutchwright.chain import respond
from clutchwright.changes import Step, apply, find
from clutchwright.errors import InputError, Refusal
from clutchwright.physics import PULL
from clutchwright.physics.cable import Cable
from clutchwright.study.catalogue import Option

HOURLY = 20.0  # units of money that count as much trouble as an hour of work; own judgement, no source
MOST_JOBS = 10


@dataclass(frozen=True, slots=True)
class Job:
    """A change and the trouble it makes.

    Parameters
    ----------
    step : Step
        The change.
    price : tuple of float
        From and to, in units of money.
    hours : float
        Work [h].
    reversible : bool
        Whether the bike can be put back as it was.
    option : str
        What the catalogue calls it; empty for one of no catalogue, whose price and hours are those of its kind.
    parts : tuple of str
        What must be bought or found.
    """

    step: Step
    price: tuple[float, float]
    hours: float
    reversible: bool
    option: str = ""
    parts: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        """What it is called."""
        return self.option or find(self.step.kind).title

    @property
    def trouble(self) -> float:
        """Hours, and the middle of the price as hours [h]."""
        return self.hours + sum(self.price) / 2.0 / HOURLY

    @property
    def free(self) -> bool:
        """Whether it costs no money and can be undone."""
        return self.price[1] == 0.0 and self.reversible


def job_of(step: Step, options: Sequence[Option] = ()) -> Job:
    """What a change is as a job.

    Parameters
    ----------
    step : Step
        The change.
    options : sequence of Option
        Of a catalogue.

    Returns
    -------
    Job
        At the price of the cheapest option that offers the change, of equal price the quickest; where none does, at
        the price and hours that its kind names.
    """
    offered = [option for option in options if option.offers(step)]
    if offered:
        best = min(offered, key=lambda option: (option.price, option.hours))
        return Job(step, (best.price, best.price), best.hours, best.reversible, best.name, best.parts)
    change = find(step.kind)
    return Job(step, change.price, change.hours, change.reversible)


@dataclass(frozen=True, slots=True)
class Visited:
    """A state on the way: the bike, its peak pull [N] and how many limits it breaks that today's bike keeps."""

    bike: Bike
    pull: float
    broken: int


Cost = tuple[int, int, int, float]


def best_order(bike: Bike, jobs: Sequence[Job]) -> tuple[int, ...]:
    """Places of the jobs in the order in which to do them.

    Parameters
    ----------
    bike : Bike
        The clutch as it is, nominal.
    jobs : sequence of Job
        At most ``MOST_JOBS``, in an order in which they can be made.

    Returns
    -------
    tuple of int
        The best of all orders by the rule of this module.

    Raises
    ------
    InputError
        For more jobs.
    Refusal
        Where the setup cannot be made.

    Notes
    -----
    Exact. A state does not depend on the order in which it was reached, and each part of the cost is a sum over the
    jobs that depends on the state before and the job only; so the best way to a state goes on from the best ways to
    the states one job earlier (Held and Karp, J. SIAM 10 (1962) 196).
    """
    if len(jobs) > MOST_JOBS:
        raise InputError("--with", len(jobs), f"at most {MOST_JOBS} changes are put in order; leave some for later")
    apply(bike, [job.step for job in jobs])
    states = _States(bike, jobs)
    best: dict[int, tuple[Cost, tuple[int, ...]]] = {0: ((0, 0, 0, 0.0), ())}

    def rank(way: tuple[Cost, tuple[int, ...]]) -> tuple[object, ...]:
        (*counts, carried), order = way
        return *counts, round(carried, 9), [jobs[place].step.kind for place in order], order

    for done in range(1, 1 << len(jobs)):
        ways = []
        for last in range(len(jobs)):
            before = done ^ (1 << last)
            if done & (1 << last) and before in best and (added := states.cost(before, last)) is not None:
                spent, order = best[before]
                total = (spent[0] + added[0], spent[1] + added[1], spent[2] + added[2], spent[3] + added[3])
                ways.append((total, (*order, last)))
        if ways:
            best[done] = min(ways, key=rank)
    return best[(1 << len(jobs)) - 1][1]


class _States:
    """States by the set of jobs done, one bit for each job; worked out once."""

    def __init__(self, bike: Bike, jobs: Sequence[Job]) -> None:
        self._jobs = jobs
        today = _figures(bike)
        self._today = bike
        self._kept = [rule for rule in RULES if today[rule.key] >= rule.limit]
        self._known: dict[int, Visited | None] = {0: Visited(bike, today["pull_peak_N"], 0)}
        self._levels = [_level(bike, job) for job in jobs]
        self._sets = [find(job.step.kind).sets_length for job in jobs]
        self._moves = [moves_set_length(bike, job.step) for job in jobs]

    def at(self, done: int) -> Visited | None:
        """State with these jobs done; None where a change is refused."""
        if done not in self._known:
            self._known[done] = self._worked_out(done)
        return self._known[done]

    def cost(self, before: int, job: int) -> Cost | None:
        """What one more job adds: broken limits, lengths set that it moves, later levels before it, trouble x pull."""
        start, end = self.at(before), self.at(before | (1 << job))
        if start is None or end is None or not _can_follow(start.bike, self._jobs[job].step):
            return None
        earlier = [other for other in range(len(self._jobs)) if before & (1 << other)]
        moved = sum(self._sets[other] and self._moves[job] for other in earlier)
        late = sum(self._levels[other] > self._levels[job] for other in earlier)
        return end.broken, moved, late, self._jobs[job].trouble * start.pull

    def _worked_out(self, done: int) -> Visited | None:
        steps = [job.step for place, job in enumerate(self._jobs) if done & (1 << place)]
        try:
            bike = apply(self._today, steps)
        except Refusal:
            return None
        figures = _figures(bike)
        broken = sum(not figures[rule.key] >= rule.limit for rule in self._kept)
        return Visited(bike, figures["pull_peak_N"], broken)


def _figures(bike: Bike) -> dict[str, float]:
    return {key: float(value) for key, value in measure(bike, respond(bike)).items()}


def _can_follow(bike: Bike, step: Step) -> bool:
    try:
        apply(bike, [step])
    except Refusal:
        return False
    return True


def _level(bike: Bike, job: Job) -> tuple[bool, bool]:
    """Smaller comes first."""
    return not only_eases_cable(bike, job.step), not job.free


def moves_set_length(bike: Bike, step: Step) -> bool:
    """Whether a change moves a length that others set: free play or rest span."""
    try:
        before, after = bike.lever, apply(bike, [step]).lever
    except Refusal:
        return False
    moved = (after.free_play, after.rest_span) != (before.free_play, before.rest_span)
    return moved and not find(step.kind).sets_length


def only_eases_cable(bike: Bike, step: Step) -> bool:
    """Whether a change takes friction from the cable and does nothing else."""
    try:
        after = apply(bike, [step])
    except Refusal:
        return False
    line, eased = bike.line, after.line
    if not (isinstance(line, Cable) and isinstance(eased, Cable)) or replace(after, line=line) != bike:
        return False
    same = (eased.ratio, eased.compliance) == (line.ratio, line.compliance)
    return same and bool(eased.bend_gain(PULL) <= line.bend_gain(PULL) and eased.drag <= line.drag)
