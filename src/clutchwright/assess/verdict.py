"""The verdict on a clutch, and the reasons for it in plain words."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from clutchwright.assess.checks import Check
from clutchwright.numbers import quantity_text

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


# A figure is doubtful where more than this share of the bikes that fit the measurements fall short of its limit; own
# judgement.
DOUBTFUL = 0.05
EXACT: Mapping[str, float] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Rule:
    """A figure that must reach a limit, should reach a comfortable value, and should do so for sure.

    Parameters
    ----------
    key : str
        Key of the figure.
    limit : float
        Below this the clutch is unsafe.
    comfort : float
        Below this it is marginal.
    bad, near, good : str
        Sentence for each case; ``{value}``, ``{short}`` and ``{comfort}`` are filled in.
    event : str
        What happens below the limit.
    """

    key: str
    limit: float
    comfort: float
    bad: str
    near: str
    good: str
    event: str

    def distance(self, value: float, u: float) -> float:
        """Standard uncertainties from the limit to a value, unit and u those of the figure.

        -inf for a value of NaN; 0, no certainty at all, for a u of NaN.
        """
        if math.isnan(value):
            return -math.inf
        if math.isnan(u):
            return 0.0
        return (value - self.limit) / u if u > 0.0 else math.copysign(math.inf, value - self.limit)

    def apply(self, value: float, u: float = 0.0, counted: float | None = None) -> tuple[Word, str]:
        """Word and sentence for a value and its standard uncertainty, in the figure's unit; NaN is unsafe.

        The chance to fall short is the one counted among possible bikes [-], where there are any; else that of a
        normal distribution, as in first-order propagation.
        """
        chance = 0.5 * math.erfc(self.distance(value, u) / math.sqrt(2.0)) if counted is None else counted
        if not value >= self.limit:
            word: Word = "unsafe"
        else:
            word = "marginal" if value < self.comfort or chance > DOUBTFUL else "sound"
        text = self.bad if word == "unsafe" else self.near if value < self.comfort else self.good
        short = quantity_text(self.key, self.limit - value, u)
        sentence = text.format(value=quantity_text(self.key, value, u), short=short, comfort=f"{self.comfort:g}")
        if word == "marginal" and math.isnan(u) and counted is None:
            return word, f"{sentence}; how likely it {self.event} could not be worked out."
        # one by first order is rough: it is told in tens from there on
        told = chance if counted is not None or chance < 0.095 else round(chance, 1)
        doubt = f"; the chance that it {self.event} is about {told:.0%}" if word == "marginal" else ""
        return word, f"{sentence}{doubt if chance >= 0.005 else ''}."


# Limits: 1 is slipping and 0 is dragging by definition; the comfortable values are common practice, no source.
RULES: tuple[Rule, ...] = (
    Rule(
        "release_margin_mm",
        0.0,
        0.1,
        "It does not release: {short} of lift is missing, so it drags with the lever in",
        "It releases with only {value} of lift to spare (at least {comfort} mm is comfortable)",
        "It releases with {value} of lift to spare",
        "does not release",
    ),
    Rule(
        "release_margin_finger_mm",
        0.0,
        3.0,
        "The lever meets its stop before the clutch has released",
        "It releases only {value} before the lever's stop (at least {comfort} mm is comfortable)",
        "It releases {value} before the lever's stop",
        "meets its stop first",
    ),
    Rule(
        "slip_margin_new",
        1.0,
        1.1,
        "It slips under full torque even new: it can carry {value} times what is asked",
        "New, it carries only {value} times the torque asked (at least {comfort} is comfortable)",
        "New, it carries {value} times the torque asked",
        "slips new",
    ),
    Rule(
        "slip_margin_hot",
        1.0,
        1.1,
        "Worn and hot it slips under full torque: it can carry {value} times what is asked",
        "Worn and hot, it carries only {value} times the torque asked (at least {comfort} is comfortable)",
        "Worn and hot, it still carries {value} times the torque asked",
        "slips then",
    ),
)


def worst_rule(figures: Mapping[str, float], u: Mapping[str, float]) -> Rule:
    """The rule whose figure stands worst against its limit, counted in its own standard uncertainty.

    Parameters
    ----------
    figures : mapping
        Values by key of ``FIGURES``.
    u : mapping
        One standard uncertainty of each.

    Returns
    -------
    Rule
        The first in order where several stand alike.
    """
    return min(RULES, key=lambda rule: rule.distance(figures[rule.key], u[rule.key]))


# Checks that cost force or are guide values: failed, they break nothing at once.
HARMLESS = ("arm_square", "start_energy", "start_power")
# Where checks, which have no uncertainty, rank among the reasons, as standard uncertainties from the limit.
CHECK_RANK = {"failed": -1.0, "tight": 1.5}


def judge(
    figures: Mapping[str, float],
    checks: Sequence[Check],
    u: Mapping[str, float] = EXACT,
    counted: Mapping[str, float] = EXACT,
) -> Verdict:
    """Put figures and checks into one word.

    Parameters
    ----------
    figures : mapping
        Values by key of ``FIGURES``, nominal.
    checks : sequence of Check
        The checks made.
    u : mapping
        One standard uncertainty of each figure; those missing count as exact.
    counted : mapping
        Share of possible bikes that fall short of the limit of each rule [-], by the key of its figure; empty where
        none were drawn.

    Returns
    -------
    Verdict
        Unsafe where any rule or check fails; marginal where any is tight or, a rule, doubtful; else sound. Reasons come
        worst first: by word, then by how far they stand from their limits.
    """
    found: list[tuple[Word, str, float]] = []
    for rule in RULES:
        value, doubt = figures[rule.key], u.get(rule.key, 0.0)
        found.append((*rule.apply(value, doubt, counted.get(rule.key)), rule.distance(value, doubt)))
    for check in checks:
        if check.state in ("failed", "tight"):
            harmless = check.state == "tight" or check.key in HARMLESS
            found.append(("marginal" if harmless else "unsafe", f"{check.sentence}.", CHECK_RANK[check.state]))
    order: tuple[Word, ...] = ("unsafe", "marginal", "sound")
    ranked = sorted(found, key=lambda item: (order.index(item[0]), item[2]))
    return Verdict(ranked[0][0], tuple(text for _, text, _ in ranked))


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
    if figures["slip_margin_unadjusted"] < 1.0 <= figures["slip_margin_new"] and figures["free_play_wear_mm"] >= 0.0:
        found.append(
            f"Adjust the free play as it wears: it lasts {figures['free_play_wear_mm']:.2f} mm of pack "
            f"({figures['free_play_wear_share']:.0%} of the wear limit); never adjusted, it slips after "
            f"{figures['slip_wear_mm']:.2f} mm."
        )
    missing = [check.label.split(":")[0] for check in checks if check.state == "not checked"]
    if missing:
        found.append("Not checked, so not known to be fine: " + "; ".join(missing) + ".")
    return tuple(found)
