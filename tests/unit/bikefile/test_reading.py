"""What the values in a bike file become: quantities with uncertainty and origin, assumptions for missing ones."""

import pytest

from clutchwright import bikefile
from clutchwright.errors import InputError
from clutchwright.quantity import Quantity
from tests.broken_bikes import DIAPHRAGM, GOOD, RACK, TABLE, edited


def read(*edits: tuple[str, str], text: str = GOOD) -> bikefile.MeasuredBike:
    return bikefile.loads(edited(*edits, text=text), "test.toml")


@pytest.mark.parametrize(
    ("given", "becomes"),
    [
        ("82", Quantity(82.0, 1.5, "estimated")),
        ("{ value = 82.5 }", Quantity(82.5, 1.5, "estimated")),
        ("{ value = 82, u = 0 }", Quantity(82.0, 0.0, "estimated")),
        (
            '{ value = 82, u = 0.4, origin = "measured: steel ruler" }',
            Quantity(82.0, 0.4, "measured: steel ruler"),
        ),
        ('{ value = 82, origin = "manual" }', Quantity(82.0, 1.5, "manual")),
        ('{ value = 82, u = 2, origin = "fitted: loop" }', Quantity(82.0, 2.0, "fitted: loop")),
    ],
)
def test_a_quantity_is_a_number_or_a_table(given, becomes):
    assert (
        read(("finger_radius_mm = 82", f"finger_radius_mm = {given}")).quantities["lever.finger_radius_mm"] == becomes
    )


def test_a_bare_number_may_be_uncertain_by_a_share():
    assert read().quantities["springs.rate_N_per_mm"] == Quantity(27.0, 0.81, "estimated")


def test_an_uncertainty_may_be_as_wide_as_the_range():
    """Friction hot over warm may be 0.4 to 1.2, so wide by 0.8, which 1.2 - 0.4 misses in its last digit."""
    bike = read(("faces = 14", "faces = 14\nhot_factor = { value = 0.9, u = 0.8 }"))
    assert bike.quantities["pack.hot_factor"].u == 0.8
    with pytest.raises(InputError, match=r"pack\.hot_factor\.u = 0\.801: must be a number from 0 to 0\.8, one"):
        read(("faces = 14", "faces = 14\nhot_factor = { value = 0.9, u = 0.801 }"))


@pytest.mark.parametrize("limit", ["30", "200"])
def test_the_limits_themselves_are_allowed(limit):
    assert read(("finger_radius_mm = 82", f"finger_radius_mm = {limit}"))


def test_a_missing_value_is_assumed_with_a_wide_uncertainty():
    bike = read(("friction = 0.12\n", ""))
    assert bike.quantities["cable.friction"] == Quantity(0.12, 0.04, "assumed")
    assert "cable.friction" in bike.assumed
    assert "lever.finger_radius_mm" not in bike.assumed


def test_a_missing_section_is_assumed_as_a_whole():
    bike = read(("[cable]\nfriction = 0.12\n", ""))
    assert {"cable.bend_deg", "cable.friction", "cable.drag_N", "cable.compliance_mm_per_N"} <= set(bike.assumed)


def test_what_cannot_be_assumed_stays_unknown():
    bike = read()
    assert "lever.blade_length_mm" not in bike.quantities
    assert "clearance.boss" not in bike.choices


def test_words_counts_and_their_defaults_are_choices():
    assert read().choices == {
        "lever.cable_end": "far",
        "lift.kind": "rack",
        "springs.kind": "coil",
        "springs.count": 6,
        "pack.faces": 14,
        "pack.wear_closes_free_play": True,
        "pack.friction_radius": "wear",
        "clearance.plate_moves": "outward",
    }


def test_curves_keep_the_units_of_the_file():
    bike = read((RACK, TABLE), ("faces = 14", "faces = 14\ncurve = [[0, 0], [0.1, 700], [0.2, 1600]]"))
    assert bike.curves["lift.points"] == ((0.0, 0.0), (10.0, 0.8), (20.0, 1.6), (30.0, 2.3))
    assert bike.curves["pack.curve"] == ((0.0, 0.0), (0.1, 700.0), (0.2, 1600.0))
    assert "pack.compression_mm" not in bike.quantities


def test_a_spring_that_differs_has_keys_of_its_own():
    spring = "[[springs.each]]\nposition = 3\nrate_N_per_mm = 22\nfitted = true\n"
    off = "[[springs.each]]\nposition = 5\nfitted = false\n"
    bike = read(("[pack]", f"{spring}{off}[pack]"))
    assert bike.quantities["springs.each.3.rate_N_per_mm"] == Quantity(22.0, 0.66, "estimated")
    assert bike.choices["springs.each.3.fitted"] is True
    assert bike.choices["springs.each.5.fitted"] is False


def test_a_near_or_cam_lever_has_its_own_keys():
    near = read(("[lever]", '[lever]\ncable_end = "near"\nadjuster_distance_mm = 38'))
    assert near.quantities["lever.adjuster_distance_mm"].value == 38.0
    cam = read(("[lever]", '[lever]\ncable_end = "cam"'), ("cable_angle_deg = 80\nrest", "rest"))
    assert "lever.cable_angle_deg" not in cam.quantities


def test_keys_are_explained():
    bike = read()
    key = bikefile.find_key("springs.inner_mm", bike.choices)
    assert (key.label, key.limits) == ("Inside diameter of a spring", (3, 60))
    other = read((GOOD[GOOD.index('kind = "coil"') : GOOD.index("\n\n[pack]")], DIAPHRAGM))
    assert bikefile.find_key("springs.inner_mm", other.choices).label.startswith("Inner diameter of the closed ring")
    assert bikefile.find_key("springs.each.2.rate_N_per_mm", bike.choices).label == "Spring rate"
    with pytest.raises(KeyError):
        bikefile.find_key("springs.kind", bike.choices)


def test_a_byte_order_mark_and_windows_line_ends_do_no_harm():
    data = b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode()
    assert bikefile.loads(bikefile.decode(data, "x"), "x") == read()


def test_a_file_of_the_largest_size_is_read():
    assert bikefile.decode(b"#" * bikefile.LARGEST, "x") == "#" * bikefile.LARGEST
    with pytest.raises(InputError, match="must be at most 1000000 bytes"):
        bikefile.decode(b"#" * (bikefile.LARGEST + 1), "x")
