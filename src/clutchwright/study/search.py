"""The search: the exact set of best compromises between pull, price, work and slip margin of all that could be done.

A setup is a choice for each option of a catalogue. It is fine where each thing that can go wrong does so in no more of
the possible bikes than allowed, no change is refused, no check fails that today's bike passes, and the hand reaches.
Of the fine setups those are best that no other beats: none is at least as good in all four and better in one.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import reduce

import numpy as np

from clutchwright.assess.figures import worn_hot_margin
from clutchwright.bikefile import MeasuredBike, assemble
from clutchwright.chain import respond
from clutchwright.changes import Step
from clutchwright.changes.limits import require_return
from clutchwright.errors import InputError
from clutchwright.hand.hand import Hand
from clutchwright.quantity import Array
from clutchwright.study.catalogue import PARTS as THOUSAND
from clutchwright.study.catalogue import Catalogue, Option
from clutchwright.study.components import Components, components, margins
from clutchwright.study.front import best
from clutchwright.study.limits import ANY_BUDGET, EVENTS, Budget, Limits
from clutchwright.study.outcomes import outcomes
from clutchwright.study.progress import Progress, unheard
from clutchwright.study.sweep import (
    BEATEN,
    FINE,
    REFUSED,
    SLIPPING,
    STUCK,
    TOUCHING,
    UNREACHED,
    Found,
    Leaves,
    Sweep,
)
from clutchwright.study.tolerance import Sample
from clutchwright.study.variants import Menu, Refused, make

# Up to so many setups each of them is worked out; with more, those that are beaten for certain are passed over.
EVERY = 100_000
EXCLUDED, BEST = "excluded", "best"
FATES = (BEST, BEATEN, STUCK, SLIPPING, TOUCHING, UNREACHED, REFUSED, EXCLUDED)
# What is to be small, once multiplied by the second number
OBJECTIVES = (("pull_peak_N", 1.0), ("price", 1.0), ("hours", 1.0), ("slip_margin_hot", -1.0))


@dataclass(frozen=True, slots=True)
class Setup:
    """One way to set up the bike.

    Parameters
    ----------
    options : tuple of str
        Names of the options taken, in the order in which they are made.
    steps : tuple of Step
        Their changes, in the same order.
    pull_peak_N : float
        Greatest pull, nominal [N].
    price : float
        Money for all of it.
    hours : float
        Work [h].
    slip_margin_hot : float
        Capacity over demand, worn and hot, nominal [-].
    probability : dict of str to float
        ``slips``, ``does_not_release``, ``touches`` [-], as in `Sampled`.
    rest_span_mm : float
        Grip to lever at the finger point, lever at rest, nominal [mm].
    reversible : bool
        Whether the bike can be put back as it was.
    parts : tuple of str
        What must be bought or found.
    """

    options: tuple[str, ...]
    steps: tuple[Step, ...]
    pull_peak_N: float
    price: float
    hours: float
    slip_margin_hot: float
    probability: dict[str, float]
    rest_span_mm: float
    reversible: bool
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Every setup that was worked out, a row each.

    Parameters
    ----------
    choices : Array of int
        Choice by option: 0 not taken, else counted from 1; shape (setups, options).
    columns : dict of str to Array
        ``pull_peak_N``, ``price``, ``hours``, ``slip_margin_hot`` and the probabilities; NaN where a setup failed
        before it was known.
    reason : list of str
        Why a setup is not among the best; empty for the best.
    """

    choices: np.ndarray[tuple[int, ...], np.dtype[np.int32]]
    columns: dict[str, Array]
    reason: list[str]


