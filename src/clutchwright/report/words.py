"""Small things about text that every report needs."""

from __future__ import annotations

from clutchwright.changes import Step, Value, find
from clutchwright.numbers import decimal_text, with_unit
from clutchwright.quantity import bare_name, unit_of

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


def part_of_samples(part: float) -> str:
    """A share of samples in a table: ``none``, ``all``, or as per cent."""
    return {0.0: "none", 1.0: "all"}.get(part) or share(part)


def drawn(samples: int, what: str) -> str:
    """What was drawn and how many, such as ``Of 4096 possible bikes``; says where they are few."""
    few = " (few samples)" if samples < FEW_SAMPLES else ""
    return f"Of {samples} possible {what}{few}"


def step_text(step: Step) -> str:
    """A change in words, such as ``Longer release arm (length 38 mm)``."""
    title, values = find(step.kind).title, values_text(step)
    return f"{title} ({values})" if values else title


def values_text(step: Step) -> str:
    """Values of a change in words, such as ``length 35.29 mm`` or ``rate × 0.9, positions 1, 4``; empty without any."""
    return ", ".join(_value_text(name, value) for name, value in step.parameters.items())


def _value_text(name: str, value: Value) -> str:
    words = bare_name(name).removesuffix("_share").replace("_", " ")
    if isinstance(value, tuple):
        return f"{words} {', '.join(map(str, value)) or 'all'}"
    times = "\N{MULTIPLICATION SIGN} " if name.endswith("_share") else ""
    return with_unit(f"{words} {times}{value:.4g}", unit_of(name)).replace(" ", "\N{NO-BREAK SPACE}")
