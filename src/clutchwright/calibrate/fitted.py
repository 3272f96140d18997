"""What a fit found: most likely values, how sure they are, and how well the readings agree."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from clutchwright.calibrate.bench import Bench
from clutchwright.calibrate.noise import mistake_chance
from clutchwright.quantity import Array


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """Most likely values, and how sure they are where the posterior is taken as normal.

    Parameters
    ----------
    bench : Bench
        Bike, readings and unknowns.
    sources : tuple of (str, str)
        Names and fingerprints of the files read.
    noise : Array
        Standard uncertainty of each reading, that of its place included [SI].
    bounds : tuple of Array
        Least and greatest scores allowed [-].
    mode : Array
        Most likely scores [-], shape (size,).
    slopes : Array
        There, change of each reading per score, in its standard uncertainty [-], shape (readings, size).
    covariance : Array
        Of the scores there [-], Gauss-Newton, prior included.
    converged : bool
        Whether the search ended at a minimum.
    reason : str
        Why it ended.
    """

    bench: Bench
    sources: tuple[tuple[str, str], ...]
    noise: Array
    bounds: tuple[Array, Array]
    mode: Array
    slopes: Array
    covariance: Array
    converged: bool
    reason: str

    @property
    def predicted(self) -> Array:
        """What the fitted bike and instruments would have shown [SI], shape (readings,)."""
        return self.bench.predict(self.mode[np.newaxis])[0]

    @property
    def residuals(self) -> Array:
        """What was read less that, in standard uncertainties of the reading [-]."""
        return (self.bench.values - self.predicted) / self.noise

    @property
    def mistake_chances(self) -> Array:
        """Chance that each reading is a gross mistake [-]."""
        return mistake_chance(self.residuals**2)

    @property
    def at_bound(self) -> tuple[str, ...]:
        """Lots that stand at the end of their range."""
        low, high = self.bounds
        stuck = (self.mode < low + 1e-3) | (self.mode > high - 1e-3)
        return tuple(name for name, stands in zip(self.bench.names, stuck, strict=False) if stands)

    @property
    def freedom(self) -> float:
        """Readings less what the fit spent on them [-]: trace of I - J C J^T."""
        spent = np.einsum("ij,jk,ik->", self.slopes, self.covariance, self.slopes)
        return float(len(self.bench.readings) - spent)

    @property
    def misfit(self) -> float:
        """Sum of squared residuals per degree of freedom [-], mistakes left out; about 1 where the model fits."""
        good = 1.0 - self.mistake_chances
        freedom = self.freedom - float(np.sum(1.0 - good))
        return float(np.sum(good * self.residuals**2)) / freedom if freedom > 0.0 else float("nan")
