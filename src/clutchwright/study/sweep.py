"""The sweep: from all setups of a catalogue to those that no other beats, by bounds that never lose one.

Clutches are taken up one after the other, the one with the greatest slip margin first. So whatever has been proven
fine by then grips at least as well as what comes, and only price, hours and pull are left to compare. `Ceilings` holds,
for each price and hours, the least pull proven fine at no greater price and hours. A setup is left out only where

* too many of its possible bikes fail, or
* its bound, and so its peak pull, is above its ceiling: then a setup that is proven fine grips as well, costs no more,
  takes no longer and is lighter, so that it beats this one.

Whatever beats a setup that beats another beats that other too. So no setup that belongs among the best is left out, and
any that was left out wrongly would have to be beaten: the best of what is kept are the best of all. The order of work
decides how many setups are worked out in full, never which are the best.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Any

import numpy as np

from clutchwright.assess.checks import Stroke, checks_at, run_checks
from clutchwright.bike import Bike
from clutchwright.chain import at_lift, respond
from clutchwright.changes.limits import require_within_limits
from clutchwright.errors import Refusal
from clutchwright.hand.effort import reach
from clutchwright.hand.hand import Hand
from clutchwright.physics import PULL
from clutchwright.quantity import Array
from clutchwright.study.components import Components, bound_columns, has_gaps, levers_of, release_columns, touch_columns
from clutchwright.study.kernel import judge
from clutchwright.study.progress import Progress, unheard
from clutchwright.study.task import Counts, Levers, Lines, Places, Task
from clutchwright.study.variants import Case

# Measured: setups worked out at a time by the chain; with more the arrays leave the cache.
BATCH = 256
LEAVES = 1 << 20  # setups judged at a time
FIRST = 1 << 14  # the same at first, when the ceilings are still high
BEATEN, SLIPPING, STUCK, TOUCHING = "beaten", "slips", "does not release", "touches"
SWEEPING = "going through the combinations"
REFUSED, UNREACHED, FINE = "refused", "out of reach", "fine"
EDGES = 256  # of price, and of hours, in the table of ceilings


class Ceilings:
    """Least pull proven fine at no greater price and hours.

    Parameters
    ----------
    price, hours : Places
        All that may occur [thousandths]. Where there are many, the table has some of them as its edges only: a setup is
        then held against what costs no more than the edge below it.
    """

    def __init__(self, price: Places, hours: Places) -> None:
        self.edges = tuple(np.unique(values)[:: 1 + len(np.unique(values)) // EDGES] for values in (price, hours))
        self.pull = np.full(tuple(map(len, self.edges)), np.inf)

    def at(self, price: Places, hours: Places) -> Array:
        """Ceiling [N] for setups of a price and hours [thousandths]."""
        places = (np.searchsorted(e, v, side="right") - 1 for e, v in zip(self.edges, (price, hours), strict=True))
        return self.pull[tuple(places)]

    def lower(self, price: int, hours: int, pull: float) -> None:
        """Take in a setup proven fine, with its price and hours [thousandths] and pull [N]."""
        above = tuple(
            slice(int(np.searchsorted(e, v, side="left")), None)
            for e, v in zip(self.edges, (price, hours), strict=True)
        )
        np.minimum(self.pull[above], pull, out=self.pull[above])


@dataclass(frozen=True, slots=True)
class Leaves:
    """Setups of one clutch that were judged, an entry of each array for each.

    Parameters
    ----------
    arm, line, lever : Places
        Places of the variants.
    price, hours : Places
        Of the whole setup [thousandths].
    bound : Array
        Lower bound of the peak pull [N].
    failed : Counts
        Possible bikes that do not release and that touch, shape (setups, 2).
    """

    arm: Places
    line: Places
    lever: Places
    price: Places
    hours: Places
    bound: Array
    failed: Counts

    def take(self, which: Any) -> Leaves:
        """Some of them."""
        return Leaves(*(array[which] for array in self.arrays))

    @property
    def arrays(self) -> tuple[Any, ...]:
        """All arrays, in the order of the fields."""
        return tuple(getattr(self, each.name) for each in fields(self))

    @staticmethod
    def none() -> Leaves:
        """No setups at all."""
        places = np.zeros(0, dtype=np.intp)
        return Leaves(places, places, places, places, places, np.zeros(0), np.zeros((0, 2), dtype=np.int32))

    def __len__(self) -> int:
        return len(self.bound)


@dataclass(slots=True)
class Found:
    """What the sweep came to: all setups that were worked out, clutch by clutch, and how many fell to what.

    Parameters
    ----------
    clutch : list of int
        Place of the clutch of each batch.
    leaves : list of Leaves
        The batches.
    pull : list of Array
        Peak pull [N], NaN where a setup failed already.
    reason : list of list
        Why each is not among the best; empty for those proven fine that none proven fine before them beats.
    counts : Counter
        Setups by what became of them.
    """

    clutch: list[int] = field(default_factory=list)
    leaves: list[Leaves] = field(default_factory=list)
    pull: list[Array] = field(default_factory=list)
    reason: list[list[str]] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)


class Sweep:
    """All setups of a catalogue and what they are held against.

    Parameters
    ----------
    found : Components
        All variants.
    allowed : dict of str to int
        Possible bikes that may fail, by event.
    hand : Hand | None
        Whose reach counts; None for nobody's.
    whole : bool
        Whether every setup is worked out, for a table of all of them.
    """

    def __init__(self, found: Components, *, allowed: Mapping[str, int], hand: Hand | None, whole: bool) -> None:
        self.parts, self.allowed, self.hand, self.whole = found, allowed, hand, whole
        columns = found.columns.values()
        sums = [np.zeros(1, dtype=np.intp), np.zeros(1, dtype=np.intp)]
        for column in columns:
            sums = [np.unique(np.add.outer(s, v)) for s, v in zip(sums, (column.price, column.hours), strict=True)]
        self.ceilings = Ceilings(*sums)
        self.result = Found()
        self.failing = failing(found.columns["clutch"].variants[0].nominal)
        release = found.samples if whole else allowed["does_not_release"]
        self.levers = [levers_of(found, self._reachable(case), release) for case in found.cases]
        self.leaves = FIRST

    def _reachable(self, case: Case) -> list[int]:
        """Levers of a case that the hand reaches at rest; all of them without a hand."""
        levers = self.parts.columns["lever"].variants
        if self.hand is None:
            return case.places["lever"]
        return [
            place
            for place in case.places["lever"]
            if np.median(self.hand.reach) >= levers[place].nominal.lever.rest_span
        ]

    def run(self, progress: Progress = unheard) -> Found:
        """Sweep through all clutches; told of each."""
        counts, parts = self.result.counts, self.parts
        for case, (levers, _) in zip(parts.cases, self.levers, strict=True):
            counts[REFUSED] += case.allowed - case.left
            lost = len(case.places["lever"]) - len(levers.row)
            counts[UNREACHED] += lost * (case.left // max(len(case.places["lever"]), 1))
        clutches = [frozenset(case.places["clutch"]) for case in parts.cases]
        # equal slip margins in the catalogue's order
        for count, clutch in enumerate(np.argsort(-parts.grip, kind="stable").tolist()):
            progress(SWEEPING, count, len(parts.grip))
            slips = int(parts.slips[clutch]) > self.allowed["slips"]
            for case, own, (levers, costs) in zip(parts.cases, clutches, self.levers, strict=True):
                arms, lines = case.places["arm"], case.places["line"]
                if clutch not in own or not (arms and lines and len(levers.row)):
                    continue
                if slips:
                    counts[SLIPPING] += len(arms) * len(lines) * len(levers.row)
                if not slips or self.whole:
                    for leaves in self._judged(clutch, case, levers, costs):
                        self._settle(clutch, leaves, slips=slips)
        return self.result

    def _judged(self, clutch: int, case: Case, levers: Levers, costs: Places) -> Iterator[Leaves]:
        """Setups of one clutch, some at a time, that are neither above their ceiling nor failing too often."""
        parts, arms, lines = self.parts, case.places["arm"], case.places["line"]
        variant = parts.columns["clutch"].variants[clutch]
        sampled = parts.menu.sampled("clutch", variant.taken)
        move, pull = release_columns(sampled, [parts.arms[arm] for arm in arms], parts.samples)
        drawn, tension = bound_columns(parts, variant.nominal, arms, lines)
        cost = self._costs("arm", np.repeat(arms, len(lines))) + self._costs("line", np.tile(lines, len(arms)))
        cost += (variant.price, variant.hours)
        start = 0
        while start < len(arms):
            stop = start + max(self.leaves // (len(levers.row) * len(lines)), 1)
            pairs = slice(start * len(lines), stop * len(lines))
            price, hours = np.moveaxis(cost[pairs, np.newaxis] + costs, 2, 0)
            task = Task(
                move[start:stop],
                pull[start:stop],
                Lines(parts.ratio[lines], parts.give[lines], drawn[pairs], tension[pairs]),
                levers,
                np.full(price.shape, np.inf) if self.whole else self.ceilings.at(price, hours),
                parts.samples if self.whole else self.allowed["does_not_release"],
            )
            judged = judge(task)
            self._count(beaten=judged.beaten, stuck=judged.stuck)
            arm, line = np.divmod(judged.pair, len(lines))
            which = judged.pair, levers.kind[judged.lever]
            places = np.array(arms)[start + arm], np.array(lines)[line], levers.row[judged.lever]
            failed = np.stack([judged.failed, self._touching(sampled, judged.pair, *places)], axis=1)
            yield Leaves(*places, price[which], hours[which], judged.bound, failed)
            start = stop
            self.leaves = min(2 * self.leaves, LEAVES)

    def _touching(self, sampled: Bike, pair: Places, arm: Places, line: Places, lever: Places) -> Counts:
        """Possible bikes that touch, for setups in the order of their pairs of arm and line."""
        count = np.zeros(len(pair), dtype=np.int32)
        if not len(pair) or not has_gaps(sampled):
            return count
        parts = self.parts
        arms, which = np.unique(arm, return_inverse=True)
        move, pull = touch_columns(sampled, [parts.arms[place] for place in arms], parts.samples)
        for some in np.split(np.arange(len(pair)), np.flatnonzero(np.diff(pair)) + 1):
            first, at = line[some[0]], which[some[0]]
            need = parts.ratio[first] * (move[at] + parts.give[first] * pull[at])
            count[some] = np.count_nonzero(need < parts.draw[lever[some]], axis=1)
        return count

    def _costs(self, part: str, places: Places) -> Places:
        """Price and hours of variants, shape (variants, 2) [thousandths]."""
        column = self.parts.columns[part]
        return np.stack([column.price[places], column.hours[places]], axis=1)

    def _count(self, *, beaten: int = 0, stuck: int = 0, touching: int = 0) -> None:
        self.result.counts.update({BEATEN: beaten, STUCK: stuck, TOUCHING: touching})

    @property
    def _limits(self) -> tuple[int, int]:
        return self.allowed["does_not_release"], self.allowed["touches"]

    def _settle(self, clutch: int, leaves: Leaves, *, slips: bool) -> None:
        """Tell which setups fail, and work out the others until each is proven fine, failing or beaten."""
        release, touch = self._limits
        stuck, touching = leaves.failed[:, 0] > release, leaves.failed[:, 1] > touch
        if not slips:
            self._count(stuck=int(np.count_nonzero(stuck)), touching=int(np.count_nonzero(touching & ~stuck)))
        fine = ~stuck & ~touching & (not slips)
        if self.whole:
            names = np.full(len(leaves), SLIPPING) if slips else np.where(stuck, STUCK, TOUCHING)
            lost = leaves.take(~fine)
            self._note(clutch, lost, np.full(len(lost), np.nan), names[~fine].tolist())
        rest = leaves.take(fine)
        rest = rest.take(np.argsort(rest.bound, kind="stable"))
        while len(rest):
            if not self.whole:
                wanted = rest.bound <= self.ceilings.at(rest.price, rest.hours)
                self._count(beaten=int(np.count_nonzero(~wanted)))
                rest = rest.take(wanted)
            some, rest = rest.take(slice(0, BATCH)), rest.take(slice(BATCH, None))
            if len(some):
                self._work_out(clutch, some)

    def _work_out(self, clutch: int, leaves: Leaves) -> None:
        pull, lift, angle = self._peaks(clutch, leaves)
        reasons = [BEATEN] * len(leaves)
        # light first, so that a setup is proven fine before those that it beats are looked at
        for place in np.lexsort((leaves.hours, leaves.price, pull)).tolist():
            price, hours = leaves.price[place], leaves.hours[place]
            if pull[place] <= self.ceilings.at(price, hours):
                bike = self.bike(clutch, leaves.arm[place], leaves.line[place], leaves.lever[place])
                stroke = Stroke(lift[place], angle[place])
                reasons[place] = objection(bike, stroke, already=self.failing, hand=self.hand)
                if not reasons[place]:
                    self.ceilings.lower(price, hours, pull[place])
        self.result.counts.update(reason or FINE for reason in reasons)
        self._note(clutch, leaves, pull, reasons)

    def _note(self, clutch: int, leaves: Leaves, pull: Array, reasons: list[str]) -> None:
        self.result.clutch.append(clutch)
        self.result.leaves.append(leaves)
        self.result.pull.append(pull)
        self.result.reason.append(reasons)

    def bike(self, clutch: int, arm: int, line: int, lever: int) -> Bike:
        """The nominal bike of a setup."""
        places = {"lever": lever, "line": line, "arm": arm}
        columns = self.parts.columns
        stages = {name: getattr(columns[name].variants[place].nominal, name) for name, place in places.items()}
        return replace(columns["clutch"].variants[clutch].nominal, **stages)

    def _peaks(self, clutch: int, leaves: Leaves) -> tuple[Array, Array, Array]:
        """Peak pull [N], full lift [m] and full angle of the arm [rad] by the chain itself."""
        columns = self.parts.columns
        found = np.empty((3, len(leaves)))
        which = {"lever": leaves.lever, "line": leaves.line, "arm": leaves.arm}
        forms = np.stack([columns[name].stack.forms[places] for name, places in which.items()], axis=1)
        for form in np.unique(forms, axis=0):
            same = np.flatnonzero(np.all(forms == form, axis=1))
            stages = {name: columns[name].stack.take(places[same]) for name, places in which.items()}
            response = respond(replace(columns["clutch"].variants[clutch].nominal, **stages))
            found[:, same] = np.max(response.pull, axis=-1), response.lift[..., -1], response.full_angle[..., 0]
        return found[0], found[1], found[2]


def failing(bike: Bike) -> set[str]:
    """Keys of the checks that a nominal bike fails."""
    return {check.key for check in run_checks(bike, respond(bike)) if check.state == "failed"}


def objection(bike: Bike, stroke: Stroke, *, already: set[str], hand: Hand | None) -> str:
    """What speaks against a nominal bike.

    Parameters
    ----------
    bike : Bike
        The changed bike; limits that concern one part alone are taken as kept.
    stroke : Stroke
        The end of its stroke.
    already : set of str
        Checks that fail today.
    hand : Hand | None
        Whose reach counts; None for nobody's.

    Returns
    -------
    str
        The first reason; empty where it is fine.
    """
    if bike.unaided is not bike:
        try:
            require_within_limits(bike.unaided, bike)
        except Refusal as refusal:
            return f"{REFUSED}: {refusal}"
    for check in checks_at(bike, stroke):
        if check.state == "failed" and check.key not in already:
            return f"fails the check: {check.label[:1].lower()}{check.label[1:]}"
    if hand is not None:
        released = at_lift(bike, bike.pack.release_lift(bike.engaged_clamp), PULL)
        rest = bike.lever.rest_span
        reached = reach(hand, rest_span=rest, release_span=rest - released.travel, bare_stop=bike.lever.stop_span)
        if not reached.reaches or not reached.releases:
            return UNREACHED
    return ""
