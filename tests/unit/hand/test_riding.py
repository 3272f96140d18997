"""Riding told on a command line: a kind of the table, or a count of one's own."""

import pytest

from clutchwright.errors import InputError
from clutchwright.hand.riding import RIDINGS, parse_riding


@pytest.mark.parametrize("key", RIDINGS)
def test_a_kind_of_the_table(key):
    assert parse_riding(key) is RIDINGS[key]


@pytest.mark.parametrize(
    "text",
    [
        "own:pulls_per_hour=120,hold_s=2.5",
        "own: hold_s = 2.5, pulls_per_hour = 120",
        "own:hold_s=2.5,pulls_per_hour=1.2e2",
    ],
)
def test_an_own_count(text):
    """120 pulls an hour of 2.5 s are 300 s of 3600 s."""
    riding = parse_riding(text)
    assert riding.rate == pytest.approx(120 / 3600)
    assert riding.duty == pytest.approx(300 / 3600)
    assert riding.basis == "measured"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("twon", "riding = 'twon': known: town, .* own:pulls_per_hour"),
        ("own", "give one of town, .* or own:pulls_per_hour=..,hold_s=.. with two numbers"),
        ("own:", "with two numbers"),
        ("own:pulls_per_hour=120", "with two numbers"),
        ("own:pulls_per_hour=120,hold_s=2,grip=3", "with two numbers"),
        ("own:pulls_per_hour=120,hold_s=2,hold_s=3", "with two numbers"),
        ("own:pulls_per_hour=many,hold_s=2", "with two numbers"),
        ("own:pulls_per_hour=nan,hold_s=2", "with two numbers"),
        ("town:hold_s=2", "give one of town"),
        ("own:pulls_per_hour=0,hold_s=2", "pulls an hour = 0.0: must be above 0"),
        ("own:pulls_per_hour=120,hold_s=-2", "hold time = -2.0: must be above 0"),
        ("own:pulls_per_hour=3000,hold_s=2", "hold time = 2.0: 3000 pulls an hour leave 1.2 s for each"),
    ],
)
def test_what_cannot_be_used_is_refused_in_one_line(text, says):
    with pytest.raises(InputError, match=says) as caught:
        parse_riding(text)
    assert str(caught.value).isprintable()
