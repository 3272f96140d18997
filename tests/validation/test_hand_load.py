"""Endurance, acceptable effort, strain scores and fatigue against published numbers and against one another.

Left out, since they need a formula this project does not have: the strain index of 1995, EN 1005-3, ISO 11228-3,
MIL-STD-1472, cumulative damage.
"""

import math

import numpy as np
import pytest

from clutchwright.hand.acceptable import acceptable_effort
from clutchwright.hand.endurance import disagreement, frey_law_avin, manenica, three_compartments_2012
from clutchwright.hand.fatigue import GRIP_2012, fatigue
from clutchwright.hand.strain import (
    activity_action_limit,
    activity_limit,
    duration_multiplier,
    frequency_multiplier,
    hand_activity,
    hours_multiplier,
    intensity_multiplier,
)
from tests.validation.hand_rows import Row, check, rows

GARG = "Garg, Moore & Kapellusch 2017, Ergonomics 60:912, branches meet"
RADWIN = "Radwin 2015, Ergonomics 58:173, against the rounded ACGIH table (cells from memory)"
ACGIH = "ACGIH 2018, hand activity limit"


def hour_of_pulls(effort: float, duty: float) -> float:
    """Fatigued share after an hour of the urban pulls, mean of a cycle's two ends."""
    period = 19.5
    durations = np.tile([duty * period, (1.0 - duty) * period], math.ceil(3600.0 / period))
    trace = fatigue(durations, np.tile([effort, 0.0], len(durations) // 2), GRIP_2012)
    return float(trace.fatigued[-2:].mean())


LOAD = [
    Row(
        "G4-10",
        "three compartments over the power law at 0.5",
        lambda: three_compartments_2012(0.5) / frey_law_avin(0.5),
        1.0,
        0.05,
        "Frey-Law 2012, J Biomech 45:1803, against Frey Law & Avin 2010, Ergonomics 53:109",
        "memory",
    ),
    Row(
        "G4-11",
        "exponential over the power law at 0.5",
        lambda: manenica(0.5) / frey_law_avin(0.5),
        1.0,
        0.05,
        "Manenica 1986 against Frey Law & Avin 2010, Ergonomics 53:109",
        "memory",
    ),
    Row(
        "G4-15",
        "power law at the critical force over 10.1 min held",
        lambda: frey_law_avin(0.189) / (10.1 * 60.0),
        1.0,
        0.35,
        "Kwak 2023, Eur J Appl Physiol, women; 10.1 +/- 2.7 min",
        "found",
    ),
    Row(
        "G4-24",
        "one second in eight hours may take all",
        lambda: acceptable_effort(1.0 / 28800.0),
        1.0,
        1e-9,
        "Potvin 2012, Hum Factors 54:175",
        "memory",
    ),
    Row(
        "G4-29",
        "fatigued share after an hour of pulls, 0.35 at 0.1641, against the closed form",
        lambda: hour_of_pulls(0.35, 0.1641),
        0.0348,
        0.003,
        "Looft 2018, J Biomech 77:16",
        "found",
    ),
    Row("G5-12", "intensity, just above 0.4", lambda: intensity_multiplier(0.4 + 1e-9), 5.024, 0.001, GARG, "found"),
    Row("G5-12 below", "intensity, at 0.4", lambda: intensity_multiplier(0.4), 5.024, 0.001, GARG, "found"),
    Row("G5-13", "pulls, just above 90/min", lambda: frequency_multiplier(1.5 + 1e-9), 22.6, 0.02, GARG, "found"),
    Row("G5-13 below", "pulls, 90/min", lambda: frequency_multiplier(1.5), 22.6, 0.02, GARG, "found"),
    Row("G5-14", "one pull, just above 60 s", lambda: duration_multiplier(60.0 + 1e-9), 19.05, 0.01, GARG, "found"),
    Row("G5-14 below", "one pull, 60 s", lambda: duration_multiplier(60.0), 19.05, 0.01, GARG, "found"),
    Row("G5-15", "eight hours", lambda: hours_multiplier(8 * 3600.0), 1.0, 0.001, GARG, "found"),
    Row("G5-21", "0.5 Hz, 50 %", lambda: hand_activity(0.5, 0.50), 5.0, 0.5, RADWIN, "found"),
    Row("G5-22", "1 Hz, 30 %", lambda: hand_activity(1.0, 0.30), 5.0, 0.5, RADWIN, "found"),
    Row("G5-23", "2 Hz, 90 %", lambda: hand_activity(2.0, 0.90), 8.0, 0.5, RADWIN, "found"),
    Row("G5-24", "0.125 Hz, 10 %", lambda: hand_activity(0.125, 0.10), 1.0, 0.5, RADWIN, "found"),
    Row("G5-27", "limit at level 1", lambda: activity_limit(1.0), 5.04, 1e-9, ACGIH, "found"),
    Row("G5-28", "action limit at level 1", lambda: activity_action_limit(1.0), 3.04, 1e-9, ACGIH, "found"),
    Row(
        "G5-29",
        "limit of 2018 at level 4 is the action limit of 2001, 0.56 (10 - HAL)",
        lambda: activity_limit(4.0),
        3.36,
        1e-9,
        "ACGIH 2018 against 2001",
        "found",
    ),
]


@rows(LOAD)
def test_published_numbers_about_load(row):
    check(row)


@pytest.mark.parametrize("effort", [0.3, 0.4, 0.5, 0.6, 0.7, 0.8])
def test_rival_endurance_models_disagree_as_stated(effort):
    """The stated spread of the rival models, 1.5 to 2.3 times (to one decimal); derived from formulas from memory."""
    assert 1.5 <= round(disagreement(effort), 1) <= 2.3
