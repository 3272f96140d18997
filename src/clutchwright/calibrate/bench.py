"""The bench as a whole: what all readings would show, for any values of what is not known.

What is not known stands as independent standard normal scores. First those of the bike's quantities, in the way
`values_at` draws them, so that the bike file's own uncertainties are the prior, values stay above 0 and those fitted
before hang together. Then one for the zero and one for the gain of each instrument, which all its readings share.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from clutchwright.bikefile import MeasuredBike
from clutchwright.bikefile.measured import lot
from clutchwright.calibrate.forward import predicted, situation
from clutchwright.changes import Step, with_unknowns
from clutchwright.quantity import Array, Quantity
from clutchwright.readings import POSITIONS, Reading
from clutchwright.readings.instruments import Instrument
from clutchwright.study.tolerance import uncertain, values_at

# Bikes worked out at a time. Measured: with 1,024 the arrays leave the cache.
_BLOCK = 512
# Slopes are central differences over this many standard uncertainties to either side [-]: over the kinks of the bite
# band they are means, and the steps of the interpolated stroke do not show.
_STEP = 0.02
# A quantity that moves no reading by more than this share of the reading's own uncertainty is not touched by any.
_UNTOUCHED = 1e-3


@dataclass(frozen=True, slots=True, eq=False)
class Term:
    """What all readings of one instrument share.

    Parameters
    ----------
    instrument : str
        Its name.
    dimension : str
        What it measures, a key of ``ENDINGS``.
    gain : bool
        Whether it is the gain; else the zero.
    u : float
        Standard uncertainty, of the zero [SI] or the gain [-].
    values, places : Array
        1 for each reading whose value, or whose place, was read with it, else 0.
    """

    instrument: str
    dimension: str
    gain: bool
    u: float
    values: Array
    places: Array


@dataclass(frozen=True)
class Bench:
    """Readings of a bike.

    Parameters
    ----------
    measured : MeasuredBike
        As filed before these readings.
    steps : tuple of Step
        Changes that were made to it before they were taken.
    readings : tuple of Reading
        What was read.
    names : tuple of str
        Lots of the bike that are not known, in the file's order.
    """

    measured: MeasuredBike
    steps: tuple[Step, ...]
    readings: tuple[Reading, ...]
    names: tuple[str, ...]

    @cached_property
    def terms(self) -> tuple[Term, ...]:
        """Zeros and gains of the instruments."""
        return tuple(_terms(self.readings))

    @property
    def size(self) -> int:
        """How many scores there are [-]."""
        return len(self.names) + len(self.terms)

    @cached_property
    def values(self) -> Array:
        """What was read [SI], shape (readings,)."""
        return np.array([reading.value for reading in self.readings])

    @cached_property
    def own_u(self) -> Array:
        """Standard uncertainty of each value by itself [SI]."""
        return np.array([reading.u for reading in self.readings])

    @cached_property
    def quantities(self) -> Mapping[str, Quantity]:
        """The quantities of the bike that are not known, by key."""
        return {key: each for key, each in self.measured.quantities.items() if each.u > 0.0 and lot(key) in self.names}

    @cached_property
    def mixing(self) -> Array:
        """Matrix that makes the scores of the lots of the independent ones [-], shape (n, n)."""
        return self.measured.correlation.mixing(self.names)

    @cached_property
    def _groups(self) -> Mapping[tuple[str, str, int], list[int]]:
        groups: dict[tuple[str, str, int], list[int]] = {}
        for place, reading in enumerate(self.readings):
            groups.setdefault((reading.name, reading.position, reading.spring), []).append(place)
        return groups

    def values_of(self, scores: Array) -> dict[str, Array]:
        """Values of the bike's quantities by key [unit of the key], shape (size, 1), for scores of shape (size, n)."""
        return values_at(self.quantities, scores[:, : len(self.names)], self.measured.correlation)

    def predict(self, scores: Array, shift: Array | float = 0.0) -> Array:
        """What would be read.

        Parameters
        ----------
        scores : Array
            Standard normal scores [-], shape (samples, size).
        shift : Array or float
            Added to each place [SI].

        Returns
        -------
        Array
            Readings [SI], shape (samples, readings).
        """
        blocks = [self._predict(scores[start : start + _BLOCK], shift) for start in range(0, len(scores), _BLOCK)]
        return np.concatenate(blocks) if blocks else np.empty((0, len(self.readings)))

    def _predict(self, scores: Array, shift: Array | float) -> Array:
        common = scores[:, len(self.names) :]
        at = np.array([reading.at for reading in self.readings]) + shift
        travels = [place for place, reading in enumerate(self.readings) if reading.position == "travel"]
        farthest = float(np.max(at[travels], initial=0.0))
        now = situation(self.measured, self.values_of(scores), self.steps, farthest)
        zeros, gains = (self._common(common, gain=gain, places=True) for gain in (False, True))
        places = (at - zeros) / (1.0 + gains)
        found = np.empty((len(scores), len(self.readings)))
        for (name, position, spring), columns in self._groups.items():
            found[:, columns] = predicted(now, name, position, places[:, columns], spring)
        zeros, gains = (self._common(common, gain=gain, places=False) for gain in (False, True))
        return found * (1.0 + gains) + zeros

    def _common(self, scores: Array, *, gain: bool, places: bool) -> Array:
        """Sum of the instruments' zeros [SI] or gains [-] on each place or value."""
        total = np.zeros((len(scores), len(self.readings)))
        for score, term in zip(scores.T, self.terms, strict=True):
            if term.gain == gain:
                total += score[:, np.newaxis] * term.u * (term.places if places else term.values)
        return total

    def noise(self, scores: Array) -> Array:
        """Standard uncertainty of each reading: its own, and that of its place.

        Parameters
        ----------
        scores : Array
            Where to take the slope along the places [-], shape (size,).

        Returns
        -------
        Array
            [SI], shape (readings,); half the change over one standard uncertainty of the place to either side.
        """
        at_u = np.array([reading.at_u for reading in self.readings])
        ahead, behind = (self.predict(scores[np.newaxis], sign * at_u)[0] for sign in (1.0, -1.0))
        return np.hypot(self.own_u, 0.5 * (ahead - behind))

    def slopes(self, scores: Array) -> Array:
        """Slopes of the readings.

        Parameters
        ----------
        scores : Array
            Where [-], shape (size,).

        Returns
        -------
        Array
            Change of each reading per score [SI], shape (readings, size).
        """
        moves = _STEP * np.eye(self.size)
        found = self.predict(np.concatenate([scores + moves, scores - moves]))
        return (found[: self.size] - found[self.size :]).T / (2.0 * _STEP)


