"""What is wrong with a bike, by its readings: as a sheet and as data."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

from clutchwright import __version__
from clutchwright.bikefile import find_key
from clutchwright.calibrate.diagnosis import Diagnosis, Suspect
from clutchwright.calibrate.signs import Sign, look_closer
from clutchwright.numbers import plain_text, quantity_text, with_unit
from clutchwright.picture.deviations import Deviation, deviations
from clutchwright.picture.look import WIDE
from clutchwright.picture.loop import stacked
from clutchwright.quantity import Quantity, si_factor, unit_of
from clutchwright.report.data import SCHEMA, finite
from clutchwright.report.lists import changes_table
from clutchwright.report.sheet import Drawing, Part, Sheet
from clutchwright.report.table import Column, Row, Table
from clutchwright.report.words import share

_PULL, _LIFT = "pull_peak_N", "lift_mm"
# What lies within so many standard uncertainties is not told from nothing [-].
_SURE = 2.0
# Kinds of readings shown as evidence at most [-].
_CLUES = 4
# Where the healthy bike is less probable than this and nothing is named, something is wrong, but not known what [-].
_UNCLEAR = 0.5


def diagnosis_sheet(found: Diagnosis) -> Sheet:
    """What is wrong with a bike.

    Parameters
    ----------
    found : Diagnosis
        As found.

    Returns
    -------
    Sheet
        A part for each named fault, free ones first: how sure, its evidence, the check and the remedy; then all faults,
        signs and every reading.
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
        parts=(
            *changed,
            *(_fault_part(found, each) for each in found.named),
            _all(found),
            _signs(found),
            *_pictures(found),
        ),
    )


def diagnosis_figure(found: Diagnosis) -> Any:
    """Readings against the bike as filed, and against the most probable one, below one another, as a chart."""
    return stacked(*(part.drawing.draw(WIDE) for part in _pictures(found) if part.drawing))


def _verdict(found: Diagnosis) -> tuple[str, str]:
    if found.named:
        most = sorted(found.named, key=lambda suspect: -suspect.probability)
        listed = " and ".join(f"{each.fault.label} ({_chance(each.probability)})" for each in most)
        return "fault found" if len(most) == 1 else "faults found", f"Most likely: {listed}."
    if found.probability < _UNCLEAR:
        first = found.suspects[0]
        return "unclear", (
            f"Something is probably wrong (healthy with a chance of {_chance(found.probability)}), but the readings do "
            f"not say what; first of all {first.fault.label} ({_chance(first.probability)})."
        )
    if found.standing_out:
        return "undecided", _undecided(found)
    return "nothing found", f"The readings are those of a healthy bike with a chance of {_chance(found.probability)}."


def _undecided(found: Diagnosis) -> str:
    """What stands out though no fault is named, and what to do first: what is free."""
    sign = found.standing_out[0]
    read, healthy = _sign_texts(sign)
    tested = [each for each in found.suspects if not each.untested]
    free = next((each for each in tested if each.fault.free), None)
    advice = f"{free.fault.remedy} It is free; then read again." if free else "Read these again."
    return (
        f"No fault is sure, yet one thing stands out: {sign.label[0].lower()}{sign.label[1:]}, {read} where a healthy "
        f"bike shows {healthy}. {advice}"
    )


def _chance(chance: float) -> str:
    return "over 99 %" if chance > 0.995 else share(chance)


def _points(found: Diagnosis) -> Iterator[str]:
    for suspect in found.named:
        yield f"{_heading(suspect)}; then {_gives(suspect)}."
    if len({suspect.fault.free for suspect in found.named}) > 1:
        yield "Do what is free first, and read again before a part is bought."
    if found.assumed:
        listed = "; ".join(_assumed(found, key, *both) for key, both in found.assumed.items())
        yield f"Healthy values that nobody measured, taken as those of parts in good order: {listed}."
    if untested := [suspect.fault.label for suspect in found.suspects if suspect.untested]:
        yield f"Neither found nor excluded by these readings: {'; '.join(untested)}."
    yield (
        f"{found.read} readings, {len(found.healthy.fit.bench.readings)} with each repeat by itself, were held against "
        f"the bike as filed, which is taken as healthy, and against {len(found.suspects)} faults."
    )


def _assumed(found: Diagnosis, key: str, healthy: Quantity, now: Quantity) -> str:
    """A healthy value that is only assumed, and what these readings make of it even if nothing is wrong."""
    label = find_key(key, found.healthy.fit.bench.measured.choices).label
    moved = abs(now.value - healthy.value) > _SURE * healthy.u
    return f"{label[0].lower()}{label[1:]} {_text(key, healthy)}{f', but {_text(key, now)} by these' if moved else ''}"


def _heading(suspect: Suspect) -> str:
    return f"{_upper(suspect.fault.label)}: {'free to put right' if suspect.fault.free else 'needs parts or skill'}"


def _upper(text: str) -> str:
    return text[0].upper() + text[1:]


def _gives(suspect: Suspect) -> str:
    """What putting it right does to the pull, and to the lift where that moves."""
    pull = _moved(suspect.peak, _PULL, "the peak pull at the finger")
    return f"{pull}, {_moved(suspect.lift, _LIFT, 'the full lift')}"


def _moved(change: Quantity, key: str, what: str) -> str:
    if abs(change.value) <= _SURE * change.u:
        return f"{what} moves by {_text(key, change)}, if at all" if change.u else f"{what} stays as it is"
    size = _text(key, Quantity(abs(change.value), change.u))
    return f"{what} {'falls' if change.value < 0.0 else 'rises'} by {size}"


