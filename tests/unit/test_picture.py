"""Figures are whole, name all they show, and their numbers are those of the assessment."""

import re
import subprocess
import sys
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from clutchwright.assess.budgets import TRAVEL_LABELS
from clutchwright.changes import find, parse
from clutchwright.numbers import against, apportioned, decimal_text, quantity_text, rounded
from clutchwright.picture import FORMATS, NARROW, WIDE, force_budget, overview, pull_curve, render, travel_budget
from clutchwright.picture.changed import changes_text
from clutchwright.picture.force import _bars
from clutchwright.picture.look import DARK, LIGHT, spread
from clutchwright.picture.travel import segments
from tests.unit.shown_assessment import assessment, changed, hydraulic, short, unreachable

CASES = {
    "plain": assessment,
    "changed": changed,
    "hydraulic": hydraulic,
    "short": short,
    "unreachable": unreachable,
}
SIGNATURES = {"svg": b"<svg ", "png": b"\x89PNG\r\n\x1a\n", "pdf": b"%PDF-"}


def drawn(chart) -> ElementTree.Element:
    return ElementTree.fromstring(render(chart, "svg"))  # noqa: S314  # our own output


def words(chart) -> list[str]:
    """Texts of a chart as drawn, line by line."""
    texts = drawn(chart).iter("{http://www.w3.org/2000/svg}text")
    return [line for element in texts for line in element.itertext()]


@pytest.mark.parametrize("sign", ["\ufffe", "\uffff", "\x07", "\x1b", "\u202e", "\udc80"])
@pytest.mark.parametrize("format", FORMATS)
def test_a_name_with_a_character_that_is_none_is_drawn(sign, format):
    picture = render(overview(replace(assessment(), name=f"my{sign}bike")), format)
    assert picture.startswith(SIGNATURES[format])
    if format == "svg":
        assert "my\ufffdbike" in picture.decode()


# memory: the three examples of JCGM 100:2008, 7.2.6; the rest by hand.
@pytest.mark.parametrize(
    ("value", "u", "expected"),
    [
        pytest.param(10.05762, 0.027, ("10.058", "0.027"), id="memory: JCGM 100, 10.057 62 ohm with 27 milliohm"),
        pytest.param(100.0, 28.05, ("100", "28"), id="memory: JCGM 100, 28.05 kHz"),
        pytest.param(98.06, 5.64, ("98.1", "5.6"), id="one decimal"),
        pytest.param(98.06, 12.4, ("98", "12"), id="none"),
        pytest.param(1234.0, 123.0, ("1230", "120"), id="tens"),
        pytest.param(0.0312, 0.00204, ("0.0312", "0.0020"), id="a zero that counts is kept"),
        pytest.param(5.0, 0.0996, ("5.00", "0.10"), id="rounding up makes no third digit"),
        pytest.param(5.0, 9.96, ("5", "10"), id="nor does it across the point"),
        pytest.param(-0.031, 0.21, ("\N{MINUS SIGN}0.03", "0.21"), id="true minus sign"),
        pytest.param(-0.001, 0.21, ("0.00", "0.21"), id="no minus on zero"),
        pytest.param(2.5, 25.0, ("2", "25"), id="half to even"),
        pytest.param(0.0, 0.3, ("0.00", "0.30"), id="zero"),
    ],
)
def test_value_and_uncertainty_end_at_the_same_digit(value, u, expected):
    assert rounded(value, u) == expected


@pytest.mark.parametrize(
    ("key", "value", "u", "expected"),
    [
        ("pull_peak_N", 98.06, 5.64, "98.1 ± 5.6 N"),
        ("slip_margin_new", 1.604, 0.19, "1.60 ± 0.19"),
        ("demand_Nm", 90.92, 4.6, "90.9 ± 4.6 N m"),
        ("pull_peak_N", float("nan"), 5.6, "not reached"),
        ("pull_peak_N", 98.0649, float("nan"), "98.1 N (u unknown)"),
        ("slip_margin_new", 1.6044, float("nan"), "1.60 (u unknown)"),
        ("bite_full_mm", 3.785, float("inf"), "3.78 mm (u unknown)"),
        ("pull_peak_N", 98.0649, 0.0, "98.06 N"),
        ("pull_peak_N", 12345.0, 0.0, "12340 N"),
        ("pull_peak_N", 0.0, 0.0, "0 N"),
    ],
)
def test_a_figure_is_written_with_what_is_known_of_it(key, value, u, expected):
    assert quantity_text(key, value, u).replace("\N{NO-BREAK SPACE}", " ") == expected


