from dataclasses import replace

import numba
import numpy as np
import pytest

from clutchwright.assess.figures import worn_hot_margin
from clutchwright.bikefile import assemble
from clutchwright.changes import Step
from clutchwright.errors import InputError
from clutchwright.hand.fingers import FINGERS
from clutchwright.hand.hand import Hand
from clutchwright.quantity import Quantity
from clutchwright.study import kernel
from clutchwright.study.assessment import assess
from clutchwright.study.catalogue import Catalogue, Option
from clutchwright.study.limits import Limits
from clutchwright.study.search import search
from clutchwright.study.tolerance import Sample, random_values
from clutchwright.usecases import DEMOS, read_demo
from tests.unit.study.every_setup import best_of, every_fine, random_bike, random_catalogue

SAMPLES = 64
LIMITS = Limits(slips=0.05, does_not_release=0.05, touches=0.05)


def written(steps):
    return " ".join(map(str, steps))


def drawn(bike, seed=1, size=SAMPLES):
    return Sample(seed, size, random_values(bike.quantities, size, np.random.default_rng(seed)))


def weak_engine():
    bike = read_demo()
    return replace(bike, quantities={**bike.quantities, "drive.engine_torque_Nm": Quantity(22.0, 1.0)})


def hand(reach):
    return Hand(400.0, 0.05, 8.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, reach, 0.02, FINGERS)


def option(name, kind, price=0.0, hours=0.1, **values):
    return Option(name, (Step(kind, values),), price, hours, True)


@pytest.mark.parametrize("seed", range(60))
def test_the_best_are_those_of_brute_force(seed, monkeypatch):
    rng = np.random.default_rng(seed)
    bike = random_bike(read_demo(DEMOS[seed % len(DEMOS)]), rng)
    catalogue = random_catalogue(bike, rng)
    sample = Sample(seed, SAMPLES, random_values(bike.quantities, SAMPLES, rng))
    expected = {written(setup.steps): setup for setup in best_of(every_fine(bike, catalogue, sample, LIMITS))}
    for every, small in ((100_000, kernel.SMALL), (0, kernel.SMALL), (0, 0)):
        monkeypatch.setattr(kernel, "SMALL", small)
        found = search(bike, catalogue, sample=sample, limits=LIMITS, every=every)
        assert {written(setup.steps) for setup in found.front} == expected.keys()
        assert sum(found.counts.values()) == catalogue.combinations
        for setup in found.front:
            pull, price, hours, grip = expected[written(setup.steps)].objectives
            assert (setup.price, setup.hours) == (price, hours)
            assert (setup.pull_peak_N, setup.slip_margin_hot) == pytest.approx((pull, -grip), rel=1e-9)
            assert setup.probability == expected[written(setup.steps)].probability


def test_any_number_of_cores_gives_the_same(monkeypatch):
    monkeypatch.setattr(kernel, "SMALL", 0)
    rng = np.random.default_rng(5)
    bike = random_bike(read_demo(), rng)
    catalogue = random_catalogue(bike, rng, most=3000)
    found = []
    for cores in (1, numba.config.NUMBA_NUM_THREADS):
        numba.set_num_threads(cores)
        found.append(search(bike, catalogue, sample=drawn(bike), limits=LIMITS, every=0))
    one, many = (replace(result, table=None) for result in found)
    assert one == many
    assert len(one.front) > 5


