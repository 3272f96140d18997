"""Readings that a bike cannot have shown: wrong unit, swapped columns, a zero that was not taken off, used twice."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from clutchwright.calibrate.bench import Bench
from clutchwright.calibrate.fitted import Fit
from clutchwright.errors import InputError
from clutchwright.quantity import Array, si_factor
from clutchwright.readings import PAIRS, Readings
from clutchwright.readings.kinds import shown_ending, shown_unit

# What a column reads too low by, when it holds another unit than its header says: dimension to factor and advice.
_OTHER_UNITS: Mapping[str, tuple[tuple[float, str], ...]] = {
    "force": (
        (9.80665, "kilograms; end the column's name in _kg"),
        (1.0 / 9.80665, "newtons; end the column's name in _N"),
        (4.448222, "pounds; convert them, 1 lbf is 4.448 N"),
        (2.204623, "pounds in a column of kilograms; convert them, 1 lb is 0.4536 kg"),
    ),
    "length": ((10.0, "centimetres; convert them"), (25.4, "inches; convert them"), (1000.0, "metres; convert them")),
    "angle": ((180.0 / math.pi, "radians; convert them"),),
    "torque": ((9.80665, "kilogram-metres; convert them"), (1.355818, "foot-pounds; convert them, 1 is 1.356 N m")),
}
# How far off a column must be before another unit is thought of, and how near it must then come [ln of the factor].
_FAR, _NEAR = math.log(1.7), math.log(1.25)
# No fault moves a column so far [ln of the factor]; own judgement.
_NO_FAULT = math.log(6.0)
# Centimetres and inches in a column of places in millimetres.
_OTHER_PLACES = ((10.0, "centimetres"), (25.4, "inches"))
# Beyond this many standard uncertainties a column may hold another unit; a force at rest shows a lost zero; and a value
# does not belong to this bike, or all readings together show a lost zero.
_UNLIKE, _AT_REST, _BEYOND = 3.0, 4.0, 5.0
# Squared misfit per degree of freedom, and share of mistakes, beyond which the readings are of another bike.
_WORST_MISFIT, _MOST_MISTAKES = 16.0, 0.4


def check_before(about: Bench, files: Sequence[Readings]) -> None:
    """Refuse readings that this bike cannot have shown.

    Parameters
    ----------
    about : Bench
        Bike and readings.
    files : sequence of Readings
        Where they came from.

    Raises
    ------
    InputError
        With file, line, what was read and what to do.
    """
    _check_once(about, files)
    _check_stroke(about, files)
    _check_units(about, files)
    _check_rest(about, files)
    for number, reading in enumerate(about.readings):
        if reading.name in about.measured.quantities and about.measured.quantities[reading.name].u == 0.0:
            allowed = "stands in the bike file as exact (u = 0), so no reading can change it; give it a u there"
            raise InputError(reading.name, None, allowed, _place(files, number))


def check_gross(about: Bench, files: Sequence[Readings]) -> None:
    """Refuse columns of another unit that this bike cannot have shown, whatever is wrong with it.

    Parameters
    ----------
    about : Bench
        The healthy bike and its readings.
    files : sequence of Readings
        Where they came from.

    Raises
    ------
    InputError
        With file, line, what was read and what to do.
    """
    _check_units(about, files, _NO_FAULT)


def _place(files: Sequence[Readings], number: int) -> str:
    """File and line of a reading."""
    for file in files:
        if number < len(file.readings):
            return f"{file.source}: line {file.readings[number].line}"
        number -= len(file.readings)
    return ""


def _check_once(about: Bench, files: Sequence[Readings]) -> None:
    used = {str(fingerprint) for _, fingerprint in about.measured.curves.get("fitted.readings", ())}
    for file in files:
        if file.fingerprint in used:
            allowed = "went into this bike file already, and would count twice; start from the file before that fit"
            raise InputError("readings", None, allowed, file.source)
        used.add(file.fingerprint)


def _check_stroke(about: Bench, files: Sequence[Readings]) -> None:
    """Refuse a finger travel beyond the lever's stop, the doubt about both left out."""
    rest, stop = (about.measured.quantities[f"lever.{name}_span_mm"] for name in ("rest", "stop"))
    full = (rest.value - stop.value) * 1e-3
    doubt = math.hypot(rest.u, stop.u) * 1e-3
    for number, reading in enumerate(about.readings):
        travels = [reading.at] if reading.position == "travel" else []
        travels += [reading.value] if reading.name.startswith("bite_") else []
        for travel in travels:
            if travel > full + _BEYOND * math.hypot(doubt, reading.at_u):
                allowed = (
                    f"{travel * 1e3:.4g} mm is beyond the lever's stop, {full * 1e3:.4g} mm by the bike file; are two "
                    "columns swapped, or is it another unit or another bike?"
                )
                raise InputError("travel", None, allowed, _place(files, number))


