"""What is written reads back to the same bike, and an edit leaves all else in the file as it was."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from clutchwright import bikefile
from clutchwright.bikefile.schema import form_of, sections
from clutchwright.quantity import Quantity
from tests.broken_bikes import CAM, COIL, DIAPHRAGM, GOOD, RACK, RAMP, SCREW, TABLE, edited

DEMO = Path(bikefile.__file__).parents[1].joinpath("demo", "six-spring-rack.toml").read_text("utf-8")

WIRE = 'wire_mm = 2.6\nouter_mm = 17.6\ntotal_turns = 7\nends = "squared"\nmaterial = "music"'
EACH = "[[springs.each]]\nposition = 5\n[[springs.each]]\nposition = 2\nfitted = false\nrate_N_per_mm = 20\n"
CURVE = "curve = [[0, 0], [0.1, 700], [0.2, 1600]]"
TEXTS = [
    GOOD,
    edited((RACK, SCREW), ("rate_N_per_mm = 27.0", WIRE), ("solid_length_mm = 26.0\n", "")),
    edited((RACK, RAMP), ("[pack]", f"{EACH}[pack]")),
    edited((RACK, CAM), (COIL, DIAPHRAGM), ("[lever]", '[lever]\ncable_end = "near"\nadjuster_distance_mm = 38')),
    edited((RACK, TABLE), ("faces = 14", f"faces = 14\n{CURVE}")),
]
# Sections whose values need not fit those of others.
FREE = ("cable", "clearance")
ORIGINS = st.one_of(
    st.sampled_from(["measured", "manual", "estimated", "assumed", "fitted"]),
    st.text(st.characters(exclude_categories=["C"]), min_size=1, max_size=80).map("measured: {}".format),
)
NAMES = st.text(st.characters(exclude_categories=["C"]), min_size=1, max_size=100)


@st.composite
def measured_bikes(draw: Callable[..., Any]) -> bikefile.MeasuredBike:
    """One of the texts with other uncertainties and origins, and any values where they need not fit others."""
    bike = bikefile.loads(draw(st.sampled_from(TEXTS)), "text")
    quantities = dict(bike.quantities)
    for section in FREE:
        for name in form_of(section, bike.choices).model_fields:
            key = f"{section}.{name}"
            if key not in bike.choices and name not in ("boss",) and draw(st.booleans()):
                low, high = bikefile.find_key(key, bike.choices).limits
                quantities[key] = replace(bike.quantities.get(key, Quantity(low)), value=draw(st.floats(low, high)))
    for key in quantities:
        low, high = bikefile.find_key(key, bike.choices).limits
        u = draw(st.floats(0.0, high - low))
        quantities[key] = replace(quantities[key], u=u, origin=draw(ORIGINS))
    return replace(bike, name=draw(NAMES), quantities=quantities)


@given(measured_bikes())
@settings(max_examples=100, deadline=None, derandomize=True, database=None)
def test_what_is_written_reads_back_to_the_same_bike(bike):
    assert bikefile.loads(bikefile.dumps(bike), "written") == bike


@pytest.mark.parametrize("text", TEXTS, ids=["rack", "screw", "ramp", "cam", "table"])
def test_a_file_read_and_written_is_the_same_bike(text):
    bike = bikefile.loads(text, "text")
    written = bikefile.dumps(bike)
    assert bikefile.loads(written, "written") == bike
    assert bikefile.dumps(bikefile.loads(written, "written")) == written


def test_what_comes_from_the_assumptions_is_not_written():
    written = bikefile.dumps(bikefile.loads(GOOD, "text"))
    assert "drag_N" not in written
    assert "assumed" not in written
    assert "[heat]" not in written


def test_sections_are_written_in_the_order_of_measuring():
    written = bikefile.dumps(bikefile.loads(DEMO, "demo"))
    heads = [line[1:-1] for line in written.splitlines() if line.startswith("[")]
    assert heads == [section for section in sections() if section in heads]
    assert "\n\n[cable]\nbend_deg = { value = 140, u = 20, origin = " in written


def changed_lines(before: str, after: str) -> list[str]:
    old, new = before.splitlines(), after.splitlines()
    assert len(old) == len(new)
    return [line for was, line in zip(old, new, strict=True) if was != line]


def test_an_edit_changes_its_own_line_only_and_keeps_the_comment():
    text = DEMO.replace('friction = { value = 0.12, u = 0.03, origin = "estimated" }', "friction = 0.12  # dry")
    after = bikefile.set_value(text, "cable.friction", Quantity(0.18, 0.01, "fitted: pull and return"))
    assert changed_lines(text, after) == [
        'friction = { value = 0.18, u = 0.01, origin = "fitted: pull and return" }  # dry'
    ]


def test_edits_add_keys_sections_and_springs():
    spring = Quantity(22.0, 0.5, "measured: scales")
    after = bikefile.set_value(DEMO, "oil.idle_rpm", Quantity(1250.0, 20.0, "measured: tachometer"))
    after = bikefile.set_value(after, "springs.each.4.rate_N_per_mm", spring)
    after = bikefile.set_value(after, "springs.each.1.fitted", False)
    after = bikefile.set_value(after, "springs.each.4.fitted", True)
    after = bikefile.set_value(after, "clearance.boss", "steel")
    assert set(DEMO.splitlines()) - set(after.splitlines()) == {'boss = "aluminium"'}
    bike = bikefile.loads(after, "edited")
    assert bike.quantities["oil.idle_rpm"].value == 1250.0
    assert bike.quantities["springs.each.4.rate_N_per_mm"] == spring
    assert (bike.choices["springs.each.1.fitted"], bike.choices["springs.each.4.fitted"]) == (False, True)
    assert bike.choices["clearance.boss"] == "steel"


def test_an_edit_takes_out_the_remark_that_a_value_is_not_known_and_no_other():
    others = "# friction of the old one: 0.2\n# drag_N is not known: 2 N assumed\n"
    text = DEMO.replace("[cable]\n", f"[cable]\n# friction is not known: 0.12 assumed\n{others}", 1)
    edited = bikefile.set_value(text, "cable.friction", Quantity(0.2, 0.01, "fitted"))
    assert "# friction is not known" not in edited
    assert others in edited
    assert bikefile.loads(edited, "edited").quantities["cable.friction"] == Quantity(0.2, 0.01, "fitted")


def test_a_new_name_leaves_all_else():
    name = bikefile.loads(DEMO, "demo").name
    assert bikefile.set_name(DEMO, "other") == DEMO.replace(f'"{name}"', '"other"', 1)


def test_an_edit_may_set_a_curve():
    after = bikefile.set_value(GOOD, "pack.curve", ((0.0, 0.0), (0.1, 700.0), (0.2, 1600.0)))
    assert bikefile.loads(after, "edited").curves["pack.curve"][-1] == (0.2, 1600.0)


def test_a_value_keeps_all_its_digits():
    value = Quantity(0.1 + 0.2, 1e-17, 'measured: "ruler" \\ glass')
    after = bikefile.set_value(GOOD, "cable.friction", value)
    assert bikefile.loads(after, "edited").quantities["cable.friction"] == value
