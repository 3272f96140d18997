"""The hand, regressions: arithmetic on published formulas, done outside this project.

They show that a formula is typed as its source has it; they are not measurements. ``memory``: the formula itself was
recalled.
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
from clutchwright.hand.day import possible_times
from clutchwright.hand.endurance import frey_law_avin, manenica, rohmert
from clutchwright.hand.estimate import Estimate
from clutchwright.hand.fatigue import GENERAL_2012, GRIP, GRIP_2012, fatigue_plateau, holding_time
from clutchwright.hand.fingers import share
from clutchwright.hand.norms import KILOGRAM_FORCE
from clutchwright.hand.riding import CYCLE_DISTANCE, CYCLE_TIME, own_riding, riding_by_key
from clutchwright.hand.span import optimum_span, span_factor
from clutchwright.hand.strain import (
    hand_activity,
    intensity_multiplier,
    peak_force_index,
    posture_multiplier,
    revised_strain_index,
)
from clutchwright.hand.strength import norm_deviate, norm_grip, norm_spread
from tests.validation.rows import Row

HAND = "clutchwright.hand"
TOMKINSON = "Tomkinson 2025, J Sport Health Sci 14:101014, Table 2"
FRANSSON = "Fransson & Winkel 1991, Ergonomics 34:881"
ROHMERT = "Rohmert 1960, as in El Ahrache 2006"
POWER = "Frey Law & Avin 2010, Ergonomics 53:109"
POTVIN = "Potvin 2012, Hum Factors 54:175"
RUIZ = "Ruiz-Ruiz 2002, J Hand Surg Am 27:897; MASS::survey"
GARG = "Garg, Moore & Kapellusch 2017, Ergonomics 60:912"
CYCLE = "UN/ECE urban driving cycle, R83/R40, Table 1"
HOUR = 3600.0


def median_kgf(sex, age):
    return norm_grip(sex, age) / KILOGRAM_FORCE


def loss_of_age(sex):
    return 1.0 - median_kgf(sex, 67) / median_kgf(sex, 32)


def optimum_cm(hand_span_cm):
    return 100.0 * optimum_span("woman", Estimate(hand_span_cm / 100.0, 0.0, "", "measured")).value


def strain(effort, hours):
    return revised_strain_index(
        effort=effort, rate=10 / 195, hold=3.2, wrist_extension=np.deg2rad(20.0), time=hours * HOUR
    )


def pulls_per_km():
    return riding_by_key("town").rate * CYCLE_TIME / (CYCLE_DISTANCE / 1e3)


def row(name, formula, inputs, printed, compute, source, confidence="derived", tolerance=None, reason=""):
    return Row(name, f"{HAND}.{formula}", inputs, printed, compute, source, confidence, tolerance, reason)


def holding(name, formula, effort, printed, compute, source, confidence="memory", tolerance=None, reason=""):
    return row(
        name, formula, f"effort {effort:g} [s]", printed, lambda: compute(effort), source, confidence, tolerance, reason
    )


PEOPLE = (
    row("G1-02", "strength.norm_grip", "women 65-69, median [N]", "245.2", lambda: norm_grip("woman", 67), TOMKINSON),
    row("G1-03", "strength.norm_grip", "women 65-69, 5 % [N]", "140.2", lambda: norm_grip("woman", 67, 5), TOMKINSON),
    row("G1-04", "strength.norm_grip", "men 65-69, 95 % [N]", "557", lambda: norm_grip("man", 67, 95), TOMKINSON),
    row(
        "G1-06",
        "strength.norm_spread",
        "men 65-69, SD [kgf]",
        "10.06",
        lambda: norm_spread("man", 67) / KILOGRAM_FORCE,
        TOMKINSON,
    ),
    row(
        "G1-07",
        "strength.norm_deviate",
        "women 65-69, z of 20 kgf",
        "-0.766",
        lambda: norm_deviate("woman", 67, 20 * KILOGRAM_FORCE),
        TOMKINSON,
    ),
    row(
        "G1-08",
        "strength.norm_grip",
        "women over men, 65-69",
        "0.623",
        lambda: median_kgf("woman", 67) / median_kgf("man", 67),
        TOMKINSON,
    ),
    row("G1-09", "strength.norm_grip", "men, lost 30-34 to 65-69", "0.193", lambda: loss_of_age("man"), TOMKINSON),
    row("G1-10", "strength.norm_grip", "women, lost 30-34 to 65-69", "0.158", lambda: loss_of_age("woman"), TOMKINSON),
    *(
        row(
            name,
            "span.span_factor",
            f"{span} mm, best {best} mm",
            printed,
            lambda span=span, best=best: span_factor(span / 1e3, best / 1e3),
            FRANSSON,
            tolerance=1e-6,
        )
        for name, span, best, printed in (
            ("G2-06", 70, 55, "0.85"),
            ("G2-07", 80, 55, "0.75"),
            ("G2-08", 90, 55, "0.65"),
            ("G2-09", 100, 55, "0.55"),
            ("G2-10", 80, 60, "0.80"),
            ("G2-11", 100, 60, "0.60"),
        )
    ),
    row(
        "G2-17",
        "fingers.share",
        "index and middle, mean of four studies",
        "0.608",
        lambda: share(("index", "middle")),
        "MacDermid 2004; Li 2002; Lee 2009; Amis 1987",
    ),
    row("G6-26", "span.optimum_span", "women's mean hand span, 17.6 cm [cm]", "5.02", lambda: optimum_cm(17.6), RUIZ),
    row("G6-27", "span.optimum_span", "women's smallest 5 %, 15.5 cm [cm]", "4.6", lambda: optimum_cm(15.5), RUIZ),
    row(
        "G7-06",
        "condition.swollen_knuckles_loss",
        "three swollen knuckles [% points]",
        "8.4",
        lambda: 100 * swollen_knuckles_loss(3).value,
        "Rydholm 2019, Rheumatol Int 39",
        tolerance=1e-9,
    ),
)

ENDURANCE = (
    holding("G4-01", "endurance.rohmert", 0.5, "66.0", rohmert, ROHMERT),
    holding("G4-02", "endurance.rohmert", 0.2, "390.0", rohmert, ROHMERT),
    holding("G4-04", "endurance.frey_law_avin", 0.5, "102.4", frey_law_avin, POWER),
    holding("G4-05", "endurance.frey_law_avin", 0.2, "448", frey_law_avin, POWER),
    holding("G4-06", "endurance.frey_law_avin", 0.3, "233.1", frey_law_avin, POWER),
    holding("G4-07", "endurance.manenica", 0.5, "105.0", manenica, "Manenica 1986, as in El Ahrache 2006"),
    *(
        holding(name, "fatigue.holding_time", f, printed, lambda f, m=muscle: holding_time(f, m), muscle.source, word)
        for name, f, printed, muscle, word in (
            ("G4-08", 0.5, "105.5", GRIP_2012, "memory"),
            ("G4-09", 0.2, "473.1", GRIP_2012, "memory"),
            ("G4-13", 0.5, "108.3", GENERAL_2012, "derived"),
            ("G4-14", 0.5, "85.75", GRIP, "derived"),
        )
    ),
    *(
        row(
            name,
            "acceptable.acceptable_effort",
            f"duty {duty:g}",
            printed,
            lambda duty=duty: acceptable_effort(duty),
            POTVIN,
            "memory",
        )
        for name, duty, printed in (
            ("G4-16", 0.01, "0.669"),
            ("G4-17", 0.05, "0.513"),
            ("G4-18", 0.1, "0.425"),
            ("G4-19", 0.1641, "0.352"),
            ("G4-20", 0.25, "0.283"),
            ("G4-22", 0.5, "0.153"),
            ("G4-23", 0.9, "0.025"),
            ("G9-09", 17 / 195, "0.443"),
            ("G9-10", 77 / 195, "0.200"),
        )
    ),
    row("G4-25", "acceptable.greatest_duty", "effort 0.4", "0.1191", lambda: greatest_duty(0.4), POTVIN, "memory"),
    row(
        "G4-26",
        "acceptable.rest_needed",
        "5 s at effort 0.4 [s]",
        "37.0",
        lambda: rest_needed(0.4, 5.0),
        "Gibson & Potvin 2016",
        "memory",
    ),
    row(
        "G4-27",
        "acceptable.greatest_duty",
        "effort 0.35, there and back",
        "0.350000000",
        lambda: acceptable_effort(greatest_duty(0.35)),
        POTVIN,
        "identity",
    ),
    row(
        "G4-28",
        "fatigue.fatigue_plateau",
        "effort 0.35, duty 0.1641",
        "0.0348",
        lambda: fatigue_plateau(0.35, 0.1641, GRIP_2012),
        "Looft 2018, J Biomech 77:16",
    ),
    row(
        "G4-31",
        "acceptable.rohmert_rest",
        "5 s at effort 0.4, over the holding time",
        "0.149",
        lambda: rohmert_rest(0.4, 5.0) / 5.0,
        "Rohmert 1973, Appl Ergon 4:158",
        "memory",
    ),
    row(
        "G4-32",
        "acceptable.mean_effort_share",
        "effort 0.35, duty 0.1641",
        "0.338",
        lambda: mean_effort_share(0.35, 0.1641),
        "Bystrom & Fransson-Hall 1994, Hum Factors 36:158",
        "memory",
    ),
)

STRAIN = (
    *(
        row(
            name,
            "strain.intensity_multiplier",
            f"effort {effort:g}",
            printed,
            lambda effort=effort: intensity_multiplier(effort),
            GARG,
        )
        for name, effort, printed in (
            ("G5-06", 0.1, "1.574"),
            ("G5-08", 0.3, "3.706"),
            ("G5-09", 0.5, "6.700"),
            ("G5-10", 0.7, "11.51"),
            ("G5-11", 1.0, "25.61"),
        )
    ),
    row("G5-17", "strain.posture_multiplier", "flexion 30°", "1.372", lambda: posture_multiplier(-np.pi / 6), GARG),
    row("G5-18", "strain.posture_multiplier", "extension 50°", "1.112", lambda: posture_multiplier(np.pi / 3.6), GARG),
    row("G5-19", "strain.revised_strain_index", "effort 0.35, 1 h", "2.814", lambda: strain(0.35, 1), GARG),
    row("G5-20", "strain.revised_strain_index", "effort 0.66, 4 h", "9.97", lambda: strain(0.66, 4), GARG),
    row(
        "G5-26",
        "strain.hand_activity",
        "10 pulls in 195 s, duty 0.1641",
        "0.352",
        lambda: hand_activity(10 / 195, 0.1641),
        "Radwin 2015, Ergonomics 58:173",
    ),
    row(
        "G5-30",
        "strain.peak_force_index",
        "effort 0.66 at level 0.352",
        "1.22",
        lambda: peak_force_index(0.66, 0.352),
        "ACGIH 2018, hand activity",
    ),
)

RIDING = (
    row("G9-04", "riding.riding_by_key", "pulls an hour", "184.6", lambda: riding_by_key("town").rate * HOUR, CYCLE),
    row("G9-05", "riding.riding_by_key", "pulls a kilometre", "9.87", pulls_per_km, CYCLE),
    row(
        "possible hours",
        "day.possible_times",
        "effort 0.35, lever held a quarter of the time, nothing left open: 28800 x 0.65^(1/0.24)/0.25, in s",
        "19139",
        lambda: possible_times(np.array([0.35]), own_riding(250.0, 3.6), np.zeros((2, 1)))[0],
        f"arithmetic on {POTVIN}",
    ),
    *(
        row(name, "riding.Riding.duty", text, printed, lambda key=key: riding_by_key(key).duty, CYCLE)
        for name, text, printed, key in (
            ("G9-06", "neutral at stops", "0.0872", "town_neutral"),
            ("G9-07", "5 s in gear before each start (from memory)", "0.1641", "town"),
            ("G9-08", "held through every stop", "0.3949", "town_held"),
        )
    ),
)

ROWS = (*PEOPLE, *ENDURANCE, *STRAIN, *RIDING)
