"""What is wrong with a bike, by its readings: as a sheet and as data."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from clutchwright import __version__
from clutchwright.calibrate.diagnosis import Diagnosis, Hypothesis, Suspect
from clutchwright.calibrate.noise import mistake_chance
from clutchwright.calibrate.signs import signs
from clutchwright.numbers import plain_text, quantity_text
from clutchwright.picture.deviations import Deviation, deviations
from clutchwright.picture.look import WIDE
from clutchwright.picture.loop import stacked
from clutchwright.quantity import Quantity, si_factor
from clutchwright.report.data import SCHEMA, finite
from clutchwright.report.lists import changes_table
from clutchwright.report.sheet import Drawing, Part, Sheet
from clutchwright.report.table import Column, Row, Table
from clutchwright.report.words import share

_PULL, _LIFT = "pull_peak_N", "lift_mm"
# A change of less than this many standard uncertainties is not told from none; clues shown at most [-].
_SURE, _CLUES = 2.0, 4
# Where the healthy bike is less probable than this and nothing is named, something is wrong, but not known what [-].
_UNCLEAR = 0.5
# A clue is worth a line from this gain in log likelihood on [-].
_WORTH = 1.0


def diagnosis_sheet(found: Diagnosis) -> Sheet:
    """What is wrong with a bike.

    Parameters
    ----------
    found : Diagnosis
        As found.

    Returns
    -------
    Sheet
        What to do, what is free first; each named fault with its evidence; all faults; signs; every reading.
    """
    bench = found.healthy.fit.bench
    word, answer = _verdict(found)
    changed = (Part("Changed before", tables=(changes_table(bench.steps),)),) if bench.steps else ()
    return Sheet(
        name=bench.measured.name,
        word=word,
        tone="sound" if word == "nothing found" else "marginal",
        answer=answer,
        points=tuple(_points(found)),
        parts=(*changed, *_to_do(found), *map(_evidence, found.named), _all(found), _signs(found), *_pictures(found)),
    )


def diagnosis_figure(found: Diagnosis) -> Any:
    """Readings against the healthy bike, and against the most probable one, below one another, as a chart."""
    return stacked(*(part.drawing.draw(WIDE) for part in _pictures(found) if part.drawing))


def _verdict(found: Diagnosis) -> tuple[str, str]:
    if found.named:
        most = sorted(found.named, key=lambda suspect: -suspect.probability)
        listed = "; ".join(f"{each.fault.label} ({_chance(each.probability)})" for each in most)
        return "fault found" if len(most) == 1 else "faults found", f"The readings speak for: {listed}."
    if found.probability < _UNCLEAR:
        first = found.suspects[0]
        return "unclear", (
            f"Something is probably wrong (healthy with a chance of {_chance(found.probability)}), but the readings do "
            f"not say what; first of all {first.fault.label} ({_chance(first.probability)})."
        )
    return "nothing found", f"The readings are those of a healthy bike with a chance of {_chance(found.probability)}."


def _chance(chance: float) -> str:
    return "over 99 %" if chance > 0.995 else share(chance)


def _points(found: Diagnosis) -> Iterator[str]:
    bench = found.healthy.fit.bench
    yield (
        f"{len(bench.readings)} readings, each repeat by itself, against the healthy bike as filed and "
        f"{len(found.suspects)} faults, each with a severity of its own."
    )
    for suspect in found.named:
        yield f"{_upper(suspect.fault.label)}: put right, {_gives(suspect)}."
    if untested := [suspect.fault.label for suspect in found.suspects if suspect.untested]:
        yield f"Neither found nor excluded by these readings: {', '.join(untested)}."


def _upper(text: str) -> str:
    return text[0].upper() + text[1:]


def _gives(suspect: Suspect) -> str:
    """What putting it right does to the pull, and to the lift where that moves."""
    return f"{_moved(suspect.peak, _PULL, 'the peak pull')}, {_moved(suspect.lift, _LIFT, 'the full lift')}"


def _moved(change: Quantity, key: str, what: str) -> str:
    if abs(change.value) <= _SURE * change.u or change.value == 0.0:
        return f"{what} stays about the same" if change.u == 0.0 else f"{what} moves by {_text(key, change)}, if at all"
    size = _text(key, Quantity(abs(change.value), change.u))
    return f"{what} {'falls' if change.value < 0.0 else 'rises'} by {size}"


def _text(key: str, quantity: Quantity) -> str:
    return quantity_text(key, quantity.value, quantity.u)


def _to_do(found: Diagnosis) -> Iterator[Part]:
    """Checks and remedies, what needs no part first."""
    for free, heading in ((True, "Free, so first"), (False, "With parts, only after that")):
        named = [suspect for suspect in found.named if suspect.fault.free is free]
        if named:
            ticks = [
                text
                for suspect in named
                for text in (f"Check: {suspect.fault.check}", f"If so: {suspect.fault.remedy} Then read again.")
            ]
            yield Part(heading, ticks=tuple(ticks))


def _evidence(suspect: Suspect) -> Part:
    points = []
    for key, (filed, fitted) in suspect.severity.items():
        before = "not filed" if filed is None else f"filed as {_text(key, filed)}"
        points.append(f"{key}: {_text(key, fitted)} by the readings, {before}.")
    points += [
        f"{clue.label}, {clue.count} read: {clue.without:.1f} standard uncertainties off without it, "
        f"{clue.with_it:.1f} with it."
        for clue in suspect.clues[:_CLUES]
        if clue.gain > _WORTH
    ]
    sentences = (
        f"Chance {_chance(suspect.probability)}. {_odds(suspect)}, were it the only fault.",
        f"Put right, {_gives(suspect)}.",
    )
    return Part(f"Evidence: {suspect.fault.label}", sentences, points=tuple(points))


def _odds(suspect: Suspect) -> str:
    """How much more or less likely the readings are than of a healthy bike."""
    if suspect.untested:
        return "The readings hardly tell it from a healthy bike"
    size = abs(suspect.log_odds)
    times = (
        plain_text(math.exp(size), 2) if size < math.log(1e4) else f"ten to the power of {size / math.log(10.0):.0f}"
    )
    return (
        f"The readings are {times} times {'more' if suspect.log_odds > 0.0 else 'less'} likely than of a healthy bike"
    )


def _all(found: Diagnosis) -> Part:
    rows = tuple(
        Row(
            (
                _upper(suspect.fault.label),
                _chance(suspect.probability),
                "undecided" if suspect.untested else f"{suspect.log_odds / math.log(10.0):+.1f}",
                "free" if suspect.fault.free else "parts",
            )
        )
        for suspect in found.suspects
    )
    healthy = Row(("None of these", _chance(found.probability), "", ""), total=True)
    columns = (
        Column("Fault"),
        Column("Chance", number=True),
        Column("Odds", number=True),
        Column("Needs"),
    )
    sentence = (
        "Odds are the power of ten by which the readings are more likely with this fault alone than on a healthy bike. "
        "Chances add up to more than 100 % where faults come together. What is not in this list is not looked for."
    )
    return Part("All faults", (sentence,), tables=(Table("All faults", columns, (*rows, healthy)),))


def _signs(found: Diagnosis) -> Part:
    rows = []
    for sign in signs(found.healthy.fit.bench):
        read, expected, u = (each / si_factor(sign.ending) for each in (sign.read, sign.expected, sign.u))
        rows.append(
            Row((sign.label, plain_text(read), quantity_text(sign.ending, expected, u), f"{sign.distance:+.1f} u"))
        )
    columns = (Column("Sign"), Column("Read", number=True), Column("Healthy", number=True), Column("Off", number=True))
    sentence = "Sums of readings against what the bike file lets expect, its doubt and the instruments' included."
    return Part("Signs", (sentence,), tables=(Table("Signs", columns, tuple(rows), "None of the readings is one."),))


def _pictures(found: Diagnosis) -> Iterator[Part]:
    yield _picture("Readings against the healthy bike", found.healthy)
    if found.best.faults:
        names = " and ".join(fault.label for fault in found.best.faults)
        yield _picture(f"Readings against a bike with {names}", found.best)


def _picture(title: str, state: Hypothesis) -> Part:
    chances = mistake_chance(state.residuals**2)
    dots = [
        Deviation(reading.label, reading.where, float(distance), bool(chance > 0.5))
        for reading, distance, chance in zip(state.fit.bench.readings, state.residuals, chances, strict=True)
    ]

    def draw(width: int) -> Any:
        return deviations(title, dots, width=width)

    words = "Each reading less what the fitted bike would show, in standard uncertainties of the reading."
    return Part(title, drawing=Drawing(draw, words))


def diagnosis_to_json(found: Diagnosis) -> dict[str, Any]:
    """What is wrong with a bike as data for programs.

    Parameters
    ----------
    found : Diagnosis
        As found.

    Returns
    -------
    dict
        Strictly valid JSON; severities in the units of their keys.
    """
    bench = found.healthy.fit.bench
    return finite(
        {
            "schema": SCHEMA,
            "tool": {"name": "clutchwright", "version": __version__},
            "name": bench.measured.name,
            "changes": [str(step) for step in bench.steps],
            "files": [{"name": name, "sha256": fingerprint} for name, fingerprint in found.healthy.fit.sources],
            "healthy": found.probability,
            "named": [suspect.fault.key for suspect in found.named],
            "faults": [_fault(suspect) for suspect in found.suspects],
            "signs": [
                {
                    "label": sign.label,
                    **{
                        f"{name}{sign.ending if sign.ending.startswith('_') else ''}": value / si_factor(sign.ending)
                        for name, value in (("read", sign.read), ("expected", sign.expected), ("u", sign.u))
                    },
                }
                for sign in signs(bench)
            ],
        }
    )


def _fault(suspect: Suspect) -> dict[str, Any]:
    fault = suspect.fault
    return {
        "fault": fault.key,
        "label": fault.label,
        "free": fault.free,
        "chance": suspect.probability,
        "log_odds": suspect.log_odds,
        "tested": not suspect.untested,
        "severity": {key: {"value": after.value, "u": after.u} for key, (_, after) in suspect.severity.items()},
        "evidence": [
            {
                "kind": clue.label,
                "count": clue.count,
                "off_without": clue.without,
                "off_with": clue.with_it,
                "gain": clue.gain,
            }
            for clue in suspect.clues
        ],
        "check": fault.check,
        "remedy": fault.remedy,
        "change": {
            "pull_peak_N": {"value": suspect.peak.value, "u": suspect.peak.u},
            "lift_mm": {"value": suspect.lift.value, "u": suspect.lift.u},
        },
    }
