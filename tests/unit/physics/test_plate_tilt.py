"""Tilt of the pressure plate, and the patterns of empty bosses, against symmetry and counting."""

from fractions import Fraction
from itertools import product
from math import gcd

import numpy as np
import pytest

from clutchwright.physics.plate_tilt import (
    arrangements,
    centroid,
    largest_share,
    pattern,
    patterns,
    places,
    plane_under_load,
    tilt_per_lift,
    tilt_stiffness,
)

RADIUS = 0.042


def circle(bosses):
    return places(range(bosses), bosses=bosses, circle_radius=RADIUS)


@pytest.mark.parametrize("bosses", [3, 4, 5, 6, 8])
def test_equal_springs_round_the_circle_do_not_tilt(bosses):
    x, y = circle(bosses)
    assert tilt_per_lift(np.full(bosses, 25e3), x=x, y=y) == pytest.approx(0.0, abs=1e-12)
    assert np.hypot(*centroid(np.ones(bosses), x=x, y=y)) == pytest.approx(0.0, abs=1e-15)


@pytest.mark.parametrize("bosses", [3, 4, 6])
def test_a_centred_force_is_shared_by_equal_springs(bosses):
    x, y = circle(bosses)
    assert largest_share(np.full(bosses, 25e3), x=x, y=y, force_x=0.0, force_y=0.0) == pytest.approx(1.0)


def test_two_weak_springs_opposite_two_strong_ones():
    """Bosses at 0, 90, 180, 270 degrees: rates a, b, c, b. Moments: ax R (a + c) = -w0 (a - c)."""
    x, y = circle(4)
    rates = np.array([30e3, 25e3, 20e3, 25e3])
    plane = plane_under_load(rates, x=x, y=y, force=100.0)
    assert plane.slope_x / plane.centre == pytest.approx(-(30e3 - 20e3) / (RADIUS * (30e3 + 20e3)))
    assert plane.slope_y == pytest.approx(0.0, abs=1e-12)
    assert tilt_per_lift(rates, x=x, y=y) == pytest.approx(0.2 / RADIUS)


def test_three_springs_share_a_centred_force_whatever_their_rates_but_tilt():
    x, y = circle(3)
    rates = np.array([10e3, 12e3, 9e3])
    assert largest_share(rates, x=x, y=y, force_x=0.0, force_y=0.0) == pytest.approx(1.0)
    assert tilt_per_lift(rates, x=x, y=y) > 1.0


def test_tilt_is_soft_about_the_line_of_the_springs_that_are_left():
    """Of six springs 0 and 3 out: sum ky² = 3 k R² about x, sum kx² = k R² about y, against 3 k R² with all six."""
    x, y = places((1, 2, 4, 5), bosses=6, circle_radius=RADIUS)
    rates = np.full(4, 25e3)
    offset = 0.001
    along_x = plane_under_load(rates, x=x, y=y, force=1.0, force_x=offset).tilt
    along_y = plane_under_load(rates, x=x, y=y, force=1.0, force_y=offset).tilt
    assert along_x == pytest.approx(offset / (25e3 * RADIUS**2))
    assert along_x / along_y == pytest.approx(3.0)


def test_samples_are_each_alone():
    rng = np.random.default_rng(3)
    radii, rates = rng.uniform(0.03, 0.05, (7, 1)), rng.uniform(15e3, 35e3, (7, 1, 5))
    x, y = places(range(5), bosses=5, circle_radius=radii)
    together = tilt_per_lift(rates, x=x, y=y)
    assert together.shape == (7, 1)
    for number in range(7):
        x, y = places(range(5), bosses=5, circle_radius=float(radii[number, 0]))
        assert together[number, 0] == pytest.approx(tilt_per_lift(rates[number, 0], x=x, y=y), rel=1e-12)


def test_a_force_over_one_of_three_springs_presses_that_one_alone():
    x, y = circle(3)
    for number in range(3):
        share = largest_share(np.full(3, 25e3), x=x, y=y, force_x=x[number], force_y=y[number])
        assert share == pytest.approx(3.0)


def test_a_plate_tilts_about_the_centre_of_its_springs():
    """Springs at (0, 0), (a, 0), (0, a): sums about the centre 2/3, 2/3 and -1/3 of k a², so the lesser is 1/3."""
    x, y = np.array([0.0, 0.06, 0.0]), np.array([0.0, 0.0, 0.06])
    assert tilt_stiffness(np.full(3, 20e3), x=x, y=y) == pytest.approx(20e3 * 0.06**2 / 3)


