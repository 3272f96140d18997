"""The fit: values of a bike's quantities that its readings and its file together make most likely."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from clutchwright.bikefile import MeasuredBike, find_key
from clutchwright.bikefile.measured import lot
from clutchwright.calibrate.bench import Bench, bench
from clutchwright.calibrate.fitted import Fit
from clutchwright.calibrate.least_squares import Loss, Minimum, covariance, minimise
from clutchwright.calibrate.noise import bounded_loss, loss
from clutchwright.calibrate.plausible import check_after, check_before
from clutchwright.changes import Step
from clutchwright.quantity import Array
from clutchwright.readings import Readings
from clutchwright.study.tolerance import score

# No score is looked for beyond this many standard uncertainties [-]; nor beyond the range of the bike file's key.
FARTHEST = 8.0
# Relative change of the sum of squares that ends the first and the second search [-].
_ROUGH, _FINE = 1e-2, 1e-5
_SHORT = 5e-2, 1e-3


def fit(measured: MeasuredBike, files: Sequence[Readings], steps: Sequence[Step] = ()) -> Fit:
    """Fit a bike to readings.

    Parameters
    ----------
    measured : MeasuredBike
        As filed before these readings; its uncertainties are the prior.
    files : sequence of Readings
        What was read.
    steps : sequence of Step
        Changes that were made to it before the readings were taken.

    Returns
    -------
    Fit
        See there.

    Raises
    ------
    InputError
        For readings that this bike cannot have shown, or that went into its file already.
    Refusal
        Where a change cannot be done.

    Notes
    -----
    The first search bounds what one reading can pull; from where it ends the second uses the whole noise model, with
    the doubt about places taken there.
    """
    readings = [reading for file in files for reading in file.readings]
    about = bench(measured, readings, steps)
    check_before(about, files)
    found = fit_bench(about, tuple((file.name, file.fingerprint) for file in files))
    check_after(found, files)
    return found


def fit_bench(about: Bench, sources: tuple[tuple[str, str], ...], start: Array | None = None) -> Fit:
    """Fit a bench, whatever its readings are like.

    Parameters
    ----------
    about : Bench
        Bike and readings.
    sources : tuple of (str, str)
        Names and fingerprints of the files read.
    start : Array | None
        Scores where the search begins [-], shape (size,), from a fit of much the same bench: then a shorter search will
        do, whose log density is good to some hundredths; 0 when None.

    Returns
    -------
    Fit
        See there.
    """
    bounds = _bounds(about)
    begin = np.zeros(about.size) if start is None else np.clip(start, bounds[0] + 1e-6, bounds[1] - 1e-6)
    far, near = (_ROUGH, _FINE) if start is None else _SHORT
    rough = _search(about, about.noise(begin), begin, bounds, bounded_loss, far)
    noise = about.noise(rough.parameters)
    found = _search(about, noise, rough.parameters, bounds, loss, near)
    count = len(about.readings)
    slopes, weights = found.jacobian[:count], loss(found.residuals[:count] ** 2)[1]
    weighted = np.concatenate([slopes * np.sqrt(weights)[:, np.newaxis], np.eye(about.size)])
    return Fit(
        bench=about,
        sources=sources,
        noise=noise,
        bounds=bounds,
        mode=found.parameters,
        slopes=slopes,
        covariance=covariance(weighted),
        converged=found.converged,
        reason=found.reason,
    )


def _search(
    about: Bench, noise: Array, start: Array, bounds: tuple[Array, Array], bend: Loss, tolerance: float
) -> Minimum:
    """Least loss of the readings and least squares of the scores, which is their prior."""
    count = len(about.readings)

    def residuals(scores: Array) -> Array:
        off = (about.predict(scores[np.newaxis])[0] - about.values) / noise
        return np.concatenate([off, scores])

    def slopes(scores: Array) -> Array:
        return np.concatenate([about.slopes(scores) / noise[:, np.newaxis], np.eye(about.size)])

    def bent(squares: Array) -> Array:
        prior = squares[count:]
        plain = np.stack([prior, np.ones_like(prior), np.zeros_like(prior)])
        return np.concatenate([bend(squares[:count]), plain], axis=-1)

    return minimise(residuals, start, jacobian=slopes, bounds=bounds, loss=bent, tolerance=tolerance)


def _bounds(about: Bench) -> tuple[Array, Array]:
    """Least and greatest scores that keep every value in the range of its key; correlated ones are not bound so."""
    high = np.full(about.size, FARTHEST)
    low = -high
    for key, quantity in about.quantities.items():
        if lot(key) in about.measured.correlation.keys:
            continue
        place = about.names.index(lot(key))
        least, most = (score(quantity, key, limit) for limit in find_key(key, about.measured.choices).limits)
        low[place], high[place] = max(low[place], least), min(high[place], most)
    return low, high


def log_density(found: Fit, scores: Array) -> Array:
    """Log of the posterior density, up to a constant.

    Parameters
    ----------
    found : Fit
        The fit.
    scores : Array
        Standard normal scores [-], shape (samples, size).

    Returns
    -------
    Array
        [-], shape (samples,); minus infinity outside the bounds.
    """
    low, high = found.bounds
    off = (found.bench.predict(scores) - found.bench.values) / found.noise
    density = -0.5 * (np.sum(loss(off**2)[0], axis=-1) + np.sum(scores**2, axis=-1))
    inside = np.all((scores >= low) & (scores <= high), axis=-1) & np.isfinite(density)
    return np.where(inside, density, -np.inf)
