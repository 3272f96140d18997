import numpy as np
import pytest

from clutchwright.errors import InputError, ModelRangeError
from clutchwright.hand.acceptable import POTVIN_SPREAD, acceptable_effort, greatest_duty, rohmert_rest
from clutchwright.hand.day import (
    MODEL_DISAGREEMENT,
    effort_for,
    possible_times,
    ride_day,
    ride_fatigue,
    riding_time,
)
from clutchwright.hand.fatigue import Muscle
from clutchwright.hand.riding import RIDINGS, Riding, own_riding, parse_riding, riding_by_key
from clutchwright.hand.strain import (
    activity_action_limit,
    duration_multiplier,
    frequency_multiplier,
    hours_multiplier,
    intensity_multiplier,
    posture_multiplier,
    revised_strain_index,
)

TOWN = RIDINGS["town"]
HOUR = 3600.0


def test_only_the_urban_cycle_is_not_an_assumption():
    assert {key for key, riding in RIDINGS.items() if not riding.assumed} == {"town", "town_neutral", "town_held"}
    assert all(RIDINGS[key].basis == "derived" for key in ("town", "town_neutral", "town_held"))


def test_own_riding_counts():
    riding = own_riding(120.0, 3.0)
    assert riding.duty == pytest.approx(0.1)
    assert not riding.assumed


@pytest.mark.parametrize(
    ("pulls", "hold", "message"),
    [
        (0.0, 2.0, "pulls an hour"),
        (60.0, 0.0, "hold time"),
        (60.0, float("nan"), "hold time"),
        (600.0, 7.0, "leave 6 s"),
    ],
)
def test_impossible_riding_is_refused(pulls, hold, message):
    with pytest.raises(InputError, match=message):
        own_riding(pulls, hold)


def test_an_unknown_riding_names_the_known():
    with pytest.raises(InputError, match="known: town, town_neutral"):
        riding_by_key("moon")


def test_duty_and_effort_outside_the_model_are_refused():
    with pytest.raises(ModelRangeError, match="duty cycle = 1e-06"):
        acceptable_effort(1e-6)
    with pytest.raises(ModelRangeError, match=r"effort share = 1\.2"):
        greatest_duty(1.2)
    with pytest.raises(ModelRangeError, match=r"effort share = 1\.2"):
        intensity_multiplier(1.2)


def test_no_effort_is_acceptable_all_the_time():
    assert greatest_duty(0.0) == 1.0


def test_the_effort_acceptable_all_day_lasts_eight_hours():
    effort = float(acceptable_effort(TOWN.duty))
    assert riding_time(effort, TOWN).p50 == pytest.approx(8 * HOUR, rel=1e-3)
    assert riding_time(0.9 * effort, TOWN).p50 == 8 * HOUR


def test_half_the_duty_gives_twice_the_time():
    whole, half = (riding_time(0.6, own_riding(pulls, 3.0), 0.1) for pulls in (200.0, 100.0))
    assert half.p50 == pytest.approx(2 * whole.p50)
    assert half.p10 == pytest.approx(2 * whole.p10)


def test_the_ten_per_cent_value_carries_at_least_the_disagreement_of_models():
    time = riding_time(0.5, TOWN)
    assert time.p10 < time.p50 / MODEL_DISAGREEMENT**0.5
    assert riding_time(0.5, TOWN, 0.2).p10 < time.p10
    assert riding_time(0.5, TOWN, 0.2).p50 == time.p50


def test_more_than_the_hand_can_do_gives_no_time():
    for effort in (1.0, 1.5):
        time = riding_time(effort, TOWN, 0.1)
        assert (time.p50, time.p10) == (0.0, 0.0)


def test_one_pull_too_long_gives_no_time():
    once = Riding("own", 1.0 / HOUR, 300.0, "own count", "measured")
    assert riding_time(0.5, once).p50 == 0.0
    assert riding_time(0.2, once).p50 > 0.0


def test_arrays_of_efforts_give_what_floats_give():
    efforts = np.linspace(0.05, 1.2, 24)
    times = riding_time(efforts, TOWN, 0.15)
    singles = [riding_time(float(effort), TOWN, 0.15) for effort in efforts]
    assert times.p50.tolist() == [time.p50 for time in singles]
    assert times.p10.tolist() == [time.p10 for time in singles]


