"""Use cases of the bench: readings in, a calibrated bike out, what is wrong with it, predicted against read."""

from __future__ import annotations

from collections.abc import Sequence
from importlib import resources
from pathlib import Path

import numpy as np

from clutchwright import bikefile, changes, readings
from clutchwright.calibrate import Calibration, Comparison, calibrate, compare
from clutchwright.calibrate.diagnosis import Diagnosis, diagnose
from clutchwright.calibrate.posterior import fitted_rows
from clutchwright.errors import InputError
from clutchwright.files import read_bytes
from clutchwright.usecases import DEMOS

_CALIBRATED = ", calibrated"


def read_text(path: Path) -> str:
    """Text of a file that the user named [path]; raises `InputError`."""
    return bikefile.decode(read_bytes(path), str(path))


def read_readings(paths: Sequence[Path]) -> tuple[readings.Readings, ...]:
    """Read files of readings [paths]; raises `InputError` with file, line, column and what to do."""
    return tuple(readings.loads(read_bytes(path), str(path)) for path in paths)


def demo_readings(name: str = DEMOS[0]) -> bytes:
    """Invented readings of a demo bike whose cable has run dry, as a file's content; only the first has them."""
    if name != DEMOS[0]:
        raise InputError("demo", name, f"there are readings for {DEMOS[0]} only")
    return resources.files("clutchwright").joinpath("demo", "readings", f"{name}.csv").read_bytes()


def fit_bike(
    bike: bikefile.MeasuredBike,
    files: Sequence[readings.Readings],
    steps: Sequence[changes.Step] = (),
    *,
    seed: int = 1,
) -> Calibration:
    """Fit a bike to readings.

    Parameters
    ----------
    bike : MeasuredBike
        The bike as filed.
    files : sequence of Readings
        What was read.
    steps : sequence of Step
        Changes made before the readings were taken.
    seed : int
        Seed of the draw [-].

    Returns
    -------
    Calibration
        See there.
    """
    return calibrate(bike, files, steps, np.random.default_rng(seed))


def compare_readings(
    bike: bikefile.MeasuredBike,
    files: Sequence[readings.Readings],
    steps: Sequence[changes.Step] = (),
    *,
    seed: int = 1,
) -> Comparison:
    """Hold readings against what a bike file predicts; parameters as in `fit_bike`."""
    return compare(bike, files, steps, np.random.default_rng(seed))


def diagnose_bike(
    bike: bikefile.MeasuredBike,
    files: Sequence[readings.Readings],
    steps: Sequence[changes.Step] = (),
    *,
    seed: int = 1,
) -> Diagnosis:
    """Find what is wrong with a bike, the file saying what it is when healthy; parameters as in `fit_bike`."""
    return diagnose(bike, files, steps, np.random.default_rng(seed))


def calibrated_text(text: str, found: Calibration, source: str) -> str:
    """Text of the calibrated bike's file.

    Parameters
    ----------
    text : str
        Text of the file that was fitted; its comments and layout stay.
    found : Calibration
        What its readings say.
    source : str
        What to call the new file in messages.

    Returns
    -------
    str
        TOML, with fitted values, the readings' fingerprints and the correlation, and a name that says so; checked.

    Raises
    ------
    InputError
        Where the fitted values do not make a bike that can be filed.
    """
    name = found.posterior.fit.bench.measured.name
    text = bikefile.set_name(text, name if name.endswith(_CALIBRATED) else f"{name}{_CALIBRATED}")
    for estimate in found.posterior.estimates:
        text = bikefile.set_value(text, estimate.key, estimate.after)
    for key, rows in fitted_rows(found.posterior).items():
        text = bikefile.set_value(text, key, rows)
    bikefile.loads(text, source)
    return text