@dataclass(frozen=True, slots=True)
class SearchResult:
    """What the search found.

    Parameters
    ----------
    name, catalogue : str
        Names of bike and catalogue.
    samples, seed : int
        Possible bikes, and the seed they came from.
    limits : Limits
        What was allowed.
    reach_mm, reach_u_mm : float | None
        Rest span that the hand reaches and its standard uncertainty [mm]; None where none was asked for. A lever counts
        as out of reach where it is further away than both together.
    today : Setup
        The bike as it is.
    front : tuple of Setup
        The best, lightest first; of equal pull the cheaper, then the quicker, then the one that grips better, then the
        one with fewer steps, then in the catalogue's order.
    counts : dict of str to int
        What became of all combinations: those of ``FATES``, and more where a change is refused or a check fails in
        the whole setup only. They add up to all.
    refused : tuple of Refused
        Steps that cannot be made, and why.
    options : tuple of Option
        The catalogue's.
    table : Table
        Every setup that was worked out.
    asked : Limits | None
        The limits asked for, where the bike as it is misses them, no setup keeps them, and those of ``limits`` are
        only that nothing gets worse; None elsewhere.
    budget : Budget
        What may be spent on the setups of the front.
    """

    name: str
    catalogue: str
    samples: int
    seed: int
    limits: Limits
    reach_mm: float | None
    reach_u_mm: float | None
    today: Setup
    front: tuple[Setup, ...]
    counts: dict[str, int]
    refused: tuple[Refused, ...]
    options: tuple[Option, ...]
    table: Table
    asked: Limits | None = None
    budget: Budget = ANY_BUDGET


def search(
    measured: MeasuredBike,
    catalogue: Catalogue,
    *,
    sample: Sample,
    limits: Limits | None = None,
    hand: Hand | None = None,
    every: int = EVERY,
    progress: Progress = unheard,
) -> SearchResult:
    """Find the best compromises.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.
    catalogue : Catalogue
        What could be done.
    sample : Sample
        Possible bikes, the same for all setups.
    limits : Limits | None
        What is allowed; None for the usual.
    hand : Hand | None
        Whose reach counts, nominal; None for nobody's.
    every : int
        Up to so many setups the table holds every one; with more, those that were worked out [-].
    progress : Progress
        Told how many clutches are gone through.

    Returns
    -------
    SearchResult
        The same for the same sample on any number of cores.

    Raises
    ------
    Refusal
        Where the bike as it is must not be changed at all.
    InputError
        Where a part of the chain has too many variants, or the sample is empty or too large for them.
    """
    if sample.size < 1:
        raise InputError("samples", sample.size, "the search needs at least 1 possible bike")
    limits = limits or Limits()
    found = _components(measured, catalogue, sample)
    total = sum(case.left for case in found.cases)
    swept = Sweep(found, allowed=limits.allowed(sample.size), hand=hand, whole=total <= every).run(progress)
    counts = Counter(dict.fromkeys(FATES, 0))
    counts.update(swept.counts)
    counts[EXCLUDED] = catalogue.combinations - sum(case.allowed for case in found.cases)
    table = _table(found, swept)
    front = _front(table)
    counts[BEST] = len(front)
    counts[BEATEN] += counts.pop(FINE, 0) - len(front)
    return SearchResult(
        name=measured.name,
        catalogue=catalogue.name,
        samples=sample.size,
        seed=sample.seed,
        limits=limits,
        reach_mm=None if hand is None else float(np.median(hand.reach)) * 1e3,
        reach_u_mm=None if hand is None else 0.0,
        today=_today(measured, sample),
        front=tuple(sorted((_setup(found.menu, table, row) for row in front), key=stated_order)),
        counts=dict(counts),
        refused=tuple(found.menu.refused.values()),
        options=catalogue.options,
        table=table,
    )


def _today(measured: MeasuredBike, sample: Sample) -> Setup:
    bike, found = assemble(measured), outcomes(measured, (), sample.values, size=sample.size)
    return Setup(
        options=(),
        steps=(),
        pull_peak_N=float(np.max(respond(bike).pull)),
        price=0.0,
        hours=0.0,
        slip_margin_hot=float(worn_hot_margin(bike)),
        probability=found.probability,
        rest_span_mm=float(bike.lever.rest_span) * 1e3,
        reversible=True,
        parts=(),
    )


