"""Small things about text that every report needs."""

from __future__ import annotations

# Own judgement: from fewer possible bikes a share of 5 % is uncertain by more than one in the hundred.
FEW_SAMPLES = 400


def share(part: float) -> str:
    """A share as per cent, such as ``12 %``; ``under 1 %`` rather than 0 where something is left."""
    if 0.0 < part < 0.005:
        return "under\N{NO-BREAK SPACE}1\N{NO-BREAK SPACE}%"
    return f"{part * 100.0:.0f}\N{NO-BREAK SPACE}%"


def counted(part: float, samples: int) -> str:
    """How many of the samples a share is, such as ``103 (3 %)``; of few samples without the share."""
    count = f"{round(part * samples)}"
    return count if samples < FEW_SAMPLES else f"{count} ({share(part)})"


def drawn(samples: int, what: str) -> str:
    """What was drawn and how many, such as ``Of 4096 possible bikes``; says where they are few."""
    few = " (few samples)" if samples < FEW_SAMPLES else ""
    return f"Of {samples} possible {what}{few}"
