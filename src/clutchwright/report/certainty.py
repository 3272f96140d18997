"""What an entry did for the certainty of the answer: before and after, in sentences."""

from __future__ import annotations

from clutchwright.report.figures import shown
from clutchwright.report.words import seen
from clutchwright.study.assessment import Assessment

_PULL = "pull_peak_N"
_CHANCES = {
    "slips": "it slips, worn and hot",
    "does_not_release": "it does not release",
    "touches": "something touches",
}


def known_now(now: Assessment) -> tuple[str, ...]:
    """How sure the answer is.

    Parameters
    ----------
    now : Assessment
        With possible bikes drawn, for chances.

    Returns
    -------
    tuple of str
        Sentences: the pull, then the chance of each thing that can go wrong.
    """
    chances = _chances(now)
    return (
        f"Peak pull {shown(now, _PULL)}.",
        *(f"Chance that {_CHANCES[key]}: {chances[key]}." for key in chances if _counts(now, key)),
    )


def gained(before: Assessment, now: Assessment) -> tuple[str, ...]:
    """What an entry did for the certainty of the answer.

    Parameters
    ----------
    before, now : Assessment
        Without and with it; the same number of possible bikes drawn.

    Returns
    -------
    tuple of str
        Sentences: the pull, the chance of each thing that can go wrong, and the verdict where it has changed.
    """
    was, chances = _chances(before), _chances(now)
    sentences = [f"Peak pull {_moved(shown(before, _PULL), shown(now, _PULL))}."]
    sentences += [
        f"Chance that {_CHANCES[key]}: {_moved(was[key], chances[key])}."
        for key in chances
        if _counts(before, key) or _counts(now, key)
    ]
    if before.verdict.word != now.verdict.word:
        sentences.append(f"Verdict {_moved(before.verdict.word, now.verdict.word)}.")
    return tuple(sentences)


def _moved(before: str, now: str) -> str:
    return f"still {now}" if before == now else f"was {before}, now {now}"


def _chances(found: Assessment) -> dict[str, str]:
    sampled = found.sampled
    return {} if sampled is None else {key: seen(sampled.probability[key], sampled.samples) for key in _CHANCES}


def _counts(found: Assessment, key: str) -> bool:
    """Whether a chance is worth a sentence: the first always, the others where they are above 0."""
    return found.sampled is not None and (key == "slips" or found.sampled.probability[key] > 0.0)
