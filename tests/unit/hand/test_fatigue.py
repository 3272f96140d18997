"""The fatigue integrator against closed forms, against a general solver, and against the clock."""

import time
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from clutchwright.errors import ModelRangeError
from clutchwright.hand.acceptable import rohmert_rest
from clutchwright.hand.endurance import ENDURANCE_MODELS, disagreement, holding_times
from clutchwright.hand.fatigue import (
    GENERAL_2012,
    GRIP,
    GRIP_2012,
    GRIP_MEN,
    GRIP_WOMEN,
    HAND_POOLED,
    FatigueTrace,
    fatigue,
    fatigue_plateau,
    holding_time,
    runs,
)

MUSCLES = (GRIP, GRIP_WOMEN, GRIP_MEN, HAND_POOLED, GRIP_2012, GENERAL_2012)
INSTANT = 1e5  # [1/s] the closed forms take up an effort at once


def steady(effort, duration, muscle, start=(0.0, 0.0)):
    return fatigue(np.array([duration]), np.array([effort]), muscle, start)


@pytest.mark.parametrize("muscle", MUSCLES, ids=lambda muscle: muscle.source)
@pytest.mark.parametrize("effort", [0.15, 0.2, 0.3, 0.5, 0.8, 0.95])
def test_holding_time_is_the_closed_form_to_a_thousandth(muscle, effort):
    trace = steady(effort, 1e4, replace(muscle, drive=INSTANT))
    assert trace.failed_at == pytest.approx(holding_time(effort, muscle), rel=1e-3)


@pytest.mark.parametrize("muscle", MUSCLES, ids=lambda muscle: muscle.source)
def test_little_effort_is_held_for_ever(muscle):
    assert holding_time(0.05, muscle) == np.inf
    assert steady(0.05, 1e6, muscle).failed_at == np.inf


@pytest.mark.parametrize("effort", [0.1, 0.35])
@pytest.mark.parametrize("duty", [0.1, 0.4])
def test_many_short_pulls_end_at_the_closed_plateau_to_a_thousandth(effort, duty):
    period, muscle = 0.01, replace(GRIP, drive=INSTANT)
    pulls = 40_000
    start = (0.0, 0.98 * fatigue_plateau(effort, duty, muscle))
    durations = np.tile([duty * period, (1 - duty) * period], pulls)
    trace = fatigue(durations, np.tile([effort, 0.0], pulls), muscle, start)
    assert trace.fatigued[-2:].mean() == pytest.approx(fatigue_plateau(effort, duty, muscle), rel=1e-3)


def test_rest_recovers_exponentially():
    trace = steady(0.0, 120.0, GRIP, start=(0.0, 0.4))
    assert trace.fatigued[-1] == pytest.approx(0.4 * np.exp(-12.51 * 0.00135 * 120.0), rel=1e-9)


def test_an_effort_taken_up_slowly_is_the_closed_form():
    """d(M_A) = L (f - M_A) - F M_A: towards 2 x 0.5 / 2.5 at 2.5 per second, where fatigue is as quick as that."""
    trace = steady(0.5, 0.2, replace(GRIP, fatigue=0.5, drive=2.0))
    assert trace.active[-1] == pytest.approx(0.4 * (1.0 - np.exp(-2.5 * 0.2)), rel=1e-9)


def test_a_spent_muscle_settles_at_its_sustained_share():
    """Own derivation: F M_A = R M_F and M_R = 0 give M_A = R/(F + R), L without limit."""
    trace = steady(1.0, 1e5, replace(GRIP, drive=INSTANT))
    assert trace.active[-1] == pytest.approx(0.00135 / (0.01235 + 0.00135), rel=1e-3)


def slopes(t, state, effort, muscle):
    """The model as it is published, for a general solver."""
    active, fatigued = state
    resting = 1.0 - active - fatigued
    at_rest = active >= effort
    drive = muscle.drive * (effort - active if at_rest or resting > effort - active else resting)
    recovery = muscle.recovery * (muscle.rest_gain if at_rest else 1.0)
    return drive - muscle.fatigue * active, muscle.fatigue * active - recovery * fatigued


