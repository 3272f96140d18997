"""Files of readings: what is read from them, and what is said of those that cannot be used."""

from __future__ import annotations

import hashlib
import math

import pytest

from clutchwright import readings, usecases
from clutchwright.errors import InputError
from clutchwright.readings import KINDS, PAIRS, POSITIONS, USUAL
from clutchwright.readings.kinds import ENDINGS, dimension_of, factor
from tests.broken_readings import BROKEN, GOOD


def load(text: str, name: str = "bench.csv") -> readings.Readings:
    return readings.loads(text.encode(), name)


def test_a_table_is_read_in_si():
    found = load(GOOD)
    assert {(each.name, each.at, each.value) for each in found.readings} == {
        ("pull", 0.01, 80.0),
        ("pull", 0.02, 92.0),
        ("pull", 0.03, 95.0),
        ("return", 0.01, 50.0),
        ("return", 0.02, 57.0),
        ("return", 0.03, 59.0),
    }
    assert found.readings[0].line == 3


def test_a_kilogram_of_force_is_its_weight():
    # standard gravity, 9.80665 m/s2: Resolution 2 of the 3rd CGPM (1901)
    found = load("travel_mm,pull_kg,return_kgf\n10,8,5\n20,9,6\n")
    expected = [5 * 9.80665, 6 * 9.80665, 8 * 9.80665, 9 * 9.80665]
    assert sorted(each.value for each in found.readings) == pytest.approx(expected)


@pytest.mark.parametrize("delimiter", [";", "\t", ", "])
def test_other_delimiters_comments_and_blocks(delimiter):
    rows = ["# a comment", "travel_mm,pull_N", "10,80", "20,90", "", ",", "note,hub_slip_Nm", "tired,90"]
    found = load("\n".join(row.replace(",", delimiter) for row in rows))
    assert [(each.name, each.value) for each in found.readings] == [("pull", 80.0), ("pull", 90.0), ("hub_slip", 90.0)]


def test_the_same_place_again_is_a_repeat_and_its_scatter_counts():
    found = load("note,travel_mm,pull_N\nresolution,1,0.5\n,10,80\n,20,90\n,20,90.4\n,30,95\n,30,99\n")
    first, second, third = found.readings
    assert (first.repeats, second.repeats, third.repeats) == ((80.0,), (90.0, 90.4), (95.0, 99.0))
    assert [each.disagree for each in found.readings] == [False, False, True]
    # 95 and 99 have a standard deviation of 2.83 N, not divided by the root of 2; rounding adds 0.14 N (GUM F.2.2.1)
    assert third.scatter == pytest.approx(math.sqrt(8.0))
    assert third.u == pytest.approx(math.hypot(math.sqrt(8.0), 0.5 / math.sqrt(12.0)))
    assert second.u == first.u


def test_many_repeats_are_never_surer_than_the_display():
    text = "travel_mm,pull_N\n10,80\n30,95\n" + "20,90\n" * 500
    each = next(each for each in load(text).readings if each.at == 0.02)
    assert len(each.repeats) == 500
    assert each.u > each.instrument.resolution / math.sqrt(12.0)
    assert each.instrument.offset_u >= each.instrument.resolution / math.sqrt(12.0)


def test_what_is_said_of_the_instruments_counts():
    text = (
        "note,travel_mm,pull_kg,return_kg\ninstrument,ruler,spring balance,spring balance\nresolution,0.5,0.1,0.1\n"
        "scatter,,0.2,\nzero_u,,0.05,0.05\ngain_u,,0.02,0.02\n,10,8,5\n,20,9,6\n"
    )
    pull = next(each for each in load(text).readings if each.name == "pull")
    tool = pull.instrument
    assert (tool.name, tool.gain_u) == ("spring balance", 0.02)
    assert (tool.resolution, tool.scatter, tool.zero_u) == pytest.approx((0.980665, 1.96133, 0.4903325))
    assert pull.at_instrument == readings.Instrument("ruler", 5e-4, 3e-4, 3e-4, 0.0)


def test_springs_and_keys_of_the_bike_file():
    found = load(
        "spring,spring_free_mm\n1,41\n2,40.8\n\nlever.free_play_mm,lever.rest_span_mm\n3,\n3.5,\n\nlength_mm,spring,spring_load_kg\n30,2,25\n"
    )
    by_name = {(each.name, each.spring): each for each in found.readings}
    assert by_name["spring_free", 2].value == pytest.approx(0.0408)
    assert by_name["lever.free_play_mm", 0].repeats == pytest.approx((3e-3, 3.5e-3))
    assert by_name["spring_load", 2].where == "30 mm, spring 2"


