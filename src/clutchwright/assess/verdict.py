"""The verdict on a clutch, and the reasons for it in plain words."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from clutchwright.assess.checks import Check

Word = Literal["sound", "marginal", "unsafe"]


@dataclass(frozen=True, slots=True)
class Verdict:
    """One word, and why.

    Parameters
    ----------
    word : str
        ``sound``, ``marginal`` or ``unsafe``.
    reasons : tuple of str
        What decides the word, worst first; then what speaks for it.
    """

    word: Word
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Rule:
    """A figure that must reach a limit, and should reach a comfortable value.

    Parameters
    ----------
    key : str
        Key of the figure.
    limit : float
        Below this the clutch is unsafe.
    comfort : float
        Below this it is marginal.
    bad, near, good : str
        Sentence for each case; ``{value}`` and ``{comfort}`` are filled in.
    """

    key: str
    limit: float
    comfort: float
    bad: str
    near: str
    good: str

    def apply(self, value: float) -> tuple[Word, str]:
        """Word and sentence for a value in the figure's unit; NaN is unsafe."""
        word: Word = "unsafe" if not value >= self.limit else "marginal" if value < self.comfort else "sound"
        text = {"unsafe": self.bad, "marginal": self.near, "sound": self.good}[word]
        shown = "no" if math.isnan(value) else f"{value:.2f}"
        return word, text.format(value=shown, short=f"{self.limit - value:.2f}", comfort=f"{self.comfort:g}")


# Limits: 1 is slipping and 0 is dragging by definition; the comfortable values are common practice, no source.
RULES: tuple[Rule, ...] = (
    Rule(
        "release_margin_mm",
        0.0,
        0.1,
        "It does not release: {short} mm of lift is missing, so it drags with the lever in.",
        "It releases with only {value} mm of lift to spare (at least {comfort} mm is comfortable).",
        "It releases with {value} mm of lift to spare.",
    ),
    Rule(
        "release_margin_finger_mm",
        0.0,
        3.0,
        "The lever meets its stop before the clutch has released.",
        "It releases only {value} mm before the lever's stop (at least {comfort} mm is comfortable).",
        "It releases {value} mm before the lever's stop.",
    ),
    Rule(
        "slip_margin_new",
        1.0,
        1.1,
        "It slips under full torque even new: it can carry {value} times what is asked.",
        "New, it carries only {value} times the torque asked (at least {comfort} is comfortable).",
        "New, it carries {value} times the torque asked.",
    ),
    Rule(
        "slip_margin_hot",
        1.0,
        1.1,
        "Worn and hot it slips under full torque: it can carry {value} times what is asked.",
        "Worn and hot, it carries only {value} times the torque asked (at least {comfort} is comfortable).",
        "Worn and hot, it still carries {value} times the torque asked.",
    ),
)


# Checks that cost force or are guide values: failed, they break nothing at once.
HARMLESS = ("arm_square", "start_energy", "start_power")


def judge(figures: Mapping[str, float], checks: Sequence[Check]) -> Verdict:
    """Put figures and checks into one word.

    Parameters
    ----------
    figures : mapping
        Values by key of ``FIGURES``, nominal.
    checks : sequence of Check
        The checks made.

    Returns
    -------
    Verdict
        Unsafe where any rule or check fails, marginal where any is tight, else sound.
    """
    found = [rule.apply(figures[rule.key]) for rule in RULES]
    for check in checks:
        if check.state in ("failed", "tight"):
            harmless = check.state == "tight" or check.key in HARMLESS
            found.append(("marginal" if harmless else "unsafe", f"{check.sentence}."))
    order: tuple[Word, ...] = ("unsafe", "marginal", "sound")
    ranked = sorted(found, key=lambda item: order.index(item[0]))
    return Verdict(ranked[0][0], tuple(text for _, text in ranked))


def warnings(figures: Mapping[str, float], checks: Sequence[Check]) -> tuple[str, ...]:
    """What to keep in mind although it does not decide the verdict.

    Parameters
    ----------
    figures : mapping
        Values by key of ``FIGURES``, nominal.
    checks : sequence of Check
        The checks made.

    Returns
    -------
    tuple of str
        One sentence each.
    """
    found = []
    if figures["regrip_margin"] < 1.0:
        found.append(
            "Worn and hot, once made to slip under full torque it goes on slipping until the throttle is closed "
            f"(sliding friction carries {figures['regrip_margin']:.2f} times the torque asked)."
        )
    if figures["slip_margin_unadjusted"] < 1.0:
        found.append(
            f"Adjust the free play as it wears: it lasts {figures['free_play_wear_mm']:.2f} mm of pack "
            f"({figures['free_play_wear_share']:.0%} of the wear limit); never adjusted, it slips after "
            f"{figures['slip_wear_mm']:.2f} mm."
        )
    missing = [check.label.split(":")[0] for check in checks if check.state == "not checked"]
    if missing:
        found.append("Not checked, so not known to be fine: " + "; ".join(missing) + ".")
    return tuple(found)