@pytest.mark.parametrize(
    ("value", "limit", "expected"),
    [
        pytest.param(0.02508, 0.8, ("0.025", "0.8"), id="digits of the limit"),
        pytest.param(849.56, 1600.0, ("850", "1600"), id="tens"),
        pytest.param(9.5712, 0.0, ("9.57", "0"), id="digits of the value"),
        pytest.param(1e-17, 0.35, ("0.000", "0.35"), id="dust"),
        pytest.param(0.0, 75.123, ("0.0", "75.1"), id="nothing"),
        pytest.param(0.0341, 0.0, ("0.034", "0"), id="a limit of 0"),
        pytest.param(0.8969, 0.1, ("0.897", "0.1"), id="no zeros at the end of a limit"),
        pytest.param(8.74, 20.0, ("8.7", "20"), id="nor is a zero before the point taken"),
        pytest.param(float("nan"), 0.05, ("not reached", "0.05"), id="not reached"),
    ],
)
def test_a_value_is_written_as_its_limit_asks(value, limit, expected):
    assert against(value, limit) == expected


@pytest.mark.parametrize(
    ("values", "decimals", "expected"),
    [
        pytest.param((1 / 3, 1 / 3, 1 / 3), 1, (0.4, 0.3, 0.3), id="thirds of 1: the first of equals gets the rest"),
        pytest.param((0.26, 0.26, 0.48), 1, (0.3, 0.2, 0.5), id="quarters"),
        pytest.param((50.4, 52.3, -2.7), 0, (51.0, 52.0, -3.0), id="one below zero"),
        pytest.param((60.0, 40.0), 0, (60.0, 40.0), id="nothing to round"),
    ],
)
def test_rounded_parts_add_up_to_the_rounded_sum(values, decimals, expected):
    found = apportioned(values, decimals)
    assert found == pytest.approx(expected)
    assert decimal_text(sum(found), decimals) == decimal_text(sum(values), decimals)


@pytest.mark.parametrize(
    ("places", "expected"),
    [
        pytest.param([10.0, 50.0], [10.0, 50.0], id="apart already"),
        pytest.param([50.0, 10.0], [50.0, 10.0], id="in any order"),
        pytest.param([20.0, 20.0], [15.0, 25.0], id="about their middle"),
        pytest.param([20.0, 22.0, 21.0], [11.0, 31.0, 21.0], id="three"),
        pytest.param([0.0, 9.0, 17.0], [-2.0 + 2 / 3, 8.0 + 2 / 3, 18.0 + 2 / 3], id="a pair pushes into the next"),
    ],
)
def test_labels_keep_their_order_and_distance(places, expected):
    assert spread(places, gap=10.0) == pytest.approx(expected)


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
@pytest.mark.parametrize("format", FORMATS)
def test_every_format_is_what_it_says(case, format):
    assert render(overview(case()), format).startswith(SIGNATURES[format])


def test_an_unknown_format_is_refused():
    with pytest.raises(ValueError, match="must be one of svg, png, pdf"):
        render(overview(assessment()), "gif")


@pytest.mark.parametrize("width", [WIDE, NARROW])
@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
@pytest.mark.parametrize("figure", [pull_curve, force_budget, travel_budget])
def test_a_figure_keeps_to_its_width(figure, case, width):
    assert float(drawn(figure(case(), width=width)).attrib["width"]) <= width + 24


def test_the_pull_curve_names_what_it_shows():
    shown = words(pull_curve(changed()))
    for name in ("pull", "return", "pull before", "return before", "bite band", "free play 4.0"):
        assert name in shown
    assert {"clean release 35.0", "lever's stop 40.0"} <= set(shown)


def test_an_overview_says_which_changes_were_made():
    assert "changed: Longer release arm (length 40 mm)" in words(overview(changed()))
    assert not any(text.startswith("changed") for text in words(overview(assessment())))


