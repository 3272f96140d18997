"""The answer in one sentence, and how sure it is."""

from __future__ import annotations

import math

from clutchwright.assess.figures import FIGURES
from clutchwright.assess.verdict import RULES
from clutchwright.bikefile import LAYOUT
from clutchwright.quantity import unit_of
from clutchwright.report.figures import shown
from clutchwright.report.words import compared, counted, drawn, share
from clutchwright.study.assessment import Assessment, Sampled

LABELS = {figure.key: figure.label for figure in FIGURES}
_PROBABILITIES = {
    "slips": "slip under full torque, worn and hot",
    "does_not_release": "do not release",
    "touches": "touch somewhere (measured gaps only)",
}


def answer(assessment: Assessment) -> str:
    """How heavy the lever is and what decides, in one sentence.

    Parameters
    ----------
    assessment : Assessment
        What was found.

    Returns
    -------
    str
        For instance ``Peak pull 98 ± 6 N at the finger, 21 % less than before; it releases with ...``; where the
        margin nearest to its limit rests on values nobody measured, it says on which.
    """
    decides = [_lowered(reason) for reason in headline_reasons(assessment)]
    pull = f"Peak pull {shown(assessment, 'pull_peak_N')} at the finger{_compared(assessment)}"
    keys = rests_on(assessment)
    rests = f" ({LABELS[assessment.deciding].lower()} rests on assumed {_listed(keys)})" if keys else ""
    return f"{'; '.join([pull, *decides])}{rests}."


def headline_reasons(assessment: Assessment) -> tuple[str, ...]:
    """What decides the verdict; where that is a check of the geometry, the first word on release and slip as well."""
    reasons, checked = assessment.verdict.reasons, {f"{check.sentence}." for check in assessment.checks}
    margins = [reason for reason in reasons if reason not in checked]
    return tuple(dict.fromkeys((reasons[0], *margins[:1])))


def _lowered(sentence: str) -> str:
    return f"{sentence[:1].lower()}{sentence[1:]}".removesuffix(".")


def rests_on(assessment: Assessment) -> tuple[str, ...]:
    """Assumed values that the deciding figure rests on.

    Parameters
    ----------
    assessment : Assessment
        What was found.

    Returns
    -------
    tuple of str
        Keys of the bike file: as few as make up more than half of that figure's variance, the greatest share first;
        none where all that was assumed makes up less.
    """
    keys, part = [], 0.0
    for row in sorted(assessment.assumed, key=lambda row: -row.share):
        keys.append(row.key)
        part += row.share
        if part > 0.5:
            return tuple(keys)
    return ()


def _listed(keys: tuple[str, ...]) -> str:
    """What keys are, in words."""
    labels = [LAYOUT.label(key) for key in keys]
    words = [f"{label[0].lower()}{label[1:]}" for label in labels]
    return " and ".join(filter(None, ("; ".join(words[:-1]), words[-1])))


def _compared(assessment: Assessment) -> str:
    if assessment.before is None:
        return ""
    now, before = assessment.figures["pull_peak_N"], assessment.before.figures["pull_peak_N"]
    how = compared(now, before)
    return f", {how} {'as' if how == 'the same' else 'than'} before"


def certainty(assessment: Assessment) -> tuple[str, ...]:
    """How sure the verdict is.

    Parameters
    ----------
    assessment : Assessment
        What was found.

    Returns
    -------
    tuple of str
        Sentences.
    """
    sampled = assessment.sampled
    return (_deciding(assessment), *_resting(assessment), *(_drawn(sampled) if sampled is not None else ()))


def _deciding(assessment: Assessment) -> str:
    key = assessment.deciding
    limit = next(rule.limit for rule in RULES if rule.key == key)
    value, u = assessment.figures[key], assessment.u[key]
    start = f"Nearest to its limit, counted in its own uncertainty: {LABELS[key].lower()}"
    if math.isnan(value):
        return f"{start}, which is not reached at all."
    against = f"{start}, {shown(assessment, key)} against {limit:g} {unit_of(key)}".rstrip()
    if not u > 0.0:
        return f"{against}."
    distance = (value - limit) / u
    side = "on the safe side" if distance >= 0.0 else "on the wrong side"
    return f"{against}, {abs(distance):.1f} standard uncertainties {side}."


def _resting(assessment: Assessment) -> tuple[str, ...]:
    keys = rests_on(assessment)
    if not keys:
        return ()
    part = share(sum(row.share for row in assessment.assumed))
    return (f"It rests on assumed values: {part} of its variance is theirs. Measure first: {_listed(keys)}.",)


def _drawn(sampled: Sampled) -> tuple[str, ...]:
    """Counts rather than shares alone, so that 'none of 100' is not taken for never."""
    counts = [
        f"{counted(probability, sampled.samples)} {_PROBABILITIES[key]}"
        for key, probability in sampled.probability.items()
    ]
    return (f"{drawn(sampled.samples, 'bikes')} that fit the measurements, {'; '.join(counts)}.",)