def test_sampled_rates_and_forces_are_each_alone():
    x, y = places(range(5), bosses=5, circle_radius=np.full((3, 1), RADIUS))
    rates = np.random.default_rng(4).uniform(15e3, 35e3, (3, 1, 5))
    force = np.array([[100.0], [200.0], [300.0]])
    centre = centroid(rates, x=x, y=y)
    plane = plane_under_load(rates, x=x, y=y, force=force, force_x=0.01, force_y=-0.02)
    share = largest_share(rates, x=x, y=y, force_x=0.01, force_y=-0.02)
    stiffness = tilt_stiffness(rates, x=x, y=y)
    x, y = circle(5)
    for row in range(3):
        alone = plane_under_load(rates[row, 0], x=x, y=y, force=force[row, 0], force_x=0.01, force_y=-0.02)
        assert plane.tilt[row, 0] == pytest.approx(alone.tilt, rel=1e-12)
        assert [c[row, 0] for c in centre] == pytest.approx(centroid(rates[row, 0], x=x, y=y), rel=1e-12)
        assert share[row, 0] == pytest.approx(
            largest_share(rates[row, 0], x=x, y=y, force_x=0.01, force_y=-0.02), rel=1e-12
        )
        assert stiffness[row, 0] == pytest.approx(tilt_stiffness(rates[row, 0], x=x, y=y), rel=1e-12)


def test_springs_on_one_line_cannot_hold_a_plate():
    x, _ = places((0, 2), bosses=4, circle_radius=RADIUS)
    with pytest.raises(np.linalg.LinAlgError):
        plane_under_load(np.full(2, 25e3), x=x, y=np.zeros(2), force=1.0)
    assert pattern(4, (1, 3)).softness == np.inf


# Bracelets of n beads, k of them black: number of patterns up to rotation and reflection (OEIS A052307, from memory).
BRACELETS = {
    (4, 1): 1,
    (4, 2): 2,
    (5, 1): 1,
    (5, 2): 2,
    (6, 1): 1,
    (6, 2): 3,
    (6, 3): 3,
    (8, 2): 4,
    (8, 3): 5,
    (8, 4): 8,
}


@pytest.mark.parametrize(("bosses", "empty"), BRACELETS)
def test_every_pattern_is_found_once(bosses, empty):
    assert len(patterns(bosses, empty)) == BRACELETS[bosses, empty]


# Bracelets of 1 to 8 beads (OEIS A000029, A027671, from memory).
TURNED_OVER = {2: (2, 3, 4, 6, 8, 13, 18, 30), 3: (3, 6, 10, 21, 39, 92, 198, 498)}


def counted(beads, colours):
    """Burnside: the mean over all rotations and reflections of the colourings each leaves as they are."""
    turns = sum(colours ** gcd(by, beads) for by in range(beads))
    flips = beads * colours ** ((beads + 1) // 2)
    if beads % 2 == 0:
        flips = beads // 2 * (colours ** (beads // 2) + colours ** (beads // 2 + 1))
    return Fraction(turns + flips, 2 * beads)


@pytest.mark.parametrize("kinds", [1, 2, 3])
@pytest.mark.parametrize("bosses", range(1, 9))
def test_arrangements_are_as_many_as_burnside_counts(bosses, kinds):
    found = arrangements(bosses, kinds)
    assert len(found) == len(set(found)) == counted(bosses, kinds)
    if kinds in TURNED_OVER:
        assert len(found) == TURNED_OVER[kinds][bosses - 1]


def test_every_arrangement_is_one_of_those_listed_turned_or_mirrored():
    listed = set(arrangements(5, 3))
    for chosen in product(range(3), repeat=5):
        seen = {hand[by:] + hand[:by] for hand in (chosen, chosen[::-1]) for by in range(5)}
        assert len(seen & listed) == 1


def test_patterns_are_ranked_by_unbalance_then_softness():
    assert [found.left_out for found in patterns(6, 2)] == [(0, 3), (0, 2), (0, 1)]
    assert [found.unbalance for found in patterns(6, 2)] == pytest.approx([0.0, 1.0, np.sqrt(3.0)], abs=1e-12)
    assert patterns(6, 3)[0].left_out == (0, 2, 4)
    assert patterns(6, 2)[0].softness == pytest.approx(3.0)
    assert patterns(6, 3)[0].softness == pytest.approx(2.0)
    assert patterns(6, 0)[0].softness == pytest.approx(1.0)


@pytest.mark.parametrize(("bosses", "empty"), [(6, 3), (8, 3), (8, 4)])
def test_ranks_fall_for_every_pattern(bosses, empty):
    ranks = [(round(found.unbalance, 9), round(found.softness, 9)) for found in patterns(bosses, empty)]
    assert ranks == sorted(ranks)
