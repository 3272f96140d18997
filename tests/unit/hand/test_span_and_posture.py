import numpy as np
import pytest

from clutchwright.errors import InputError, ModelRangeError
from clutchwright.hand.condition import CONDITIONS, condition_factor, swollen_knuckles_loss
from clutchwright.hand.fingers import FINGER_SHARES, FINGERS, checked_fingers, fingers_factor, share
from clutchwright.hand.posture import forearm_factor, glove_factor, side_factor, wrist_change, wrist_factor
from clutchwright.hand.span import (
    FINGER_THICKNESSES,
    HAND_LENGTHS,
    beyond_tested,
    optimum_span,
    reach_from_feel,
    reach_from_length,
    span_factor,
    span_factor_estimate,
    stop_span,
    typical,
)


def test_the_span_factor_is_one_up_to_the_best_span_and_never_below_its_floor():
    assert span_factor(np.array([0.02, 0.055]), 0.055) == pytest.approx([1.0, 1.0])
    assert span_factor(0.12, 0.055, 30.0) == 0.3


def test_a_span_beyond_the_model_is_refused_and_an_untested_one_flagged():
    with pytest.raises(ModelRangeError, match=r"span = 130 mm.*not used beyond 125 mm"):
        span_factor(np.array([0.08, 0.13]), 0.055)
    assert beyond_tested(np.array([0.09, 0.11])).tolist() == [False, True]


def test_arrays_and_samples_give_what_floats_give():
    spans = np.linspace(0.03, 0.12, 7)
    optima = np.array([[0.050], [0.055]])
    table = span_factor(spans, optima)
    assert table.shape == (2, 7)
    for i, optimum in enumerate((0.050, 0.055)):
        assert table[i] == pytest.approx([span_factor(float(span), optimum) for span in spans])


def test_men_have_one_best_span_and_others_go_by_their_hand():
    assert optimum_span("man").value == 0.055
    assert optimum_span("woman").value < optimum_span(None).value < optimum_span("man").value


def test_below_the_best_span_nothing_is_open():
    assert span_factor_estimate(0.04, optimum_span("man")).u == 0.0


def test_unknown_sex_mixes_both_and_keeps_the_difference():
    mixed = typical(HAND_LENGTHS, None)
    assert mixed.value == pytest.approx((0.1934 + 0.1809) / 2)
    half = (0.1934 - 0.1809) / 2  # mean of the variances within, and half the difference squared
    assert mixed.u == pytest.approx(((0.0099**2 + 0.0097**2) / 2 + half**2) ** 0.5)
    assert mixed.basis == "derived"
    assert mixed.source.endswith("sex not given")
    assert typical(FINGER_THICKNESSES, None).basis == "assumed"


def test_reach_is_marked_as_assumed():
    reach = reach_from_length(HAND_LENGTHS["woman"])
    assert reach.basis == "assumed"
    assert 0.070 < reach.value < 0.100
    assert reach_from_feel(0.085).value == pytest.approx(0.075)
    assert reach_from_feel(0.085).basis == "assumed"


def test_fingers_left_on_the_grip_stop_the_lever():
    assert stop_span(0.045, 0.016, FINGERS) == 0.045
    assert stop_span(0.045, 0.016, ("index", "middle")) == pytest.approx(0.061)


def test_finger_shares_are_parts_of_a_whole():
    """G2-16, found: Li 2002, J Hand Surg Am 27:886, adds up to 100 %."""
    assert sum(FINGER_SHARES["Li 2002, J Hand Surg Am 27:886"]) == pytest.approx(100.0, abs=0.05)
    assert share(FINGERS) == pytest.approx(1.0)


def test_two_fingers_are_the_measured_value_and_four_are_all():
    assert fingers_factor(("index", "middle")).value == 0.55
    assert fingers_factor(FINGERS).value == 1.0
    three = fingers_factor(("index", "middle", "ring"))
    assert 0.55 < three.value < share(("index", "middle", "ring"))
    assert three.basis == "assumed"


def test_names_of_fingers_are_put_in_order():
    assert checked_fingers(("middle", "index")) == ("index", "middle")


@pytest.mark.parametrize("names", [(), ("thumb",), ("index", "ring"), ("index", "index")])
def test_impossible_fingers_are_refused(names):
    with pytest.raises(InputError, match="neighbouring fingers"):
        checked_fingers(names)


@pytest.mark.parametrize(
    ("extension", "deviation", "factor"),
    [
        (0, 0, 1.0),
        (35, 0, 1.0),
        (20, 15, 1.0),
        (-45, 0, 0.60),
        (65, 0, 0.63),
        (0, 40, 0.75),
        (0, -25, 0.80),
        (45, 40, 0.5625),
    ],
)
def test_wrist_table(extension, deviation, factor):
    """Putz-Anderson 1988 after Terrell & Purswell 1976, from memory."""
    got = wrist_factor(np.deg2rad(extension), np.deg2rad(deviation))
    assert got.value == pytest.approx(factor)
    assert got.relative == pytest.approx(0.15)


@pytest.mark.parametrize(
    ("angles", "message"), [((70, 0), r"extension = 70°.*-65 to 65°"), ((0, -30), "deviation = -30°")]
)
def test_wrist_angles_outside_the_table_are_refused(angles, message):
    with pytest.raises(ModelRangeError, match=message):
        wrist_factor(*np.deg2rad(angles))


def test_what_is_not_there_costs_nothing():
    for factor in (forearm_factor("man", pronated=False), side_factor("man", dominant=True), glove_factor(False)):
        assert (factor.value, factor.u) == (1.0, 0.0)
    assert 0.80 <= glove_factor(True).value <= 0.90


def test_conditions_are_known_by_key():
    assert len({condition.key for condition in CONDITIONS}) == len(CONDITIONS)
    assert condition_factor("none", FINGERS).value == 1.0
    with pytest.raises(InputError, match="known: none, rheumatoid_early"):
        condition_factor("gout", FINGERS)


def test_at_the_base_of_the_thumb_fewer_fingers_lose_less():
    """Villafane 2014, HAND 9:191, found: 45.6, 35.5 and 28.8 % lost."""
    sets = (FINGERS, ("index", "middle", "ring"), ("index", "middle"))
    lost = [1.0 - condition_factor("thumb_base", pulling).value for pulling in sets]
    assert lost == pytest.approx([0.456, 0.355, 0.288])


def test_a_hand_has_five_knuckles():
    assert swollen_knuckles_loss(0).value == 0.0
    with pytest.raises(ModelRangeError, match="five knuckle joints"):
        swollen_knuckles_loss(6)


def test_an_uncertain_wrist_angle_adds_to_the_spread_on_the_slope_only():
    """From 45 to 65 degrees the table falls by 0.12, so 5 degrees are worth 0.03 there, and nothing on the flat."""
    u, deviation = np.radians(5.0), np.radians(7.0)
    assert wrist_factor(np.radians(20.0), deviation, u).relative == pytest.approx(0.15)
    steep = wrist_factor(np.radians(55.0), deviation, u)
    assert steep.relative == pytest.approx(np.hypot(0.15, 0.03 / 0.69))


def test_a_wrist_as_in_the_trial_changes_nothing_and_one_far_from_it_by_the_table():
    assert wrist_change(0.3, 0.3).value == 1.0
    assert wrist_change(0.3, 0.3).u == 0.0
    away = wrist_change(np.radians(45.0), np.radians(10.0))
    assert (away.value, away.relative) == (pytest.approx(0.75), pytest.approx(0.15))
    assert 0.0 < wrist_change(np.radians(45.0), np.radians(40.0)).relative < 0.15
