"""Every estimate carries the value, the spread and the range of its source, and says how well founded it is."""

from dataclasses import replace
from math import hypot, sqrt

import numpy as np
import pytest

from clutchwright.errors import InputError, ModelRangeError
from clutchwright.hand.condition import swollen_knuckles_loss
from clutchwright.hand.estimate import Estimate
from clutchwright.hand.fingers import FINGERS, checked_fingers, fingers_factor
from clutchwright.hand.hand import Hand, HandFacts, capacity, estimate_hand
from clutchwright.hand.norms import KILOGRAM_FORCE
from clutchwright.hand.posture import forearm_factor, glove_factor, side_factor, wrist_change, wrist_factor
from clutchwright.hand.span import (
    length_from_stature,
    optimum_span,
    reach_from_feel,
    reach_from_length,
    span_factor_estimate,
)
from clutchwright.hand.strength import (
    dynamometer_strength,
    lever_scale_strength,
    norm_deviate,
    norm_grip,
    norm_spread,
    norm_strength,
    painless_strength,
)

DEGREE = np.pi / 180.0
ONE = Estimate(0.8, 0.04, "scale", "measured")


def relative(*parts: float) -> float:
    return sqrt(sum(part**2 for part in parts))


@pytest.mark.parametrize(
    ("make", "value", "u", "basis", "low", "high"),
    [
        (lambda: fingers_factor(FINGERS), 1.0, 0.0, "found", None, None),
        (lambda: fingers_factor(("index", "middle")), 0.55, 0.07, "derived", 0.46, 0.66),
        (lambda: wrist_factor(0.0), 1.0, 0.15, "memory", 0.66, 1.0),
        (lambda: forearm_factor("man", pronated=False), 1.0, 0.0, "found", None, None),
        (lambda: forearm_factor("man"), 40.1 / 51.4, 0.05, "found", None, None),  # Fan 2018
        (lambda: side_factor("woman", dominant=True), 1.0, 0.0, "found", None, None),
        (lambda: side_factor("woman"), 0.945, 0.05, "derived", None, None),  # Massy-Westropp 2011
        (lambda: glove_factor(False), 1.0, 0.0, "found", None, None),
        (lambda: glove_factor(True), 0.85, 0.05, "memory", 0.80, 0.90),
        (lambda: optimum_span("man"), 0.055, 0.005, "found", 0.055, 0.065),  # Ruiz-Ruiz 2002
        # a span of 190 mm known to 10 mm: 190/5 + 15 mm, spread of 5 mm and a fifth of 10 mm
        (
            lambda: optimum_span("woman", Estimate(0.190, 0.010, "", "measured")),
            0.053,
            hypot(0.005, 0.002),
            "found",
            0.050,
            0.060,
        ),
        # Fransson & Winkel 1991: 10 % a centimetre, +/- 3 %, 20 mm beyond the best span
        (lambda: span_factor_estimate(0.075, optimum_span("man")), 0.8, hypot(0.06, 0.05), "found", None, None),
        (lambda: length_from_stature(1.75), 0.189, 0.0063, "derived", None, None),  # Drillis & Contini 1966
        (
            lambda: reach_from_length(Estimate(0.200, 0.010, "", "measured")),
            0.094,
            0.094 * hypot(0.05, 0.07 / 0.47),
            "assumed",
            None,
            None,
        ),
        (lambda: reach_from_feel(0.085), 0.075, 0.010, "assumed", None, None),
        (lambda: swollen_knuckles_loss(5), 0.140, 0.0625, "found", None, None),  # Rydholm 2019: 2.8 points a joint
        (lambda: ONE.scaled(0.5, source="half", basis="derived"), 0.4, 0.02, "derived", None, None),
        (lambda: ONE.scaled(0.5, 0.12, source="half", basis="derived"), 0.4, 0.4 * 0.13, "derived", None, None),
        (lambda: dynamometer_strength(300.0).grip, 300.0, 30.0, "measured", None, None),
        (lambda: painless_strength(300.0, 12.0).grip, 300.0, 12.0, "measured", None, None),
        (
            lambda: (
                lever_scale_strength(
                    force=120.0, hook_radius=0.10, finger_radius=0.08, span_factor=ONE, reading_spread=0.07
                ).grip
            ),
            187.5,
            187.5 * relative(0.10, 0.05, 0.07),
            "measured",
            None,
            None,
        ),
    ],
    ids=lambda value: str(value) if isinstance(value, float | str) else "",
)
def test_value_spread_basis_and_range(make, value, u, basis, low, high):
    estimate = make()
    assert estimate.value == pytest.approx(value)
    assert estimate.u == pytest.approx(u)
    assert estimate.basis == basis
    assert (estimate.low, estimate.high) == (low, high)
    assert isinstance(estimate.source, str)
    assert estimate.source


