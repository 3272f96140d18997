"""Units of the sources, in SI."""

import math

MM = 1e-3
INCH = 25.4e-3
LBF = 4.4482216152605
PSI = LBF / INCH**2
KPSI = 1e3 * PSI
MPA = 1e6
GPA = 1e9
RPM = 2.0 * math.pi / 60.0
LBF_IN = LBF * INCH
LBF_FT = LBF * 12.0 * INCH
POUND = 0.45359237
