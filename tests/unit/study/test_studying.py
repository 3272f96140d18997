"""A whole study: what counts where the bike as it stands misses the limits, and where a hand's reach is a guess."""

from dataclasses import replace

import pytest

from clutchwright.bikefile import assemble
from clutchwright.changes import Step
from clutchwright.errors import InputError
from clutchwright.study.catalogue import Catalogue, Option, Wished
from clutchwright.study.choice import chosen_of
from clutchwright.study.limits import Budget, Limits, read_limit
from clutchwright.usecases import read_demo, read_demo_hand, study_bike

SOFT = Option("softer", (Step("springs-softer", {"rate_share": 0.9}),), 40.0, 1.0, reversible=True)
GRIP = Option("grippier", (Step("plates", {"friction_share": 1.1}),), 90.0, 1.5, reversible=True)
ARM = Option("arm", (Step("arm-length", {"length_mm": 34.0}),), 55.0, 1.5, reversible=True)
SHOP = Catalogue("shop", (SOFT, GRIP, ARM))
SAMPLES = 256


def slipping_bike():
    """A bike whose engine asks for so much that it slips in a good part of the possible cases."""
    bike = read_demo()
    torque = bike.quantities["drive.engine_torque_Nm"]
    return replace(
        bike, quantities=bike.quantities | {"drive.engine_torque_Nm": replace(torque, value=torque.value * 1.3)}
    )


def test_where_no_setup_keeps_the_limits_those_count_that_worsen_nothing():
    limits = Limits(0.05, 0.05)
    found, chosen, _ = study_bike(slipping_bike(), SHOP, limits=limits, samples=SAMPLES)
    assert found.asked == limits
    today = found.today.probability
    assert today["slips"] > 0.05
    assert found.limits == Limits(today["slips"], 0.05)
    for setup in found.front:
        assert setup.probability["slips"] <= today["slips"]
        assert setup.probability["does_not_release"] <= 0.05
        assert "softer" not in setup.options or "grippier" in setup.options
    assert chosen == chosen_of(found)
    assert found.front[chosen].probability["slips"] == min(setup.probability["slips"] for setup in found.front)
    assert "grippier" in found.front[chosen].options


def test_limits_that_some_setup_keeps_stay_as_asked():
    found, _, _ = study_bike(read_demo(), SHOP, limits=Limits(0.2, 0.2), samples=SAMPLES)
    assert (found.asked, found.limits) == (None, Limits(0.2, 0.2))


@pytest.mark.parametrize(("beyond", "kept"), [(0.9, True), (1.1, False)], ids=["within its doubt", "beyond its doubt"])
def test_a_lever_out_of_reach_by_less_than_the_doubt_is_not_refused(beyond, kept):
    bike, hand = read_demo(), read_demo_hand("small-hand")
    loose = {"limits": Limits(1.0, 1.0, 1.0), "samples": SAMPLES, "hand": hand}
    found, _, _ = study_bike(bike, SHOP, **loose)
    assert found.reach_u_mm > 0.0
    rest = bike.quantities["lever.rest_span_mm"]
    far = replace(rest, value=found.reach_mm + beyond * found.reach_u_mm)
    moved = replace(bike, quantities=bike.quantities | {"lever.rest_span_mm": far})
    assert assemble(moved).lever.rest_span * 1e3 == pytest.approx(far.value)
    again, _, _ = study_bike(moved, SHOP, **loose)
    assert bool(again.front) is kept


def test_a_budget_keeps_what_may_be_spent():
    loose = Limits(1.0, 1.0, 1.0)
    found, chosen, _ = study_bike(read_demo(), SHOP, limits=loose, samples=SAMPLES, budget=Budget(60.0, 2.0))
    every, _, _ = study_bike(read_demo(), SHOP, limits=loose, samples=SAMPLES)
    assert found.front == tuple(each for each in every.front if each.price <= 60.0 and each.hours <= 2.0)
    assert 0 < len(found.front) < len(every.front)
    assert chosen == 0


def test_jobs_that_count_are_named_either_way():
    assert Wished(without=("arm",)).of(SHOP) == SHOP.without(("arm",))
    assert [option.name for option in Wished(only=("arm", "softer")).of(SHOP).options] == ["softer", "arm"]
    assert Wished().of(SHOP) is SHOP
    with pytest.raises(InputError, match="did you mean arm"):
        Wished(only=("arn",)).of(SHOP)


@pytest.mark.parametrize(
    ("text", "share"), [("1%", 0.01), ("0.01", 0.01), (" 2.5 % ", 0.025), ("100%", 1.0), ("0", 0.0)]
)
def test_a_limit_is_a_share_or_a_percentage(text, share):
    assert read_limit("--slips", text) == pytest.approx(share)


@pytest.mark.parametrize("text", ["1", "1.0", "2", "101%", "-1%", "many", "nan"])
def test_a_bare_one_is_no_limit_that_could_be_told(text):
    with pytest.raises(InputError, match=r"such as 1% or 0\.01"):
        read_limit("--slips", text)


@pytest.mark.parametrize("amounts", [(-1.0, None), (None, -0.1), (float("nan"), None)])
def test_a_budget_below_nothing_is_refused(amounts):
    with pytest.raises(InputError, match="0 or more"):
        Budget(*amounts)
