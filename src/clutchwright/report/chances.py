"""How often things go wrong, in the words that every report of setups shares."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from clutchwright.report.words import seen, share
from clutchwright.study.limits import Limits

DOES = {"slips": "slips", "does_not_release": "fails to release", "touches": "touches"}


def chances_text(probability: Mapping[str, float], samples: int) -> str:
    """How many of the possible bikes go wrong, such as ``slips in 3 %, fails to release in 0 of 1024``."""
    return ", ".join(f"{DOES[event]} in {seen(part, samples)}" for event, part in probability.items())


def faults(events: Sequence[str], probability: Mapping[str, float], samples: int, limits: Limits) -> tuple[str, ...]:
    """What happens more often than the limits allow, such as ``slips in 15 %, over your 1 %``."""
    return tuple(
        f"{DOES[event]} in {seen(probability[event], samples)}, over your {share(getattr(limits, event))}"
        for event in events
    )
