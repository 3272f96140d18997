"""Small things about text that every report needs."""

from __future__ import annotations

from clutchwright.numbers import decimal_text, with_unit

# Own judgement: from fewer possible bikes a share of 5 % is uncertain by more than one in the hundred.
FEW_SAMPLES = 400


def share(part: float) -> str:
    """A share as per cent, such as ``12 %``; ``under 1 %`` and ``over 99 %`` where it is not quite none or all."""
    text = decimal_text(part * 100.0, 0)
    if text == "0" and part > 0.0:
        text = "under\N{NO-BREAK SPACE}1"
    elif text == "100" and part < 1.0 - 1e-12:  # sums of shares may miss 1 by their last digit
        text = "over\N{NO-BREAK SPACE}99"
    return with_unit(text, "%")


def compared(now: float, before: float) -> str:
    """A force against the one before, such as ``12 % less``, ``5 % more`` or ``the same``."""
    part = abs(1.0 - now / before)
    if not part >= 0.005:
        return "the same"
    return f"{share(part)} {'less' if now < before else 'more'}"


def counted(part: float, samples: int) -> str:
    """How many of the samples a share is, such as ``103 (3 %)``; of few samples without the share."""
    count = f"{round(part * samples)}"
    return count if samples < FEW_SAMPLES else f"{count} ({share(part)})"


def seen(part: float, samples: int) -> str:
    """A share of samples, such as ``3 %``; as a count where it is none or all of them, or they are few."""
    count = round(part * samples)
    if samples < FEW_SAMPLES or count in (0, samples):
        return f"{count} of {samples}".replace(" ", "\N{NO-BREAK SPACE}")
    return share(part)


def drawn(samples: int, what: str) -> str:
    """What was drawn and how many, such as ``Of 4096 possible bikes``; says where they are few."""
    few = " (few samples)" if samples < FEW_SAMPLES else ""
    return f"Of {samples} possible {what}{few}"
