"""What readings say of a bike: as a sheet and as data."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from typing import Any

from clutchwright import __version__
from clutchwright.bikefile import find_key
from clutchwright.calibrate import Calibration
from clutchwright.calibrate.bench import Bench
from clutchwright.calibrate.fitted import Fit
from clutchwright.calibrate.posterior import Estimate
from clutchwright.numbers import quantity_text
from clutchwright.picture.deviations import Deviation, deviations
from clutchwright.picture.look import WIDE
from clutchwright.picture.loop import loop_picture, stacked
from clutchwright.quantity import si_factor
from clutchwright.readings import Reading
from clutchwright.readings.kinds import shown_ending
from clutchwright.report.data import SCHEMA, finite
from clutchwright.report.lists import changes_table
from clutchwright.report.sheet import Drawing, Part, Sheet
from clutchwright.report.table import Column, Row, Table
from clutchwright.report.words import share

# A mistake is named from this chance on; a strain between file and readings, and a misfit, from these [-].
_MISTAKE, _STRAINED, _MISFIT = 0.5, 3.0, 2.0
# Spread of repeats, in standard uncertainties of one, that one pair in a hundred exceeds [-].
_APART = 3.64
_PULL = "pull_peak_N"


def calibration_sheet(found: Calibration) -> Sheet:
    """What readings say of a bike.

    Parameters
    ----------
    found : Calibration
        As found.

    Returns
    -------
    Sheet
        What was learnt, what to look at again, what cannot be told apart, instruments, and every reading.
    """
    fit = found.posterior.fit
    doubts = tuple(remarks(found))
    changed = (Part("Changed before", tables=(changes_table(fit.bench.steps),)),) if fit.bench.steps else ()
    again = (Part("Look at these again", points=doubts),) if doubts else ()
    return Sheet(
        name=fit.bench.measured.name,
        word="look again" if doubts else "fitted",
        tone="marginal" if doubts else "sound",
        answer=_answer(found),
        points=_points(found),
        parts=(*changed, *again, _learnt(found), _apart(found), _loop(found), _tools(fit), *_readings(fit)),
    )


def calibration_figure(found: Calibration) -> Any:
    """Loop and deviations below one another, as a chart."""
    return stacked(
        *(part.drawing.draw(WIDE) for part in (_loop(found), *_readings(found.posterior.fit)) if part.drawing)
    )


def _answer(found: Calibration) -> str:
    before, after = (
        quantity_text(_PULL, each.peak.value, each.peak.u) for each in (found.loop.before, found.loop.after)
    )
    return f"Peak pull {after} at the finger by file and readings together; {before} by the file alone."


def _points(found: Calibration) -> tuple[str, ...]:
    fit, posterior = found.posterior.fit, found.posterior
    files = ", ".join(f"{name} ({fingerprint[:8]})" for name, fingerprint in fit.sources)
    scatter = f"{fit.misfit**0.5:.2f}"
    return (
        f"{len(fit.bench.readings)} readings from {files}, {len(fit.bench.names)} unknowns; every unknown starts from "
        "the bike file's own value and uncertainty.",
        f"The readings scatter about the fitted bike {scatter} times as much as their instruments let expect.",
        f"{len(posterior.scores)} possible bikes drawn, worth {round(posterior.effective)} independent ones.",
    )


def remarks(found: Calibration) -> Iterator[str]:
    """What should be looked at again, in sentences.

    Parameters
    ----------
    found : Calibration
        As found.

    Yields
    ------
    str
        Each with the numbers.
    """
    fit = found.posterior.fit
    if not found.posterior.sure:
        yield (
            f"The search or the sampling did not settle ({fit.reason}; {share(found.posterior.acceptance)} accepted, "
            f"worth {round(found.posterior.effective)}): do not rely on the uncertainties."
        )
    if fit.misfit > _MISFIT:
        yield (
            f"The readings scatter {fit.misfit**0.5:.1f} times more than their instruments let expect: were they worse "
            "than stated, or does the bike do what the model does not know?"
        )
    yield from _mistakes(fit)
    yield from _disagreeing(fit)
    for estimate in found.posterior.estimates:
        if abs(estimate.tension) > _STRAINED:
            yield (
                f"{_label(fit.bench, estimate.key)}: file and readings are "
                f"{abs(estimate.tension):.1f} standard uncertainties apart; was it measured wrong, or has it changed?"
            )
    for name in fit.at_bound:
        yield f"{_label(fit.bench, name)} stands at the end of the range that a bike file may hold."


def _mistakes(fit: Fit) -> Iterator[str]:
    rows = zip(fit.bench.readings, fit.predicted, fit.mistake_chances, strict=True)
    for reading, predicted, chance in rows:
        if chance > _MISTAKE:
            read, expected = (reading.said(value) for value in (reading.value, float(predicted)))
            yield (
                f"{_place(reading)}: read {read}, the fitted bike would show {expected}; a mistake with a chance of "
                f"{share(float(chance))}, so it hardly counts. Read it again."
            )


def _disagreeing(fit: Fit) -> Iterator[str]:
    """Repeats farther apart than even the doubt about their place lets expect, once in a hundred."""
    for reading, noise in zip(fit.bench.readings, fit.noise, strict=True):
        spread = max(reading.repeats) - min(reading.repeats)
        usual = math.hypot(reading.instrument.scatter, reading.instrument.rounding, math.sqrt(noise**2 - reading.u**2))
        if reading.disagree and spread > _APART * usual:
            yield (
                f"{_place(reading)}: repeats differ by {reading.said(spread)}; the scatter counts, and is not "
                "averaged away. Read it again."
            )


def _repeats(fit: Fit) -> Iterator[str]:
    """Every repeat that disagrees, a sentence for each kind of reading."""
    kinds: dict[tuple[str, str], list[str]] = {}
    for reading in fit.bench.readings:
        if reading.disagree:
            spread = reading.said(max(reading.repeats) - min(reading.repeats))
            step = f"{reading.instrument.name} ({reading.said(reading.instrument.resolution)})"
            kinds.setdefault((reading.label, step), []).append(
                f"{spread} at {reading.where}" if reading.where else spread
            )
    for (label, step), spreads in kinds.items():
        yield f"{label}: repeats differ by more than a step of the {step}, by {', '.join(spreads)}."


def _place(reading: Reading) -> str:
    return ", ".join(part for part in (reading.label, reading.where) if part)


def _label(bench: Bench, key: str) -> str:
    return find_key(key, bench.measured.choices).label


def _learnt(found: Calibration) -> Part:
    bench = found.posterior.fit.bench
    rows = sorted(found.posterior.estimates, key=lambda estimate: -estimate.learnt)
    columns = (
        Column("Unknown"),
        Column("File", number=True),
        Column("File and readings", number=True),
        Column("Learnt", number=True),
    )
    table = Table("What was learnt", columns, tuple(_row(bench, estimate) for estimate in rows), "Nothing.")
    sentence = "Learnt is the share of its variance that the readings took away; 0 % means that the file alone speaks."
    return Part("What was learnt", (sentence,), tables=(table,))


def _row(bench: Bench, estimate: Estimate) -> Row:
    before, after = (quantity_text(estimate.key, each.value, each.u) for each in (estimate.before, estimate.after))
    return Row((_label(bench, estimate.key), before, after, share(max(estimate.learnt, 0.0))), note=estimate.key)


def _apart(found: Calibration) -> Part:
    bench, told = found.posterior.fit.bench, found.separation
    points = [f"{_in_words(bench, group.words)}." for group in told.together]
    if told.alone:
        points.insert(0, f"Each by itself: {_listed(bench, told.alone)}.")
    if told.unseen:
        points.append(f"Not at all: {_listed(bench, told.unseen)}.")
    sentence = (
        f"Of {len(bench.names)} unknowns, and of the readings' own curvature alone, the file's knowledge left out."
    )
    return Part("What the readings can tell apart", (sentence,), points=tuple(points))


def _listed(bench: Bench, keys: Sequence[str]) -> str:
    return "; ".join(_label(bench, key) for key in keys)


def _in_words(bench: Bench, words: str) -> str:
    """The same words, with what each quantity is in place of its key."""
    keys = sorted(map(re.escape, bench.names), key=len, reverse=True)
    return re.sub("|".join(keys), lambda key: f'"{_label(bench, key.group())}"', words)


def _loop(found: Calibration) -> Part:
    words = "Pull and return of possible bikes by the file and with the readings, and what was read, less what the fit "
    words += "found of hook and scale."

    def draw(width: int) -> Any:
        return loop_picture(found.loop, before="by the bike file", after="with the readings", width=width)

    return Part("The loop", drawing=Drawing(draw, words))


def _tools(fit: Fit) -> Part:
    count = len(fit.bench.names)
    spreads = fit.covariance.diagonal()[count:] ** 0.5
    rows = []
    for term, score, spread in zip(fit.bench.terms, fit.mode[count:], spreads, strict=True):
        ending = "" if term.gain else shown_ending(term.dimension)
        found, doubt = (float(each * term.u) / si_factor(ending) for each in (score, spread))
        what = "gain, share" if term.gain else "zero"
        rows.append(Row((f"{term.instrument}: {what}", quantity_text(ending, found, doubt))))
    columns = (Column("Instrument"), Column("Off by", number=True))
    return Part("Instruments", tables=(Table("Instruments", columns, tuple(rows), "None shares an error."),))


def _readings(fit: Fit) -> Iterator[Part]:
    columns = (
        Column("Reading"),
        Column("Read", number=True),
        Column("Fitted", number=True),
        Column("Off", number=True),
    )
    rows = tuple(
        Row((_place(reading), reading.said(reading.value), reading.said(float(predicted)), f"{distance:+.1f} u"))
        for reading, predicted, distance in zip(fit.bench.readings, fit.predicted, fit.residuals, strict=True)
    )
    dots = [
        Deviation(reading.label, reading.where, float(distance), bool(chance > _MISTAKE))
        for reading, distance, chance in zip(fit.bench.readings, fit.residuals, fit.mistake_chances, strict=True)
    ]

    def draw(width: int) -> Any:
        return deviations("Readings against the fitted bike", dots, width=width)

    words = "Each reading less what the fitted bike would show, in standard uncertainties of the reading."
    yield Part(
        "Every reading",
        points=tuple(_repeats(fit)),
        tables=(Table("Every reading", columns, rows),),
        drawing=Drawing(draw, words),
    )


def calibration_to_json(found: Calibration) -> dict[str, Any]:
    """What readings say of a bike as data for programs.

    Parameters
    ----------
    found : Calibration
        As found.

    Returns
    -------
    dict
        Strictly valid JSON; values in the units of their keys, readings in the unit that their key names.
    """
    posterior, fit = found.posterior, found.posterior.fit
    peaks = {
        name: {"value": each.peak.value, "u": each.peak.u}
        for name, each in (("before", found.loop.before), ("after", found.loop.after))
    }
    return finite(
        {
            "schema": SCHEMA,
            "tool": {"name": "clutchwright", "version": __version__},
            "name": fit.bench.measured.name,
            "changes": [str(step) for step in fit.bench.steps],
            "files": [{"name": name, "sha256": fingerprint} for name, fingerprint in fit.sources],
            "sure": posterior.sure,
            "misfit": fit.misfit,
            "freedom": fit.freedom,
            "pull_peak_N": peaks,
            "remarks": list(remarks(found)),
            "estimates": [_estimate(estimate) for estimate in posterior.estimates],
            "correlation": {
                "keys": list(posterior.correlation.keys),
                "matrix": posterior.correlation.matrix.tolist(),
            },
            "apart": {
                "alone": list(found.separation.alone),
                "together": [group.words for group in found.separation.together],
                "unseen": list(found.separation.unseen),
            },
            "readings": _readings_data(fit),
        }
    )


def _readings_data(fit: Fit) -> list[dict[str, Any]]:
    rows = zip(fit.bench.readings, fit.predicted, fit.residuals, fit.mistake_chances, strict=True)
    return [
        {
            "kind": reading.name,
            "at": reading.where,
            f"read{reading.ending if reading.dimension else ''}": reading.shown(reading.value),
            f"fitted{reading.ending if reading.dimension else ''}": reading.shown(float(predicted)),
            "distance": float(distance),
            "mistake": float(chance),
            "repeats_disagree": reading.disagree,
        }
        for reading, predicted, distance, chance in rows
    ]


def _estimate(estimate: Estimate) -> dict[str, Any]:
    return {
        "key": estimate.key,
        "before": {"value": estimate.before.value, "u": estimate.before.u, "origin": estimate.before.origin},
        "after": {"value": estimate.after.value, "u": estimate.after.u, "origin": estimate.after.origin},
        "shift": estimate.shift,
        "learnt": estimate.learnt,
        "tension": estimate.tension,
    }