@pytest.mark.parametrize("key", RIDINGS)
@pytest.mark.parametrize("hours", [0.5, 4.0, 8.0])
def test_the_target_effort_lasts_as_long_as_wanted_and_no_greater_one_does(key, hours):
    riding = RIDINGS[key]
    median, nine_in_ten = effort_for(hours * HOUR, riding, 0.1)
    assert 0.0 < nine_in_ten < median < 1.0
    assert riding_time(median, riding, 0.1).p50 >= hours * HOUR
    assert riding_time(nine_in_ten, riding, 0.1).p10 >= hours * HOUR
    assert riding_time(median + 1e-6, riding, 0.1).p50 < hours * HOUR
    assert riding_time(nine_in_ten + 1e-6, riding, 0.1).p10 < hours * HOUR


def test_a_lever_hardly_let_go_has_no_acceptable_effort_for_nine_in_ten():
    always = own_riding(60.0, 59.0)
    assert effort_for(8 * HOUR, always) == (pytest.approx(0.004, abs=0.001), 0.0)


@pytest.mark.parametrize("hours", [0.0, 8.1, float("nan")])
def test_times_outside_the_day_are_refused(hours):
    with pytest.raises(InputError, match=r"from 0\.1 h to 8 h"):
        effort_for(hours * HOUR, TOWN)


def test_fatigue_of_a_ride_ends_after_its_pulls():
    trace = ride_fatigue(0.3, TOWN, HOUR)
    assert len(trace.time) == 2 * int(HOUR * TOWN.rate) + 1
    assert trace.remaining[0] == 1.0
    assert 0.0 < trace.fatigued[-1] < 0.2


def test_a_day_puts_all_opinions_side_by_side():
    day = ride_day(peak=0.4, hold=0.3, riding=TOWN, time=4 * HOUR, spread=0.2)
    assert day.tires
    assert day.duty == TOWN.duty
    shortest, middle, longest = day.holding_times
    assert shortest < middle < longest
    assert day.failed_at == np.inf
    assert day.strain_index is not None


@pytest.mark.parametrize("hold", [0.4, 1.1])
def test_a_lever_that_cannot_be_pulled_in_is_not_held_either(hold):
    day = ride_day(peak=1.3, hold=hold, riding=TOWN, time=HOUR)
    opinions = (day.strain_index, day.holding_times, day.failed_at, day.remaining_capacity, day.mean_effort_share)
    assert opinions == (None,) * 5
    assert not day.pulled
    assert day.time.p50 == 0.0


def test_a_lever_that_holds_itself_tires_nobody_while_held():
    day = ride_day(peak=0.3, hold=0.0, riding=TOWN, time=HOUR)
    assert day.holding_times == (np.inf, np.inf, np.inf)
    assert day.remaining_capacity == 1.0


def test_second_opinions_use_at_least_the_least_activity():
    """ACGIH 2018 at level 1, found: the limit is 5.04."""
    assert ride_day(peak=0.504, hold=0.3, riding=TOWN, time=HOUR).peak_force_index == pytest.approx(1.0)


def test_possible_times_of_an_ordinary_draw_are_the_median():
    efforts = np.array([0.2, 0.5, 0.9, 1.0, 1.3])
    times = possible_times(efforts, TOWN, np.zeros((2, 5)))
    assert times == pytest.approx(riding_time(efforts, TOWN).p50)
    assert times[-2:].tolist() == [0.0, 0.0]


def test_the_models_disagree_by_their_factor_between_one_in_ten_and_nine_in_ten():
    """A deviate of -1.2816 is one in ten: there the time is shorter by the root of 2.3, at 1.2816 longer by it."""
    tenths = np.array([[0.0, 0.0, 0.0], [-1.2815515655, 0.0, 1.2815515655]])
    low, middle, high = possible_times(np.full(3, 0.5), TOWN, tenths)
    assert middle / low == pytest.approx(2.3**0.5)
    assert high / middle == pytest.approx(2.3**0.5)


def test_a_draw_of_a_lesser_acceptable_effort_tires_sooner():
    """One standard deviation of the acceptable effort counts as so much more effort (Potvin 2012)."""
    sooner = possible_times(np.array([0.5]), TOWN, np.array([[1.0], [0.0]]))[0]
    later = possible_times(np.array([0.5]), TOWN, np.array([[-1.0], [0.0]]))[0]
    assert sooner < riding_time(0.5, TOWN).p50 < later


