"""What to measure next, and what the decision and the pull hang on: as a sheet and as data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from clutchwright import __version__
from clutchwright.assess.figures import FIGURES
from clutchwright.bikefile import MeasuredBike, find_key
from clutchwright.bikefile.measuring import MEASURING
from clutchwright.numbers import quantity_text, rounded, with_unit
from clutchwright.picture.shares import variance_bars
from clutchwright.quantity import unit_of
from clutchwright.report.data import SCHEMA, finite
from clutchwright.report.lists import changes_table
from clutchwright.report.sheet import Drawing, Part, Sheet
from clutchwright.report.table import Column, Row, Table
from clutchwright.report.words import seen, share
from clutchwright.study.doubt import Doubt
from clutchwright.study.next_measurement import Measurement, NextMeasurements, Question
from clutchwright.study.variance import UNSAFE, Share

PULL = "pull_peak_N"
QUESTIONS = {
    "slips": "It slips under full torque, worn and hot",
    "does_not_release": "It does not release",
    "bolt_room": "Spring bolts touch the cover",
    "coil_bind": "A spring goes solid",
    "arm_room": "The arm meets what is behind it",
}
_MOST, _MOST_INPUTS = 8, 12  # rows shown
_MOST_FOR_PULL = 3
_LEAST = 0.005  # share worth a row
_ENOUGH = "Nothing left to measure would make the decision much surer."
_WORTH_SAYING = 0.25  # share of what cannot be measured at home from which it is said; own judgement
_LABELS = {figure.key: figure.label.lower() for figure in FIGURES} | {UNSAFE: "verdict unsafe"}


def measure_sheet(doubt: Doubt, bike: MeasuredBike) -> Sheet:
    """What to measure next as a sheet.

    Parameters
    ----------
    doubt : Doubt
        What was found.
    bike : MeasuredBike
        Whose keys it is about.

    Returns
    -------
    Sheet
        What to measure first, all measurements worth their while, what could go wrong, what matters.
    """
    found, assessment = doubt.measurements, doubt.assessment
    changed = (Part("Changed", tables=(changes_table(assessment.changes),)),) if assessment.changes else ()
    matters = (_matters(doubt, bike), *(_bars(_LABELS[key], doubt.shares.shares[key], bike) for key in _keys(doubt)))
    return Sheet(
        name=assessment.name,
        word="measure on" if found.first else "measured enough",
        tone="marginal" if found.first else "sound",
        answer=_answer(found),
        points=(f"As far as it is known: {assessment.verdict.word}. {assessment.verdict.reasons[0]}",),
        parts=(*changed, measurements_part(found), _pull_part(found), _questions(found), *matters),
    )


def _answer(found: NextMeasurements) -> str:
    first = found.first
    if first is None:
        return _ENOUGH
    away = f"It is expected to take away {share(first.shrink)} of the doubt in the decision."
    return f"Measure first: {_named(first)}. {away}"


def _named(row: Measurement) -> str:
    """What is measured, with what and how long it takes."""
    return f"{_lowered(row.label)} ({_with(row)})"


def _lowered(text: str) -> str:
    return text if text[:2].isupper() else f"{text[:1].lower()}{text[1:]}"


def measurements_part(found: NextMeasurements) -> Part:
    """What to measure next, ranked.

    Parameters
    ----------
    found : NextMeasurements
        As found.

    Returns
    -------
    Part
        How the first is done, and a table of those worth their while.
    """
    rows = [
        Row((row.label, _with(row), _doubt(row.key, row.u_now), _doubt(row.key, row.u_after), share(row.shrink)))
        for row in found.worth[:_MOST]
    ]
    columns = (
        Column("Measure"),
        Column("With"),
        Column("Doubt now", number=True),
        Column("After", number=True),
        Column("Takes away", number=True),
    )
    first = found.first
    sentences = [_ENOUGH if first is None else f"Measure first: {_named(first)}. How: {_lowered(first.how)}"]
    rest = len(found.ranked) - len(rows)
    if first is not None and rest:
        sentences.append(f"{rest} more could be measured better than they are and would tell less.")
    table = Table("Next measurements", columns, tuple(rows), "None is worth its while.")
    return Part("What to measure first", tuple(sentences), tables=(table,))


def _pull_part(found: NextMeasurements) -> Part:
    """What makes the pull surer, each with how it is done."""
    listed = found.surer_of_pull[:_MOST_FOR_PULL]
    rows = [Row((row.label, _with(row), _pull_u(row.pull_u_after))) for row in listed]
    columns = (Column("Measure"), Column("With"), Column("Pull is then sure to", number=True))
    table = Table("To be surer of the pull", columns, tuple(rows), "Nothing at home makes it much surer.")
    how = tuple(f"{row.label}: {_lowered(row.how)}" for row in listed)
    sentence = f"Today the peak pull is sure to {_pull_u(found.pull_u)}; each line is for that measurement alone."
    return Part("To be surer of the pull", (sentence,), points=how, tables=(table,))


def _pull_u(u: float) -> str:
    return f"\N{PLUS-MINUS SIGN}\N{NO-BREAK SPACE}{_doubt(PULL, u)}"


def _with(row: Measurement) -> str:
    return f"{row.tool}, {row.minutes:g}\N{NO-BREAK SPACE}min"


def _doubt(key: str, u: float) -> str:
    return with_unit(rounded(u, u)[1], unit_of(key))


def _questions(found: NextMeasurements) -> Part:
    rows = [Row((QUESTIONS[each.key], _margin(each), _chance(each, found.samples))) for each in found.questions]
    columns = (Column("What"), Column("Left before it", number=True), Column("Chance", number=True))
    table = Table("Questions", columns, tuple(rows), "Nothing about this bike is uncertain.")
    how = f"of {found.samples} possible bikes" if found.samples else "to first order, as if margins were normal"
    return Part("What could go wrong", (f"Slip margin above 1, or millimetres; chances {how}.",), tables=(table,))


def _chance(question: Question, samples: int) -> str:
    return seen(question.probability, samples) if samples else share(question.probability)


def _margin(question: Question) -> str:
    return quantity_text("slip_margin" if question.key == "slips" else "gap_mm", question.margin, question.u)


def _keys(doubt: Doubt) -> list[str]:
    """What the shares are shown of: the figure that decides, the verdict where bikes were sampled, the pull."""
    wanted = (doubt.assessment.deciding, UNSAFE, PULL)
    return [key for key in dict.fromkeys(wanted) if key in doubt.shares.shares]


def _matters(doubt: Doubt, bike: MeasuredBike) -> Part:
    keys = _keys(doubt)
    by_key = {key: {row.key: row for row in doubt.shares.shares[key]} for key in keys}
    inputs = list(dict.fromkeys(row.key for key in keys for row in doubt.shares.shares[key]))
    most = {name: max(by_key[key][name].total for key in keys) for name in inputs}
    shown = sorted((name for name in inputs if most[name] >= _LEAST), key=lambda name: -most[name])[:_MOST_INPUTS]
    rows = [
        Row((find_key(name, bike.choices).label, *(_cell(by_key[key][name], doubt.sampled) for key in keys)))
        for name in shown
    ]
    columns = (Column("Unknown"), *(Column(_LABELS[key].capitalize(), number=True) for key in keys))
    table = Table("What matters", columns, tuple(rows), "Nothing about this bike is uncertain.")
    return Part("What matters", (_explained(doubt), *_out_of_reach(doubt, bike)), tables=(table,))


def _explained(doubt: Doubt) -> str:
    figure = f"The figure that decides is the {_LABELS[doubt.assessment.deciding]}."
    if not doubt.sampled:
        return f"{figure} Shares of the variance, to first order."
    sizes = f"{doubt.shares.evaluations} possible bikes"
    return f"{figure} Shares of the variance from {sizes}: alone, and up to what it does together with others."


def _out_of_reach(doubt: Doubt, bike: MeasuredBike) -> tuple[str, ...]:
    """What of the deciding figure's doubt no measurement at home can take away."""
    rows = [row for row in doubt.shares.shares.get(doubt.assessment.deciding, ()) if row.key not in MEASURING]
    part = sum(max(row.first, 0.0) for row in rows)
    if part < _WORTH_SAYING:
        return ()
    labels = [find_key(row.key, bike.choices).label for row in rows if row.first >= _LEAST]
    named = "; ".join(label[:1].lower() + label[1:] for label in labels)
    return (f"{share(part)} of its doubt cannot be measured away at home: {named}.",)


