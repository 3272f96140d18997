import numpy as np
import pytest

from clutchwright.errors import ModelRangeError
from clutchwright.hand.estimate import Estimate
from clutchwright.hand.norms import AGE_BANDS, GRIP_KGF, KILOGRAM_FORCE, PERCENTILES
from clutchwright.hand.span import optimum_span, span_factor_estimate
from clutchwright.hand.strength import (
    bathroom_scale_strength,
    dynamometer_strength,
    lever_scale_strength,
    norm_deviate,
    norm_grip,
    norm_percentile,
    norm_spread,
    norm_strength,
    painless_strength,
)


@pytest.mark.parametrize("sex", ["man", "woman"])
def test_each_cell_of_the_table_comes_back(sex):
    for (first, last), row in zip(AGE_BANDS, GRIP_KGF[sex], strict=True):
        got = norm_grip(sex, (first + last) / 2, np.array(PERCENTILES)) / KILOGRAM_FORCE
        assert got == pytest.approx(row, abs=1e-9)


@pytest.mark.parametrize("sex", ["man", "woman"])
def test_the_table_rises_with_the_percentile(sex):
    assert np.all(np.diff(GRIP_KGF[sex], axis=1) > 0)


def test_between_ages_it_is_halfway():
    ends = [norm_grip("man", age) for age in (62, 67)]
    assert norm_grip("man", 64.5) == pytest.approx(np.mean(ends))


@pytest.mark.parametrize(("age", "middle"), [(20, 22), (84.9, 82)])
def test_at_the_ends_the_band_itself_stands(age, middle):
    assert norm_grip("woman", age) == norm_grip("woman", middle)


@pytest.mark.parametrize("age", [19, 85, float("nan")])
def test_ages_outside_the_table_are_refused(age):
    with pytest.raises(ModelRangeError, match="cover 20 to 84 years"):
        norm_grip("man", age)


@pytest.mark.parametrize("percentile", [4.9, 95.1, float("nan"), np.array([50.0, 99.0])])
def test_percentiles_outside_the_table_are_refused(percentile):
    with pytest.raises(ModelRangeError, match="cover 5 to 95 %"):
        norm_grip("man", 40, percentile)


@pytest.mark.parametrize("kgf", [10.0, 80.0])
def test_grips_outside_the_table_get_no_percentile(kgf):
    with pytest.raises(ModelRangeError, match="no percentile can be given"):
        norm_deviate("woman", 67, kgf * KILOGRAM_FORCE)


def test_percentile_and_grip_are_each_other_s_reverse():
    assert norm_percentile("man", 51, norm_grip("man", 51, 33.0)) == pytest.approx(33.0)


def test_the_spread_of_people_is_a_quarter():
    """About 25 to 26 % at 65-69, from the published percentiles."""
    assert norm_spread("man", 67) / norm_grip("man", 67) == pytest.approx(0.25, abs=0.005)
    assert norm_spread("woman", 67) / norm_grip("woman", 67) == pytest.approx(0.26, abs=0.005)


def test_a_known_percentile_leaves_only_the_spread_between_norms():
    known = norm_strength("woman", 40, 30).grip
    assert known.relative == pytest.approx(0.07)
    assert norm_strength("woman", 40).grip.relative > 0.2


def test_the_less_is_known_the_wider():
    spreads = [
        norm_strength("man", 42).grip.relative,
        norm_strength("man").grip.relative,
        norm_strength().grip.relative,
    ]
    assert spreads == sorted(spreads)
    assert norm_strength().grip.basis == "derived"
    assert norm_strength("man", 42).grip.basis == "found"


def test_sex_unknown_lies_between():
    woman, both, man = (norm_strength(sex, 50).grip.value for sex in ("woman", None, "man"))
    assert both == pytest.approx((woman + man) / 2)


@pytest.mark.parametrize("make", [dynamometer_strength, painless_strength])
def test_an_own_reading_contains_side_and_condition(make):
    strength = make(300.0)
    assert strength.covers == {"side", "condition"}
    assert (strength.grip.value, strength.grip.u) == (300.0, pytest.approx(30.0))
    assert make(300.0, 12.0).grip.u == 12.0


def test_a_scale_on_the_lever_goes_by_moments_and_back_to_the_best_span():
    factor = span_factor_estimate(0.075, Estimate(0.055, 0.0, "", "measured"))
    strength = lever_scale_strength(force=120.0, hook_radius=0.10, finger_radius=0.08, span_factor=factor)
    assert strength.grip.value == pytest.approx(120.0 * 0.10 / 0.08 / 0.8)
    assert strength.covers == {"fingers", "wrist", "forearm", "side", "glove", "condition"}
    assert strength.grip.relative == pytest.approx(np.hypot(0.10, 0.02 * 3.0 / 0.8))


def test_a_bathroom_scale_shares_between_hands():
    one, two = bathroom_scale_strength(300.0), bathroom_scale_strength(600.0, hands=2)
    assert one.grip == two.grip
    assert one.grip.relative == pytest.approx(0.20)
    assert one.covers == {"condition", "side"}
    assert two.covers == {"condition"}
    assert one.grip.source.startswith("own squeeze")
    assert one.grip.basis == "assumed"
    with pytest.raises(ModelRangeError, match="say 1 or 2"):
        bathroom_scale_strength(300.0, hands=3)


def test_samples_keep_median_and_spread():
    deviates = np.random.default_rng(1).standard_normal(100_000)
    drawn = Estimate(100.0, 25.0, "", "found").drawn(deviates)
    assert np.median(drawn) == pytest.approx(100.0, rel=0.01)
    assert drawn.std() / drawn.mean() == pytest.approx(0.25, rel=0.02)
    assert drawn.min() > 0.0


def test_the_span_factor_s_spread_matches_sampling():
    optimum = optimum_span("man")
    estimate = span_factor_estimate(0.085, optimum)
    rng = np.random.default_rng(2)
    k = 1.0 - (10.0 + 3.0 * rng.standard_normal(200_000)) * (
        0.085 - optimum.value - optimum.u * rng.standard_normal(200_000)
    )
    assert estimate.u == pytest.approx(k.std(), rel=0.03)
