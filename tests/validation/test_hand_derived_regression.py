"""Regressions: arithmetic on published formulas, done outside this project. They show that a formula is typed as its
source has it; they are not measurements. ``memory`` says that the formula itself was recalled.
"""

import numpy as np

from clutchwright.hand.acceptable import (
    acceptable_effort,
    greatest_duty,
    mean_effort_share,
    rest_needed,
    rohmert_rest,
)
from clutchwright.hand.condition import swollen_knuckles_loss
from clutchwright.hand.endurance import frey_law_avin, manenica, rohmert
from clutchwright.hand.estimate import Estimate
from clutchwright.hand.fatigue import GENERAL_2012, GRIP, GRIP_2012, fatigue_plateau, holding_time
from clutchwright.hand.fingers import FINGER_SHARES, share
from clutchwright.hand.norms import KILOGRAM_FORCE
from clutchwright.hand.riding import CYCLE_DISTANCE, CYCLE_PULLS, RIDINGS
from clutchwright.hand.span import HAND_SPANS, optimum_span, span_factor
from clutchwright.hand.strain import (
    hand_activity,
    intensity_multiplier,
    peak_force_index,
    posture_multiplier,
    revised_strain_index,
)
from clutchwright.hand.strength import norm_deviate, norm_grip, norm_spread
from tests.validation.hand_rows import Row, check, rows

TOMKINSON = "Tomkinson 2025, J Sport Health Sci 14:101014, Table 2"
FRANSSON = "Fransson & Winkel 1991, Ergonomics 34:881"
SHARES = "MacDermid 2004; Li 2002; Lee 2009; Amis 1987"
ROHMERT = "Rohmert 1960, as in El Ahrache 2006"
POWER = "Frey Law & Avin 2010, Ergonomics 53:109"
POTVIN = "Potvin 2012, Hum Factors 54:175"
GARG = "Garg, Moore & Kapellusch 2017, Ergonomics 60:912"
CYCLE = "UN/ECE urban driving cycle, R83/R40, Table 1"
HOUR = 3600.0


def median_kgf(sex: str, age: int) -> float:
    return float(norm_grip(sex, age)) / KILOGRAM_FORCE


def two_finger_shares() -> list[float]:
    return [(study[0] + study[1]) / sum(study) for study in FINGER_SHARES.values()]


def strain(effort: float, hours: float) -> float:
    return revised_strain_index(
        effort=effort, rate=10 / 195, hold=3.2, wrist_extension=np.deg2rad(20), time=hours * HOUR
    )