def test_a_key_without_a_usual_instrument_needs_a_resolution():
    with pytest.raises(InputError, match="give its resolution"):
        load("springs.rate_N_per_mm\n27\n28\n")
    found = load("note,springs.rate_N_per_mm\nresolution,0.5\n,27\n\ntravel_mm,pull_N\n1,2\n2,3\n").readings[0]
    assert (found.value, found.shown(found.value)) == (27e3, 27.0)


def test_toml_says_the_same_as_csv():
    table = """
schema = 1
[[block]]
resolution = { travel_mm = 1, pull_N = 0.5, return_N = 0.5 }
travel_mm = [10, 20, 30]
pull_N = [80, [92, 92.5], 95]
return_N = [50, 57, 59]
"""
    text = "note,travel_mm,pull_N,return_N\nresolution,1,0.5,0.5\n,10,80,50\n,20,92,57\n,20,92.5,\n,30,95,59\n"
    from_toml, from_csv = load(table, "bench.toml"), load(text)
    told = [[(each.name, each.at, each.repeats, each.u) for each in found.readings] for found in (from_toml, from_csv)]
    assert sorted(told[0]) == sorted(told[1])


def test_the_fingerprint_is_that_of_the_bytes_and_the_name_has_no_folder():
    found = readings.loads(GOOD.encode(), "/home/me/bench.csv")
    assert (found.fingerprint, found.name) == (hashlib.sha256(GOOD.encode()).hexdigest(), "bench.csv")


@pytest.mark.parametrize("name", BROKEN)
def test_a_broken_file_is_refused_with_file_and_reason(name):
    ending, content, words = BROKEN[name]
    with pytest.raises(InputError) as told:
        readings.loads(content, f"mine{ending}")
    message = str(told.value)
    assert all(word in message for word in (f"mine{ending}", *words)), message
    assert "\n" not in message


def test_there_are_bad_readings_of_every_sort():
    assert len(BROKEN) >= 35


@pytest.mark.parametrize("name", usecases.DEMOS)
def test_the_template_and_the_sheet_fit_the_bike(name):
    bike = usecases.read_demo(name)
    text = readings.template(bike)
    with pytest.raises(InputError, match="none in the file"):
        load(text)
    filled = [
        line + "1" if line.endswith(",") and set(line) <= set("0123456789.,") else line for line in text.splitlines()
    ]
    assert len(load("\n".join(filled)).readings) >= 10
    sheet = readings.sheet(bike)
    columns = {field["column"] for block in sheet["blocks"] for field in block["fields"]}
    assert all(column in text for column in columns)
    assert ("spring_load_kg" in columns) is (bike.choices["springs.kind"] == "coil")


def test_the_table_of_kinds_holds_together():
    assert {kind.at for kind in KINDS.values()} <= set(POSITIONS) | {""}
    assert all((kind.tool, kind.dimension) in USUAL for kind in KINDS.values())
    assert all((position.tool, position.dimension) in USUAL for position in POSITIONS.values())
    names = {kind.name for kind in KINDS.values()}
    assert set(PAIRS) | set(PAIRS.values()) <= names
    assert all(factor(ending, dimension) > 0.0 for dimension, endings in ENDINGS.items() for ending in endings)
    assert [dimension_of(key) for key in ("lever.free_play_mm", "arm.cable_angle_deg", "cable.friction")] == [
        "length",
        "angle",
        "",
    ]


def test_what_was_typed_in_kilograms_is_said_in_kilograms_in_the_steps_of_the_scale():
    text = (
        "note,weight_kg,cable_pull_kg\ninstrument,kitchen scale,luggage scale\nresolution,0.001,0.05\n"
        ",2,4.6\n,2,4.25\n,5,11\n,6,13\n"
    )
    first = load(text).readings[0]
    assert first.where == "2 kg"
    # the mean of 4.60 and 4.25 kg, and half a kilogram of weight, 4.903 N (found: standard gravity 9.80665 m/s2, CGPM)
    assert first.said(first.value).replace("\N{NO-BREAK SPACE}", " ") in ("4.42 kg", "4.43 kg")
    assert first.said(0.5 * 9.80665).replace("\N{NO-BREAK SPACE}", " ") == "0.50 kg"


def test_the_sheet_asks_for_places_that_a_ruler_has():
    for name in usecases.DEMOS:
        blocks = readings.sheet(usecases.read_demo(name))["blocks"]
        along = [block for block in blocks if block["fields"][0]["column"] == "travel_mm"]
        travels = [float(place) for block in along for place in block["places"]]
        assert travels
        assert all(travel == round(travel) >= 1 for travel in travels)
