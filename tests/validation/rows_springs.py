"""Helical compression springs: rate, stress factors, strength, solid length, gaps."""

import math

from clutchwright.physics.springs import (
    Wire,
    bergstraesser_factor,
    least_gap_sum,
    shear_stress,
    spring_rate,
    tensile_strength,
    wahl_factor,
)
from tests.validation.rows import Row
from tests.validation.units import GPA, INCH, KPSI, LBF, MM, MPA

SPRINGS = "clutchwright.physics.springs"
SHIGLEY = "Shigley, Mechanical Engineering Design"

# Yield in shear of music wire before set removal is 0.45 of the tensile strength (Shigley, table 10-6).
YIELD_SHARE = 0.45


def load_at_stress(stress, wire, mean_diameter):
    return stress / shear_stress(1.0, wire=wire, mean_diameter=mean_diameter)


def wahl_wire(load, index, stress):
    """Wire at which a load gives a stress corrected after Wahl."""
    return math.sqrt(wahl_factor(index) * 8.0 * load * index / (math.pi * stress))


def metric_spring():
    return Wire(2.5 * MM, 31.0 * MM, 14.0, "plain ground", "music")


def metric_solid_load():
    wire = metric_spring()
    yield_stress = YIELD_SHARE * tensile_strength("music", wire.diameter)
    return load_at_stress(yield_stress, wire.diameter, wire.mean_diameter)


def inch_rate():
    return spring_rate(wire=0.105 * INCH, mean_diameter=1.12 * INCH, active_turns=11.0, shear_modulus=11.75e3 * KPSI)


def inch_solid_load():
    yield_stress = YIELD_SHARE * tensile_strength("music", 0.105 * INCH)
    return load_at_stress(yield_stress, 0.105 * INCH, 1.12 * INCH)


def inch_free_length():
    wire = Wire(0.105 * INCH, 1.225 * INCH, 12.0, "plain ground", "music")
    return wire.solid_length + inch_solid_load() / inch_rate()


def bhandari_wire():
    return Wire(7.0 * MM, 49.0 * MM, 10.0, "squared ground", "music")


def bhandari_rate(turns):
    return spring_rate(wire=7.0 * MM, mean_diameter=42.0 * MM, active_turns=turns, shear_modulus=81370.0 * MPA)


def singh_turns():
    one_turn = spring_rate(wire=4.25 * MM, mean_diameter=34.0 * MM, active_turns=1.0, shear_modulus=84.0 * GPA)
    return one_turn / (50.0 / (8.0 * MM))


def singh_free_length():
    wire = Wire(4.25 * MM, 38.25 * MM, singh_turns() + 2.0, "squared ground", "music")
    return wire.solid_length + 1.15 * 48.0 * MM


SINGH_3 = {"wire": 3.0 * MM, "mean_diameter": 18.0 * MM, "active_turns": 15.0, "shear_modulus": 84.0 * GPA}
SMALL = Wire(0.037 * INCH, 0.4375 * INCH, 12.5, "squared", "music")


def small_rate():
    return spring_rate(
        wire=SMALL.diameter, mean_diameter=SMALL.mean_diameter, active_turns=10.5, shear_modulus=11.85e3 * KPSI
    )


def small_load():
    return load_at_stress(YIELD_SHARE * tensile_strength("music", SMALL.diameter), SMALL.diameter, SMALL.mean_diameter)


def designed_safety(wire, mean_diameter):
    """Yield over stress at solid of the two springs designed in Shigley's example 10-2: 23 lbf at solid."""
    stress = shear_stress(23.0 * LBF, wire=wire * INCH, mean_diameter=mean_diameter * INCH)
    return YIELD_SHARE * tensile_strength("music", wire * INCH) / stress


def designed_rate(wire, mean_diameter, turns, modulus_mpsi):
    rate = spring_rate(
        wire=wire * INCH,
        mean_diameter=mean_diameter * INCH,
        active_turns=turns,
        shear_modulus=modulus_mpsi * 1e3 * KPSI,
    )
    return rate / (LBF / INCH)


def designed_solid_length(wire, turns):
    return Wire(wire * INCH, 1.0, turns + 2.0, "squared ground", "music").solid_length / INCH


def fatigue_stress(load_lbf):
    return shear_stress(load_lbf * LBF, wire=0.092 * INCH, mean_diameter=(0.5625 - 0.092) * INCH) / KPSI


def relative_gap(index):
    return 100.0 * (1.0 - bergstraesser_factor(index) / wahl_factor(index))