def _components(measured: MeasuredBike, catalogue: Catalogue, sample: Sample) -> Components:
    """All variants, the possible bikes in such an order that those which fail first come first."""
    nominal = assemble(measured)
    require_return(nominal)
    sampled = assemble(measured, sample.values)
    order = np.argsort(margins(sampled, sample.size)["does_not_release"], kind="stable")
    values = {key: value[order] for key, value in sample.values.items()}
    menu = Menu(catalogue, nominal, assemble(measured, values))
    menu.require_room(sample.size)
    return components(menu, sample.size)


def _table(found: Components, swept: Found) -> Table:
    """All that was worked out."""
    whole = Leaves(
        *(
            np.concatenate(each)
            for each in zip(*(leaves.arrays for leaves in [Leaves.none(), *swept.leaves]), strict=True)
        )
    )
    clutches = np.repeat(np.array(swept.clutch, dtype=np.intp), [len(leaves) for leaves in swept.leaves])
    places = {"lever": whole.lever, "line": whole.line, "arm": whole.arm, "clutch": clutches}
    choices = np.zeros((len(whole), len(found.menu.options)), dtype=np.int32)
    for part, rows in places.items():
        of_variant = np.zeros((len(found.columns[part].variants), choices.shape[1]), dtype=np.int32)
        for row, variant in enumerate(found.columns[part].variants):
            for option, choice in variant.taken:
                of_variant[row, option] = choice + 1
        # an option of two parts is taken in both
        np.maximum(choices, of_variant[rows], out=choices)
    failed = whole.failed / found.samples
    columns = {
        "pull_peak_N": np.concatenate([np.zeros(0), *swept.pull]),
        "price": whole.price / THOUSAND,
        "hours": whole.hours / THOUSAND,
        "slip_margin_hot": found.grip[clutches],
        "slips": found.slips[clutches] / found.samples,
        "does_not_release": failed[:, 0],
        "touches": failed[:, 1],
    }
    reasons = [reason for batch in swept.reason for reason in batch]
    return Table(choices, columns, reasons)


def _front(table: Table) -> list[int]:
    """Rows of the best, in the catalogue's order: an option taken comes before it is not, its values in theirs.

    The reason of all others that were fine is put down.
    """
    fine = np.flatnonzero([not reason for reason in table.reason])
    kept = fine[best(np.stack([sign * table.columns[name][fine] for name, sign in OBJECTIVES], axis=1))].tolist()
    for row in set(fine.tolist()) - set(kept):
        table.reason[row] = BEATEN
    choices = np.where(table.choices == 0, np.iinfo(np.int32).max, table.choices)
    return sorted(kept, key=lambda row: tuple(choices[row]))


def stated_order(setup: Setup) -> tuple[float, ...]:
    """Lightest first; of equal pull the cheaper, then the quicker, then the better grip, then the fewer steps."""
    return (setup.pull_peak_N, setup.price, setup.hours, -setup.slip_margin_hot, len(setup.steps))


def _setup(menu: Menu, table: Table, row: int) -> Setup:
    taken = menu.ordered([(place, choice - 1) for place, choice in enumerate(table.choices[row].tolist()) if choice])
    column = {name: float(values[row]) for name, values in table.columns.items()}
    options = [menu.options[option] for option, _ in taken]
    steps = tuple(map(menu.step, taken))
    return Setup(
        options=tuple(option.name for option in options),
        steps=steps,
        pull_peak_N=column["pull_peak_N"],
        price=column["price"],
        hours=column["hours"],
        slip_margin_hot=column["slip_margin_hot"],
        probability={name: column[name] for name in EVENTS},
        rest_span_mm=float(reduce(make, steps, menu.bikes[0]).lever.rest_span) * 1e3,
        reversible=all(option.reversible for option in options),
        parts=tuple(part for option in options for part in option.parts),
    )
