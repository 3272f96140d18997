"""A claim, judged, as a sheet and as data."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import Any

from clutchwright import __version__
from clutchwright.assess.figures import FIGURES
from clutchwright.changes import find
from clutchwright.numbers import decimal_text, with_unit
from clutchwright.quantity import unit_of
from clutchwright.report.data import SCHEMA, finite
from clutchwright.report.figures import absent
from clutchwright.report.sheet import Part, Sheet, Tone
from clutchwright.report.table import Column, Row, Table
from clutchwright.report.words import counted, drawn, seen, share
from clutchwright.study.claims import COSTS, Claim, ClaimWord, Odds
from clutchwright.study.means import MEANS

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
        word=claim.word,
        tone=_TONES[claim.word],
        answer=_answer(claim),
        points=claim.reasons,
        parts=tuple(parts),
    )


def _answer(claim: Claim) -> str:
    return (
        f"{share(claim.share)} off the pull by {MEANS[claim.means].title}: {_MEANINGS[claim.word]}{_chance(claim)}. "
        f"The largest honest figure for this bike is {share(claim.dependable)}, and never more than "
        f"{share(claim.utmost)}."
    )


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
    columns = (Column("Figure"), *(Column(state.label.capitalize(), number=True) for state in claim.states))
    table = Table("What it gives and takes", columns, tuple(rows))
    return Part(
        "What it costs the clutch",
        ("Dependable: with comfortable margins, or what ordinary parts reach. Utmost: the bound of the means.",),
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
        f"{share(claimed)} off dependably, {counted(odds.possible, odds.samples)} at the utmost.",
        f"Dependable: {_span(odds.dependable)}. Utmost: {_span(odds.utmost)}.",
    )


def _span(quantiles: tuple[float, float, float]) -> str:
    low, middle, high = (share(value) for value in quantiles)
    return f"{middle} off (from {low} to {high} on nine bikes of ten)"


def _ways(claim: Claim) -> Part:
    rows = []
    for kind in MEANS[claim.means].kinds:
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
        "title": MEANS[claim.means].title,
        "ways": [
            {"kind": kind, "title": find(kind).title, "price": find(kind).price, "hours": find(kind).hours}
            for kind in MEANS[claim.means].kinds
        ],
    }
    return finite(found)
