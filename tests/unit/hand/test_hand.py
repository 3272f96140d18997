"""Capacity and effort; the composite example shows that the parts are put together, its product is an assumption."""

from dataclasses import fields, replace

import numpy as np
import pytest

from clutchwright.errors import InputError, ModelRangeError
from clutchwright.hand.acceptable import acceptable_effort
from clutchwright.hand.condition import condition_factor
from clutchwright.hand.effort import effort, reach, target_pull
from clutchwright.hand.estimate import Estimate
from clutchwright.hand.fingers import FINGERS
from clutchwright.hand.hand import FACTORS, Hand, HandFacts, capacity, estimate_hand
from clutchwright.hand.norms import KILOGRAM_FORCE
from clutchwright.hand.riding import RIDINGS
from clutchwright.hand.span import optimum_span, span_factor_estimate
from clutchwright.hand.strength import dynamometer_strength, lever_scale_strength, norm_grip, norm_strength

COMPOSITE = Hand(
    strength=26.2 * KILOGRAM_FORCE,
    optimum_span=0.055,
    span_slope=10.0,
    fingers=1.0,
    wrist=1.0,
    forearm=0.81,
    side=0.945,
    glove=1.0,
    condition=1.0,
    reach=0.085,
    finger_thickness=0.015,
)
TWO_FINGERS = replace(COMPOSITE, fingers=0.55, pulling=("index", "middle"))
SPAN = 0.080


