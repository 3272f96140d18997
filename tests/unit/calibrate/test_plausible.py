"""Readings that a bike cannot have shown are refused in words, before or after a fit; odd but possible ones are not."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from clutchwright import usecases
from clutchwright.calibrate import fit
from clutchwright.errors import InputError
from clutchwright.readings import Readings
from tests.bench_simulation import PLAN, Tools, as_file, read
from tests.unit.calibrate.benches import BIKE, bench, changed, fitted

GOOD = bench(1)[1]


def hooked(_place, reading):
    return reading.name.startswith("hook")


def named(name):
    return lambda _place, reading: reading.name == name


def elsewhere(factor):
    return tuple(replace(each, at=each.at * factor) if each.position == "travel" else each for each in GOOD)


REFUSED = {
    "kilograms as newtons": (changed(GOOD, hooked, 1 / 9.80665), "as if it held kilograms"),
    "newtons as kilograms": (changed(GOOD, hooked, 9.80665), "as if it held newtons"),
    "pounds as newtons": (changed(GOOD, hooked, 1 / 4.448222), "as if it held pounds"),
    "centimetres of lift": (changed(GOOD, named("lift"), 0.1), "as if it held centimetres"),
    "inches of cable": (changed(GOOD, named("arm_travel"), 1 / 25.4), "as if it held inches"),
    "centimetres of travel": (elsewhere(0.1), "fits centimetres, not millimetres"),
    "inches of travel": (elsewhere(1 / 25.4), "fits inches, not millimetres"),
    "travel and pull swapped": (
        tuple(replace(r, at=r.value * 1e-3, repeats=(r.at * 1e3,)) if hooked(0, r) else r for r in GOOD),
        "beyond the lever's stop",
    ),
    "zero of the scale not taken off": (changed(GOOD, hooked, add=8.0), "zero had not been taken off"),
    "a large zero, and nothing read at rest": (
        changed(tuple(r for r in GOOD if r.at > 5e-3 or not hooked(0, r)), hooked, add=40.0),
        "zero had not been taken off",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_it_is_refused_in_one_line(name):
    readings, words = REFUSED[name]
    with pytest.raises(InputError) as told:
        fit(BIKE, [as_file(readings)])
    assert words in str(told.value), str(told.value)
    assert str(told.value).startswith("bench.csv")
    assert "\n" not in str(told.value)


def test_readings_of_another_bike_are_refused():
    plan = tuple(row for row in PLAN if not row[0].startswith("hook"))
    readings = tuple(each for each in GOOD if not each.name.startswith("hook"))
    assert len(plan) == len(readings)
    with pytest.raises(InputError, match=r"right bike file|as if it held|beyond the lever"):
        fit(usecases.read_demo("four-spring-ramp"), [as_file(readings)])


def test_the_same_file_twice_is_refused():
    with pytest.raises(InputError, match="would count twice"):
        fit(BIKE, [as_file(GOOD), as_file(GOOD, "copy.csv")])


def test_what_the_bike_file_takes_for_exact_cannot_be_read():
    exactly = {**BIKE.quantities, "lever.rest_span_mm": replace(BIKE.quantities["lever.rest_span_mm"], u=0.0)}
    reading = replace(GOOD[-1], name="lever.rest_span_mm", spring=0, repeats=(0.078,))
    with pytest.raises(InputError, match=r"as exact .*give it a u"):
        fit(replace(BIKE, quantities=exactly), [as_file((*GOOD, reading))])


def test_file_and_line_of_the_second_file_are_named():
    lost = tuple(replace(each, line=40) for each in changed(GOOD, hooked, add=8.0))
    files = [as_file(tuple(r for r in GOOD if not hooked(0, r)), "a.csv"), Readings("b.csv", "1" * 64, lost)]
    with pytest.raises(InputError, match=r"^b\.csv: line 40: luggage scale"):
        fit(BIKE, files)


def test_a_dirty_cable_is_no_mistake():
    # three times the friction and ten times the drag of the file: a fault to be found, not a bad reading
    truth = {"cable.friction": np.array([[0.36]]), "cable.drag_N": np.array([[15.0]])}
    found = fit(BIKE, [as_file(read(BIKE, truth, PLAN, Tools(np.random.default_rng(2))))])
    assert found.converged
    values = found.bench.values_of(found.mode[np.newaxis])
    assert values["cable.friction"][0, 0] > 0.25


def test_good_readings_pass():
    assert fitted().converged
