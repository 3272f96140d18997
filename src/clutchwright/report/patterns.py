"""Spring patterns as a sheet and as data."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from clutchwright import __version__
from clutchwright.changes.limits import CENTRE_SHARE, EMPTY_UNBALANCE, LEAST_FITTED
from clutchwright.numbers import decimal_text, with_unit
from clutchwright.report.data import SCHEMA, finite
from clutchwright.report.sheet import Part, Sheet, Tone
from clutchwright.report.table import Column, Row, Table
from clutchwright.report.words import compared, drawn, part_of_samples, seen, share
from clutchwright.study.patterns import EMPTY, SOFTER, STANDARD, JudgedPattern, SpringPattern

_LETTERS = {STANDARD: "F", SOFTER: "s", EMPTY: "-"}
_COLUMNS = (
    Column("Bosses"),
    Column("Verdict"),
    Column("Pull", number=True),
    Column("Clamp worn", number=True),
    Column("Slip hot", number=True),
    Column("Slips", number=True),
    Column("Release", number=True),
    Column("Tilts", number=True),
)


def letters(pattern: SpringPattern) -> str:
    """Bosses in a row, from the first: F as fitted, s softer, - empty."""
    return "".join(_LETTERS[kind] for kind in pattern.kinds)


def patterns_sheet(
    name: str, judged: Sequence[JudgedPattern], *, rate_share: float, samples: int = 0, every: bool = False
) -> Sheet:
    """Spring patterns as a sheet.

    Parameters
    ----------
    name : str
        The bike's name.
    judged : sequence of JudgedPattern
        All of them, ranked.
    rate_share : float
        Rate of a softer spring over a fitted one's [-].
    samples : int
        Possible bikes that the chances come from; 0 for no chances [-].
    every : bool
        Whether to list those that no one should ride as well.

    Returns
    -------
    Sheet
        The even ones from heavy to light, and how many are uneven and why.
    """
    fine = [each for each in judged if each.word != "refused"]
    refused = [each for each in judged if each.word == "refused"]
    best = _lightest(fine)
    even = _table(fine, noted=False)
    parts = (
        Part("Even patterns, from heavy to light", _key(rate_share, samples), tables=(even,)),
        Part(
            "Uneven patterns",
            points=_why([each.pattern for each in refused]),
            tables=(_table(refused, noted=True),) if every else (),
        ),
    )
    tone: Tone = "sound" if best and best.word == "sound" else "marginal" if best else "unsafe"
    word = f"{len(fine)} even patterns" if _some_may_go(fine, best) else "leave all in"
    return Sheet(name, word, tone, _answer(fine, len(judged), best, samples), (), parts)


def _lightest(fine: Sequence[JudgedPattern]) -> JudgedPattern | None:
    """Lightest that is sound, or else the lightest that is not unsafe."""
    for words in (("sound",), ("sound", "marginal")):
        good = [each for each in fine if each.word in words]
        if good:
            return good[-1]
    return None


def _some_may_go(fine: Sequence[JudgedPattern], best: JudgedPattern | None) -> bool:
    """Whether a pattern other than the one as fitted is sound."""
    return best is not None and best.word == "sound" and best is not fine[0]


def _answer(fine: Sequence[JudgedPattern], count: int, best: JudgedPattern | None, samples: int) -> str:
    lead = "" if _some_may_go(fine, best) else "No spring should stay out or be softer. "
    start = f"{lead}Of {count} patterns that differ by more than turning and mirroring"
    if best is None:
        return f"{start}, none keeps the clutch within its limits."
    none = "" if best.word == "sound" else "none is sound; "
    figures, today = best.pattern.figures, fine[0].pattern.figures
    pull = with_unit(decimal_text(figures["pull_peak_N"], 0), "N")
    how = compared(figures["pull_peak_N"], today["pull_peak_N"])
    against = "as fitted" if best is fine[0] else f"{how} than as fitted"
    margin = decimal_text(figures["slip_margin_hot"], 2)
    chance = ""
    if best.probability is not None:
        chance = f", and {seen(best.probability['slips'], samples)} of the possible bikes slip"
    return (
        f"{start}, {none}the lightest that is {best.word} is {letters(best.pattern)}: {pull}, {against}. Worn and "
        f"hot its slip margin is {margin}{chance}."
    )


def _key(rate_share: float, samples: int) -> tuple[str, ...]:
    signs = (
        f"F: spring as fitted; s: softer, {share(rate_share)} of its rate; -: empty. Tilts: how much easier the plate "
        "tilts than with all springs."
    )
    verdict = "The verdict is that of an assessment with the same changes, doubt of the measurements included."
    if not samples:
        return signs, verdict
    return signs, f"{verdict} Slips: worn and hot, {drawn(samples, 'bikes').lower()} that fit the measurements."


def _table(judged: Sequence[JudgedPattern], *, noted: bool) -> Table:
    rows = [
        Row(
            (
                letters(each.pattern),
                each.word,
                with_unit(decimal_text(each.pattern.figures["pull_peak_N"], 0), "N"),
                with_unit(decimal_text(each.pattern.figures["clamp_worn_N"], 0), "N"),
                decimal_text(each.pattern.figures["slip_margin_hot"], 2),
                "" if each.probability is None else part_of_samples(each.probability["slips"]),
                with_unit(decimal_text(each.pattern.figures["release_margin_mm"], 2), "mm"),
                "\N{INFINITY}" if each.pattern.softness == float("inf") else decimal_text(each.pattern.softness, 2),
            ),
            note=f"{each.pattern.refusal}{_grade(each.pattern)}" if noted else "",
        )
        for each in judged
    ]
    return Table("Patterns", _COLUMNS, tuple(rows), "None.")


def _grade(pattern: SpringPattern) -> str:
    if pattern.unbalance_share is None or pattern.unbalance_share < 0.005:
        return ""
    return f"; unbalance {share(pattern.unbalance_share)} of what ISO 21940-11 allows for G 6.3"


def _why(refused: Sequence[SpringPattern]) -> tuple[str, ...]:
    """How many fall to what, the commonest first."""
    return tuple(f"{count}: {fault}" for fault, count in Counter(map(_fault, refused)).most_common())


def _fault(pattern: SpringPattern) -> str:
    if len(pattern.kinds) - pattern.kinds.count(EMPTY) < LEAST_FITTED * len(pattern.kinds):
        return f"fewer than {LEAST_FITTED} of the bosses carry a spring"
    if pattern.unbalance > EMPTY_UNBALANCE:
        return "the empty bosses are out of balance"
    if pattern.off_centre > CENTRE_SHARE:
        return f"the springs press more than {share(CENTRE_SHARE)} of their circle's radius off centre"
    return "another limit of the change"


def patterns_to_json(name: str, judged: Sequence[JudgedPattern], *, rate_share: float) -> dict[str, Any]:
    """Spring patterns as data for programs.

    Parameters
    ----------
    name : str
        The bike's name.
    judged : sequence of JudgedPattern
        All of them, ranked.
    rate_share : float
        Rate of a softer spring over a fitted one's [-].

    Returns
    -------
    dict
        Strictly valid JSON.
    """
    rows = [
        asdict(each.pattern)
        | {
            "pattern": letters(each.pattern),
            "word": each.word,
            "probability": each.probability,
            "steps": [str(step) for step in each.pattern.steps],
            "refused": each.word == "refused",
        }
        for each in judged
    ]
    return finite(
        {
            "schema": SCHEMA,
            "tool": {"name": "clutchwright", "version": __version__},
            "name": name,
            "rate_share": rate_share,
            "patterns": rows,
        }
    )