PEOPLE = [
    Row("G1-02", "women 65-69, median [N]", lambda: norm_grip("woman", 67), 245.2, 0.1, TOMKINSON, "derived"),
    Row("G1-03", "women 65-69, 5 % [N]", lambda: norm_grip("woman", 67, 5), 140.2, 0.1, TOMKINSON, "derived"),
    Row("G1-04", "men 65-69, 95 % [N]", lambda: norm_grip("man", 67, 95), 557.0, 0.1, TOMKINSON, "derived"),
    Row(
        "G1-06",
        "men 65-69, SD [kgf]",
        lambda: norm_spread("man", 67) / KILOGRAM_FORCE,
        10.06,
        0.01,
        TOMKINSON,
        "derived",
    ),
    Row(
        "G1-07",
        "women 65-69, z of 20 kgf",
        lambda: norm_deviate("woman", 67, 20 * KILOGRAM_FORCE),
        -0.766,
        0.002,
        TOMKINSON,
        "derived",
    ),
    Row(
        "G1-08",
        "women over men, 65-69",
        lambda: median_kgf("woman", 67) / median_kgf("man", 67),
        0.623,
        0.001,
        TOMKINSON,
        "derived",
    ),
    Row(
        "G1-09",
        "men, loss from 30-34 to 65-69",
        lambda: 1 - median_kgf("man", 67) / median_kgf("man", 32),
        0.193,
        0.001,
        TOMKINSON,
        "derived",
    ),
    Row(
        "G1-10",
        "women, loss from 30-34 to 65-69",
        lambda: 1 - median_kgf("woman", 67) / median_kgf("woman", 32),
        0.158,
        0.001,
        TOMKINSON,
        "derived",
    ),
    Row("G2-06", "70 mm, best 55 mm", lambda: span_factor(0.070, 0.055), 0.85, 1e-6, FRANSSON, "derived"),
    Row("G2-07", "80 mm, best 55 mm", lambda: span_factor(0.080, 0.055), 0.75, 1e-6, FRANSSON, "derived"),
    Row("G2-08", "90 mm, best 55 mm", lambda: span_factor(0.090, 0.055), 0.65, 1e-6, FRANSSON, "derived"),
    Row("G2-09", "100 mm, best 55 mm", lambda: span_factor(0.100, 0.055), 0.55, 1e-6, FRANSSON, "derived"),
    Row("G2-10", "80 mm, best 60 mm", lambda: span_factor(0.080, 0.060), 0.80, 1e-6, FRANSSON, "derived"),
    Row("G2-11", "100 mm, best 60 mm", lambda: span_factor(0.100, 0.060), 0.60, 1e-6, FRANSSON, "derived"),
    Row("G2-17", "index and middle, four studies", lambda: share(("index", "middle")), 0.608, 0.002, SHARES, "derived"),
    Row("G2-18", "their SD", lambda: np.std(two_finger_shares(), ddof=1), 0.030, 0.002, SHARES, "derived"),
    Row(
        "G6-26",
        "best span of women's mean hand [cm]",
        lambda: 100 * optimum_span("woman", HAND_SPANS["woman"]).value,
        5.02,
        0.01,
        "MASS::survey; Ruiz-Ruiz 2002",
        "derived",
    ),
    Row(
        "G6-27",
        "best span of women's smallest 5 % [cm]",
        lambda: 100 * optimum_span("woman", Estimate(0.155, 0.0, "", "measured")).value,
        4.6,
        0.02,
        "MASS::survey; Ruiz-Ruiz 2002",
        "derived",
    ),
    Row(
        "G7-06",
        "three swollen knuckles [% points]",
        lambda: 100 * swollen_knuckles_loss(3).value,
        8.4,
        1e-9,
        "Rydholm 2019, Rheumatol Int 39",
        "derived",
    ),
]

ENDURANCE = [
    Row("G4-01", "0.5 [s]", lambda: rohmert(0.5), 66.0, 0.01, ROHMERT, "memory"),
    Row("G4-02", "0.2 [s]", lambda: rohmert(0.2), 390.0, 0.01, ROHMERT, "memory"),
    Row("G4-04", "0.5 [s]", lambda: frey_law_avin(0.5), 102.4, 0.1, POWER, "memory"),
    Row("G4-05", "0.2 [s]", lambda: frey_law_avin(0.2), 447.8, 0.5, POWER, "memory"),
    Row("G4-06", "0.3 [s]", lambda: frey_law_avin(0.3), 233.1, 0.3, POWER, "memory"),
    Row("G4-07", "0.5 [s]", lambda: manenica(0.5), 105.0, 0.1, "Manenica 1986, as in El Ahrache 2006", "memory"),
    Row("G4-08", "0.5 [s]", lambda: holding_time(0.5, GRIP_2012), 105.5, 0.1, GRIP_2012.source, "memory"),
    Row("G4-09", "0.2 [s]", lambda: holding_time(0.2, GRIP_2012), 473.1, 0.5, GRIP_2012.source, "memory"),
    Row("G4-13", "0.5 [s]", lambda: holding_time(0.5, GENERAL_2012), 108.3, 0.1, GENERAL_2012.source, "derived"),
    Row("G4-14", "0.5 [s]", lambda: holding_time(0.5, GRIP), 85.75, 0.05, GRIP.source, "derived"),
    *(
        Row(name, f"duty {duty:g}", lambda duty=duty: acceptable_effort(duty), effort, 0.001, POTVIN, "memory")
        for name, duty, effort in (
            ("G4-16", 0.01, 0.669),
            ("G4-17", 0.05, 0.513),
            ("G4-18", 0.1, 0.425),
            ("G4-19", 0.1641, 0.352),
            ("G4-20", 0.25, 0.283),
            ("G4-22", 0.5, 0.153),
            ("G4-23", 0.9, 0.025),
        )
    ),
    Row("G4-25", "greatest duty at 0.4", lambda: greatest_duty(0.4), 0.1191, 0.0002, POTVIN, "memory"),
    Row(
        "G4-26", "rest after 5 s at 0.4 [s]", lambda: rest_needed(0.4, 5.0), 37.0, 0.1, "Gibson & Potvin 2016", "memory"
    ),
    Row("G4-27", "there and back", lambda: acceptable_effort(greatest_duty(0.35)), 0.35, 1e-9, POTVIN, "identity"),
    Row(
        "G4-28",
        "plateau of 0.35 at 0.1641",
        lambda: fatigue_plateau(0.35, 0.1641, GRIP_2012),
        0.0348,
        0.0003,
        "Looft 2018, J Biomech 77:16",
        "derived",
    ),
    Row(
        "G4-31",
        "rest over hold, 5 s at 0.4",
        lambda: rohmert_rest(0.4, 5.0) / 5.0,
        0.149,
        0.001,
        "Rohmert 1973, Appl Ergon 4:158",
        "memory",
    ),
    Row(
        "G4-32",
        "mean effort of 0.35 at 0.1641 over its limit",
        lambda: mean_effort_share(0.35, 0.1641),
        0.338,
        0.001,
        "Bystrom & Fransson-Hall 1994, Hum Factors 36:158",
        "memory",
    ),
]

