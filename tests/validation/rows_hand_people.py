"""The hand: norms, hand sizes, spans, posture and conditions, as published.

Left out, since they need a formula this project does not have: published numbers on body height and grip, teenagers,
elbow posture, grip regression on hand length, vibration, compartment pressure, brake standards.
"""

import numpy as np

from clutchwright.hand.condition import condition_factor
from clutchwright.hand.estimate import Estimate
from clutchwright.hand.fingers import FINGERS, fingers_factor
from clutchwright.hand.norms import KILOGRAM_FORCE
from clutchwright.hand.posture import forearm_factor, side_factor, wrist_factor
from clutchwright.hand.span import HAND_LENGTHS, HAND_SPANS, length_from_stature, optimum_span, span_factor, typical
from clutchwright.hand.strength import norm_grip
from tests.validation.rows import Row

STRENGTH = "clutchwright.hand.strength"
SPAN = "clutchwright.hand.span"
POSTURE = "clutchwright.hand.posture"
CONDITION = "clutchwright.hand.condition.condition_factor"
RUIZ = "Ruiz-Ruiz 2002, J Hand Surg Am 27:897"
FAN = "Fan 2018, J Hand Microsurg 11:88, n = 30"
STUDENTS = "MASS::survey (Venables & Ripley), 235 students"
ANSUR = "Gordon 2014, ANSUR II, NATICK/TR-15/007"
ANSUR_PARTS = f"{ANSUR}; the result seen, the means and SD by sex from memory"
RYDHOLM = "Rydholm 2023, Arthritis Res Ther, n = 215"
WESTROPP = "Massy-Westropp 2011, BMC Res Notes 4:127; mean of six age groups"
OTHER_PROTOCOL = "another protocol: reporting alone shifts norms by up to 17 % (Tomkinson 2025)"


def optimum_cm(hand_span_cm):
    return 100.0 * optimum_span("woman", Estimate(hand_span_cm / 100.0, 0.0, "", "measured")).value


def mean_hand_length_mm():
    men, women = (1e3 * typical(HAND_LENGTHS, sex).value for sex in ("man", "woman"))
    return (4082 * men + 1986 * women) / 6068


def small_hand_mm():
    women = typical(HAND_LENGTHS, "woman")
    return 1e3 * (women.value - 1.645 * women.u)


def cylinder_factor():
    """A cylinder as a span whose best is 50.8 mm."""
    return span_factor(0.0635, 0.0508)