@pytest.mark.parametrize(
    ("step", "text"),
    [
        ("cable-service", "{title}"),
        ("springs-fewer:left_out=1+4", "{title} (left out 1+4)"),
        ("arm-length:length_mm=37.5", "{title} (length 37.5 mm)"),
        ("washers:thickness_mm=1,outer_mm=14", "{title} (thickness 1 mm, outer 14 mm)"),
    ],
)
def test_a_change_in_words(step, text):
    made = parse(step)
    assert changes_text([made]) == text.format(title=find(made.kind).title)


def test_oil_in_place_of_a_cable_is_named_in_both_budgets():
    force, travel = words(force_budget(hydraulic())), words(travel_budget(hydraulic()))
    assert {"Friction in the cable's bends", "was 25.0, now 0.0 N"} <= set(force)
    assert {"Friction of the two seals", "was 0.0, now 10.0 N"} <= set(force)
    assert "hose swelling 1.0" in travel


def test_only_the_curve_speaks_of_a_bite_band():
    assert "bite band" in words(pull_curve(assessment()))
    assert not any("bite band" in text for text in words(travel_budget(assessment())))
    assert not any("bite band" in label for label in TRAVEL_LABELS.values())


def test_a_release_beyond_the_stop_is_said():
    assert "release 42.0, past the stop" in words(pull_curve(short()))
    assert "2.0 missing" in words(travel_budget(short()))


def test_what_was_before_is_dashed_and_thinner():
    svg = render(pull_curve(changed()), "svg").decode()
    lines = re.findall(rf'stroke="{LIGHT["pull"]}" stroke-width="([\d.]+)" stroke-dasharray="(.*?)"', svg)
    assert lines == [("1.2", "5,3"), ("3", "")]


def test_force_bars_follow_one_another_up_to_the_sum():
    bars = _bars(assessment())
    assert [(start, end) for _, start, end in bars] == [
        (0.0, 60.0),
        (60.0, 70.0),
        (70.0, 70.0),
        (70.0, 95.0),
        (95.0, 98.0),
        (98.0, 100.0),
        (0.0, 100.0),
    ]


def test_force_figure_leaves_out_what_is_zero_and_shows_before_and_now():
    shown = words(force_budget(changed()))
    assert "Assist spring" not in shown
    assert "was 60.0, now 48.0 N" in shown
    assert "was 100.0, now 80.0 N" in shown


@pytest.mark.parametrize("case", [assessment, short])
def test_travel_segments_lie_end_to_end_up_to_the_stop(case):
    found = segments(case())
    for (_, _, end, _), (_, start, _, _) in pairwise(found):
        assert start == end
    assert found[0][1] == 0.0
    assert found[-1][2] == pytest.approx(40.0)


def test_where_release_is_out_of_reach_the_budgets_say_so():
    for figure in (force_budget, travel_budget):
        assert any("never gets to a clean release" in text for text in words(figure(unreachable())))


def test_a_name_cannot_break_out_of_the_figure():
    hostile = replace(assessment(), name='</text><script>x</script>&"')
    svg = render(overview(hostile), "svg")
    assert b"<script" not in svg
    assert '</text><script>x</script>&"' in words(overview(hostile))


def test_figures_fetch_nothing():
    svg = render(overview(changed()), "svg").decode()
    assert not re.search(r"(href|src|url)\s*[=(]\s*[\"']?\s*(https?:)?//", svg)


def luminance(color: str) -> float:
    """Relative luminance, W3C WCAG 2.1 (memory)."""
    parts = [int(color[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("colors", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("name", ["ink", "quiet", "pull", "return", "fine", "alert"])
@pytest.mark.parametrize("ground", ["paper", "card"])
def test_text_stands_out_from_its_ground(colors, name, ground):
    light, dark = sorted((luminance(colors[name]), luminance(colors[ground])), reverse=True)
    assert (light + 0.05) / (dark + 0.05) >= 4.5  # level AA of the same


def test_each_colour_has_one_name_so_that_pages_can_turn_it_dark():
    assert len(set(LIGHT.values())) == len(LIGHT)
    assert LIGHT.keys() == DARK.keys()


def test_altair_is_not_imported_before_a_chart_is_asked_for():
    code = "import sys, clutchwright.picture, clutchwright.report.text; sys.exit('altair' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