STRAIN = [
    *(
        Row(
            name,
            f"intensity {effort:g}",
            lambda effort=effort: intensity_multiplier(effort),
            value,
            0.002,
            GARG,
            "derived",
        )
        for name, effort, value in (
            ("G5-06", 0.1, 1.574),
            ("G5-08", 0.3, 3.706),
            ("G5-09", 0.5, 6.7),
            ("G5-10", 0.7, 11.51),
            ("G5-11", 1.0, 25.61),
        )
    ),
    Row("G5-17", "flexion 30", lambda: posture_multiplier(np.deg2rad(-30)), 1.372, 0.001, GARG, "derived"),
    Row("G5-18", "extension 50", lambda: posture_multiplier(np.deg2rad(50)), 1.112, 0.001, GARG, "derived"),
    Row("G5-19", "0.35 for one hour", lambda: strain(0.35, 1), 2.814, 0.003, GARG, "derived"),
    Row("G5-20", "0.66 for four hours", lambda: strain(0.66, 4), 9.97, 0.02, GARG, "derived"),
    Row(
        "G5-26",
        "activity of the urban cycle",
        lambda: hand_activity(10 / 195, 0.1641),
        0.352,
        0.001,
        "Radwin 2015, Ergonomics 58:173",
        "derived",
    ),
    Row("G5-30", "0.66 at that activity", lambda: peak_force_index(0.66, 0.352), 1.221, 0.002, "ACGIH 2018", "derived"),
]

RIDING = [
    Row("G9-04", "pulls an hour", lambda: RIDINGS["town"].rate * HOUR, 184.6, 0.1, CYCLE, "derived"),
    Row("G9-05", "pulls a kilometre", lambda: CYCLE_PULLS / (CYCLE_DISTANCE / 1e3), 9.87, 0.01, CYCLE, "derived"),
    Row("G9-06", "duty, neutral", lambda: RIDINGS["town_neutral"].duty, 0.0872, 1e-4, CYCLE, "derived"),
    Row(
        "G9-07", "duty, 5 s in gear", lambda: RIDINGS["town"].duty, 0.1641, 1e-4, CYCLE + "; 5 s from memory", "derived"
    ),
    Row("G9-08", "duty, held", lambda: RIDINGS["town_held"].duty, 0.3949, 1e-4, CYCLE, "derived"),
    Row(
        "G9-09",
        "acceptable, neutral",
        lambda: acceptable_effort(RIDINGS["town_neutral"].duty),
        0.443,
        0.001,
        f"{CYCLE}; {POTVIN}",
        "memory",
    ),
    Row(
        "G9-10",
        "acceptable, held",
        lambda: acceptable_effort(RIDINGS["town_held"].duty),
        0.200,
        0.001,
        f"{CYCLE}; {POTVIN}",
        "memory",
    ),
]


@rows([*PEOPLE, *ENDURANCE, *STRAIN, *RIDING])
def test_arithmetic_on_published_formulas(row):
    check(row)
