"""The search: the exact set of best compromises between pull, price, work and slip margin of all that could be done.

A setup is a choice for each option of a catalogue. It is fine where each thing that can go wrong does so in no more of
the possible bikes than allowed, no change is refused, no check fails that today's bike passes, and the hand reaches.
Of the fine setups those are best that no other beats: none is at least as good in all four and better in one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from clutchwright.bikefile import MeasuredBike, assemble
from clutchwright.changes import Step
from clutchwright.changes.limits import require_return
from clutchwright.errors import InputError
from clutchwright.hand.hand import Hand
from clutchwright.quantity import Array
from clutchwright.study.catalogue import PARTS as THOUSAND
from clutchwright.study.catalogue import Catalogue, Option
from clutchwright.study.components import Components, arm_columns, components
from clutchwright.study.front import best
from clutchwright.study.sweep import BEATEN, FINE, Found, Sweep, parts_of
from clutchwright.study.tolerance import Sample
from clutchwright.study.variants import Menu, Refused

# Up to so many setups each of them is worked out; with more, those that are beaten for certain are passed over.
EVERY = 100_000
EXCLUDED, BEST = "excluded", "best"
EVENTS = ("slips", "does_not_release", "touches")


@dataclass(frozen=True, slots=True)
class Limits:
    """How often each thing may go wrong among the possible bikes, at most [-].

    Parameters
    ----------
    slips : float
        At full torque, worn and hot.
    does_not_release : float
        With the lever at its stop.
    touches : float
        Parts whose room was measured.
    """

    slips: float = 0.01
    does_not_release: float = 0.01
    touches: float = 0.0

    def __post_init__(self) -> None:
        for field in fields(self):
            share = getattr(self, field.name)
            if not 0.0 <= share <= 1.0:
                key = f"limit {field.name}"
                raise InputError(key, share, "give a share from 0 to 1")


@dataclass(frozen=True, slots=True)
class Setup:
    """One way to set up the bike.

    Parameters
    ----------
    options : tuple of str
        Names of the options taken.
    steps : tuple of Step
        Their changes, in the order in which they are made.
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
    front : tuple of Setup
        The best, lightest first; of equal pull the cheaper, then the quicker, then the one that grips better, then the
        one with fewer steps, then in the catalogue's order.
    counts : dict of str to int
        How many of all combinations fell to what; they add up to all.
    refused : tuple of Refused
        Steps that cannot be made, and why.
    options : tuple of Option
        The catalogue's.
    table : Table
        Every setup that was worked out.
    """

    name: str
    catalogue: str
    samples: int
    seed: int
    limits: Limits
    front: tuple[Setup, ...]
    counts: dict[str, int]
    refused: tuple[Refused, ...]
    options: tuple[Option, ...]
    table: Table


def search(
    measured: MeasuredBike,
    catalogue: Catalogue,
    *,
    sample: Sample,
    limits: Limits | None = None,
    hand: Hand | None = None,
    every: int = EVERY,
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

    Returns
    -------
    SearchResult
        The same for the same sample on any number of cores.

    Raises
    ------
    Refusal
        Where the bike as it is must not be changed at all.
    InputError
        Where a part of the chain has too many variants, or the sample is empty.
    """
    if sample.size < 1:
        raise InputError("samples", sample.size, "the search needs at least 1 possible bike")
    limits = limits or Limits()
    found = _components(measured, catalogue, sample)
    total = sum(case.left for case in found.cases)
    allowed = {field.name: int(getattr(limits, field.name) * sample.size + 1e-9) for field in fields(limits)}
    swept = Sweep(found, allowed=allowed, hand=hand, whole=total <= every).run()
    counts = swept.counts
    counts[EXCLUDED] = catalogue.combinations - sum(case.allowed for case in found.cases)
    table, taken = _table(found, swept)
    front = _front(table, taken)
    for place in np.flatnonzero([not reason for reason in table.reason]).tolist():
        table.reason[place] = "" if place in set(front) else BEATEN
    counts[BEST] = len(front)
    counts[BEATEN] += counts.pop(FINE, 0) - len(front)
    return SearchResult(
        name=measured.name,
        catalogue=catalogue.name,
        samples=sample.size,
        seed=sample.seed,
        limits=limits,
        front=tuple(_setup(found, table, place, taken[place]) for place in front),
        counts=dict(counts),
        refused=tuple(found.menu.refused.values()),
        options=catalogue.options,
        table=table,
    )