def _terms(readings: Sequence[Reading]) -> Iterator[Term]:
    tools: dict[tuple[str, Instrument], tuple[list[int], list[int]]] = {}
    for number, reading in enumerate(readings):
        tools.setdefault((reading.dimension, reading.instrument), ([], []))[0].append(number)
        if reading.at_instrument is not None:
            dimension = POSITIONS[reading.position].dimension
            tools.setdefault((dimension, reading.at_instrument), ([], []))[1].append(number)
    for (dimension, tool), used in tools.items():
        values, places = np.zeros((2, len(readings)))
        values[used[0]], places[used[1]] = 1.0, 1.0
        for gain, u in ((False, tool.offset_u), (True, tool.gain_u)):
            if u > 0.0:
                yield Term(tool.name, dimension, gain, u, values, places)


def bench(measured: MeasuredBike, readings: Sequence[Reading], steps: Sequence[Step] = ()) -> Bench:
    """Readings of a bike, with those of its quantities that they touch.

    Parameters
    ----------
    measured : MeasuredBike
        As filed before these readings.
    readings : sequence of Reading
        What was read.
    steps : sequence of Step
        Changes that were made to it before they were taken.

    Returns
    -------
    Bench
        Its unknowns are the uncertain quantities that any reading depends on, and all that were fitted before.
    """
    measured = with_unknowns(measured, steps)
    every = Bench(measured, tuple(steps), tuple(readings), uncertain(measured.quantities))
    start = np.zeros(every.size)
    moved = np.abs(every.slopes(start)) / every.noise(start)[:, np.newaxis]
    before = measured.correlation.keys
    names = [
        name
        for place, name in enumerate(every.names)
        if name in before or np.max(moved[:, place], initial=0.0) > _UNTOUCHED
    ]
    return replace(every, names=tuple(names))
