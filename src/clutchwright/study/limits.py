"""How often things may go wrong: the one rule that studies and plans hold a bike against."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace

from clutchwright.errors import InputError

EVENTS = ("slips", "does_not_release", "touches")
# Own judgement: of ten bikes that fail a sample misses a third by chance.
TELLING, NONE_AS = 10, 0.01


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

    @property
    def least_samples(self) -> int:
        """Possible bikes that it takes to tell these limits: ten for each that may fail; a limit of 0 counts as 1 %."""
        return math.ceil(TELLING / min(self.slips or NONE_AS, self.does_not_release or NONE_AS))

    def require_samples(self, samples: int) -> None:
        """Refuse a number of possible bikes that these limits cannot be told with; raises `InputError`."""
        if samples < self.least_samples:
            allowed = (
                f"these limits on slip and release take at least {self.least_samples} possible bikes ({TELLING} over "
                f"the smaller limit; 0 counts as {NONE_AS:g}); give more samples, or allow more"
            )
            raise InputError("--samples", samples, allowed)

    @property
    def unlimited(self) -> tuple[str, ...]:
        """Events that may happen to every bike."""
        return tuple(field.name for field in fields(self) if getattr(self, field.name) >= 1.0)

    def broken(
        self, probability: Mapping[str, float], samples: int, today: Mapping[str, float] | None = None
    ) -> tuple[str, ...]:
        """Events that happen more often than allowed.

        Parameters
        ----------
        probability : mapping of str to float
            How often each happens, by event [-].
        samples : int
            Among how many possible bikes [-].
        today : mapping of str to float | None
            The same of the bike as it is; what it misses already then only counts where it gets worse.

        Returns
        -------
        tuple of str
            In the order of ``EVENTS``.
        """
        allowed = self.allowed(samples)
        most = {
            event: max(allowed[event], round(today[event] * samples)) if today else allowed[event] for event in EVENTS
        }
        return tuple(event for event in EVENTS if round(probability[event] * samples) > most[event])

    def no_worse(self, today: Mapping[str, float], samples: int) -> Limits:
        """The limits, loosened to what the bike as it is comes to where that misses them.

        Parameters
        ----------
        today : mapping of str to float
            How often each event happens to it [-].
        samples : int
            Among how many possible bikes [-].
        """
        return replace(self, **{event: today[event] for event in self.broken(today, samples)})

    def allowed(self, samples: int) -> dict[str, int]:
        """How many of some possible bikes may fail, by event."""
        return {field.name: int(getattr(self, field.name) * samples + 1e-9) for field in fields(self)}


@dataclass(frozen=True, slots=True)
class Budget:
    """What may be spent. It needs no other search, as what beats a setup never costs more than it.

    Parameters
    ----------
    money : float | None
        At most so much; None for no limit.
    hours : float | None
        At most so much work [h]; None for no limit.
    """

    money: float | None = None
    hours: float | None = None

    def __post_init__(self) -> None:
        for option, amount in (("--money", self.money), ("--hours", self.hours)):
            if amount is not None and not 0.0 <= amount < math.inf:
                raise InputError(option, amount, "give a number of 0 or more; leave it out for no limit")

    def keeps(self, price: float, hours: float) -> bool:
        """Whether money and hours [h] are within it."""
        return (self.money is None or price <= self.money) and (self.hours is None or hours <= self.hours)


ANY_BUDGET = Budget()


def read_limit(option: str, text: str) -> float:
    """Share of the possible bikes from what was typed.

    Parameters
    ----------
    option : str
        Where it was typed, for messages.
    text : str
        Such as ``1%`` or ``0.01``.

    Returns
    -------
    float
        From 0 to 1 [-].

    Raises
    ------
    InputError
        For anything else; and for a bare 1, which could mean one in a hundred or all.
    """
    typed = text.strip()
    try:
        value = float(typed.removesuffix("%")) / (100.0 if typed.endswith("%") else 1.0)
    except ValueError:
        value = math.nan
    if not 0.0 <= value <= 1.0 or (value == 1.0 and not typed.endswith("%")):
        raise InputError(option, text, "give a share such as 1% or 0.01; 100% is no limit")
    return value
