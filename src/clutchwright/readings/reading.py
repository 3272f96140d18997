"""One reading, and all readings of a file."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import stdev

from clutchwright.bikefile import LAYOUT
from clutchwright.numbers import decimal_text, quantity_text, with_unit
from clutchwright.quantity import si_factor, unit_of
from clutchwright.readings.instruments import Instrument
from clutchwright.readings.kinds import KINDS, POSITIONS, factor, shown_ending


@dataclass(frozen=True, slots=True)
class Reading:
    """One thing read at one place, once or several times.

    Parameters
    ----------
    name : str
        Name of its kind, or a key of the bike file that was measured directly.
    dimension : str
        Of the value, a key of ``ENDINGS``; empty for a plain number.
    position : str
        Name of what says where; empty for none.
    at : float
        Where [SI]; 0 for none.
    spring : int
        Which spring, counted round the circle from 1; 0 for any.
    repeats : tuple of float
        What was read, each time [SI].
    instrument : Instrument
        What it was read with.
    at_instrument : Instrument | None
        What the place was read with; None for none.
    line : int
        Line of the file, or number of the row, for messages.
    stray : float
        Standard uncertainty on top, where what was read is thought to jerk or to differ from part to part [SI].
    written, at_written : str
        Endings of the units that value and place were written in; empty for those that people are shown.
    """

    name: str
    dimension: str
    position: str
    at: float
    spring: int
    repeats: tuple[float, ...]
    instrument: Instrument
    at_instrument: Instrument | None
    line: int = 0
    stray: float = 0.0
    written: str = ""
    at_written: str = ""

    @property
    def value(self) -> float:
        """Mean of the repeats [SI]."""
        return math.fsum(self.repeats) / len(self.repeats)

    @property
    def scatter(self) -> float:
        """Standard deviation of a single reading [SI]: what the instrument is taken for, or what the repeats show.

        It is not divided by the root of their number: repeats share the hand, the hook and the day.
        """
        shown = stdev(self.repeats) if len(self.repeats) > 1 else 0.0
        return max(self.instrument.scatter, shown)

    @property
    def u(self) -> float:
        """Standard uncertainty of the value [SI], what all readings of the instrument have in common left out."""
        kind = KINDS.get((self.name, self.position))
        return math.hypot(self.scatter, self.instrument.rounding, 0.0 if kind is None else kind.between, self.stray)

    @property
    def at_u(self) -> float:
        """Standard uncertainty of the place [SI], what all readings of its instrument have in common left out."""
        tool = self.at_instrument
        return 0.0 if tool is None else math.hypot(tool.scatter, tool.rounding)

    @property
    def disagree(self) -> bool:
        """Whether the repeats differ by more than the instrument's resolution."""
        return max(self.repeats) - min(self.repeats) > self.instrument.resolution * (1.0 + 1e-9)

    @property
    def label(self) -> str:
        """What it is, in words."""
        kind = KINDS.get((self.name, self.position))
        return LAYOUT.label(self.name) if kind is None else kind.label

    @property
    def where(self) -> str:
        """Where it was read, such as ``12 mm``; empty for nowhere in particular."""
        spring = f"spring {self.spring}" if self.spring else ""
        if not self.position:
            return spring
        dimension = POSITIONS[self.position].dimension
        ending = self.at_written or shown_ending(dimension)
        place = f"{self.at / factor(ending, dimension):.4g} {unit_of(ending)}"
        return ", ".join(part for part in (place, spring) if part)

    def said(self, si_value: float) -> str:
        """A number of the reading's dimension [SI] in the unit and about in the steps that it was read in."""
        ending, worth = self._as_written
        step = self.instrument.resolution / worth
        return with_unit(decimal_text(si_value / worth, max(0, math.ceil(-math.log10(0.5 * step)))), unit_of(ending))

    def said_with(self, si_value: float, u: float) -> str:
        """A number of the reading's dimension and its standard uncertainty [SI] in the unit that it was read in."""
        ending, worth = self._as_written
        return quantity_text(ending, si_value / worth, u / worth)

    @property
    def _as_written(self) -> tuple[str, float]:
        """Ending of the unit that it was written in, and what that is worth [SI per unit]."""
        ending = self.written or self.ending
        return ending, factor(ending, self.dimension) if self.dimension else si_factor(self.name)

    def shown(self, si_value: float) -> float:
        """A number of the reading's dimension [SI] in the unit that people are shown."""
        return si_value / si_factor(self.ending)

    @property
    def ending(self) -> str:
        """Ending of the unit that people are shown, such as ``_N``; that of the key for a key of the bike file."""
        return shown_ending(self.dimension) if self.dimension else self.name


@dataclass(frozen=True, slots=True)
class Readings:
    """All readings of a file.

    Parameters
    ----------
    source : str
        The file, as messages call it.
    fingerprint : str
        SHA-256 of its bytes, in hexadecimal.
    readings : tuple of Reading
        In the order of the file.
    """

    source: str
    fingerprint: str
    readings: tuple[Reading, ...]

    @property
    def name(self) -> str:
        """Name of the file without its folders."""
        return self.source.replace("\\", "/").rpartition("/")[2]
