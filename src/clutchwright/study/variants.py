"""Variants: what a catalogue can make of each part of the chain, each worked out once.

The chain has four parts: lever, line, arm, and the clutch with all the rest. What a change makes of a part depends on
that part alone, so a setup is one variant of each part, put together. A catalogue of a thousand million setups has a
few thousand variants.

Two things tie parts together. An option that changes two parts is taken in both or in neither, and options of two
parts may exclude each other. Such options are decided first; each way to decide them is a case, and within a case the
parts are free of each other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace
from itertools import combinations, product

from clutchwright.bike import Bike
from clutchwright.changes import Step, find
from clutchwright.changes.limits import require_within_limits
from clutchwright.errors import InputError, Refusal
from clutchwright.study.catalogue import Catalogue, Option, thousandths

_SINGLE = ("lever", "line", "arm")
PARTS: dict[str, tuple[str, ...]] = {name: (name,) for name in _SINGLE} | {
    "clutch": tuple(field.name for field in fields(Bike) if field.name not in _SINGLE)
}
MOST_VARIANTS = 20_000
# Variants of lever, line and arm, times possible bikes: about 2 GB, as each takes up to 40 bytes. Own judgement.
MOST_HELD = 50_000_000

Taken = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Variant:
    """One part of the chain with some options taken.

    Parameters
    ----------
    taken : tuple of (int, int)
        Options taken that change this part, each with its choice, both counted from 0.
    price, hours : int
        Of those options that are counted with this part, in thousandths.
    nominal : Bike
        The nominal bike with this part changed and all others as they were.
    """

    taken: Taken
    price: int
    hours: int
    nominal: Bike


@dataclass(frozen=True, slots=True)
class Refused:
    """Steps that cannot be made one after the other, whatever else is done, and why."""

    steps: tuple[Step, ...]
    reason: str


@dataclass(frozen=True, slots=True)
class Case:
    """Variants that go together in any combination: by part, their places in the list of all variants."""

    places: dict[str, list[int]]
    refused: dict[str, int]

    @property
    def allowed(self) -> int:
        """Setups that obey all exclusions, refused ones among them."""
        return math.prod(len(self.places[part]) + self.refused[part] for part in PARTS)

    @property
    def left(self) -> int:
        """Setups without the refused ones."""
        return math.prod(map(len, self.places.values()))


def make(bike: Bike, step: Step) -> Bike:
    """Bike with one change made, not held against the limits."""
    change = find(step.kind)
    return change.apply(bike, change.values(step.parameters))


def making_order(options: Sequence[Option]) -> list[int]:
    """Places of options in the order in which they are made.

    The same as of `clutchwright.changes.composing.in_turn`.
    """
    return sorted(range(len(options)), key=lambda place: find(options[place].choices[0].kind).turn)


class Menu:
    """A bike and a catalogue, taken apart into the parts of the chain.

    Parameters
    ----------
    catalogue : Catalogue
        What could be done.
    nominal, sampled : Bike
        The bike as it is; the second with fields of shape (samples, 1).
    """

    def __init__(self, catalogue: Catalogue, nominal: Bike, sampled: Bike) -> None:
        self.options: tuple[Option, ...] = catalogue.options
        self.bikes = nominal, sampled
        self.parts = [self._touched(option) for option in self.options]
        self.order = making_order(self.options)
        self.own = {part: [place for place in self.order if part in self.parts[place]] for part in PARTS}
        names = [option.name for option in self.options]
        self.exclusive = {
            frozenset((place, names.index(other)))
            for place, option in enumerate(self.options)
            for other in option.excludes
        }
        self.refused: dict[Taken, Refused] = {}
        self._require_size(catalogue)

    def _touched(self, option: Option) -> tuple[str, ...]:
        """Parts that an option changes; the first where the bike refuses it anyway."""
        found: set[str] = set()
        for step in option.choices:
            for bike in self.bikes[:1]:
                try:
                    made = make(bike, step)
                except Refusal:
                    continue
                stages = {
                    field.name for field in fields(Bike) if getattr(made, field.name) is not getattr(bike, field.name)
                }
                found |= {part for part, own in PARTS.items() if stages & set(own)}
        return tuple(part for part in PARTS if part in found) or ("lever",)

    def require_room(self, samples: int) -> None:
        """Refuse more possible bikes [-] than fit into the memory of most machines; raises `InputError`."""
        held = sum(map(self._count, _SINGLE))
        if held * samples > MOST_HELD:
            allowed = (
                f"{held} variants of lever, line and arm leave room for at most {MOST_HELD // held} possible bikes"
            )
            raise InputError("samples", samples, f"{allowed}; draw fewer, or give fewer values to the options")

    def _count(self, part: str) -> int:
        return math.prod(len(self.options[place].choices) + 1 for place in self.own[part])

    def _require_size(self, catalogue: Catalogue) -> None:
        for part, own in self.own.items():
            count = self._count(part)
            if count > MOST_VARIANTS:
                names = ", ".join(self.options[place].name for place in own)
                allowed = f"{part} has {count} variants (at most {MOST_VARIANTS}); give fewer values to: {names}"
                raise InputError("catalogue", catalogue.name, allowed)

    def variants(self, part: str) -> Iterator[tuple[Taken, tuple[Bike, Bike] | None]]:
        """All variants of a part, nominal and sampled; the one without any change first, None for a refused one."""
        return self._walk(part, 0, (), self.bikes)

    def _walk(
        self, part: str, depth: int, taken: Taken, bikes: tuple[Bike, Bike] | None
    ) -> Iterator[tuple[Taken, tuple[Bike, Bike] | None]]:
        if depth == len(self.own[part]):
            yield taken, bikes
            return
        yield from self._walk(part, depth + 1, taken, bikes)
        option = self.own[part][depth]
        if any(frozenset((option, other)) in self.exclusive for other, _ in taken):
            return
        for choice in range(len(self.options[option].choices)):
            now: Taken = (*taken, (option, choice))
            yield from self._walk(part, depth + 1, now, bikes and self._tried(part, now, bikes))

    def _tried(self, part: str, taken: Taken, bikes: tuple[Bike, Bike]) -> tuple[Bike, Bike] | None:
        step = self.step(taken[-1])
        try:
            nominal, sampled = (self._changed(part, bike, step) for bike in bikes)
            # what an assist spring may do depends on all parts, every other limit on one
            require_within_limits(bikes[0].unaided, nominal.unaided)
        except Refusal as refusal:
            self.refused[taken] = Refused(tuple(map(self.step, taken)), f"{step.kind}: {refusal}")
            return None
        return nominal, sampled

    @staticmethod
    def _changed(part: str, bike: Bike, step: Step) -> Bike:
        made = make(bike, step)
        return replace(bike, **{stage: getattr(made, stage) for stage in PARTS[part]})

    def sampled(self, part: str, taken: Taken) -> Bike:
        """The sampled bike with one part changed."""
        bike = self.bikes[1]
        for each in taken:
            bike = self._changed(part, bike, self.step(each))
        return bike

    def step(self, taken: tuple[int, int]) -> Step:
        """The step of an option taken."""
        option, choice = taken
        return self.options[option].choices[choice]

    def ordered(self, taken: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
        """Options taken in the order in which they are made."""
        return sorted(taken, key=lambda each: self.order.index(each[0]))

    def cost(self, part: str, taken: Taken) -> tuple[int, int]:
        """Price and hours, in thousandths; an option of two parts counts with the first."""
        own = [self.options[option] for option, _ in taken if self.parts[option][0] == part]
        return sum(thousandths(option.price) for option in own), sum(thousandths(option.hours) for option in own)

    def cases(self, taken: dict[str, list[Taken]], refused: dict[str, list[Taken]]) -> list[Case]:
        """Cases in which the parts are free of each other.

        Parameters
        ----------
        taken : dict of str to list
            Options taken by each variant, by part.
        refused : dict of str to list
            The same of refused ones.

        Returns
        -------
        list of Case
            Together they hold each setup once.
        """
        shared = [option for option, parts in enumerate(self.parts) if len(parts) > 1]
        apart = [pair for pair in self.exclusive if not set.intersection(*(set(self.parts[each]) for each in pair))]
        ties = sorted({*shared, *(option for pair in apart for option in pair)})
        # of an option that is only excluded it matters whether it is taken, not with which value
        states = [range(len(self.options[tie].choices) + 1) if tie in shared else range(2) for tie in ties]

        def state(part: str, options: Taken) -> tuple[int | None, ...]:
            found = {option: choice + 1 for option, choice in options}
            whole = (found.get(tie, 0) if tie in shared else int(tie in found) for tie in ties)
            return tuple(each if part in self.parts[tie] else None for tie, each in zip(ties, whole, strict=True))

        listed = {part: [state(part, options) for options in taken[part]] for part in PARTS}
        lost = {part: [state(part, options) for options in refused[part]] for part in PARTS}
        found = []
        for whole in product(*states):
            on = {tie for tie, each in zip(ties, whole, strict=True) if each}
            if any(frozenset(pair) in self.exclusive for pair in combinations(on, 2)):
                continue
            wanted = {
                part: tuple(each if part in self.parts[tie] else None for tie, each in zip(ties, whole, strict=True))
                for part in PARTS
            }
            places = {part: [i for i, each in enumerate(listed[part]) if each == wanted[part]] for part in PARTS}
            found.append(Case(places, {part: lost[part].count(wanted[part]) for part in PARTS}))
        return [case for case in found if case.allowed]
