"""A catalogue made for a bike: its own lengths and springs, nothing that the bike refuses."""

import pytest

from clutchwright.bikefile import assemble
from clutchwright.changes import CHANGES, apply
from clutchwright.errors import Refusal
from clutchwright.study import catalogue
from clutchwright.study.limits import Limits
from clutchwright.study.own_list import own_list
from clutchwright.usecases import DEMOS, read_demo, study_bike


@pytest.fixture(scope="module", params=DEMOS)
def made(request):
    bike = read_demo(request.param)
    return bike, catalogue.loads(own_list(bike), "made")


def test_every_value_is_one_that_the_bike_allows(made):
    bike, found = made
    assert len(found.options) >= 7
    for option in found.options:
        for step in option.choices:
            apply(assemble(bike), [step])


def test_lengths_lie_between_the_bike_s_own_and_what_is_usual(made):
    bike, found = made
    by_kind = {option.choices[0].kind: option for option in found.options}
    for kind, name, key in (
        ("arm-length", "length_mm", "arm.length_mm"),
        ("cable-radius", "radius_mm", "lever.cable_radius_mm"),
        ("reach-screw", "rest_span_mm", "lever.rest_span_mm"),
    ):
        if kind not in by_kind:
            continue
        usual = next(each.usual for each in CHANGES[kind].parameters if each.name == name)
        today = bike.quantities[key].value
        for step in by_kind[kind].choices:
            assert usual.low * today <= step.parameters[name] <= usual.high * today
            assert step.parameters[name] != today
    assert "arm-length" in by_kind
    assert "lever-turn" not in by_kind  # it changes neither pull nor margin


def test_prices_are_the_middle_of_their_kind_s_and_marked_as_invented(made):
    bike, found = made
    text = own_list(bike)
    assert "Prices and hours are invented" in text
    assert "(invented prices)" in found.name
    for option in found.options:
        assert option.price == pytest.approx(sum(CHANGES[option.choices[0].kind].price) / 2.0, abs=0.51)
    assert text.count("# invented") == sum(option.price > 0.0 for option in found.options)


def test_what_cannot_be_done_together_excludes_each_other(made):
    bike, found = made
    by_name = {option.name: option for option in found.options}
    for option in found.options:
        for other in option.excludes:
            for steps in ((option, by_name[other]), (by_name[other], option)):
                with pytest.raises(Refusal):
                    apply(assemble(bike), [each.choices[0] for each in steps])


def test_nothing_of_it_is_refused_in_a_study():
    bike = read_demo()
    few = catalogue.loads(own_list(bike), "made")
    names = [option.name for option in few.options if option.choices[0].kind in ("arm-length", "plates", "free-play")]
    found, _, _ = study_bike(
        bike,
        few.without([option.name for option in few.options if option.name not in names]),
        limits=Limits(0.2, 0.2),
        samples=64,
    )
    assert found.refused == ()
