"""Everything that readings say of a bike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from clutchwright.bikefile import MeasuredBike
from clutchwright.calibrate.fitting import fit
from clutchwright.calibrate.loop import Loop, loop_of_fit
from clutchwright.calibrate.posterior import Posterior, calibrated, posterior
from clutchwright.calibrate.separation import Separation, separation
from clutchwright.changes import Step
from clutchwright.readings import Readings


@dataclass(frozen=True, slots=True, eq=False)
class Calibration:
    """Everything that readings say of a bike.

    Parameters
    ----------
    posterior : Posterior
        Fit, and possible bikes that hang together.
    separation : Separation
        What the readings can tell apart.
    loop : Loop
        Pull and return before and after.
    bike : MeasuredBike
        The bike with fitted values, as it would be filed.
    """

    posterior: Posterior
    separation: Separation
    loop: Loop
    bike: MeasuredBike


def calibrate(
    measured: MeasuredBike, files: Sequence[Readings], steps: Sequence[Step], rng: np.random.Generator
) -> Calibration:
    """Fit a bike to readings and say what they tell.

    Parameters
    ----------
    measured : MeasuredBike
        As filed before these readings; its uncertainties are the prior.
    files : sequence of Readings
        What was read.
    steps : sequence of Step
        Changes that were made to it before the readings were taken.
    rng : numpy.random.Generator
        Source of randomness.

    Returns
    -------
    Calibration
        See there.

    Raises
    ------
    InputError
        For readings that this bike cannot have shown, or that went into its file already.
    Refusal
        Where a change cannot be done.
    """
    found = posterior(fit(measured, files, steps), rng)
    return Calibration(found, separation(found.fit), loop_of_fit(found, rng), calibrated(found))