def test_equal_setups_stand_together_in_the_stated_order():
    """Two ways to turn the lever and none change no pull; the cheaper wins, equal ones follow the catalogue."""
    bike = weak_engine()
    options = (
        option("free", "free-play", price=0.0, hours=0.0, free_play_mm=2.0),
        option("same", "free-play", price=0.0, hours=0.0, free_play_mm=2.0),
        option("dear", "free-play", price=1.0, hours=0.0, free_play_mm=2.0),
    )
    options = tuple(replace(each, excludes=tuple({"free", "same", "dear"} - {each.name})) for each in options)
    found = search(bike, Catalogue("ties", options), sample=drawn(bike), limits=Limits(1.0, 1.0, 1.0))
    # less free play pulls the arm further, so that today's bike is lighter at its stop
    assert [setup.options for setup in found.front] == [()]
    perch = tuple(replace(each, choices=(Step("perch-shift", {"shift_mm": 10.0}),)) for each in options)
    found = search(bike, Catalogue("ties", perch), sample=drawn(bike), limits=Limits(1.0, 1.0, 1.0))
    assert [setup.options for setup in found.front] == [("free",), ("same",)]


def test_a_hand_leaves_out_what_it_does_not_reach():
    bike = weak_engine()
    catalogue = Catalogue("reach", (option("screw", "reach-screw", rest_span_mm=74.0),))
    limits = Limits(1.0, 1.0, 1.0)
    long, middle, short = (
        search(bike, catalogue, sample=drawn(bike), limits=limits, hand=hand(reach)) for reach in (0.079, 0.075, 0.07)
    )
    assert {setup.options for setup in long.front} >= {("screw",)}
    assert [setup.options for setup in middle.front] == [("screw",)]
    assert middle.counts["out of reach"] == 1
    assert short.front == ()
    assert short.counts["out of reach"] == sum(short.counts.values()) == 2


def test_what_is_refused_is_told_with_its_reason():
    bike = weak_engine()
    catalogue = Catalogue("springs", (option("half", "springs-fewer", left_out=(1, 3, 5)), option("oil", "lever-turn")))
    found = search(bike, catalogue, sample=drawn(bike), limits=Limits(1.0, 1.0, 1.0))
    assert found.counts["refused"] == 2
    assert [written(each.steps) for each in found.refused] == ["springs-fewer:left_out=1+3+5"]
    assert "3 of 6 springs would be left" in found.refused[0].reason


def test_the_table_holds_every_setup_with_its_reason():
    bike = weak_engine()
    rng = np.random.default_rng(2)
    catalogue = random_catalogue(bike, rng)
    found = search(bike, catalogue, sample=drawn(bike), limits=LIMITS)
    gone = found.counts.get("excluded", 0) + found.counts.get("refused", 0)
    lost = sum(reason.startswith("refused") for reason in found.table.reason)
    assert len(found.table.reason) == catalogue.combinations - gone
    assert lost == sum(count for reason, count in found.counts.items() if reason.startswith("refused:"))
    assert found.table.reason.count("") == len(found.front)
    lightest = found.table.columns["pull_peak_N"][[not reason for reason in found.table.reason]].min()
    assert found.front[0].pull_peak_N == lightest


def test_today_s_bike_is_a_setup_too():
    bike = weak_engine()
    found = search(bike, Catalogue("nothing", (option("turn", "lever-turn", price=5.0),)), sample=drawn(bike))
    assert [setup.options for setup in found.front] == [()]
    assert found.today == found.front[0]
    assert assemble(bike).lever.level_angle is not None


def test_today_is_told_although_it_fails():
    """The demo bike with twice the torque slips; today is what an assessment of it says."""
    bike = read_demo()
    bike = replace(bike, quantities={**bike.quantities, "drive.engine_torque_Nm": Quantity(64.0, 1.0)})
    sample = drawn(bike)
    found = search(bike, Catalogue("", (option("turn", "lever-turn"),)), sample=sample)
    assessed = assess(bike, sample=sample)
    assert found.front == ()
    assert found.today.probability == assessed.sampled.probability
    assert found.today.probability["slips"] > 0.9
    assert found.today.pull_peak_N == pytest.approx(assessed.figures["pull_peak_N"])


