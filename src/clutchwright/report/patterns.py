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
from clutchwright.report.words import share
from clutchwright.study.patterns import EMPTY, SOFTER, STANDARD, SpringPattern

_LETTERS = {STANDARD: "F", SOFTER: "s", EMPTY: "-"}
_COLUMNS = (
    Column("Bosses"),
    Column("Margins"),
    Column("Pull", number=True),
    Column("Clamp worn", number=True),
    Column("Slip hot", number=True),
    Column("Release", number=True),
    Column("Tilts", number=True),
)


def letters(pattern: SpringPattern) -> str:
    """Bosses in a row, from the first: F as fitted, s softer, - empty."""
    return "".join(_LETTERS[kind] for kind in pattern.kinds)


def patterns_sheet(name: str, patterns: Sequence[SpringPattern], *, rate_share: float, every: bool = False) -> Sheet:
    """Spring patterns as a sheet.

    Parameters
    ----------
    name : str
        The bike's name.
    patterns : sequence of SpringPattern
        All of them, ranked.
    rate_share : float
        Rate of a softer spring over a fitted one's [-].
    every : bool
        Whether to list those that no one should ride as well.

    Returns
    -------
    Sheet
        The even ones from heavy to light, and how many are uneven and why.
    """
    fine = [pattern for pattern in patterns if not pattern.refusal]
    lightest = _lightest(fine)
    parts = [Part("Even patterns, from heavy to light", (_key(rate_share),), tables=(_table(fine, noted=False),))]
    refused = [pattern for pattern in patterns if pattern.refusal]
    parts.append(Part("Uneven patterns", points=_why(refused), tables=(_table(refused, noted=True),) if every else ()))
    tone: Tone = "unsafe" if lightest is None else lightest.word
    return Sheet(name, f"{len(fine)} even patterns", tone, _answer(fine, len(patterns), lightest), (), tuple(parts))


def _lightest(fine: Sequence[SpringPattern]) -> SpringPattern | None:
    """Lightest with comfortable margins, or else the lightest that is not unsafe."""
    for words in (("sound",), ("sound", "marginal")):
        good = [pattern for pattern in fine if pattern.word in words]
        if good:
            return good[-1]
    return None


def _answer(fine: Sequence[SpringPattern], count: int, lightest: SpringPattern | None) -> str:
    start = f"Of {count} that differ by more than turning and mirroring"
    if lightest is None:
        return f"{start}; none keeps the clutch within its limits."
    figures, today = lightest.figures, fine[0].figures
    pull = with_unit(decimal_text(figures["pull_peak_N"], 0), "N")
    less = share(1.0 - figures["pull_peak_N"] / today["pull_peak_N"])
    margin = decimal_text(figures["slip_margin_hot"], 2)
    return (
        f"{start}; the lightest that keeps its margins is {letters(lightest)}: {pull}, {less} less than today, slip "
        f"margin {margin} worn and hot."
    )


def _key(rate_share: float) -> str:
    return (
        f"F: spring as fitted; s: softer, {share(rate_share)} of its rate; -: empty. Tilts: how much easier the plate "
        "tilts than with all springs."
    )


def _table(patterns: Sequence[SpringPattern], *, noted: bool) -> Table:
    rows = [
        Row(
            (
                letters(pattern),
                pattern.word,
                with_unit(decimal_text(pattern.figures["pull_peak_N"], 0), "N"),
                with_unit(decimal_text(pattern.figures["clamp_worn_N"], 0), "N"),
                decimal_text(pattern.figures["slip_margin_hot"], 2),
                with_unit(decimal_text(pattern.figures["release_margin_mm"], 2), "mm"),
                "\N{INFINITY}" if pattern.softness == float("inf") else decimal_text(pattern.softness, 2),
            ),
            note=f"{pattern.refusal}{_grade(pattern)}" if noted else "",
        )
        for pattern in patterns
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


def patterns_to_json(name: str, patterns: Sequence[SpringPattern], *, rate_share: float) -> dict[str, Any]:
    """Spring patterns as data for programs.

    Parameters
    ----------
    name : str
        The bike's name.
    patterns : sequence of SpringPattern
        All of them, ranked.
    rate_share : float
        Rate of a softer spring over a fitted one's [-].

    Returns
    -------
    dict
        Strictly valid JSON.
    """
    rows = [
        asdict(pattern)
        | {
            "pattern": letters(pattern),
            "word": pattern.word,
            "steps": [str(step) for step in pattern.steps],
            "refused": bool(pattern.refusal),
        }
        for pattern in patterns
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