def _check_units(about: Bench, files: Sequence[Readings], far: float = _FAR) -> None:
    """Refuse a column that is off by the factor of another unit, or whose places are; not one that is less far off."""
    start = np.zeros(about.size)
    predicted, slopes = about.predict(start[np.newaxis])[0], about.slopes(start)
    for rows in _columns(about):
        reading, sum_read, sum_predicted = about.readings[rows[0]], np.sum(about.values[rows]), np.sum(predicted[rows])
        if reading.dimension not in _OTHER_UNITS or not (sum_read > 0.0 and sum_predicted > 0.0):
            continue
        off = math.log(sum_predicted / sum_read)
        doubt = float(np.linalg.norm(np.sum(slopes[rows], axis=0)) / sum_predicted)
        if abs(off) <= max(far, _UNLIKE * doubt):
            continue
        factor, advice = min(_OTHER_UNITS[reading.dimension], key=lambda other: abs(math.log(other[0]) - off))
        if abs(math.log(factor) - off) < max(_NEAR, doubt):
            read, expected = (float(np.mean(each[rows])) for each in (about.values, predicted))
            shown = f"{reading.shown(read):.3g} against {reading.shown(expected):.3g} {shown_unit(reading.dimension)}"
            allowed = f"reads {shown} on the mean, as if it held {advice}"
            raise InputError(reading.name, None, allowed, _place(files, rows[0]))
        _check_places(about, rows, _place(files, rows[0]))


def _check_places(about: Bench, rows: list[int], where: str) -> None:
    """Refuse travels that fit what was read there only once they are taken for another unit."""
    places = np.array([reading.at for reading in about.readings])
    position = about.readings[rows[0]].position
    if position != "travel":
        return
    for factor, unit in _OTHER_PLACES:
        elsewhere = about.predict(np.zeros((1, about.size)), shift=places * (factor - 1.0))[0]
        ratio = np.sum(elsewhere[rows]) / np.sum(about.values[rows])
        if ratio > 0.0 and abs(math.log(ratio)) < _NEAR:
            allowed = f"what was read there fits {unit}, not millimetres; convert them"
            raise InputError(position, None, allowed, where)


def _check_rest(about: Bench, files: Sequence[Readings]) -> None:
    """Refuse returns read within the free play, where nothing pulls, however dirty the cable, that show a force."""
    free = about.measured.quantities["lever.free_play_mm"]
    sure = (free.value - 2.0 * free.u) * 1e-3
    resting: dict[str, list[int]] = {}
    for number, reading in enumerate(about.readings):
        lets_out = reading.name in PAIRS.values() and reading.position == "travel"
        if lets_out and reading.at + 2.0 * reading.at_u < sure:
            resting.setdefault(reading.instrument.name, []).append(number)
    start = np.zeros(about.size)
    off, noise = about.values - about.predict(start[np.newaxis])[0], about.noise(start)
    slopes = about.slopes(start)
    for name, rows in resting.items():
        zero = float(np.mean(off[rows]))
        u = math.hypot(
            float(np.linalg.norm(np.mean(slopes[rows], axis=0))), math.sqrt(np.mean(noise[rows] ** 2) / len(rows))
        )
        if abs(zero) > _AT_REST * u:
            raise _lost_zero(name, "force", zero, _place(files, rows[0]))


def _lost_zero(instrument: str, dimension: str, zero: float, where: str) -> InputError:
    shown = f"{abs(zero) / si_factor(shown_ending(dimension)):.2g} {shown_unit(dimension)}"
    allowed = (
        f"its readings lie about {shown} too {'high' if zero > 0.0 else 'low'}, as if its zero had not been taken off; "
        "see what it shows with nothing on it, and correct them"
    )
    return InputError(instrument, None, allowed, where)


def _columns(about: Bench) -> Iterator[list[int]]:
    """Numbers of the readings that one instrument took along one kind of place: pull and return together.

    Friction moves the two apart, another unit moves them alike. Keys of the bike file have ranges of their own.
    """
    groups: dict[tuple[str, str, str], list[int]] = {}
    for number, reading in enumerate(about.readings):
        if "." not in reading.name:
            groups.setdefault((reading.instrument.name, reading.dimension, reading.position), []).append(number)
    yield from groups.values()


def tensions(found: Fit) -> Array:
    """How far each score is drawn from its prior, in standard uncertainties of both.

    Parameters
    ----------
    found : Fit
        The fit.

    Returns
    -------
    Array
        m/sqrt(1 - C) [-], m the most likely score and C its variance: of two normal estimates of one score, 0 with
        variance 1 and the readings' own, that make m and C together, the second is so far from the first; own
        derivation. 0 where the readings say nothing.
    """
    told = 1.0 - np.diag(found.covariance)
    return np.where(told > 1e-3, found.mode / np.sqrt(np.where(told > 1e-3, told, 1.0)), 0.0)


def check_after(found: Fit, files: Sequence[Readings]) -> None:
    """Refuse a fit whose readings do not belong to the bike, or whose instrument had lost its zero.

    Parameters
    ----------
    found : Fit
        The fit.
    files : sequence of Readings
        Where the readings came from.

    Raises
    ------
    InputError
        With what is most likely wrong.
    """
    source = ", ".join(file.source for file in files)
    drawn = np.abs(tensions(found))
    place = int(np.argmax(drawn)) - len(found.bench.names)
    if place >= 0 and np.max(drawn) > _BEYOND and not found.bench.terms[place].gain:
        term = found.bench.terms[place]
        variance = found.covariance[len(found.bench.names) + place, len(found.bench.names) + place]
        off = found.mode[len(found.bench.names) + place] / (1.0 - variance) * term.u
        raise _lost_zero(term.instrument, term.dimension, off, source)
    count = len(found.bench.readings)
    mistakes = int(np.sum(found.mistake_chances > 0.5))
    if mistakes > _MOST_MISTAKES * count or found.misfit > _WORST_MISFIT:
        allowed = (
            f"{mistakes} of {count} do not fit this bike at all; "
            "check columns and units, and whether it is the right bike file"
        )
        raise InputError("readings", None, allowed, source)