def _text(key: str, quantity: Quantity) -> str:
    return quantity_text(key, quantity.value, quantity.u)


def _fault_part(found: Diagnosis, suspect: Suspect) -> Part:
    """One fault: how sure, its evidence, how to confirm it and what to do."""
    measured = found.healthy.fit.bench.measured
    points = []
    for key, (filed, fitted) in suspect.severity.items():
        before = "not filed" if filed is None else f"{_text(key, filed)} {_where(filed)}"
        points.append(f"{find_key(key, measured.choices).label}: {_text(key, fitted)} by the readings, {before}.")
    points += [f"Most likely the odd one is spring {each}, counted as you read them." for each in suspect.springs]
    points += [
        f"{clue.label}, {clue.count} read: {clue.expected:.1f} standard uncertainties off without this fault, "
        f"{clue.fitted:.1f} with it."
        for clue in suspect.clues[:_CLUES]
        if clue.expected > _SURE and clue.fitted < clue.expected
    ]
    return Part(
        _heading(suspect),
        (f"Chance {_chance(suspect.probability)}. {_odds(suspect)}.",),
        points=tuple(points),
        ticks=(f"Check: {suspect.fault.check}", f"If so: {suspect.fault.remedy} Then read again."),
    )


def _where(filed: Quantity) -> str:
    return "assumed of a healthy one, which nobody measured" if filed.assumed else "in the bike file"


def _odds(suspect: Suspect) -> str:
    """How much more or less likely the readings are than of a healthy bike."""
    if suspect.untested:
        return "By itself it would explain the readings no better than a healthy bike does"
    size = abs(suspect.log_odds)
    times = (
        plain_text(math.exp(size), 2) if size < math.log(1e4) else f"ten to the power of {size / math.log(10.0):.0f}"
    )
    more = "more" if suspect.log_odds > 0.0 else "less"
    return f"By itself it makes the readings {times} times {more} likely than a healthy bike does"


def _all(found: Diagnosis) -> Part:
    rows = tuple(
        Row(
            (
                _upper(suspect.fault.label),
                _chance(suspect.probability),
                "undecided" if suspect.untested else f"{suspect.log_odds / math.log(10.0):+.1f}",
                "no" if suspect.fault.free else "yes",
            )
        )
        for suspect in found.suspects
    )
    healthy = Row(("None of these", _chance(found.probability), "", ""), total=True)
    columns = (Column("Fault"), Column("Chance", number=True), Column("Odds", number=True), Column("Parts"))
    sentence = (
        "Odds are the power of ten by which the readings are more likely with this fault alone than on a healthy bike. "
        "Chances add up to more than 100 % where faults come together. What is not in this list is not looked for."
    )
    return Part("What it could be", (sentence,), tables=(Table("All faults", columns, (*rows, healthy)),))


def _signs(found: Diagnosis) -> Part:
    rows = [Row((sign.label, *_sign_texts(sign), f"{sign.distance:+.1f}")) for sign in found.signs]
    columns = (Column("Sign"), Column("Read", number=True), Column("Healthy", number=True), Column("Off", number=True))
    sentence = (
        "Sums of readings that one sees without any fit, against what the bike file lets expect. Off counts standard "
        f"uncertainties, those of the file and of the instruments together: beyond {look_closer(len(rows)):.1f} either "
        "way, look closer; on one healthy bike in 20 one of them lies so far off."
    )
    return Part("What stands out", (sentence,), tables=(Table("Signs", columns, tuple(rows), "No reading is one."),))


def _sign_texts(sign: Sign) -> tuple[str, str]:
    """As read, and as a healthy bike shows it."""
    read, expected, u = (each / si_factor(sign.ending) for each in (sign.read, sign.expected, sign.u))
    return with_unit(plain_text(read), unit_of(sign.ending)), quantity_text(sign.ending, expected, u)


def _pictures(found: Diagnosis) -> Iterator[Part]:
    healthy, best = found.healthy, found.best
    about = healthy.fit.bench
    filed = [Deviation(each.label, "", float(off)) for each, off in zip(about.readings, healthy.surprises, strict=True)]
    words = (
        "Each reading less what the bike file lets expect, in standard uncertainties of both; at the edge: farther off."
    )
    yield _picture("Every reading", "Readings against the bike as filed", filed, words)
    if best.faults:
        each = zip(about.readings, best.fit.residuals, best.fit.mistake_chances, strict=True)
        fitted = [Deviation(one.label, one.where, float(off), bool(chance > 0.5)) for one, off, chance in each]
        title = f"Readings against a bike with: {' and '.join(fault.label for fault in best.faults)}"
        words = (
            "Each reading less what this bike would show, in standard uncertainties of the reading; cross: a mistake."
        )
        yield _picture("Every reading, with the fault", title, fitted, words)


def _picture(heading: str, title: str, dots: Sequence[Deviation], words: str) -> Part:
    def draw(width: int) -> Any:
        return deviations(title, dots, width=width)

    return Part(heading, drawing=Drawing(draw, words))


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
            "standing_out": [sign.label for sign in found.standing_out],
            "assumed": {
                key: {"value": healthy.value, "u": healthy.u, "with_readings": now.value}
                for key, (healthy, now) in found.assumed.items()
            },
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
                for sign in found.signs
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
        "odd_springs": list(suspect.springs),
        "severity": {key: {"value": after.value, "u": after.u} for key, (_, after) in suspect.severity.items()},
        "evidence": [
            {
                "kind": clue.label,
                "count": clue.count,
                "off_without": clue.expected,
                "off_with": clue.fitted,
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