def test_the_spread_of_other_fingers_goes_with_what_is_missing():
    """0 with four fingers, 0.07 with index and middle, which miss 0.45: in proportion between and beyond."""
    for pulling in (("index", "middle", "ring"), ("middle", "ring"), ("index",)):
        factor = fingers_factor(pulling)
        assert factor.u == pytest.approx(0.07 * (1.0 - factor.value) / 0.45)
        assert factor.source.startswith("assumed")


def test_all_neighbouring_fingers_are_taken():
    for first in range(4):
        for last in range(first + 1, 5):
            names = FINGERS[first:last]
            assert checked_fingers(names[::-1]) == names


def test_impossible_fingers_are_named():
    with pytest.raises(InputError, match=r"^fingers = \['index', 'ring'\]"):
        checked_fingers(("index", "ring"))
    with pytest.raises(InputError, match=r"^pulling = \[\]"):
        checked_fingers((), "pulling")


def test_uncertain_angles_add_half_the_change_over_them_both_ways():
    """At 40 degrees of extension and 25 of deviation the table falls 0.25 in 10 degrees and 0.25 in 25 degrees."""
    got = wrist_factor(40 * DEGREE, 25 * DEGREE, 2 * DEGREE)
    bent, turned = 1.0 - 0.25 * 5 / 10, 1.0 - 0.25 * 10 / 25
    assert got.value == pytest.approx(bent * turned)
    assert got.relative == pytest.approx(relative(0.15, 0.25 * 2 / 10 / bent, 0.25 * 2 / 25 / turned))


def test_an_uncertain_angle_at_a_corner_counts_one_side_only():
    """At 35 degrees nothing changes below; 2 degrees above take 0.05, half of which counts. At 15, 0.02."""
    got = wrist_factor(35 * DEGREE, 15 * DEGREE, 2 * DEGREE)
    assert got.value == pytest.approx(1.0)
    assert got.relative == pytest.approx(relative(0.15, 0.025, 0.01))


@pytest.mark.parametrize(("trial", "apart"), [(10.0, 1.0), (38.0, 7.0 / 35.0), (45.0, 0.0)])
def test_a_changed_wrist_counts_as_the_ratio_of_its_factors(trial, apart):
    """Now 45 degrees: 0.75, and deviation of 40: 0.75 both times. Spread grows over 35 degrees, and no further."""
    got = wrist_change(45 * DEGREE, trial * DEGREE, 40 * DEGREE)
    then = {10.0: 1.0, 38.0: 1.0 - 0.25 * 3 / 10, 45.0: 0.75}[trial]
    assert got.value == pytest.approx(0.75 / then)
    assert got.relative == pytest.approx(0.15 * apart)
    assert (got.basis, isinstance(got.source, str)) == ("memory", True)


def test_an_uncertain_angle_makes_a_changed_wrist_less_sure():
    sure, unsure = (wrist_change(40 * DEGREE, 0.0, 25 * DEGREE, u * DEGREE) for u in (0.0, 2.0))
    bent, turned = 0.875, 0.9
    assert sure.relative == pytest.approx(0.15)
    assert unsure.value == sure.value
    assert unsure.relative == pytest.approx(relative(0.15, 0.05 / bent, 0.02 / turned))


def test_capacity_is_the_product_of_all_shares():
    hand = Hand(
        strength=1000.0,
        optimum_span=0.055,
        span_slope=20.0,
        fingers=0.5,
        wrist=0.8,
        forearm=0.75,
        side=0.9,
        glove=0.85,
        condition=0.6,
        reach=0.09,
        finger_thickness=0.015,
    )
    assert capacity(hand, 0.050) == pytest.approx(1000.0 * 0.5 * 0.8 * 0.75 * 0.9 * 0.85 * 0.6)
    assert capacity(hand, 0.065) == pytest.approx(1000.0 * 0.5 * 0.8 * 0.75 * 0.9 * 0.85 * 0.6 * 0.8)  # 2 % a mm


def woman(**changes) -> HandFacts:
    known = {
        "strength": norm_strength("woman", 40),
        "sex": "woman",
        "hand_span": Estimate(0.190, 0.010, "own", "measured"),
        "pulling": ("index", "middle"),
        "wrist_extension": 40 * DEGREE,
        "wrist_deviation": 25 * DEGREE,
        "wrist_uncertainty": 2 * DEGREE,
    }
    return HandFacts(**known | changes)


