"""Units in which people measure, and what they are worth in the units of the keys."""

import pytest

from clutchwright import bikefile, handfile
from clutchwright.errors import InputError
from clutchwright.quantity import other_units

# Exact by definition (identity): inch 25.4 mm, pound 0.45359237 kg, foot 12 inches, standard gravity 9.80665 m/s^2.
EXACT = [
    (bikefile, "lever.finger_radius_mm", "3.25 inch", 82.55),
    (bikefile, "cable.drag_N", "1 lbf", 4.4482216152605),
    (bikefile, "cable.drag_N", "0.2 kgf", 1.96133),
    (bikefile, "springs.rate_N_per_mm", "100 lbf/inch", 17.5126835),
    (bikefile, "springs.rate_N_per_mm", "2 kgf/mm", 19.6133),
    (bikefile, "drive.engine_torque_Nm", "10 lbfft", 13.55818),
    (bikefile, "drive.mass_kg", "500 lb", 226.796185),
    (handfile, "strength.scale_kgf", "98.0665 N", 10.0),
    (handfile, "strength.scale_kgf", "20 lbf", 9.0718474),
]
KINDS = {"lever.cable_end": "far", "lift.kind": "rack", "springs.kind": "coil", "strength.kind": "lever_scale"}


def answer(kind, key: str, text: str):
    question = kind.interview.question(key, KINDS)
    return kind.interview.answer(question, text)


@pytest.mark.parametrize(("kind", "key", "text", "expected"), EXACT)
def test_an_answer_in_another_unit_is_kept_in_that_of_the_key(kind, key, text, expected):
    assert answer(kind, key, text).value == pytest.approx(expected, rel=1e-7)


def test_a_conversion_leaves_no_digits_of_its_own():
    """3.1 x 25.4 is 78.74; in binary it would be 78.74000000000001."""
    assert answer(bikefile, "lever.finger_radius_mm", "3.1 inch").value == 78.74


def test_the_uncertainty_is_in_the_same_unit():
    found = answer(bikefile, "lever.finger_radius_mm", "3.25 ± 0.02 inch measured: ruler")
    assert (found.value, found.u, found.origin) == (82.55, 0.508, "measured: ruler")


def test_a_unit_of_another_kind_is_refused():
    with pytest.raises(InputError, match="give a number from 30 to 200 mm"):
        answer(bikefile, "lever.finger_radius_mm", "3 lbf")


def test_the_range_holds_for_the_converted_value():
    with pytest.raises(InputError, match="from 30 to 200 mm"):
        answer(bikefile, "lever.finger_radius_mm", "32 inch")


@pytest.mark.parametrize("key", ["cable.bend_deg", "cable.friction", "drive.top_rpm", "cable.compliance_mm_per_N"])
def test_what_people_measure_in_one_unit_only_has_no_other(key):
    assert other_units(key) == {}