def _cell(row: Share, sampled: bool) -> str:
    alone = share(max(row.first, 0.0))
    return f"{alone} / {share(max(row.total, 0.0))}" if sampled else alone


def _bars(label: str, rows: Sequence[Share], bike: MeasuredBike) -> Part:
    return Part(f"What matters for the {label}", drawing=shares_drawing(label, rows, bike))


def shares_drawing(label: str, rows: Sequence[Share], bike: MeasuredBike) -> Drawing:
    """Bars of what matters.

    Parameters
    ----------
    label : str
        For which figure.
    rows : sequence of Share
        The greatest first.
    bike : MeasuredBike
        Whose keys they are.

    Returns
    -------
    Drawing
        A bar for each unknown.
    """
    labels, words = input_labels(rows, bike), f"Share of each unknown in the variance of the {label}."
    return Drawing(lambda width: variance_bars(label, rows, labels, width=width), words)


def input_labels(rows: Sequence[Share], bike: MeasuredBike) -> dict[str, str]:
    """What the inputs of some shares are called, by their keys."""
    return {row.key: find_key(row.key, bike.choices).label for row in rows}


def measure_to_json(doubt: Doubt) -> dict[str, Any]:
    """What to measure next as data for programs.

    Parameters
    ----------
    doubt : Doubt
        What was found.

    Returns
    -------
    dict
        Strictly valid JSON; every measurement in order, every question, shares of the figures that the sheet shows.
    """
    found, assessment = doubt.measurements, doubt.assessment
    return finite(
        {
            "schema": SCHEMA,
            "tool": {"name": "clutchwright", "version": __version__},
            "name": assessment.name,
            "changes": [str(step) for step in assessment.changes],
            "verdict": assessment.verdict.word,
            "deciding": assessment.deciding,
            "doubt": found.doubt,
            "first": None if found.first is None else found.first.key,
            "pull_u_N": found.pull_u,
            "surer_of_pull": [row.key for row in found.surer_of_pull],
            "measure": [asdict(row) for row in found.ranked],
            "questions": [asdict(question) for question in found.questions],
            "sampled": doubt.sampled,
            "evaluations": doubt.shares.evaluations,
            "shares": {key: [asdict(row) for row in doubt.shares.shares[key]] for key in _keys(doubt)},
        }
    )