PROBLEM_1 = f"{SHIGLEY}, 10th and 11th ed., prob. 10-1 [SH]"
PROBLEM_3 = f"{SHIGLEY}, 10th ed., prob. 10-3 [SH]"
PROBLEM_3_OLD = f"{SHIGLEY}, 2003 ed., prob. 10-3 [SH]"
EXAMPLE_1 = f"{SHIGLEY}, ex. 10-1"
EXAMPLE_2 = f"{SHIGLEY}, ex. 10-2, table of the solution"
EXAMPLE_4 = f"{SHIGLEY}, ex. 10-4"
BHANDARI = "Bhandari, Design of Machine Elements, ex. 10.1 [BH]"
SINGH = "Singh, Machine Design I, ex."
CONSTANTS = "the book's A = 201 kpsi in^m and its metric 2211 MPa mm^m, which we take, are 0.19 % apart"
ROUNDED = "the example's own inputs are printed to three digits"

METRIC = "music wire 2.5 mm, outside 31 mm, plain ground, 14 turns, G 81.0 GPa"
IMPERIAL = "music wire 0.105 in, outside 1.225 in, plain ground, 12 turns, G 11.75 Mpsi"
NUMBER_16 = "music wire 0.037 in, outside 7/16 in, squared, 12.5 turns, G 11.85 Mpsi"