def test_an_estimated_hand_takes_every_answer():
    parts = estimate_hand(woman()).parts
    assert parts["optimum_span"].value == pytest.approx(0.053)
    assert parts["wrist"].value == pytest.approx(0.875 * 0.9)
    assert parts["wrist"].relative == pytest.approx(relative(0.15, 0.05 / 0.875, 0.02 / 0.9))
    assert parts["forearm"].value == pytest.approx(22.3 / 27.4)  # Fan 2018
    assert parts["side"].value == 0.945  # Massy-Westropp 2011
    assert parts["glove"].value == 0.85
    assert parts["reach"].value == pytest.approx(0.47 * 0.1809)  # ANSUR II, from memory
    assert parts["finger_thickness"].value == 0.015
    bare = estimate_hand(woman(gloved=False, dominant=True, pronated=False)).parts
    assert [bare[name].value for name in ("glove", "side", "forearm")] == [1.0, 1.0, 1.0]
    assert estimate_hand(woman()).nominal().pulling == ("index", "middle")
    assert estimate_hand(woman()).drawn({}).pulling == ("index", "middle")


def test_a_strength_measured_in_place_counts_the_wrist_as_a_change():
    strength = lever_scale_strength(force=90.0, hook_radius=0.1, finger_radius=0.1, span_factor=ONE)
    parts = estimate_hand(woman(strength=strength, trial_extension=0.0)).parts
    assert parts["wrist"].value == pytest.approx(0.875)  # the deviation was the same
    assert parts["wrist"].relative == pytest.approx(relative(0.15, 0.05 / 0.875, 0.02 / 0.9))
    for same in (None, 40 * DEGREE):
        contained = estimate_hand(woman(strength=strength, trial_extension=same)).parts["wrist"]
        assert (contained.value, contained.u, contained.basis) == (1.0, 0.0, "measured")
        assert contained.source.startswith("contained in the strength: own pull")
    by_norms = estimate_hand(woman(trial_extension=0.0)).parts
    assert by_norms["wrist"].value == pytest.approx(0.875 * 0.9)


def test_the_spread_of_the_capacity_adds_by_squares():
    """Below the best span strength and factors alone; 10 mm beyond it 10 % +/- 3 % and 1 % for each mm of optimum."""
    hand = estimate_hand(woman(wrist_uncertainty=0.0))
    scale = relative(*(hand.parts[name].relative for name in ("strength", "fingers", "forearm", "side", "glove")), 0.15)
    assert hand.relative_spread(0.050) == pytest.approx(scale)
    beyond = relative(scale, 0.010 * 3.0 / 0.9, 10.0 * hypot(0.005, 0.002) / 0.9)
    assert hand.relative_spread(0.063) == pytest.approx(beyond)
    steep = replace(hand, parts={**hand.parts, "span_slope": Estimate(20.0, 3.0, "", "measured")})
    beyond = relative(scale, 0.010 * 3.0 / 0.8, 20.0 * hypot(0.005, 0.002) / 0.8)
    assert steep.relative_spread(0.063) == pytest.approx(beyond)


def test_drawn_hands_are_stronger_where_the_deviate_is_above_nought():
    low, middle, high = ONE.drawn(np.array([-1.0, 0.0, 1.0]))
    assert low < middle == 0.8 < high
    assert high / middle == pytest.approx(middle / low)


def test_the_ends_of_the_norms_are_percentiles_too():
    """Percentiles of 5 and 95 have deviates of -1.645 and 1.645 (tables of the normal distribution)."""
    for percentile, deviate in ((5.0, -1.6449), (95.0, 1.6449)):
        assert norm_deviate("man", 42, norm_grip("man", 42, percentile)) == pytest.approx(deviate, abs=1e-4)


def test_a_refused_grip_names_the_ends_of_the_norms():
    low, high = norm_grip("woman", 67, 5.0), norm_grip("woman", 67, 95.0)
    says = rf"grip = 785 N: .* cover {low:.0f} to {high:.0f} N \(5 to 95 %\)"
    with pytest.raises(ModelRangeError, match=says):
        norm_deviate("woman", 67, 80.0 * KILOGRAM_FORCE)


def test_a_known_percentile_moves_the_norm():
    for percentile in (None, 20.0):
        strength = norm_strength("man", 42, percentile).grip
        assert strength.value == pytest.approx(norm_grip("man", 42, 50.0 if percentile is None else percentile))
        assert strength.source
    people, median = norm_spread("man", 42), norm_grip("man", 42)
    assert norm_strength("man", 42).grip.u == pytest.approx(hypot(people, 0.07 * median))
    assert [norm_strength(sex, age).grip.basis for sex, age in (("man", None), (None, 42))] == ["derived", "derived"]