def _components(measured: MeasuredBike, catalogue: Catalogue, sample: Sample) -> Components:
    """All variants, the possible bikes in such an order that those which fail first come first."""
    nominal = assemble(measured)
    require_return(nominal)
    sampled = assemble(measured, sample.values)
    bare = Menu(Catalogue("", ()), nominal, sampled)
    today = components(bare, sample.size)
    move, pull = arm_columns(sampled, [sampled.arm], sample.size)
    need = today.ratio[0] * (move[0, 0] + today.give[0] * pull[0, 0])
    order = np.argsort(today.draw[0] - need, kind="stable")
    values = {key: value[order] for key, value in sample.values.items()}
    return components(Menu(catalogue, nominal, assemble(measured, values)), sample.size)


def _table(found: Components, swept: Found) -> tuple[Table, list[tuple[tuple[int, int], ...]]]:
    """All that was worked out, and the options taken by each."""
    menu, taken, rows = found.menu, [], []
    for clutch, leaves in zip(swept.clutch, swept.leaves, strict=True):
        for places in parts_of(found, clutch, leaves):
            variants = (found.columns[part].variants[place].taken for part, place in places.items())
            taken.append(tuple(sorted({each for variant in variants for each in variant})))
            rows.append(clutch)
    choices = np.zeros((len(taken), len(menu.options)), dtype=np.int32)
    for row, options in enumerate(taken):
        for option, choice in options:
            choices[row, option] = choice + 1
    clutches = np.array(rows, dtype=np.intp)
    failed = np.concatenate([np.zeros((0, 2)), *(leaves.failed for leaves in swept.leaves)]) / found.samples
    columns = {
        "pull_peak_N": np.concatenate([np.zeros(0), *swept.pull]),
        "price": np.concatenate([np.zeros(0), *(leaves.price for leaves in swept.leaves)]) / THOUSAND,
        "hours": np.concatenate([np.zeros(0), *(leaves.hours for leaves in swept.leaves)]) / THOUSAND,
        "slip_margin_hot": found.grip[clutches],
        "slips": found.slips[clutches] / found.samples,
        "does_not_release": failed[:, 0],
        "touches": failed[:, 1],
    }
    reasons = [reason for batch in swept.reason for reason in batch]
    return Table(choices, columns, reasons), taken


def _front(table: Table, taken: Sequence[tuple[tuple[int, int], ...]]) -> list[int]:
    """Rows of the best, in the stated order."""
    fine = np.flatnonzero([not reason for reason in table.reason])
    names = ("pull_peak_N", "price", "hours", "slip_margin_hot")
    points = np.stack([table.columns[name][fine] for name in names], axis=1) * (1.0, 1.0, 1.0, -1.0)
    kept = best(points)
    order = sorted(
        np.flatnonzero(kept).tolist(),
        key=lambda place: (*points[place].tolist(), len(taken[int(fine[place])]), tuple(-table.choices[fine[place]])),
    )
    return fine[order].tolist()


def _setup(found: Components, table: Table, row: int, taken: tuple[tuple[int, int], ...]) -> Setup:
    column = {name: float(values[row]) for name, values in table.columns.items()}
    steps = found.menu.steps(taken)
    options = [found.menu.options[option] for option, _ in sorted(taken)]
    return Setup(
        options=tuple(option.name for option in options),
        steps=steps,
        pull_peak_N=column["pull_peak_N"],
        price=column["price"],
        hours=column["hours"],
        slip_margin_hot=column["slip_margin_hot"],
        probability={name: column[name] for name in EVENTS},
        reversible=all(option.reversible for option in options),
        parts=tuple(part for option in options for part in option.parts),
    )