ROWS = [
    Row(
        "S-01 C 4",
        f"{SPRINGS}.wahl_factor",
        "Wahl's factor above Bergsträsser's, C = 4 [%]",
        "1.36",
        lambda: relative_gap(4.0),
        PROBLEM_1,
        "found",
    ),
    Row(
        "S-01 C 12",
        f"{SPRINGS}.bergstraesser_factor",
        "Wahl's factor above Bergsträsser's, C = 12 [%]",
        "0.743",
        lambda: relative_gap(12.0),
        PROBLEM_1,
        "found",
    ),
    Row(
        "S-02 rate",
        f"{SPRINGS}.Wire.rate",
        f"{METRIC}: rate [N/mm]",
        "1.314",
        lambda: metric_spring().rate * MM,
        PROBLEM_3,
        "found",
    ),
    Row(
        "S-02 strength",
        f"{SPRINGS}.tensile_strength",
        "music wire 2.5 mm: tensile strength [MPa]",
        "1936",
        lambda: tensile_strength("music", 2.5 * MM) / MPA,
        PROBLEM_3,
        "found",
    ),
    Row(
        "S-02 factor",
        f"{SPRINGS}.bergstraesser_factor",
        "D/d = 28.5/2.5: Bergsträsser's factor [-]",
        "1.117",
        lambda: bergstraesser_factor(28.5 / 2.5),
        PROBLEM_3,
        "found",
    ),
    Row(
        "S-02 load",
        f"{SPRINGS}.shear_stress",
        f"{METRIC}: load at 0.45 of the tensile strength [N]",
        "167.9",
        metric_solid_load,
        PROBLEM_3,
        "found",
    ),
    Row(
        "S-02 length",
        f"{SPRINGS}.Wire.solid_length",
        f"{METRIC}: free length that goes solid at that load [mm]",
        "162.8",
        lambda: (metric_spring().solid_length + metric_solid_load() / metric_spring().rate) / MM,
        PROBLEM_3,
        "found",
        tolerance=0.1,
        reason="the solution divides the rounded load by the rounded rate: 167.9/1.314 + 35 = 162.78",
    ),
    Row(
        "S-03 strength",
        f"{SPRINGS}.tensile_strength",
        "music wire 0.105 in: tensile strength [kpsi]",
        "278.7",
        lambda: tensile_strength("music", 0.105 * INCH) / KPSI,
        PROBLEM_3_OLD,
        "found",
        tolerance=0.6,
        reason=CONSTANTS,
    ),
    Row(
        "S-03 factor",
        f"{SPRINGS}.bergstraesser_factor",
        "D/d = 1.120/0.105: Bergsträsser's factor [-]",
        "1.126",
        lambda: bergstraesser_factor(1.12 / 0.105),
        PROBLEM_3_OLD,
        "found",
    ),
    Row(
        "S-03 rate",
        f"{SPRINGS}.spring_rate",
        f"{IMPERIAL}: rate [lbf/in]",
        "11.55",
        lambda: inch_rate() / (LBF / INCH),
        PROBLEM_3_OLD,
        "found",
    ),
    Row(
        "S-03 load",
        f"{SPRINGS}.shear_stress",
        f"{IMPERIAL}: load at 0.45 of the tensile strength [lbf]",
        "45.2",
        lambda: inch_solid_load() / LBF,
        PROBLEM_3_OLD,
        "found",
        tolerance=0.1,
        reason=CONSTANTS,
    ),
    Row(
        "S-03 length",
        f"{SPRINGS}.Wire.solid_length",
        f"{IMPERIAL}: free length that goes solid at that load [in]",
        "5.17",
        lambda: inch_free_length() / INCH,
        PROBLEM_3_OLD,
        "found",
    ),
    Row(
        "S-08 wire",
        f"{SPRINGS}.wahl_factor",
        "1250 N, C = 6, shear stress 545 MPa after Wahl: wire [mm]",
        "6.63",
        lambda: wahl_wire(1250.0, 6.0, 545.0 * MPA) / MM,
        BHANDARI,
        "found",
    ),
    Row(
        "S-08 turns",
        f"{SPRINGS}.spring_rate",
        "wire 7 mm, C = 6, G 81370 MPa, 1250 N over 30 mm: active turns, rounded up [-]",
        "8",
        lambda: math.ceil(bhandari_rate(1.0) / (1250.0 / (30.0 * MM))),
        BHANDARI,
        "found",
        tolerance=0.0,
    ),
    Row(
        "S-08 length",
        f"{SPRINGS}.Wire.solid_length",
        "the same, 10 turns squared and ground, gaps of 1 mm: free length [mm]",
        "109.34",
        lambda: (bhandari_wire().solid_length + 1250.0 / bhandari_rate(8.0)) / MM + 9.0,
        BHANDARI,
        "found",
    ),
    Row(
        "S-11 factor",
        f"{SPRINGS}.wahl_factor",
        "C = 8: Wahl's factor [-]",
        "1.184",
        lambda: wahl_factor(8.0),
        f"{SINGH} 8.1 [PY]",
        "found",
    ),
    Row(
        "S-11 wire",
        f"{SPRINGS}.wahl_factor",
        "300 N, C = 8, shear stress 420 MPa after Wahl: wire [mm]",
        "4.15",
        lambda: wahl_wire(300.0, 8.0, 420.0 * MPA) / MM,
        f"{SINGH} 8.1 [PY]",
        "found",
    ),
    Row(
        "S-11 turns",
        f"{SPRINGS}.spring_rate",
        "wire 4.25 mm, C = 8, G 84 GPa, 50 N over 8 mm: active turns [-]",
        "14",
        singh_turns,
        f"{SINGH} 8.1 [PY]",
        "found",
    ),
    Row(
        "S-11 length",
        f"{SPRINGS}.Wire.solid_length",
        "the same, squared and ground: solid length + 1.15 x 48 mm [mm]",
        "123.0",
        lambda: singh_free_length() / MM,
        f"{SINGH} 8.1 [PY]",
        "found",
    ),
    Row(
        "S-12 rate",
        f"{SPRINGS}.spring_rate",
        "wire 3 mm, C = 6, 15 turns, G 84 GPa: rate [N/mm]",
        "9.72",
        lambda: spring_rate(**SINGH_3) * MM,
        f"{SINGH} 8.3 [PY]",
        "found",
    ),
    Row(
        "S-12 load",
        f"{SPRINGS}.wahl_factor",
        "the same: load at 650 MPa after Wahl [N]",
        "305.7",
        lambda: 650.0 * MPA * math.pi * (3.0 * MM) ** 2 / (8.0 * wahl_factor(6.0) * 6.0),
        f"{SINGH} 8.3 [PY]",
        "found",
    ),
    Row(
        "S-15",
        f"{SPRINGS}.tensile_strength",
        "patented drawn wire 5 mm, grade SM or DM: least tensile strength [MPa]",
        "1460",
        lambda: tensile_strength("patented drawn", 5.0 * MM) / MPA,
        "EN 10270-1, formula and value as printed there [EN]",
        "found",
        tolerance=5.0,
        reason="the standard rounds its table to 10 MPa",
    ),
    Row(
        "S-05 strength",
        f"{SPRINGS}.tensile_strength",
        "music wire 0.037 in: tensile strength [kpsi]",
        "324",
        lambda: tensile_strength("music", 0.037 * INCH) / KPSI,
        EXAMPLE_1,
        "memory",
    ),
    Row(
        "S-05 factor",
        f"{SPRINGS}.bergstraesser_factor",
        f"{NUMBER_16}: Bergsträsser's factor [-]",
        "1.124",
        lambda: bergstraesser_factor(SMALL.mean_diameter / SMALL.diameter),
        EXAMPLE_1,
        "memory",
    ),
    Row(
        "S-05 rate",
        f"{SPRINGS}.spring_rate",
        f"{NUMBER_16}: rate [lbf/in]",
        "4.13",
        lambda: small_rate() / (LBF / INCH),
        EXAMPLE_1,
        "memory",
        tolerance=0.0413,
        reason="the example rounds D = 0.4005 in to 0.400, worth 0.4 %; 1 %",
    ),
    Row(
        "S-05 load",
        f"{SPRINGS}.shear_stress",
        f"{NUMBER_16}: load at 0.45 of the tensile strength [lbf]",
        "6.46",
        lambda: small_load() / LBF,
        EXAMPLE_1,
        "memory",
        tolerance=0.0646,
        reason=ROUNDED + "; 1 %",
    ),
    Row(
        "S-05 solid",
        f"{SPRINGS}.Wire.solid_length",
        f"{NUMBER_16}: solid length [in]",
        "0.4995",
        lambda: SMALL.solid_length / INCH,
        EXAMPLE_1,
        "memory",
    ),
    Row(
        "S-05 length",
        f"{SPRINGS}.Wire.solid_length",
        f"{NUMBER_16}: free length that goes solid at that load [in]",
        "2.06",
        lambda: (SMALL.solid_length + small_load() / small_rate()) / INCH,
        EXAMPLE_1,
        "memory",
    ),
    *(
        row
        for wire, mean, turns, modulus, solid in (
            (0.080, 0.843, 10.1, 11.75, "0.964"),
            (0.063, 0.391, 39.1, 11.85, "2.587"),
        )
        for row in (
            Row(
                f"S-06 {wire} rate",
                f"{SPRINGS}.spring_rate",
                f"music wire {wire} in, D {mean} in, {turns} turns, G {modulus} Mpsi: rate [lbf/in]",
                "10.0",
                lambda wire=wire, mean=mean, turns=turns, modulus=modulus: designed_rate(wire, mean, turns, modulus),
                EXAMPLE_2,
                "memory",
                tolerance=0.1,
                reason=ROUNDED + "; 1 %",
            ),
            Row(
                f"S-06 {wire} safety",
                f"{SPRINGS}.shear_stress",
                f"music wire {wire} in, D {mean} in: yield over stress at 23 lbf [-]",
                "1.20",
                lambda wire=wire, mean=mean: designed_safety(wire, mean),
                EXAMPLE_2,
                "memory",
            ),
            Row(
                f"S-06 {wire} solid",
                f"{SPRINGS}.Wire.solid_length",
                f"wire {wire} in, {turns} active turns, squared and ground: solid length [in]",
                solid,
                lambda wire=wire, turns=turns: designed_solid_length(wire, turns),
                EXAMPLE_2,
                "memory",
                tolerance=0.05 * wire + 0.0005,
                reason="half of the last digit of the active turns is worth 0.05 wires",
            ),
        )
    ),
    Row(
        "S-07 factor",
        f"{SPRINGS}.bergstraesser_factor",
        "wire 0.092 in, outside 9/16 in: Bergsträsser's factor [-]",
        "1.287",
        lambda: bergstraesser_factor((0.5625 - 0.092) / 0.092),
        EXAMPLE_4,
        "memory",
        tolerance=0.001,
        reason="the example rounds C = 5.114 to 5.11",
    ),
    Row(
        "S-07 amplitude",
        f"{SPRINGS}.shear_stress",
        "the same, 15 lbf: shear stress [kpsi]",
        "29.7",
        lambda: fatigue_stress(15.0),
        EXAMPLE_4,
        "memory",
    ),
    Row(
        "S-07 mean",
        f"{SPRINGS}.shear_stress",
        "the same, 20 lbf: shear stress [kpsi]",
        "39.6",
        lambda: fatigue_stress(20.0),
        EXAMPLE_4,
        "memory",
    ),
    Row(
        "S-07 rate",
        f"{SPRINGS}.spring_rate",
        "the same, 21 turns, G 11.75 Mpsi: rate [lbf/in]",
        "48.1",
        lambda: designed_rate(0.092, 0.5625 - 0.092, 21.0, 11.75),
        EXAMPLE_4,
        "memory",
    ),
    Row(
        "S-13",
        f"{SPRINGS}.least_gap_sum",
        "wire 5 mm, D 34.6 mm, 9.5 turns: least sum of gaps, static [mm]",
        "8.16",
        lambda: least_gap_sum(wire=5.0 * MM, mean_diameter=34.6 * MM, active_turns=9.5) / MM,
        "EN 13906-1",
        "memory",
    ),
]
