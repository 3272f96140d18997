"""From readings to a calibrated bike: the fit, what is known after it, what cannot be told apart, what a change did."""

from clutchwright.calibrate.calibration import Calibration, calibrate
from clutchwright.calibrate.comparison import Comparison, compare
from clutchwright.calibrate.fitted import Fit
from clutchwright.calibrate.fitting import fit
from clutchwright.calibrate.posterior import Posterior, posterior

__all__ = ["Calibration", "Comparison", "Fit", "Posterior", "calibrate", "compare", "fit", "posterior"]
