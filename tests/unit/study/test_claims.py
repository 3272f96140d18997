"""Claims on the demo bikes: the word follows from the floor, the release and the slip margin, whatever the numbers."""

import re

import numpy as np
import pytest

from clutchwright.bikefile import assemble
from clutchwright.changes import find
from clutchwright.errors import InputError
from clutchwright.study.claims import judge_claim, read_share
from clutchwright.study.means import MEANS, reduction
from clutchwright.study.one_kind import ONE_KIND, find_means
from clutchwright.study.tolerance import Sample, random_values
from clutchwright.usecases import DEMOS, read_demo


def sample(bike, size=128):
    return Sample(1, size, random_values(bike.quantities, size, np.random.default_rng(1)))


def state(claim, label):
    return next(state.figures for state in claim.states if state.label == label)


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize("share", [0.5, 0.8], ids=["half off", "four fifths off"])
def test_leverage_alone_never_halves_the_pull_of_a_demo_bike(demo, share):
    claim = judge_claim(read_demo(demo), share=share, by="leverage")
    today, claimed = state(claim, "today"), state(claim, "as claimed")
    asked = (1.0 - share) * today["pull_peak_N"]
    assert claimed["pull_peak_N"] == pytest.approx(asked, rel=1e-6)
    assert claimed["release_margin_mm"] < 0.0
    below_floor = asked < today["floor_N"]
    assert claim.word == ("impossible" if below_floor else "useless")
    assert ("floor" if below_floor else "drag") in claim.reasons[0]


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize("by", ["leverage", "springs", "friction", "hydraulic", "assist"])
def test_no_single_add_on_takes_four_fifths_off_a_demo_bike(demo, by):
    claim = judge_claim(read_demo(demo), share=0.8, by=by, sample=sample(read_demo(demo)))
    assert claim.word in ("useless", "impossible")
    assert claim.utmost < 0.8
    assert claim.odds.possible < 0.01


@pytest.mark.parametrize("demo", DEMOS)
def test_softer_springs_that_halve_the_pull_slip(demo):
    claim = judge_claim(read_demo(demo), share=0.5, by="springs")
    assert claim.word == "useless"
    assert state(claim, "as claimed")["slip_margin_hot"] < 1.0
    assert state(claim, "utmost")["slip_margin_hot"] == pytest.approx(1.0, rel=1e-9)
    assert state(claim, "dependable")["slip_margin_hot"] == pytest.approx(1.1, rel=1e-9)


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize("by", [*MEANS, "arm-length", "cable-radius"])
def test_the_word_follows_the_ends(demo, by):
    bike = read_demo(demo)
    ends = judge_claim(bike, share=0.5, by=by)
    assert ends.dependable < ends.utmost
    between = (ends.dependable + ends.utmost) / 2
    assert judge_claim(bike, share=ends.dependable * 0.99, by=by).word == "holds"
    assert judge_claim(bike, share=between, by=by).word == "doubtful"
    assert judge_claim(bike, share=min(ends.utmost * 1.05, 0.99), by=by).word in ("useless", "impossible")


def test_leverage_is_bounded_by_the_floor():
    for demo in DEMOS:
        claim = judge_claim(read_demo(demo), share=0.5, by="leverage")
        assert claim.utmost < claim.floor_share


def test_odds_count_bikes_and_do_not_depend_on_blocks(monkeypatch):
    bike = read_demo()
    whole = judge_claim(bike, share=0.4, by="leverage", sample=sample(bike))
    assert 0.0 < whole.odds.comfortable < whole.odds.possible < 1.0
    assert whole.odds.utmost[0] < whole.odds.utmost[1] < whole.odds.utmost[2]
    monkeypatch.setattr("clutchwright.study.claims._BLOCK", 50)
    assert judge_claim(bike, share=0.4, by="leverage", sample=sample(bike)).odds == whole.odds


def test_a_bike_with_nothing_uncertain_has_odds_of_all_or_nothing():
    bike = read_demo()
    known = sample(bike, 8)
    same = Sample(1, 8, {key: np.full_like(column, bike.quantities[key].value) for key, column in known.values.items()})
    ends = judge_claim(bike, share=0.4, by="leverage")
    between = (ends.dependable + ends.utmost) / 2
    odds = judge_claim(bike, share=between, by="leverage", sample=same).odds
    assert (odds.comfortable, odds.possible) == (0.0, 1.0)


@pytest.mark.parametrize(
    ("text", "share"),
    [
        ("50%", 0.5),
        (" 12.5 % ", 0.125),
        ("80", 0.8),
        ("60 % lighter", 0.6),
        ("60% less", 0.6),
        ("12,5 percent off", 0.125),
    ],
)
def test_a_share_is_read_from_a_percentage(text, share):
    assert read_share(text) == pytest.approx(share)


@pytest.mark.parametrize("text", ["half", "0.5", "60 % heavier", "100%", "-10%", "nan", "%", ""])
def test_what_is_no_percentage_is_refused(text):
    with pytest.raises(InputError, match=r"--says.*from 1 to 99"):
        read_share(text)


def test_unknown_means_are_named():
    with pytest.raises(InputError, match=r"--by = 'magic'.*leverage, springs"):
        judge_claim(read_demo(), share=0.5, by="magic")


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize(("kind", "name"), [("arm-length", "length_mm"), ("cable-radius", "radius_mm")])
def test_one_kind_of_change_names_the_length_that_reaches_the_figure(demo, kind, name):
    """The change itself, made with the length that the answer names, comes to the same figure."""
    bike = assemble(read_demo(demo))
    claim = judge_claim(read_demo(demo), share=0.5, by=kind)
    length = float(re.search(r"That is an? (?:arm|cable radius) of ([\d.]+) mm", " ".join(claim.reasons))[1])
    change = find(kind)
    after = change.apply(bike, change.values({name: length}))
    assert reduction(bike, after)[0] == pytest.approx(claim.dependable, abs=0.003)


@pytest.mark.parametrize("demo", DEMOS)
def test_leverage_at_its_best_place_is_no_less_than_a_longer_arm_s(demo):
    shares = {by: judge_claim(read_demo(demo), share=0.5, by=by).dependable for by in ("leverage", *ONE_KIND)}
    assert shares["leverage"] >= shares["arm-length"] - 1e-6
    assert shares["leverage"] >= shares["cable-radius"] - 1e-6


def test_fingers_further_out_end_where_the_blade_does():
    bike = read_demo()
    blade = bike.quantities["lever.blade_length_mm"].value
    figures = ONE_KIND["perch-shift"].utmost(assemble(bike)).lever
    assert figures.finger_radius * 1e3 == pytest.approx(blade)
    assert judge_claim(bike, share=0.9, by="perch-shift").word == "useless"


def test_a_kind_of_change_stands_for_the_means_that_it_is_one_of():
    assert find_means("washers") is MEANS["springs"]
    assert find_means("assist-lever") is MEANS["assist"]
    with pytest.raises(InputError, match="takes nothing off the pull"):
        find_means("plates")