@pytest.mark.parametrize(
    "pieces",
    [
        [(20.0, 0.4), (30.0, 0.0), (15.0, 0.6)],
        [(100.0, 0.7), (20.0, 0.3), (40.0, 0.9), (200.0, 0.05), (30.0, 0.5)],
        [(5.0, 0.8), (5.0, 0.5), (60.0, 0.79), (120.0, 0.1), (1.0, 1.0), (0.0, 0.3), (50.0, 0.02)],
    ],
)
def test_a_general_solver_gets_the_same(pieces):
    durations, efforts = np.array(pieces).T
    trace = fatigue(durations, efforts, GRIP)
    state = np.zeros(2)
    for i, (duration, effort) in enumerate(pieces):
        if duration:
            options = {"rtol": 1e-9, "atol": 1e-12, "max_step": 0.05, "args": (effort, GRIP)}
            state = solve_ivp(slopes, (0.0, duration), state, **options).y[:, -1]
        assert [trace.active[i + 1], trace.fatigued[i + 1]] == pytest.approx(state, rel=1e-3, abs=1e-6)


def test_cutting_a_piece_changes_nothing():
    whole = steady(0.6, 120.0, GRIP)
    cut = fatigue(np.full(1200, 0.1), np.full(1200, 0.6), GRIP)
    assert cut.fatigued[-1] == pytest.approx(whole.fatigued[-1], rel=1e-9)
    assert cut.failed_at == pytest.approx(whole.failed_at, abs=1e-6)


def test_compartments_stay_inside():
    rng = np.random.default_rng(3)
    trace = fatigue(rng.uniform(0.0, 60.0, 500), rng.uniform(0.0, 1.0, 500), GRIP)
    assert trace.active.min() >= 0.0
    assert trace.fatigued.min() >= 0.0
    assert (trace.active + trace.fatigued).max() <= 1.0 + 1e-12


def test_an_even_sampling_becomes_pieces():
    durations, efforts = runs(np.array([0.0, 0.0, 0.3, 0.3, 0.3, 0.0]), 0.01)
    assert durations == pytest.approx([0.02, 0.03, 0.01])
    assert efforts.tolist() == [0.0, 0.3, 0.0]


def ten_hours_of_town() -> tuple[np.ndarray, float]:
    step, period, held = 0.01, 1950, 320
    efforts = np.zeros(3_600_000)
    for i in range(held):
        efforts[i::period] = 0.35
    return efforts, step


def day(efforts: np.ndarray, step: float) -> FatigueTrace:
    return fatigue(*runs(efforts, step), GRIP)


def test_a_ten_hour_day_in_hundredths_of_a_second_takes_less_than_50_ms():
    efforts, step = ten_hours_of_town()
    taken = []
    for _ in range(5):
        begun = time.process_time()
        trace = day(efforts, step)
        taken.append(time.process_time() - begun)
    assert trace.time[-1] == pytest.approx(36_000.0)
    assert min(taken) < 0.050


@pytest.mark.parametrize(
    ("durations", "efforts"), [([-1.0], [0.2]), ([1.0], [-0.2]), ([np.nan], [0.2]), ([1.0], [np.inf])]
)
def test_impossible_pieces_are_refused(durations, efforts):
    with pytest.raises(ModelRangeError, match="finite and not below 0"):
        fatigue(np.array(durations), np.array(efforts))


@pytest.mark.parametrize("model", ENDURANCE_MODELS, ids=lambda model: model.name)
def test_every_endurance_model_falls_with_effort_and_takes_arrays(model):
    efforts = np.linspace(0.02, 1.0, 50)
    times = model.time(efforts)
    assert times.tolist() == [model.time(float(effort)) for effort in efforts]
    finite = times[np.isfinite(times)]
    assert np.all(np.diff(finite) < 0.0)
    assert np.all(np.isinf(times[: len(times) - len(finite)]))


@pytest.mark.parametrize("effort", [0.0, -0.1, 1.01, float("nan")])
def test_impossible_efforts_have_no_holding_time(effort):
    with pytest.raises(ModelRangeError, match="holding times are known above 0 and up to 1"):
        holding_times(effort)


def test_disagreement_is_without_end_where_a_model_is():
    assert disagreement(0.1) == np.inf


def test_disagreement_of_many_efforts_is_that_of_each():
    efforts = np.array([0.3, 0.5, 0.9])
    assert disagreement(efforts) == pytest.approx([disagreement(float(effort)) for effort in efforts])


def test_no_rest_allowance_below_its_range():
    with pytest.raises(ModelRangeError, match=r"from 0\.15 to 1"):
        rohmert_rest(0.1, 5.0)
