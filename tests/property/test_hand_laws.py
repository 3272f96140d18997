"""Laws of the hand that no setting may break."""

from dataclasses import replace

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from clutchwright.hand.acceptable import acceptable_effort, greatest_duty
from clutchwright.hand.condition import CONDITIONS
from clutchwright.hand.day import effort_for, riding_time
from clutchwright.hand.effort import effort
from clutchwright.hand.fatigue import GRIP, fatigue
from clutchwright.hand.fingers import FINGERS
from clutchwright.hand.hand import HandFacts, capacity, estimate_hand
from clutchwright.hand.riding import own_riding
from clutchwright.hand.strain import revised_strain_index
from clutchwright.hand.strength import norm_grip, norm_strength
from tests.strategies import LAW, between

NEIGHBOURS = [FINGERS[i:j] for i in range(4) for j in range(i + 1, 5)]
SUBSETS = [(few, many) for few in NEIGHBOURS for many in NEIGHBOURS if set(few) < set(many)]


@st.composite
def ridings(draw):
    hold = draw(between(0.2, 20.0))
    return own_riding(draw(between(5.0, 3600.0 / hold)), hold)


@st.composite
def hand_facts(draw):
    sex = draw(st.sampled_from(["man", "woman", None]))
    age = draw(st.none() | between(20.0, 84.0))
    return HandFacts(
        strength=norm_strength(sex, age, draw(st.none() | between(5.0, 95.0))),
        sex=sex,
        pulling=draw(st.sampled_from(NEIGHBOURS)),
        dominant=draw(st.booleans()),
        pronated=draw(st.booleans()),
        wrist_extension=draw(between(-1.1, 1.1)),
        wrist_deviation=draw(between(-0.4, 0.6)),
        gloved=draw(st.booleans()),
        condition=draw(st.sampled_from([condition.key for condition in CONDITIONS])),
    )


@LAW
@given(ridings(), between(0.0, 0.5), between(0.01, 1.5), between(1e-6, 0.5))
def test_more_pull_never_gives_more_hours(riding, spread, share, more):
    light, heavy = riding_time(share, riding, spread), riding_time(share + more, riding, spread)
    assert heavy.p50 <= light.p50
    assert heavy.p10 <= light.p10 * (1.0 + 1e-12)


@LAW
@given(ridings(), between(0.0, 0.5), between(0.01, 1.2))
def test_one_in_ten_never_has_more_hours_than_the_median(riding, spread, share):
    time = riding_time(share, riding, spread)
    assert 0.0 <= time.p10 <= time.p50 <= 28800.0


@LAW
@given(ridings(), between(0.0, 0.5), between(360.0, 28000.0), between(1.0, 800.0))
def test_more_hours_never_allow_more_pull(riding, spread, time, more):
    short, long = effort_for(time, riding, spread), effort_for(time + more, riding, spread)
    assert long[0] <= short[0]
    assert long[1] <= short[1]


@LAW
@given(hand_facts(), between(0.02, 0.125), between(0.0, 0.105))
def test_a_wider_span_never_gives_more_capacity(facts, span, wider):
    hand = estimate_hand(facts).nominal()
    spans = np.array([span, min(span + wider, 0.125)])
    assert np.diff(capacity(hand, spans))[0] <= 0.0


@LAW
@given(hand_facts(), st.sampled_from(SUBSETS), between(0.02, 0.12))
def test_fewer_fingers_never_give_more_capacity(facts, subset, span):
    few, many = (estimate_hand(replace(facts, pulling=pulling)).nominal() for pulling in subset)
    assert capacity(few, span) <= capacity(many, span)


@LAW
@given(hand_facts(), between(1.0, 300.0), between(0.0, 1.0))
def test_holding_never_takes_more_effort_than_pulling(facts, pull, kept):
    spans = np.linspace(0.1, 0.04, 9)
    got = effort(estimate_hand(facts).nominal(), span=spans, pull=np.full(9, pull), release=np.full(9, kept * pull))
    assert got.hold <= got.hold_before_slip <= got.peak


@LAW
@given(st.sampled_from(["man", "woman"]), between(20.0, 84.0), between(5.0, 94.0), between(0.0, 1.0))
def test_a_higher_percentile_is_never_weaker(sex, age, percentile, more):
    assert norm_grip(sex, age, percentile + more) >= norm_grip(sex, age, percentile)


@LAW
@given(between(1e-4, 1.0))
def test_acceptable_effort_and_duty_are_each_other_s_reverse(duty):
    assert abs(greatest_duty(acceptable_effort(duty)) - duty) <= 1e-9


@LAW
@given(st.lists(st.tuples(between(0.0, 300.0), between(0.0, 1.2)), min_size=1, max_size=20))
def test_the_muscle_s_parts_stay_between_none_and_all(pieces):
    durations, efforts = np.array(pieces).T
    trace = fatigue(durations, efforts, GRIP)
    for part in (trace.active, trace.fatigued, 1.0 - trace.active - trace.fatigued):
        assert part.min() >= -1e-12
        assert part.max() <= 1.0 + 1e-12


@LAW
@given(between(0.01, 1.0), between(0.0, 1.0), between(1.0, 600.0), between(0.0, 600.0))
def test_more_effort_never_leaves_less_fatigue(share, less, held, rest):
    durations = np.array([held, rest])
    heavy, light = (fatigue(durations, np.array([e, 0.0]), GRIP).fatigued for e in (share, share * less))
    assert np.all(light <= heavy + 1e-9)


@LAW
@given(between(0.0, 1.0), between(0.0, 1.0), between(0.001, 1.0), between(0.1, 30.0), between(360.0, 28800.0))
def test_the_strain_index_rises_with_effort(one, other, rate, hold, time):
    low, high = (
        revised_strain_index(effort=share, rate=rate, hold=hold, wrist_extension=0.0, time=time)
        for share in sorted((one, other))
    )
    assert low <= high
