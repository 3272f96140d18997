"""Pictures of the study keep their width, fetch nothing, and show the numbers they are given."""

import re

import numpy as np
import pytest
from scipy.special import ndtri

from clutchwright.changes import parse
from clutchwright.numbers import quantity_text
from clutchwright.picture.distribution import distribution
from clutchwright.picture.look import NARROW, WIDE, render
from clutchwright.picture.shares import MOST_ROWS, variance_bars
from clutchwright.picture.steps import plan_steps
from clutchwright.study.plan import make_plan
from clutchwright.study.variance import Share
from clutchwright.usecases import read_demo

NORMAL = 100.0 + 10.0 * ndtri((np.arange(4000) + 0.5) / 4000)  # as evenly spread as they can be
SHARES = tuple(Share(f"part.key_{place}_mm", 0.3 / (place + 1), 0.31 / (place + 1)) for place in range(11))

LABELS = {share.key: f"What number {place} is called" for place, share in enumerate(SHARES)}


def plan(target_N=80.0):
    return make_plan(read_demo(), [parse("cable-service"), parse("perch-shift:shift_mm=10")], target_N=target_N)


DRAWN = {
    "spread": lambda width: distribution("Peak pull", "N", now=0.7 * NORMAL, before=NORMAL, limit=75.0, width=width),
    "spread of one": lambda width: distribution("Peak pull", "N", now=NORMAL, width=width),
    "spread of none": lambda width: distribution("Peak pull", "N", now=np.full(5, np.nan), width=width),
    "no spread": lambda width: distribution("Slip margin", "", now=np.ones(9), width=width),
    "shares": lambda width: variance_bars("peak pull", SHARES, LABELS, width=width),
    "no shares": lambda width: variance_bars("peak pull", (), {}, width=width),
    "plan": lambda width: plan_steps(plan(), width=width),
}


def svg(name, width=WIDE):
    return render(DRAWN[name](width), "svg").decode()


@pytest.mark.parametrize("name", DRAWN)
@pytest.mark.parametrize("width", [WIDE, NARROW])
def test_a_picture_keeps_its_width_and_fetches_nothing(name, width):
    text = svg(name, width)
    assert float(text.partition('width="')[2].partition('"')[0]) <= width + 24
    assert "<image" not in text


def test_the_spread_shows_quantiles_and_the_limit():
    """Of a normal distribution nine of ten lie within 1.645 standard deviations: 84 to 116; 0.7 of it 58.5 to 81.5."""
    texts = re.findall(r"<text[^>]*>([^<]*)</text>", svg("spread"))
    assert {"84", "116  before", "58", "82  now", "75"} <= set(texts)


def test_the_outline_of_the_spread_encloses_one():
    chart = distribution("a", "N", now=NORMAL).to_dict()
    rows = next(rows for rows in chart["datasets"].values() if len(rows) > 50 and {"x", "y"} == set(rows[0]))
    x, y = (np.array([row[name] for row in rows]) for name in "xy")
    assert np.trapezoid(y, x) == pytest.approx(1.0, abs=0.01)
    assert x[np.argmax(y)] == pytest.approx(100.0, abs=2.0)


def test_shares_are_bars_as_long_as_they_are():
    chart = variance_bars("a", SHARES, LABELS).to_dict()
    own = [row["x2"] for row in next(iter(chart["datasets"].values()))]
    assert own == pytest.approx([share.first for share in SHARES[:MOST_ROWS]])
    assert "and 3 more that matter less" in svg("shares")
    assert "What number 7 is called" in svg("shares")
    assert "part.key" not in svg("shares")


def test_a_share_below_zero_is_drawn_as_none():
    chart = variance_bars("a", (Share("k", -0.02, 0.5),), {"k": "Key"}).to_dict()
    assert next(iter(chart["datasets"].values()))[0]["x2"] == 0.0


def test_steps_of_a_plan_are_bars_of_the_expected_pull():
    found = plan()
    text = svg("plan")
    for reading in (found.first, *(step.reading for step in found.steps)):
        assert quantity_text("pull_N", reading.pull_N, reading.u_N) in text
    assert "wanted 80" in text
    drawn = plan_steps(found).to_dict()
    rows = {layer["data"]["name"]: drawn["datasets"][layer["data"]["name"]] for layer in drawn["layer"]}
    heights = [row["y"] for row in next(each for each in rows.values() if "1  " in str(each))]
    lines = [
        (row["y"], row["y2"])
        for layer in drawn["layer"]
        if layer["mark"]["type"] == "rule"
        for row in rows[layer["data"]["name"]]
    ]
    assert len(lines) >= 2 * len(heights)
    assert not any(low <= height + 6 and height - 6 <= high for height in heights for low, high in lines), (
        "12 px letters"
    )
    assert "wanted" not in render(plan_steps(plan(None)), "svg").decode()
