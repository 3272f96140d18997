"""Charts that follow a slider: definitions hold no rows, rows fill all that a definition names, and fit into JSON."""

import json
from copy import deepcopy
from dataclasses import replace

import pytest

from clutchwright.picture import NARROW, WIDE, overview, render
from clutchwright.picture.live import CHARTS, WIDTHS, definition_json, live_charts
from clutchwright.picture.look import LIGHT
from tests.unit.shown_assessment import assessment, changed, hydraulic, short, unreachable

CASES = {
    "plain": assessment(),
    "changed": changed(),
    "hydraulic": hydraulic(),
    "short": short(),
    "short now": replace(short(), before=assessment()),
    "out of reach": unreachable(),
    "out of reach now": replace(unreachable(), before=assessment()),
    "out of reach before": replace(assessment(), before=unreachable()),
}


def sources(name: str, key: str, width: int = WIDE) -> dict[str, dict]:
    """Data sets of a definition that are not made from others, by name."""
    return {data["name"]: data for data in json.loads(definition_json(name, key, width=width))["data"]}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
@pytest.mark.parametrize("name", CHARTS)
def test_rows_are_those_that_the_definition_names(name, case):
    chart = live_charts(case)[name]
    named = {
        data for data, made in sources(name, chart["key"]).items() if "source" not in made and "values" not in made
    }
    generated = {data for data, made in sources(name, chart["key"]).items() if "transform" in made}
    assert set(chart["data"]) == named - generated


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_rows_are_finite_numbers_and_words(case):
    json.dumps(live_charts(case), allow_nan=False)


@pytest.mark.parametrize("name", CHARTS)
def test_each_key_has_a_definition_without_rows_and_without_fixed_colours(name):
    for key in CHARTS[name].KEYS:
        for width in (WIDTHS[0], NARROW, WIDTHS[-1]):
            text = definition_json(name, key, width=width)
            assert '"values"' not in text
            assert not [color for color in LIGHT.values() if color in text]


@pytest.mark.parametrize(
    ("name", "key", "width"),
    [
        ("loop", "now", WIDE),
        ("pull", "none", WIDE),
        ("force", "99", WIDE),
        ("travel", "now", WIDTHS[0] - 1),
        ("travel", "now", WIDTHS[-1] + 1),
    ],
)
def test_an_unknown_chart_key_or_width_is_refused(name, key, width):
    with pytest.raises(ValueError, match=f"chart '{name}', key '{key}', width {width} px: must be one of pull, force"):
        definition_json(name, key, width=width)


def test_keys_say_what_decides_the_definition():
    """By hand: six items of the force budget and the sum, of which the assist spring is zero."""
    assert {name: chart["key"] for name, chart in live_charts(changed()).items()} == {
        "pull": "before",
        "force": "6-before",
        "travel": "before",
    }
    assert {name: chart["key"] for name, chart in live_charts(unreachable()).items()} == {
        "pull": "now",
        "force": "none",
        "travel": "none",
    }


@pytest.mark.parametrize("name", CHARTS)
def test_drawing_leaves_a_kept_definition_alone(name):
    kept = CHARTS[name].definition(CHARTS[name].key(changed()), WIDE)
    copy = deepcopy(kept)
    render(overview(changed()), "svg")
    assert CHARTS[name].definition(CHARTS[name].key(changed()), WIDE) is kept
    assert kept == copy


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_force_bars_lie_within_the_height_of_their_key(case):
    chart = live_charts(case)["force"]
    height = json.loads(definition_json("force", chart["key"], width=WIDE))["height"]
    assert all(bar["y2"] < height for rows in chart["data"].values() for bar in rows if "y2" in bar)
