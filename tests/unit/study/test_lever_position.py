"""The place of the lever: no better one on a fine grid of all places, and steps that hands can set."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from clutchwright import handfile
from clutchwright.bikefile import assemble
from clutchwright.chain import at_lift, respond
from clutchwright.errors import Refusal
from clutchwright.hand.hand import Hand, capacity, estimate_hand
from clutchwright.physics import PULL
from clutchwright.quantity import Quantity
from clutchwright.study import lever_position
from clutchwright.study.hand_assessment import lever_place
from clutchwright.study.lever_position import (
    FINGER_MARGIN,
    LIFT_MARGIN,
    find_position,
    least_rest_span,
    peak_effort,
    placed,
    shifted,
)
from clutchwright.usecases import DEMOS, assess_bike, read_demo, read_demo_hand, rider
from tests.broken_hands import edited
from tests.strategies import LAW, between, bikes


def measured_hand(reach_mm: float, *edits: tuple[str, str]) -> handfile.MeasuredHand:
    return handfile.loads(edited(("hand_length_mm = 175", f"reach_mm = {reach_mm}"), *edits), "test.toml")


def with_blade(name: str, length_mm: float = 125.0):
    bike = read_demo(name)
    return replace(bike, quantities=bike.quantities | {"lever.blade_length_mm": Quantity(length_mm, 2.0)})


def nominal(bike, hand: handfile.MeasuredHand) -> Hand:
    return estimate_hand(handfile.facts(hand, lever_place(bike, bike))).nominal()


def least_on_a_grid(bike, hand: Hand, lift_margin: float) -> float:
    """Least peak effort of all places, 1 mm by half a mm, that release with margin in reach; by the whole chain."""
    shifts = np.arange(0.0, float(bike.lever.blade_length - bike.lever.finger_radius) + 1e-9, 1e-3)
    spans = np.arange(float(bike.lever.stop_span) + 5e-3, float(hand.reach) + 1e-9, 0.5e-3)[:, np.newaxis]
    least = np.inf
    for shift in shifts:
        moved = placed(bike, float(shift), spans)
        response = respond(moved)
        release = moved.pack.release_lift(moved.engaged_clamp)
        margin = response.lift[:, -1] - release
        room = response.travel[:, -1] - at_lift(moved, release, PULL).travel
        good = (margin >= lift_margin) & (room >= FINGER_MARGIN)
        peaks = (response.pull / capacity(hand, spans - response.travel)).max(axis=-1)
        least = min(least, peaks[good].min(initial=np.inf))
    return float(least)


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("reach_mm", [92.0, 110.0])
def test_no_place_on_a_fine_grid_is_better(name, reach_mm):
    """The grid may find less by what a whole millimetre is worth, about one part in a hundred of the effort."""
    bike, hand = with_blade(name), measured_hand(reach_mm)
    found = find_position(bike, rider(hand))
    grid = least_on_a_grid(assemble(bike), nominal(assemble(bike), hand), found.lift_margin_mm * 1e-3)
    best = peak_effort(
        placed(assemble(bike), found.shift_mm * 1e-3, found.rest_span_mm * 1e-3), nominal(assemble(bike), hand)
    )
    assert best <= grid * 1.01
    assert best >= grid * 0.99


@pytest.mark.parametrize("name", DEMOS)
def test_the_steps_lead_to_a_lever_in_reach_that_releases_with_margin(name):
    hand = measured_hand(90.0)
    found = find_position(with_blade(name), rider(hand))
    figures = found.assessment.figures
    assert figures["release_margin_mm"] >= found.lift_margin_mm - 1e-9
    assert figures["release_margin_finger_mm"] >= 3.0 - 1e-9
    assert found.rest_span_mm <= 90.0
    assert found.assessment.curve.span_mm[0] == pytest.approx(found.rest_span_mm)
    assert found.assessment.changes == found.steps
    if found.assessment.before.figures["release_margin_mm"] >= found.lift_margin_mm:
        assert found.assessment.hand.seated.effort_peak <= found.assessment.before.hand.seated.effort_peak
    assert found.shift_mm == int(found.shift_mm)


@settings(LAW, max_examples=100)
@given(st.data())
def test_a_smaller_rest_span_never_costs_more_effort(data):
    """What the search rests on, on random bikes and hands; to what a peak between two positions is missed by."""
    bike = data.draw(bikes())
    hand = estimate_hand(handfile.facts(measured_hand(90.0), lever_place(bike, bike))).nominal()
    hand = replace(hand, optimum_span=data.draw(between(0.045, 0.065)), span_slope=data.draw(between(5.0, 15.0)))
    wide = float(bike.lever.rest_span)
    near = data.draw(between(float(bike.lever.stop_span + bike.lever.free_play) + 1e-3, wide))
    assert peak_effort(placed(bike, 0.0, near), hand) <= peak_effort(placed(bike, 0.0, wide), hand) * (1 + 1e-4)


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("shift", [0.0, 0.012])
def test_the_least_rest_span_leaves_just_the_margin(name, shift):
    bike = assemble(with_blade(name))
    moved = placed(bike, shift, least_rest_span(bike, shift))
    response = respond(moved)
    release = moved.pack.release_lift(moved.engaged_clamp)
    lift_spare = response.lift[-1] - release - LIFT_MARGIN
    finger_spare = response.travel[-1] - at_lift(moved, release, PULL).travel - FINGER_MARGIN
    assert min(lift_spare / LIFT_MARGIN, finger_spare / FINGER_MARGIN) == pytest.approx(0.0, abs=1e-6)


def test_a_shift_of_the_perch_alone_keeps_the_lift():
    bike = assemble(with_blade(DEMOS[0]))
    assert respond(shifted(bike, 0.02)).lift[-1] == pytest.approx(respond(bike).lift[-1])


def test_the_trade_shows_what_a_shift_buys():
    trade = find_position(with_blade(DEMOS[0]), rider(measured_hand(90.0))).trade
    assert (trade.shift_mm[0], trade.shift_mm[-1]) == (0.0, pytest.approx(125.0 - 82.0))
    least, left = np.array(trade.effort_least), np.array(trade.effort_screw_left)
    assert np.all(least <= left * (1 + 1e-9))
    assert np.all(np.diff(trade.rest_span_least_mm) > 0.0)
    assert np.all(np.array(trade.rest_span_least_mm) < np.array(trade.rest_span_left_mm))


def test_without_a_known_blade_the_perch_stays():
    bike = read_demo(DEMOS[0])
    unknown = replace(
        bike, quantities={key: each for key, each in bike.quantities.items() if key != "lever.blade_length_mm"}
    )
    found = find_position(unknown, rider(measured_hand(90.0)))
    assert found.shift_mm == 0.0
    assert found.limits[0] == "blade unknown"


def test_a_hand_too_small_for_any_place_gets_the_nearest():
    found = find_position(with_blade(DEMOS[0]), rider(measured_hand(40.0)))
    assert found.limits == ("out of reach",)
    assert found.shift_mm == 0.0
    least = least_rest_span(assemble(with_blade(DEMOS[0])), 0.0, found.lift_margin_mm * 1e-3) * 1e3
    assert found.rest_span_mm == pytest.approx(least, abs=0.5)


def test_a_hand_with_reach_to_spare_ends_at_the_blade():
    found = find_position(with_blade(DEMOS[0]), rider(measured_hand(120.0)))
    assert found.limits == ("blade", "margin")
    assert found.shift_mm == pytest.approx(125.0 - 82.0)


@pytest.mark.parametrize(
    ("gap_mm", "says"),
    [
        (0.22, r"only a rest span of \d+ mm would let the clutch release with margin \(at most 125\)"),
        (0.3, "no rest span at all"),
    ],
)
def test_a_clutch_that_no_place_makes_release_is_refused(gap_mm, says):
    bike = with_blade(DEMOS[0])
    many = replace(bike, quantities=bike.quantities | {"pack.face_gap_mm": Quantity(gap_mm, 0.01)})
    with pytest.raises(Refusal, match=says):
        find_position(many, rider(measured_hand(90.0)))


@pytest.mark.parametrize(
    ("seated", "standing", "turn"),
    [
        (20, None, 0.0),  # fine as it is
        (45, None, -10.0),  # 10 degrees lower are 35
        (-12, None, 12.0),  # 12 degrees higher are straight
        (20, 41, -6.0),  # both within 0 to 35
        (10, 45, -10.0),  # both just fit
    ],
)
def test_the_lever_is_turned_as_little_as_makes_the_wrist_strong(seated, standing, turn):
    """The table is flat from 0 to 35 degrees of extension; a lever raised by an angle bends the wrist up by it."""
    angles = f"seated_extension_deg = {seated}"
    angles += f"\nstanding_extension_deg = {standing}" if standing is not None else ""
    hand = measured_hand(90.0, ("seated_extension_deg = 20", angles))
    assert find_position(with_blade(DEMOS[0]), rider(hand)).turn_deg == pytest.approx(turn, abs=0.51)


def test_no_turn_is_told_of_angles_nobody_measured():
    unknown = measured_hand(90.0, ("seated_extension_deg = 20", ""))
    assert find_position(with_blade(DEMOS[0]), rider(unknown)).turn_deg is None
    assert find_position(read_demo(DEMOS[1]), rider(measured_hand(90.0))).turn_deg is None


def test_a_pull_measured_on_the_lever_still_tells_how_to_turn_it():
    """The forearm at 40 and 62 degrees over a lever at 25: 15 and 37 of extension, so 2 degrees lower."""
    found = find_position(with_blade(DEMOS[0]), rider(read_demo_hand("large-hand")))
    assert found.turn_deg == pytest.approx(-2.0)


def test_nineteen_in_twenty_possible_bikes_still_release():
    """1.645 standard uncertainties of the margin, or what is comfortable, whichever is more."""
    bike = with_blade(DEMOS[0])
    found = find_position(bike, rider(measured_hand(90.0)))
    assert found.lift_margin_mm == pytest.approx(1.645 * assess_bike(bike).u["release_margin_mm"], rel=1e-3)
    drawn = assess_bike(bike, found.steps, samples=2048)
    assert drawn.sampled.probability["does_not_release"] < 0.07
    exact = {key: replace(each, u=0.0) for key, each in bike.quantities.items()}
    assert find_position(replace(bike, quantities=exact), rider(measured_hand(90.0))).lift_margin_mm == pytest.approx(
        0.1
    )


def test_the_best_shift_is_found_between_the_points_of_the_grid(monkeypatch):
    """An effort whose least is known: a parabola about 12.3 mm, looked at from a millimetre to the next."""
    monkeypatch.setattr(lever_position, "placed", lambda _bike, shift, _span: shift)
    monkeypatch.setattr(lever_position, "peak_effort", lambda shift, _hand: 1.0 + (1e2 * (shift - 0.0123)) ** 2)
    room = lever_position._Room(assemble(with_blade(DEMOS[0])), LIFT_MARGIN, 0.09)
    assert lever_position._best_shift(room, None, 0.032) == pytest.approx(0.0123, abs=2e-5)


def test_a_lever_turned_beyond_what_the_change_allows_may_stay():
    """A wrist at 20 degrees is as strong as can be, so a lever at 75 is left there, though none is turned past 60."""
    bike = with_blade(DEMOS[0])
    steep = replace(bike, quantities=bike.quantities | {"lever.level_angle_deg": Quantity(75.0, 3.0)})
    assert lever_position._best_turn(rider(measured_hand(90.0)), assemble(steep)) == 0.0


def test_a_hand_that_only_feels_the_lever_far_away_turns_it_all_the_same():
    """Its reach is told by the rest span, and the wrist bends alike: at 45 degrees, 10 lower are 35."""
    angles = ("seated_extension_deg = 20", "seated_extension_deg = 45")
    far = handfile.loads(edited(("hand_length_mm = 175", "lever_feels_far = true"), angles), "far.toml")
    turn = lever_position._best_turn(rider(far), assemble(with_blade(DEMOS[0])))
    assert np.degrees(turn) == pytest.approx(-10.0, abs=0.51)


@pytest.mark.parametrize(
    ("shift", "kinds"),
    [
        (0.020, ["perch-shift"]),
        (0.00095, []),  # too little to set, so the rest span stays, though it would open by half a millimetre
    ],
)
def test_a_screw_is_turned_only_for_what_the_perch_leaves(shift, kinds):
    """A perch moved inboard opens the rest span by itself, as the ratio of radii about the stop."""
    bike = assemble(with_blade(DEMOS[0]))
    lever, moved = bike.lever, shift if kinds else 0.0
    opened = lever.stop_span + (lever.rest_span - lever.stop_span) * (1.0 + moved / lever.finger_radius)
    assert [step.kind for step in lever_position._steps(bike, shift, float(opened), None)] == kinds