def test_possible_hands_that_cannot_hold_one_pull_have_no_time():
    long = Riding("own", 1.0 / HOUR, 300.0, "own count", "measured")
    times = possible_times(np.array([0.2, 0.5, 0.5]), long, np.array([[0.0] * 3, [0.0, 0.0, 20.0]]))
    assert (times > 0.0).tolist() == [True, False, True]


def test_a_ride_ends_with_the_rest_after_its_last_pull():
    """120 pulls an hour of 3 s leave 27 s each; half a minute or less is one pull."""
    riding = own_riding(120.0, 3.0)
    trace = ride_fatigue(0.3, riding, HOUR)
    assert trace.time[1:3] == pytest.approx([3.0, 30.0])
    assert trace.time[-1] == pytest.approx(HOUR)
    assert ride_fatigue(0.3, riding, 10.0).time == pytest.approx([0.0, 3.0, 30.0])
    assert trace.remaining == pytest.approx(1.0 - trace.fatigued)


def test_a_ride_of_another_muscle():
    """A muscle that never tires keeps all it has."""
    tireless = Muscle(0.0, 0.00135, 12.51, "none", "assumed")
    assert ride_fatigue(0.5, TOWN, HOUR, tireless).remaining[-1] == 1.0


def test_a_day_s_figures_are_those_of_their_own_functions():
    day = ride_day(peak=0.6, hold=0.4, riding=TOWN, time=2 * HOUR, spread=0.2, wrist_extension=0.7)
    assert day.acceptable_effort == pytest.approx(float(acceptable_effort(TOWN.duty)))
    assert day.target_effort == effort_for(2 * HOUR, TOWN, 0.2)
    assert (day.time.p50, day.time.p10) == (riding_time(0.6, TOWN, 0.2).p50, riding_time(0.6, TOWN, 0.2).p10)
    assert day.remaining_capacity == ride_fatigue(0.4, TOWN, 2 * HOUR).remaining[-1]
    strain = revised_strain_index(effort=0.6, rate=TOWN.rate, hold=TOWN.hold, wrist_extension=0.7, time=2 * HOUR)
    assert day.strain_index == pytest.approx(float(strain))
    half = ride_day(peak=0.6, hold=0.2, riding=TOWN, time=2 * HOUR)
    assert day.mean_effort_share == pytest.approx(2 * half.mean_effort_share)
    sure = riding_time(0.6, TOWN)
    assert (half.time.p50, half.time.p10) == (sure.p50, sure.p10)
    straight = revised_strain_index(effort=0.6, rate=TOWN.rate, hold=TOWN.hold, wrist_extension=0.0, time=2 * HOUR)
    assert half.strain_index == pytest.approx(float(straight))


def test_a_hand_that_just_can_still_holds():
    assert ride_day(peak=1.0, hold=0.5, riding=TOWN, time=HOUR).pulled


def test_strain_multipliers_at_the_ends_of_their_pieces():
    """Garg et al. 2017: 0.10 + 0.25 E to 90 a minute, 0.45 + 0.31 D to 60 s, 1 to 30 degrees, 0.2 to 0.05 h."""
    assert frequency_multiplier(90.0 / 60.0) == pytest.approx(22.6)
    assert frequency_multiplier(90.5 / 60.0) == pytest.approx(0.00334 * 90.5**1.96)
    assert duration_multiplier(60.0) == pytest.approx(19.05)
    assert duration_multiplier(60.5) == pytest.approx(19.17 * np.log(60.5) - 59.44)
    assert posture_multiplier(np.deg2rad([0.0, 0.5, 30.0, 40.0])) == pytest.approx([1.0, 1.0, 1.0, 1.028])
    assert intensity_multiplier(0.0) == pytest.approx(0.4)
    assert hours_multiplier(np.array([0.01, 0.05]) * HOUR) == pytest.approx([0.2, 0.2])


