"""Both budgets add up, and their rows are what hand arithmetic gives."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import cos, exp, sin

import pytest

from clutchwright.assess.budgets import PLACE_LABELS, force_budget, force_places, travel_budget
from clutchwright.assess.figures import measure
from clutchwright.chain import respond
from clutchwright.physics.assist import AssistSpring
from clutchwright.physics.cable import Cable, Hydraulic
from clutchwright.physics.lift import Rack
from tests.unit.assess.simple_bike import simple_bike


def lossy_bike(**parts):
    bike = simple_bike(line=Cable(2.0, 0.1, 3.0, 4e-6), lift=Rack(0.005, 0.08))
    bike = replace(bike, lever=replace(bike.lever, pivot_friction=0.03))
    return replace(bike, **parts)


LINES = {
    "cable": Cable(2.0, 0.1, 3.0, 4e-6),
    "unit": Cable(2.0, 0.1, 3.0, 4e-6, 1.3),
    "oil": Hydraulic(1.1, 0.04, 1e-6),
}


def helped(bike, pretension=40.0):
    return replace(bike, arm=replace(bike.arm, assist=AssistSpring(2e3, pretension, 0.015, 0.03, -0.05)))


@pytest.mark.parametrize("pretension", [40.0, 4000.0], ids=["helping", "holding the arm in"])
@pytest.mark.parametrize("line", LINES.values(), ids=LINES)
def test_the_budgets_add_up(line, pretension):
    bike = helped(lossy_bike(line=line), pretension)
    found = measure(bike, respond(bike))
    assert sum(item.value for item in force_budget(bike)) == pytest.approx(found["pull_at_release_N"], rel=1e-12)
    assert sum(item.value for item in travel_budget(bike)) == pytest.approx(0.040, rel=1e-12)
    assert force_places(bike)[-1].value == pytest.approx(found["pull_at_release_N"], rel=1e-12)


def test_force_budget_rows():
    # the ideal pull of the simple bike, then 8 % in the lift, exp(0.2) in the bends, 3 N of drag at 4 to 1, 3 % in the
    # pivot
    ideal = 856.0 * 5.0 / (40.0 * cos(0.14)) / 4.0
    rows = {item.key: item.value for item in force_budget(lossy_bike())}
    assert rows["ideal"] == pytest.approx(ideal)
    assert rows["lift_friction"] == pytest.approx(0.08 * ideal)
    assert rows["assist"] == 0.0
    assert rows["bend_friction"] == pytest.approx(1.08 * ideal * (exp(0.2) - 1.0))
    assert rows["drag"] == pytest.approx(0.75)
    assert rows["pivot_friction"] == pytest.approx(0.03 * (1.08 * ideal * exp(0.2) + 0.75))


def test_travel_budget_rows():
    rows = {item.key: item.value * 1e3 for item in travel_budget(lossy_bike())}
    tension = 1.08 * 856.0 * 5.0 / (40.0 * cos(0.14))
    assert rows["free_play"] == pytest.approx(4.0)
    assert rows["pack"] == pytest.approx(160.0 * sin(0.04))
    assert rows["gaps"] == pytest.approx(160.0 * (sin(0.14) - sin(0.04)))
    assert rows["stretch"] == pytest.approx(4.0 * 4e-3 * tension * (exp(0.2) - 1.0) / 0.2)


def test_missing_travel_shows_as_a_negative_last_row():
    bike = simple_bike()
    short = replace(bike, lever=replace(bike.lever, rest_span=0.060))
    assert {item.key: item.value for item in travel_budget(short)}["spare"] < 0.0


@pytest.mark.parametrize("pretension", [40.0, 4000.0], ids=["helping", "holding the arm in"])
@pytest.mark.parametrize("line", LINES.values(), ids=LINES)
def test_each_place_is_the_one_before_times_ratio_and_friction_and_what_is_added(line, pretension):
    places = force_places(helped(lossy_bike(line=line), pretension))
    for before, place in pairwise(places):
        assert before.value * place.ratio * place.friction + place.added == pytest.approx(place.value, abs=1e-9)


def test_places_name_their_friction():
    # 8 % in the lift, exp(0.1 x 2) in the bends with 3 N of drag after them, 3 % in the pivot
    places = {place.key: place for place in force_places(lossy_bike())}
    factors = {key: place.friction for key, place in places.items()}
    assert factors == pytest.approx(
        {"springs": 1.0, "bearing": 1.0, "shaft": 1.08, "arm_end": 1.0, "lever_end": exp(0.2), "finger": 1.03}
    )
    assert {key: place.added for key, place in places.items() if place.added} == {"lever_end": 3.0}


def test_a_hydraulic_line_has_its_own_words():
    bike = lossy_bike(line=LINES["oil"])
    assert [place.key for place in force_places(bike)][3:5] == ["slave", "master"]
    force, travel = ({item.key: item.value for item in budget(bike)} for budget in (force_budget, travel_budget))
    # each of the two seals takes 4 %; the slave's force of 1.08 x the ideal swells the hose by 1 mm per kN
    tension = 1.08 * 856.0 * 5.0 / (40.0 * cos(0.14))
    assert force["seal_friction"] == pytest.approx(tension / 1.1 / 4.0 * (1.0 / 0.96**2 - 1.0))
    assert travel["swelling"] == pytest.approx(4.0 * 1.1 * 1e-6 * tension)
    assert not {"bend_friction", "stretch"} & {*force, *travel}
    assert all(place.key in PLACE_LABELS for place in force_places(bike))


def test_places_follow_the_ratios():
    places = {place.key: place for place in force_places(simple_bike())}
    assert places["springs"].value == pytest.approx(856.0)
    assert places["shaft"].value == pytest.approx(856.0 * 0.005)
    assert places["shaft"].unit == "N m"
    assert places["lever_end"].value == pytest.approx(places["arm_end"].value)
    assert places["finger"].ratio == pytest.approx(0.25)