@pytest.mark.parametrize(
    ("row", "got", "expected", "tolerance"),
    [
        ("GC-01", lambda: capacity(COMPOSITE, SPAN), 147.5, 0.2),
        ("GC-02", lambda: capacity(TWO_FINGERS, SPAN), 81.1, 0.2),
        ("GC-03", lambda: 98.0 / capacity(COMPOSITE, SPAN), 0.664, 0.002),
        ("GC-04", lambda: 36.0 / capacity(COMPOSITE, SPAN), 0.244, 0.002),
        ("GC-05", lambda: 98.0 / capacity(TWO_FINGERS, SPAN), 1.208, 0.003),
        ("GC-06", lambda: capacity(COMPOSITE, SPAN) * acceptable_effort(RIDINGS["town"].duty), 51.9, 0.2),
        ("GC-07", lambda: capacity(COMPOSITE, SPAN) * acceptable_effort(RIDINGS["town_held"].duty), 29.5, 0.2),
        (
            "G7-05",
            lambda: norm_grip("woman", 62) * condition_factor("thumb_base", FINGERS).value,
            139.8,
            0.1,
        ),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_plumbing_of_the_assumed_product(row, got, expected, tolerance):
    """Products of published factors, their independence assumed; nobody published the products."""
    assert got() == pytest.approx(expected, abs=tolerance), row


def facts(**changes):
    return HandFacts(**{"strength": norm_strength("woman", 40), "sex": "woman"} | changes)


def test_an_estimated_hand_has_every_number_of_a_hand():
    parts = estimate_hand(facts()).parts
    assert set(parts) == {field.name for field in fields(Hand)} - {"pulling"}
    assert set(FACTORS) < set(parts)


def test_what_a_reading_contains_is_not_counted_twice():
    hand = estimate_hand(facts(strength=dynamometer_strength(250.0), condition="thumb_base"))
    assert hand.nominal().condition == 1.0
    assert hand.nominal().side == 1.0
    assert hand.nominal().forearm < 1.0
    in_place = lever_scale_strength(
        force=100.0, hook_radius=0.1, finger_radius=0.1, span_factor=Estimate(0.8, 0.05, "", "measured")
    )
    nominal = estimate_hand(facts(strength=in_place, pulling=("index", "middle"))).nominal()
    assert all(getattr(nominal, name) == 1.0 for name in FACTORS)


def test_a_pull_measured_on_the_lever_is_the_capacity_there():
    factor = span_factor_estimate(0.078, optimum_span("woman"))
    strength = lever_scale_strength(force=90.0, hook_radius=0.11, finger_radius=0.09, span_factor=factor)
    hand = estimate_hand(facts(strength=strength)).nominal()
    assert capacity(hand, 0.078) == pytest.approx(90.0 * 0.11 / 0.09)


def test_the_rider_s_own_condition_is_used():
    own = Estimate(0.7, 0.1, "set by the rider", "measured")
    assert estimate_hand(facts(condition=own)).nominal().condition == 0.7
    with pytest.raises(InputError, match="condition = 'broken'"):
        estimate_hand(facts(condition="broken"))


def test_assumed_parts_are_listed():
    assert estimate_hand(facts()).assumed() == ("reach", "finger_thickness")
    measured = Estimate(0.08, 0.002, "own", "measured")
    assert estimate_hand(facts(reach=measured, finger_thickness=measured)).assumed() == ()


def test_the_spread_matches_sampling():
    hand = estimate_hand(facts(strength=norm_strength("woman", 40, 40), pulling=("index", "middle")))
    rng = np.random.default_rng(4)
    deviates = {name: rng.standard_normal((100_000, 1)) for name in hand.parts}
    spans = np.array([0.045, 0.080])
    drawn = capacity(hand.drawn(deviates), spans)
    assert drawn.shape == (100_000, 2)
    nominal = capacity(hand.nominal(), spans)
    assert hand.relative_spread(spans)[1] == pytest.approx(drawn[:, 1].std() / nominal[1], rel=0.1)
    assert np.median(drawn[:, 1]) == pytest.approx(nominal[1], rel=0.02)


def test_an_undrawn_part_stays_nominal():
    hand = estimate_hand(facts())
    drawn = hand.drawn({"strength": np.zeros((3, 1))})
    assert drawn.wrist == hand.nominal().wrist
    assert drawn.strength == pytest.approx(np.full((3, 1), hand.nominal().strength))


def test_a_span_beyond_the_model_is_refused():
    with pytest.raises(ModelRangeError, match="span = 140 mm"):
        capacity(COMPOSITE, np.array([0.08, 0.14]))


SPANS = np.array([0.080, 0.065, 0.050])
PULL = np.array([60.0, 80.0, 70.0])
RELEASE = np.array([40.0, 55.0, 45.0])


def test_effort_is_pull_over_capacity_at_each_position():
    got = effort(COMPOSITE, span=SPANS, pull=PULL, release=RELEASE)
    base = 26.2 * KILOGRAM_FORCE * 0.81 * 0.945
    able = base * np.array([0.75, 0.90, 1.0])
    assert got.capacity == pytest.approx(able)
    assert got.peak == pytest.approx(max(PULL / able))
    assert got.hold == pytest.approx(45.0 / able[-1])
    assert got.hold_before_slip == pytest.approx(70.0 / able[-1])
    assert got.pulling == pytest.approx(PULL / able)
    assert got.holding == pytest.approx(RELEASE / able)
    assert effort(COMPOSITE, span=SPANS, pull=PULL, release=RELEASE, held=1).hold == pytest.approx(55.0 / able[1])


def test_the_target_pull_has_the_wanted_share():
    today = effort(COMPOSITE, span=SPANS, pull=PULL, release=RELEASE)
    target = target_pull(today, pull=PULL, share=0.3)
    scaled = effort(COMPOSITE, span=SPANS, pull=PULL * target / PULL.max(), release=RELEASE)
    assert scaled.peak == pytest.approx(0.3)


def test_sampled_hands_have_sampled_efforts():
    strengths = np.array([[200.0], [300.0]])
    got = effort(replace(COMPOSITE, strength=strengths), span=SPANS, pull=PULL, release=RELEASE)
    assert got.pulling.shape == (2, 3)
    single = effort(replace(COMPOSITE, strength=300.0), span=SPANS, pull=PULL, release=RELEASE)
    assert got.peak[1] == pytest.approx(single.peak)
    pulls = np.array([PULL, 2.0 * PULL])
    both = effort(COMPOSITE, span=SPANS, pull=pulls, release=RELEASE)
    targets = target_pull(both, pull=pulls, share=0.3)
    assert targets[0] == pytest.approx(targets[1])  # the hand is the same


@pytest.mark.parametrize(
    ("rest", "release", "reaches", "releases"),
    [
        (0.080, 0.065, True, True),
        (0.090, 0.065, False, True),
        (0.080, 0.055, True, False),
        (0.095, 0.090, False, False),
        (0.085, 0.060, True, True),  # both just so
    ],
)
def test_reach(rest, release, reaches, releases):
    got = reach(TWO_FINGERS, rest_span=rest, release_span=release, bare_stop=0.045)
    assert (bool(got.reaches), bool(got.releases)) == (reaches, releases)
    assert got.stop_span == pytest.approx(0.060)


def test_with_four_fingers_nothing_is_in_the_way():
    assert reach(COMPOSITE, rest_span=0.08, release_span=0.055, bare_stop=0.045).releases