def test_the_strain_index_is_the_product_of_its_multipliers():
    parts = (
        intensity_multiplier(0.5)
        * frequency_multiplier(0.1)
        * duration_multiplier(3.0)
        * posture_multiplier(0.8)
        * hours_multiplier(4 * HOUR)
    )
    index = revised_strain_index(effort=0.5, rate=0.1, hold=3.0, wrist_extension=0.8, time=4 * HOUR)
    assert index == pytest.approx(parts)


def test_the_action_limit_lies_two_below_the_limit():
    """ACGIH 2018: 3.6 - 0.56 HAL."""
    assert activity_action_limit(3.0) == pytest.approx(1.92)


def test_whole_ranges_are_known_to_their_ends():
    """Potvin 2012: 1 - (DC - 1/28800)^0.24, so one second of eight hours at the greatest effort."""
    with pytest.raises(ModelRangeError, match=r"duty cycle = 1\.5"):
        acceptable_effort(1.5)
    assert acceptable_effort(1.0) == pytest.approx(1.0 - (1.0 - 1 / 28800) ** 0.24)
    assert greatest_duty(1.0) == pytest.approx(1 / 28800)
    assert rohmert_rest(0.15, 5.0) == 0.0  # its factor (0.15 - 0.15)^0.5


def test_an_own_count_is_named_so():
    riding = own_riding(60.0, 60.0)
    assert (riding.key, riding.basis, riding.duty) == ("own", "measured", pytest.approx(1.0))
    with pytest.raises(InputError, match=r"pulls an hour = -120\.0"):
        own_riding(-120.0, 2.0)


@pytest.mark.parametrize("spread", [0.0, 0.2])
def test_one_in_ten_tires_this_much_sooner(spread):
    """Effort 0.5: what one in ten of the hands and of the acceptable efforts have harder, by squares, as time.

    Time goes with (1 - effort)^(1/0.24); half of a factor of 2.3 between the models comes on top, by squares too.
    """
    ten = 1.2815515655
    by_hand = 0.5 * (np.exp(ten * np.sqrt(np.log(1.0 + spread**2))) - 1.0)
    harder = 0.5 + np.hypot(by_hand, ten * POTVIN_SPREAD)
    by_effort = np.log((1.0 - 0.5) / (1.0 - harder)) / 0.24
    time = riding_time(0.5, TOWN, spread)
    assert time.p50 == pytest.approx(8 * HOUR / TOWN.duty * 0.5 ** (1 / 0.24))
    assert np.log(time.p50 / time.p10) == pytest.approx(np.hypot(by_effort, np.log(2.3) / 2))


def test_one_pull_is_held_by_the_middle_model_or_by_every_one():
    shortest, middle, _ = ride_day(peak=0.4, hold=0.4, riding=TOWN, time=HOUR).holding_times
    for hold, median, nine_in_ten in ((0.99 * shortest, True, True), (1.01 * shortest, True, False)):
        time = riding_time(0.4, Riding("own", 0.1 / HOUR, hold, "own count", "measured"))
        assert (time.p50 > 0.0, time.p10 > 0.0) == (median, nine_in_ten)
    time = riding_time(0.4, Riding("own", 0.1 / HOUR, 1.01 * middle, "own count", "measured"))
    assert (time.p50, time.p10) == (0.0, 0.0)


def test_long_pulls_of_many_efforts_are_each_alone():
    long = Riding("own", 1.0 / HOUR, 60.0, "own count", "measured")
    efforts = np.linspace(0.1, 0.9, 9)
    times = riding_time(efforts, long)
    assert times.p50.tolist() == [riding_time(float(effort), long).p50 for effort in efforts]
    assert 0 < np.count_nonzero(times.p50) < 9


def test_a_refused_time_is_named_in_hours():
    assert effort_for(0.1 * HOUR, TOWN)[0] > 0.0
    with pytest.raises(InputError, match=r"^riding time = 9\.0: from 0\.1 h"):
        effort_for(9 * HOUR, TOWN)
    with pytest.raises(InputError, match=r"^riding = 'own:pulls_per_hour=120': give one of"):
        parse_riding("own:pulls_per_hour=120")


def test_a_sure_hand_is_the_usual_one():
    assert effort_for(4 * HOUR, TOWN) == effort_for(4 * HOUR, TOWN, 0.0)
    assert effort_for(4 * HOUR, TOWN)[1] > effort_for(4 * HOUR, TOWN, 0.2)[1]
