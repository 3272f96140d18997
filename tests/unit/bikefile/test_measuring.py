"""Every quantity of a bike file can be measured with a tool, or is known not to be; none is worse than a guess."""

import pytest

from clutchwright.bikefile.measuring import MEASURING, NOT_AT_HOME, Measuring
from clutchwright.bikefile.schema import sections
from clutchwright.tomlfile.keys import Key
from clutchwright.tomlfile.layout import entry_of

KEYS = [
    (f"{section}.{name}", entry)
    for section, forms in sections().items()
    for model in forms.values()
    for name in model.model_fields
    if isinstance(entry := entry_of(model, name), Key)
]


def test_each_quantity_has_one_place():
    assert {key for key, _ in KEYS} == set(MEASURING) | NOT_AT_HOME
    assert not set(MEASURING) & NOT_AT_HOME


def test_ways_take_time_and_a_tool():
    for key, way in MEASURING.items():
        assert way.tool, key
        assert way.minutes > 0.0, key


@pytest.mark.parametrize(("key", "entry"), KEYS, ids=[key for key, _ in KEYS])
def test_a_way_with_an_uncertainty_of_its_own_is_better_than_a_bare_number(key, entry):
    way = MEASURING.get(key)
    if way is not None and (way.u is not None or way.share is not None):
        usual = entry.assumed.value if entry.assumed else sum(entry.limits) / 2.0
        assert way.reachable(entry, usual) < entry.bare_u(usual)


def test_measuring_is_never_worse_than_a_bare_number():
    entry = Key("Friction", "", (0.0, 1.0), u=0.012)
    assert Measuring("scale", 1.0, share=0.07).reachable(entry, 0.1) == pytest.approx(0.007)
    assert Measuring("scale", 1.0, share=0.07).reachable(entry, 0.5) == 0.012
    assert Measuring("scale", 1.0, u=0.005).reachable(entry, 0.5) == 0.005
    assert Measuring("scale", 1.0).reachable(entry, 0.5) == 0.012
