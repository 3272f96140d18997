"""Each formula gives the number its source gives; what is not published stands apart and is not called so."""

import sys

import pytest

from tests.validation.rows import (
    CONSTANT,
    Row,
    all_compared,
    all_rows,
    formulas,
    half_last_digit,
    resolve,
)

ROWS = all_rows()


def rows(confidence):
    chosen = [row for row in ROWS if row.confidence == confidence]
    return pytest.mark.parametrize("row", chosen, ids=[row.id for row in chosen])


def check(row):
    assert row.compute() == pytest.approx(row.expected, abs=row.allowed, rel=0.0), f"{row.inputs} [{row.source}]"


@rows("found")
def test_published_value(row):
    check(row)


@rows("memory")
def test_value_remembered_and_not_seen(row):
    check(row)


@rows("derived")
def test_value_derived_by_other_means(row):
    check(row)


@rows("identity")
def test_identity_or_limit_case(row):
    check(row)


@pytest.mark.parametrize("row", ROWS, ids=[row.id for row in ROWS])
def test_the_row_runs_the_formula_it_names(row):
    called = set()
    sys.setprofile(lambda frame, event, argument: called.add(frame.f_code))
    try:
        row.compute()
    finally:
        sys.setprofile(None)
    assert resolve(row.formula).__code__ in called


def test_ids_are_unique():
    ids = [row.id for row in ROWS]
    assert len(ids) == len(set(ids))


def test_each_formula_of_the_physics_is_held_against_something():
    held = {row.formula for row in ROWS} | {formula for entry in all_compared() for formula in entry.formulas}
    assert formulas("physics").keys() - held - CONSTANT == set()


def test_compared_formulas_and_their_tests_exist(pytestconfig):
    for entry in all_compared():
        assert (pytestconfig.rootpath / entry.test).is_file()
        assert all(callable(resolve(formula)) for formula in entry.formulas)


@pytest.mark.parametrize(
    ("printed", "half"), [("1.25", 0.005), ("15708", 0.5), ("2.5e5", 5e3), ("1.4e-3", 5e-5), ("0", 0.5)]
)
def test_half_of_the_last_digit(printed, half):
    assert half_last_digit(printed) == pytest.approx(half)


def test_a_wider_tolerance_needs_a_reason():
    with pytest.raises(ValueError, match="needs a reason"):
        Row("x", "x", "", "1.0", lambda: 1.0, "", "found", tolerance=0.1)
