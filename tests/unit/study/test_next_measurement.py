"""The next best measurement: its formula against brute force, its laws, and its order."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from clutchwright.bikefile.measuring import MEASURING, NOT_AT_HOME
from clutchwright.changes import Step
from clutchwright.quantity import Quantity
from clutchwright.study.next_measurement import (
    RESOLUTION,
    expected_doubt,
    explained,
    next_measurements,
    posterior_u,
)
from clutchwright.study.variance import sobol_shares
from clutchwright.usecases import DEMOS, read_demo

MARGINS = st.floats(-5.0, 5.0)
SPREADS = st.floats(0.01, 10.0)
SHARES = st.floats(0.0, 1.0)

# margin = intercept + slopes . x, x independent and normal with mean 0; the first x is measured
LINEAR = {
    "close": (0.1, [1.0, -2.0], [0.5, 0.2], 0.25),
    "safe": (1.5, [2.0, 1.0, 1.0], [0.4, 0.5, 0.3], 0.4),
    "failing": (-0.6, [-1.0, 0.5], [0.8, 0.6], 0.2),
}


def brute_force(intercept, slopes, u, u_measured):
    """Doubt left on average: draw truth and reading, weigh every possible truth by the reading, count failures."""
    rng = np.random.default_rng(5)
    rest = np.sort(rng.normal(size=(100_000, len(u) - 1)) @ (np.array(slopes[1:]) * u[1:]))
    readings = u[0] * rng.normal(size=40_000) + u_measured * rng.normal(size=40_000)
    grid = np.linspace(-6.0 * u[0], 6.0 * u[0], 201)
    fails = np.searchsorted(rest, -(intercept + slopes[0] * grid)) / len(rest)
    weights = np.exp(-0.5 * (grid / u[0]) ** 2 - 0.5 * ((readings[:, np.newaxis] - grid) / u_measured) ** 2)
    probability = weights @ fails / weights.sum(axis=1)
    return np.mean(probability * (1.0 - probability))


@pytest.mark.parametrize("case", LINEAR)
def test_expected_doubt_is_what_brute_force_finds(case):
    intercept, slopes, u, u_measured = LINEAR[case]
    moves = explained(slopes[0] * u[0], u=u[0], u_measured=u_measured)
    whole = float(np.hypot.reduce(np.array(slopes) * u))
    expected = brute_force(intercept, slopes, u, u_measured)
    assert expected_doubt(intercept, u=whole, explained=moves) == pytest.approx(expected, abs=0.002)


@pytest.mark.parametrize("case", LINEAR)
def test_a_perfect_measurement_takes_the_first_order_share_of_the_answers_variance(case):
    intercept, slopes, u, _ = LINEAR[case]
    terms = np.array(slopes) * u
    names = [str(place) for place in range(len(u))]
    shares = sobol_shares(
        lambda z: {"fails": (intercept + z @ terms < 0.0).astype(float)}, names, size=8192, rng=np.random.default_rng(2)
    )
    first = {row.key: row.first for row in shares["fails"]}["0"]
    whole = float(np.hypot.reduce(terms))
    today = expected_doubt(intercept, u=whole, explained=0.0)
    after = expected_doubt(intercept, u=whole, explained=abs(terms[0]))
    assert 1.0 - after / today == pytest.approx(first, abs=0.03)


@given(MARGINS, SPREADS)
def test_a_measurement_that_tells_nothing_leaves_the_doubt_and_one_that_tells_all_leaves_none(margin, u):
    probability = norm.cdf(-margin / u)
    assert expected_doubt(margin, u=u, explained=0.0) == pytest.approx(probability * (1 - probability), abs=1e-12)
    assert expected_doubt(margin, u=u, explained=u) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("share", [0.0, 0.3, 0.8, 1.0])
def test_doubt_at_the_limit_itself(share):
    # two normal variables with mean 0 and correlation r have different signs with chance arccos(r)/pi (Sheppard 1899)
    assert expected_doubt(0.0, u=2.0, explained=2.0 * share) == pytest.approx(np.arccos(share**2) / np.pi / 2.0)


@given(MARGINS, SPREADS, SHARES, SHARES)
def test_what_tells_more_never_leaves_more_doubt(margin, u, first, second):
    less, more = sorted((first, second))
    after = [expected_doubt(margin, u=u, explained=share * u) for share in (less, more)]
    assert 0.0 <= after[1] <= after[0] + 1e-15
    assert after[0] <= 0.25 + 1e-15


@given(st.floats(-3.0, 3.0), SPREADS, SPREADS, SPREADS)
def test_a_better_tool_never_tells_less(contribution, u, first, second):
    better, worse = sorted((first, second))
    moves = [explained(contribution, u=u, u_measured=each) for each in (better, worse)]
    assert abs(contribution) >= moves[0] >= moves[1] >= 0.0
    assert posterior_u(u, better) <= posterior_u(u, worse) <= min(u, worse) * (1 + 1e-12)


@given(SPREADS, SPREADS)
def test_a_measurement_and_what_was_known_are_weighed_by_their_variances(u, u_measured):
    left = posterior_u(u, u_measured)
    assert left**-2 == pytest.approx(u**-2 + u_measured**-2)
    assert explained(u, u=u, u_measured=u_measured) ** 2 == pytest.approx(u**2 - left**2)


def test_a_perfect_tool():
    assert posterior_u(2.0, 0.0) == 0.0
    assert explained(-3.0, u=2.0, u_measured=0.0) == 3.0


@pytest.mark.parametrize(("margin", "u"), [(1.0, 0.0), (0.0, 0.0), (np.inf, 1.0), (np.nan, 1.0), (1.0, np.nan)])
def test_no_doubt_where_a_margin_is_known_exactly_or_not_at_all(margin, u):
    assert expected_doubt(margin, u=u, explained=0.0) == 0.0


@pytest.mark.parametrize("demo", DEMOS)
def test_measurements_are_in_order_and_none_makes_things_worse(demo):
    bike = read_demo(demo)
    found = next_measurements(bike)
    assert found.doubt == pytest.approx(sum(question.doubt for question in found.questions))
    order = [(-round((found.doubt - row.doubt_after) / RESOLUTION), row.minutes) for row in found.ranked]
    assert order == sorted(order)
    places = list(bike.quantities)
    for (step, row), (after_step, after) in zip(
        zip(order, found.ranked, strict=True), list(zip(order, found.ranked, strict=True))[1:], strict=False
    ):
        assert step != after_step or places.index(row.key) < places.index(after.key)
    for row in found.ranked:
        assert row.doubt_after <= found.doubt + 1e-15
        assert row.shrink == pytest.approx(1.0 - row.doubt_after / found.doubt)
        assert row.u_measured < row.u_now
        assert row.u_after < row.u_measured
        assert row.key in MEASURING
        assert row.key not in NOT_AT_HOME
        assert row.how
    assert found.first == found.ranked[0]


def changed(bike, **quantities):
    new = {key.replace("__", "."): quantity for key, quantity in quantities.items()}
    return replace(bike, quantities={**bike.quantities, **new})


def test_what_is_known_well_is_not_asked_for_again():
    bike = changed(
        read_demo(), pack__friction_static=Quantity(0.13, 0.001), drive__engine_torque_Nm=Quantity(32.0, 0.0)
    )
    keys = [row.key for row in next_measurements(bike).ranked]
    assert "pack.friction_static" not in keys
    assert "drive.engine_torque_Nm" not in keys


def test_what_was_guessed_badly_is_asked_for_first():
    bike = changed(read_demo(), springs__installed_length_mm=Quantity(32.0, 2.0, "estimated"))
    first = next_measurements(bike).first
    assert (first.key, first.tool) == ("springs.installed_length_mm", "calliper")
    assert first.shrink > 0.5


def test_a_bike_known_exactly_leaves_nothing_to_measure():
    bike = read_demo()
    exact = replace(bike, quantities={key: Quantity(each.value) for key, each in bike.quantities.items()})
    found = next_measurements(exact)
    assert (found.doubt, found.ranked, found.first) == (0.0, (), None)


def test_nothing_is_first_where_nothing_would_help():
    bike = changed(read_demo(), drive__engine_torque_Nm=Quantity(3.0, 0.3))
    bike = changed(bike, pack__face_gap_mm=Quantity(0.02, 0.001), pack__compression_mm=Quantity(0.1, 0.001))
    found = next_measurements(bike)
    assert found.doubt < 1e-4
    assert found.ranked
    assert found.first is None


def test_springs_measured_one_by_one_are_measured_as_a_set():
    bike = changed(
        read_demo(),
        springs__each__1__rate_N_per_mm=Quantity(27.0, 3.0),
        springs__each__4__rate_N_per_mm=Quantity(27.0, 3.0),
    )
    rows = [row for row in next_measurements(bike).ranked if row.key.endswith("rate_N_per_mm")]
    assert [row.key for row in rows] == ["springs.rate_N_per_mm"]
    assert rows[0].u_now == 3.0


def test_the_decision_is_about_the_changed_bike():
    bike = read_demo()
    before, after = (next_measurements(bike, steps) for steps in ((), (Step("springs-softer", {"rate_share": 0.85}),)))
    margins = [found.questions[0].margin + 1.0 for found in (before, after)]
    assert margins[1] == pytest.approx(0.85 * margins[0])
    assert after.doubt > before.doubt


def test_the_chance_that_it_happens_is_the_normal_tail():
    for question in next_measurements(read_demo()).questions:
        assert question.probability == pytest.approx(norm.cdf(-question.margin / question.u), abs=1e-12)


def test_a_friction_that_nobody_measured_makes_the_pull_surest():
    # 0.04 known to 0.015 by a luggage scale: of its share in the variance, 1/(1 + (0.015/0.04)^2) goes, textbook
    bike = read_demo()
    quantities = {key: replace(each, u=0.0) for key, each in bike.quantities.items()}
    quantities["cable.friction"] = Quantity(0.12, 0.04, "assumed")
    found = next_measurements(replace(bike, quantities=quantities))
    first = found.surer_of_pull[0]
    assert first.key == "cable.friction"
    assert first.pull_u_after / found.pull_u == pytest.approx(math.sqrt(1.0 - 1.0 / (1.0 + (0.015 / 0.04) ** 2)))
    assert "luggage scale" in first.how
