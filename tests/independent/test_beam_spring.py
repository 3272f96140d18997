"""A coil spring as a chain of straight 3-D beams gives the rate of the formula, for spring indices 6 to 12.

Pynite knows beams, not springs. Its spring comes out 0.6 % stiffer than G d^4/(8 D^3 n). Where that comes from:

polygon         n sides per turn lie inside the circle and are shorter than the arc: stiffer by about 9/n², 0.4 % at 48
lead angle      the wire is longer than its projection, and the climb brings some bending: softer by
                cos a (1 + tan² a/(1 + nu)), 0.2 % at 4.6°
clamped ends    the ends here can neither tilt nor turn about the axis, so a climbing helix cannot wind up:
                stiffer by 0.4 % with 8 turns, twice that with 4, nothing without climb

The first is taken out by halving the sides, the second by its formula, the third shown to fall with the turns.

What neither model has: curvature of the wire and direct shear, together -3/(16 C²) of the deflection, 0.5 % at C = 6
and 0.1 % at 12 (Ancker and Goodier, J. Appl. Mech. 25 (1958) 466, from memory), and end turns that close gradually: a
quarter of a turn more or less is 5 % of the rate with five active turns, more than all the rest together.
"""

import math

import pytest
from Pynite import FEModel3D

from clutchwright.physics.springs import spring_rate

WIRE, TURNS, SIDES = 3e-3, 8, 48
YOUNG, SHEAR = 206e9, 81.5e9
POISSON = YOUNG / (2.0 * SHEAR) - 1.0
PITCH_PER_DIAMETER = 0.25

INDICES = pytest.mark.parametrize("index", [6.0, 8.0, 10.0, 12.0])


def beam_rate(index, *, turns=TURNS, sides=SIDES):
    """Axial load per axial movement of one end, both ends clamped but for that [N/m]."""
    diameter = index * WIRE
    area, second_moment = math.pi * WIRE**2 / 4.0, math.pi * WIRE**4 / 64.0
    model = FEModel3D()
    model.add_material("steel", YOUNG, SHEAR, POISSON, 7850.0)
    model.add_section("wire", area, second_moment, second_moment, 2.0 * second_moment)
    last = turns * sides
    for node in range(last + 1):
        angle = 2.0 * math.pi * node / sides
        climb = PITCH_PER_DIAMETER * diameter * node / sides
        model.add_node(f"N{node}", diameter / 2.0 * math.cos(angle), diameter / 2.0 * math.sin(angle), climb)
    for node in range(last):
        model.add_member(f"M{node}", f"N{node}", f"N{node + 1}", "steel", "wire")
    model.def_support("N0", *[True] * 6)
    model.def_support(f"N{last}", True, True, False, True, True, True)
    model.add_node_load(f"N{last}", "FZ", -1.0)
    model.analyze_linear(check_stability=False)
    return -1.0 / model.nodes[f"N{last}"].DZ["Combo 1"]


def formula_rate(index, turns=TURNS):
    return spring_rate(wire=WIRE, mean_diameter=index * WIRE, active_turns=float(turns), shear_modulus=SHEAR)


def end_share(index, turns):
    """What is left once polygon and lead angle are taken out [-]."""
    coarse, fine = (beam_rate(index, turns=turns, sides=sides) for sides in (SIDES // 2, SIDES))
    without_polygon = fine + (fine - coarse) / 3.0  # the error goes with the square of the side
    lead = math.atan(PITCH_PER_DIAMETER / math.pi)
    softer = math.cos(lead) * (1.0 + math.tan(lead) ** 2 / (1.0 + POISSON))
    return without_polygon * softer / formula_rate(index, turns) - 1.0


@INDICES
def test_the_rate_agrees(index):
    assert beam_rate(index) == pytest.approx(formula_rate(index), rel=0.03)


@INDICES
def test_the_rest_is_the_clamped_ends(index):
    few, many = end_share(index, TURNS // 2), end_share(index, TURNS)
    assert 0.0 < many < 0.6 * few < 0.006