ROWS = (
    Row(
        "G1-01",
        f"{STRENGTH}.norm_grip",
        "median man of 30-34; mean of three trials of the dominant hand [N]",
        "541.8",
        lambda: norm_grip("man", 32),
        "Mathiowetz 1985, Arch Phys Med Rehabil 66:69 (the newton value; pounds from memory)",
        "found",
        0.17 * 541.8,
        OTHER_PROTOCOL,
    ),
    Row(
        "G1-12",
        f"{STRENGTH}.norm_grip",
        "median man of 65, Tomkinson over Dodds",
        "0.933",
        lambda: norm_grip("man", 67) / KILOGRAM_FORCE / 43.0,
        "Tomkinson 2025, J Sport Health Sci 14:101014, against Dodds 2014, PLoS ONE 9:e113637",
        "found",
    ),
    Row(
        "G1-15",
        f"{STRENGTH}.norm_grip",
        "men of 30-39, half of both hands [kgf]",
        "49.1",
        lambda: norm_grip("man", 34.5) / KILOGRAM_FORCE,
        "Perna 2016, J Strength Cond Res 30:867, NHANES 2011-12",
        "found",
        0.17 * 49.1,
        OTHER_PROTOCOL,
    ),
    Row(
        "G1-16",
        f"{STRENGTH}.norm_grip",
        "women of 30-39, half of both hands [kgf]",
        "31.0",
        lambda: norm_grip("woman", 34.5) / KILOGRAM_FORCE,
        "Perna 2016, J Strength Cond Res 30:867, NHANES 2011-12",
        "found",
        0.17 * 31.0,
        OTHER_PROTOCOL,
    ),
    Row(
        "G2-01", f"{SPAN}.optimum_span", "woman, hand span 18.0 cm [cm]", "5.1", lambda: optimum_cm(18.0), RUIZ, "found"
    ),
    Row(
        "G2-02", f"{SPAN}.optimum_span", "woman, hand span 20.0 cm [cm]", "5.5", lambda: optimum_cm(20.0), RUIZ, "found"
    ),
    Row(
        "G2-13",
        f"{SPAN}.span_factor",
        "grip at 63.5 mm over grip at 50.8 mm",
        "0.881",
        cylinder_factor,
        "Irwin, Towles & Radwin, n = 16",
        "found",
        0.03 * 1.27,
        "a cylinder's diameter is not a span; within the stated spread of the slope, 0.03 a centimetre",
    ),
    Row(
        "G2-15",
        f"{SPAN}.span_factor",
        "grip at 50 mm over grip at the best span, 55 mm",
        "0.9935",
        lambda: span_factor(0.050, 0.055),
        "Lee, Kong, Lowe & Song 2009, Ergonomics 52:601, 46 men",
        "found",
        0.01,
        "the model is flat below the best span",
    ),
    Row(
        "G2-19",
        "clutchwright.hand.fingers.fingers_factor",
        "index and middle of all four, arthritis at the base of the thumb: top of the range",
        "0.66",
        lambda: fingers_factor(("index", "middle")).high,
        "Villafane 2014, HAND 9:191",
        "found",
    ),
    Row(
        "G3-01",
        f"{POSTURE}.wrist_factor",
        "15 instead of 35 degrees of extension, middle of 2/3 to 3/4",
        "0.708",
        lambda: wrist_factor(np.deg2rad(15.0)).value,
        "O'Driscoll 1992, J Hand Surg Am 17:169",
        "found",
        0.30,
        "the sources disagree there; the model is flat with a spread of 0.15, and this is the farthest, at two of them",
    ),
    Row("G3-04", f"{POSTURE}.forearm_factor", "man", "0.780", lambda: forearm_factor("man").value, FAN, "found"),
    Row("G3-05", f"{POSTURE}.forearm_factor", "woman", "0.814", lambda: forearm_factor("woman").value, FAN, "found"),
    Row("G1-19", f"{POSTURE}.side_factor", "woman", "0.945", lambda: side_factor("woman").value, WESTROPP, "derived"),
    Row("G1-20", f"{POSTURE}.side_factor", "man", "0.965", lambda: side_factor("man").value, WESTROPP, "derived"),
    Row(
        "G6-07",
        f"{SPAN}.length_from_stature",
        "hand length over stature, 2420 men; Drillis & Contini 1966 say 0.108",
        "0.1078",
        lambda: length_from_stature(1.0).value,
        "USAF survey of 1967",
        "found",
        0.0005,
        "half a digit of the 0.108 it is compared with",
    ),
    Row(
        "G6-18",
        f"{SPAN}.length_from_stature",
        "stature 1753 mm [mm]",
        "189.3",
        lambda: 1e3 * length_from_stature(1.753).value,
        f"{ANSUR}; Drillis & Contini 1966",
        "found",
    ),
    Row(
        "G6-19",
        f"{SPAN}.typical",
        "mean hand length of 4082 men and 1986 women [mm]",
        "189.3",
        mean_hand_length_mm,
        ANSUR_PARTS,
        "found",
    ),
    Row(
        "G6-20",
        f"{SPAN}.typical",
        "hand length of the smallest 5 % of women [mm]",
        "165",
        small_hand_mm,
        ANSUR_PARTS,
        "found",
    ),
    Row(
        "G6-22",
        f"{SPAN}.typical",
        "hand span, women [cm]",
        "17.60",
        lambda: 100 * typical(HAND_SPANS, "woman").value,
        STUDENTS,
        "found",
    ),
    Row(
        "G6-23",
        f"{SPAN}.typical",
        "its SD [cm]",
        "1.315",
        lambda: 100 * typical(HAND_SPANS, "woman").u,
        STUDENTS,
        "found",
    ),
    Row(
        "G6-24",
        f"{SPAN}.typical",
        "hand span, men [cm]",
        "19.74",
        lambda: 100 * typical(HAND_SPANS, "man").value,
        STUDENTS,
        "found",
    ),
    Row(
        "G6-25",
        f"{SPAN}.typical",
        "its SD [cm]",
        "1.751",
        lambda: 100 * typical(HAND_SPANS, "man").u,
        STUDENTS,
        "found",
    ),
    Row(
        "G7-01",
        CONDITION,
        "rheumatoid arthritis at diagnosis, share of the expected grip",
        "0.39",
        lambda: condition_factor("rheumatoid_early", FINGERS).value,
        RYDHOLM,
        "found",
    ),
    Row(
        "G7-02",
        CONDITION,
        "the same after five years",
        "0.56",
        lambda: condition_factor("rheumatoid_5_years", FINGERS).value,
        RYDHOLM,
        "found",
    ),
    Row(
        "G7-04",
        CONDITION,
        "arthritis at the base of the thumb, index and middle: 28.8 % lost",
        "0.712",
        lambda: condition_factor("thumb_base", ("index", "middle")).value,
        "Villafane 2014, HAND 9:191",
        "found",
    ),
)