def test_a_perch_moved_inboard_opens_the_rest_span_by_the_ratio_of_radii():
    """82 to 92 mm from the pivot, and 78 - 32 = 46 mm of travel, which grows as the radius from the same stop."""
    bike = weak_engine()
    catalogue = Catalogue("perch", (option("perch", "perch-shift", shift_mm=10.0),))
    found = search(bike, catalogue, sample=drawn(bike), limits=Limits(1.0, 1.0, 1.0), hand=hand(0.1))
    spans = {setup.options: setup.rest_span_mm for setup in (*found.front, found.today)}
    assert spans[()] == 78.0
    assert spans["perch",] == pytest.approx(32 + 46 * 92 / 82)
    assert found.reach_mm == pytest.approx(100.0)


@pytest.mark.parametrize(
    ("limits", "least"),
    [
        (Limits(), 1000),
        (Limits(0.05, 0.2), 200),
        (Limits(1.0, 1.0), 10),
        (Limits(0.0, 0.5), 1000),
        (Limits(0.03, 0.06, 0.5), 334),
    ],
)
def test_limits_take_ten_possible_bikes_for_each_that_may_fail(limits, least):
    limits.require_samples(least)
    with pytest.raises(InputError, match=f"--samples = {least - 1}: .* at least {least} possible bikes"):
        limits.require_samples(least - 1)


@pytest.mark.parametrize("share", [-0.1, 1.1, float("nan")])
def test_a_limit_is_a_share(share):
    with pytest.raises(InputError, match=r"limit touches = .*: give a share from 0 to 1"):
        Limits(touches=share)


def test_too_many_variants_of_one_part_are_told():
    bike = weak_engine()
    steps = tuple(Step("cable-radius", {"radius_mm": 20.0 + 0.01 * place}) for place in range(150))
    options = tuple(Option(f"lever {number}", steps, 0.0, 0.1, True) for number in range(2))
    with pytest.raises(InputError, match=r"lever has 22801 variants .at most 20000.; give fewer values to: lever 0"):
        search(bike, Catalogue("levers", options), sample=drawn(bike))


def test_more_possible_bikes_than_fit_beside_the_variants_are_told():
    bike = weak_engine()
    steps = tuple(Step("cable-radius", {"radius_mm": 20.0 + 0.01 * place}) for place in range(3998))
    with pytest.raises(InputError, match=r"4001 variants of lever, line and arm leave room for at most 12496 possible"):
        search(bike, Catalogue("levers", (Option("lever", steps, 0.0, 0.1, True),)), sample=drawn(bike, size=12_497))


def test_an_empty_sample_is_told():
    with pytest.raises(InputError, match=r"samples = 0: .* at least 1 possible bike"):
        search(weak_engine(), Catalogue("", ()), sample=Sample(1, 0, {}))


def test_a_dearer_way_to_the_same_setup_is_counted_as_beaten():
    """Of four, today's bike pulls harder at no less price, and one way is dearer than another."""
    names = ("cheap", "dear", "same")
    options = tuple(
        replace(option(name, "perch-shift", price, 0.0, shift_mm=10.0), excludes=tuple({*names} - {name}))
        for name, price in zip(names, (0.0, 1.0, 0.0), strict=True)
    )
    bike = weak_engine()
    found = search(bike, Catalogue("ways", options), sample=drawn(bike), limits=Limits(1.0, 1.0, 1.0))
    assert {fate: count for fate, count in found.counts.items() if count} == {"best": 2, "beaten": 2, "excluded": 4}


def test_today_slips_as_often_as_the_possible_bikes_do():
    """Torque carried over torque asked, on each possible bike by the chain's own figures."""
    bike = read_demo()
    bike = replace(bike, quantities={**bike.quantities, "drive.engine_torque_Nm": Quantity(40.0, 1.0)})
    sample = drawn(bike)
    often = np.mean(worn_hot_margin(assemble(bike, sample.values)) < 1.0)
    found = search(bike, Catalogue("", (option("turn", "lever-turn"),)), sample=sample)
    assert 0.1 < often < 0.9
    assert found.today.probability["slips"] == often
