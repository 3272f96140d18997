"""A claim, judged, as a sheet and as data."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import Any, Literal

from clutchwright import __version__
from clutchwright.assess.figures import FIGURES
from clutchwright.changes import find
from clutchwright.numbers import decimal_text, with_unit
from clutchwright.quantity import unit_of
from clutchwright.report.data import SCHEMA, finite
from clutchwright.report.figures import absent
from clutchwright.report.sheet import Part, Sheet, Tone
from clutchwright.report.table import Column, Row, Table
from clutchwright.report.words import FEW_SAMPLES, counted, drawn, seen, share
from clutchwright.study.claims import COSTS, Claim, ClaimWord, Odds
from clutchwright.study.one_kind import find_means

_TONES: dict[ClaimWord, Tone] = {
    "holds": "sound",
    "doubtful": "marginal",
    "useless": "unsafe",
    "impossible": "unsafe",
}
_MEANINGS: dict[ClaimWord, str] = {
    "holds": "it can be had with comfortable margins",
    "doubtful": "more than ordinary parts or comfortable margins allow, though not more than the means could ever do",
    "useless": "the lever might be as light, but the clutch would not work",
    "impossible": "nothing of the kind could do it",
}
_DECIMALS = {"N": 0, "mm": 2}
_LABELS = {"today": "Today", "dependable": "With margin", "utmost": "At most", "as claimed": "As claimed"}
_PERCENT = "\N{NO-BREAK SPACE}%"
_RARE = 0.05  # share of the possible bikes up to which a claim counts as excluded; own judgement


def claim_sheet(claim: Claim) -> Sheet:
    """A claim as a sheet.

    Parameters
    ----------
    claim : Claim
        Judged.

    Returns
    -------
    Sheet
        Word, largest honest figure, reasons, what is given up, ways and prices, odds.
    """
    parts = [_costs(claim), _ways(claim)]
    if claim.odds is not None:
        parts.insert(1, Part("How sure", points=_sure(claim.odds, claim.share)))
    return Sheet(
        name=claim.name,
        word=_word(claim),
        tone=_TONES[claim.word],
        answer=_answer(claim),
        points=claim.reasons,
        parts=tuple(parts),
    )


def _word(claim: Claim) -> str:
    """The claim's word; milder where some of the possible bikes might allow it after all."""
    if _some_allow(claim) is None:
        return claim.word
    return "practically excluded" if _rare(claim) else "not on the bike as measured"


def _some_allow(claim: Claim) -> Odds | None:
    """Odds of a claim that fails on the bike as measured, where some of the possible bikes might allow it."""
    failed = claim.word in ("useless", "impossible")
    return claim.odds if failed and claim.odds is not None and claim.odds.possible > 0.0 else None


def _rare(claim: Claim) -> bool:
    return claim.odds is not None and claim.odds.possible <= _RARE


def _answer(claim: Claim) -> str:
    honest, most = (_centre(claim, end) for end in ("dependable", "utmost"))
    return (
        f"{share(claim.share)} off the pull by {find_means(claim.means).title}: {_meaning(claim)}{_chance(claim)}. "
        f"The largest honest figure for this bike is {honest}; at the very most it is {most}.{_ranges(claim)}"
    )


def _ranges(claim: Claim) -> str:
    return "" if claim.odds is None else " In brackets: nine in ten of the bikes that fit your measurements."


def _meaning(claim: Claim) -> str:
    odds = _some_allow(claim)
    if odds is None:
        return _MEANINGS[claim.word]
    allow = f"{_in_hundred(odds)} like yours might allow it at the very most"
    if _rare(claim):
        return f"practically excluded, as only {allow}"
    return f"not on the bike as measured, though {allow}: measure what is only assumed"


def _in_hundred(odds: Odds) -> str:
    """Share of the possible bikes as a rider counts them."""
    count = round(odds.possible * 100.0)
    if odds.samples < FEW_SAMPLES or count == 0:
        return f"{round(odds.possible * odds.samples)} in {odds.samples} bikes"
    return f"{count} in 100 bikes"


def _centre(claim: Claim, end: Literal["dependable", "utmost"]) -> str:
    """What may come off the bike as measured, and the range of nine in ten possible bikes."""
    value = share(getattr(claim, end))
    if claim.odds is None:
        return value
    low, _, high = (share(each) for each in getattr(claim.odds, end))
    return f"{value} ({low.removesuffix(_PERCENT)} to {high})"


def _chance(claim: Claim) -> str:
    """How surely a claim holds that holds on the bike as measured."""
    if claim.word != "holds":
        return ""
    if claim.odds is None:
        return "; how surely, --samples tells"
    return f", with a chance of {seen(claim.odds.comfortable, claim.odds.samples)}"


def _costs(claim: Claim) -> Part:
    labels = {figure.key: figure.label for figure in FIGURES}
    rows = [Row((labels[key], *(_number(key, state.figures[key]) for state in claim.states))) for key in COSTS]
    columns = (Column("Figure"), *(Column(_LABELS[state.label], number=True) for state in claim.states))
    table = Table("What it gives and takes", columns, tuple(rows))
    return Part(
        "What it costs the clutch",
        ("With margin: what ordinary parts and comfortable margins reach. At most: the bound of the means.",),
        tables=(table,),
    )


def _number(key: str, value: float) -> str:
    if math.isnan(value):
        return absent(key)
    unit = unit_of(key)
    return with_unit(decimal_text(value, _DECIMALS.get(unit, 2)), unit)


def _sure(odds: Odds, claimed: float) -> tuple[str, ...]:
    return (
        f"{drawn(odds.samples, 'bikes')} that fit the measurements, {counted(odds.comfortable, odds.samples)} allow "
        f"{share(claimed)} off with margin, {counted(odds.possible, odds.samples)} at the very most.",
    )


def _ways(claim: Claim) -> Part:
    rows = []
    for kind in find_means(claim.means).kinds:
        change = find(kind)
        low, high = change.price
        price = "free" if change.free else f"{low:g} to {high:g}"
        rows.append(Row((change.title, price, f"{change.hours:g} h", change.takes)))
    columns = (Column("Change"), Column("Price", number=True), Column("Work", number=True), Column("Takes"))
    return Part(
        "What it costs you",
        ("Prices in units of money, from and to: rough assumptions, no source.",),
        tables=(Table("Ways to it", columns, tuple(rows)),),
    )


def claim_to_json(claim: Claim) -> dict[str, Any]:
    """A claim as data for programs.

    Parameters
    ----------
    claim : Claim
        Judged.

    Returns
    -------
    dict
        Strictly valid JSON; figures of each state by key; shares from 0 to 1.
    """
    found = asdict(claim) | {
        "schema": SCHEMA,
        "tool": {"name": "clutchwright", "version": __version__},
        "title": find_means(claim.means).title,
        "ways": [
            {"kind": kind, "title": find(kind).title, "price": find(kind).price, "hours": find(kind).hours}
            for kind in find_means(claim.means).kinds
        ],
    }
    return finite(found)
