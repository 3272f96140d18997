"""The table that a fit leaves in a bike file, and what hangs on it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from clutchwright import bikefile, usecases
from clutchwright.bikefile.fitted import Correlation, triangle
from clutchwright.errors import InputError
from clutchwright.quantity import Quantity
from clutchwright.study.tolerance import combined, draw, first_order, one_at_a_time, random_values, score, uncertain

KEYS = ("cable.friction", "lift.friction")
ROWS = (("cable.friction", 1.0), ("lift.friction", -0.8, 1.0))
TEXT = usecases.demo_text(usecases.DEMOS[0])


def with_table(rows: str, text: str = TEXT) -> bikefile.MeasuredBike:
    for key in KEYS:
        text = bikefile.set_value(text, key, Quantity(0.1, 0.02, "fitted: readings 0123abcd"))
    return bikefile.loads(f"{text}\n[fitted]\n{rows}\n", "mine.toml")


GOOD = 'correlation = [["cable.friction", 1], ["lift.friction", -0.8, 1]]'


def test_the_correlation_is_read_and_written_again():
    measured = with_table(GOOD)
    assert measured.correlation.keys == KEYS
    assert measured.correlation.matrix.tolist() == [[1.0, -0.8], [-0.8, 1.0]]
    again = bikefile.loads(bikefile.dumps(measured), "again.toml")
    assert again.curves["fitted.correlation"] == measured.curves["fitted.correlation"] == ROWS
    assert triangle(measured.correlation) == ROWS


def test_a_value_typed_over_later_stands_for_itself():
    measured = with_table(GOOD)
    quantities = {**measured.quantities, "lift.friction": Quantity(0.05, 0.01, "measured: luggage scale")}
    assert replace(measured, quantities=quantities).correlation.keys == ("cable.friction",)
    assert usecases.read_demo().correlation.keys == ()


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ('correlation = [["cable.friction", 1], ["lift.friction", 1.2, 1]]', "from -1 to 1"),
        ('correlation = [["cable.friction", 1], ["lift.friction", 1]]', "one number more"),
        ('correlation = [["cable.friction", 1], ["cable.friction", 0.5, 1]]', "name each key once"),
        ('correlation = [["cable.friction", 1], ["lift.friction", 1, 1]]', "no correlation matrix"),
        ('correlation = "much"', "must be rows"),
        ('readings = [["bench.csv", "abc"]]', "64 digits of hexadecimal"),
        ('readings = "bench.csv"', "list of pairs"),
        ("keys = []", "unknown key"),
    ],
)
def test_a_table_that_cannot_be_is_refused(rows, words):
    with pytest.raises(InputError, match=r"mine\.toml: fitted") as told:
        with_table(rows)
    assert words in str(told.value)


def test_possible_bikes_hang_together_as_the_file_says():
    measured = with_table(GOOD)
    values = random_values(measured.quantities, 8192, np.random.default_rng(1), measured.correlation)
    logarithms = [np.log(values[key][:, 0]) for key in KEYS]
    assert np.corrcoef(logarithms)[0, 1] == pytest.approx(-0.8, abs=0.01)
    alone = random_values(measured.quantities, 8192, np.random.default_rng(1))
    assert np.corrcoef([alone[key][:, 0] for key in KEYS])[0, 1] == pytest.approx(0.0, abs=0.01)
    assert np.std(values["lift.friction"]) == pytest.approx(0.02, rel=0.02)


def test_first_order_counts_the_correlation():
    # GUM 5.2.2 eq. (13): u of a sum of two with u = 1, 1 and r = -0.8 is sqrt(2 - 1.6)
    quantities = {"a_deg": Quantity(0.0, 1.0), "b_deg": Quantity(0.0, 1.0)}
    correlation = Correlation(("a_deg", "b_deg"), np.array([[1.0, -0.8], [-0.8, 1.0]]))
    moved = one_at_a_time(quantities, correlation)
    total = combined(first_order(quantities, moved["a_deg"][:, 0] + moved["b_deg"][:, 0]))
    assert total == pytest.approx(np.sqrt(0.4))
    assert uncertain(quantities) == ("a_deg", "b_deg")


@pytest.mark.parametrize(
    ("key", "quantity"),
    [
        ("cable.friction", Quantity(0.12, 0.03)),
        ("arm.cable_angle_deg", Quantity(80.0, 4.0)),
        ("pack.wear_mm", Quantity(0.0, 0.2)),
        ("lift.start_angle_deg", Quantity(-5.0, 10.0)),
    ],
)
def test_the_score_of_a_value_draws_it(key, quantity):
    for wanted in (-2.0, -0.3, 0.0, 1.7):
        value = float(draw(quantity, key, np.array([wanted]))[0])
        assert score(quantity, key, value) == pytest.approx(wanted, abs=1e-9)


def test_what_is_never_drawn_has_no_score():
    assert score(Quantity(0.12, 0.03), "cable.friction", 0.0) == -np.inf
    assert score(Quantity(0.0, 0.2), "pack.wear_mm", -0.1) == -np.inf
