"""The interview asks in the order of measuring, takes "don't know", and makes a file that can be read."""

import pytest

from clutchwright import bikefile
from clutchwright.bikefile import interview
from clutchwright.errors import InputError
from clutchwright.quantity import Quantity
from clutchwright.tomlfile.interview import Answer, Question

KNOWN = {
    "name": "My bike",
    "lever.finger_radius_mm": "82 ± 1",
    "lever.cable_radius_mm": "26",
    "lever.rest_span_mm": "78 mm",
    "lever.stop_span_mm": "32",
    "arm.length_mm": "32",
    "lift.kind": "rack",
    "lift.pinion_radius_mm": "4.5",
    "springs.kind": "coil",
    "springs.count": "6",
    "springs.free_length_mm": "41",
    "springs.installed_length_mm": "32",
    "springs.rate_N_per_mm": "27",
    "pack.faces": "14",
    "pack.outer_mm": "122",
    "pack.inner_mm": "98",
    "drive.engine_torque_Nm": "32 Nm manual",
    "drive.primary_ratio": "2.9 manual",
}
WIRE = {
    "springs.rate_N_per_mm": "don't know",
    "springs.wire_mm": "2.6",
    "springs.outer_mm": "17.6",
    "springs.total_turns": "6.75",
    "springs.ends": "squared ground",
    "springs.material": "oil tempered",
}


def ask(known: dict[str, str]) -> dict[str, Answer]:
    """Answer all questions, with "?" to those not known."""
    answers: dict[str, Answer] = {}
    while question := interview.next_question(answers):
        answers[question.key] = interview.answer(question, known.get(question.key, "?"))
    return answers


def question(key: str, **answers: Answer) -> Question:
    kinds = {"lever.cable_end": "far", "lift.kind": "rack", "springs.kind": "coil"}
    return next(asked for asked in interview.questions(kinds | answers) if asked.key == key)


def test_the_order_is_that_of_measuring():
    asked = list(ask(KNOWN))
    first = ["name", "lever.finger_radius_mm", "lever.free_play_mm", "cable.bend_deg", "arm.length_mm", "lift.kind"]
    then = ["springs.count", "pack.faces", "drive.engine_torque_Nm", "clearance.bolt_to_cover_mm"]
    places = [asked.index(key) for key in first + then]
    assert places == sorted(places)


def test_what_is_known_makes_a_bike():
    bike = bikefile.loads(interview.toml(ask(KNOWN)), "new.toml")
    assert bike.name == "My bike"
    assert bike.quantities["lever.finger_radius_mm"] == Quantity(82.0, 1.0, "measured")
    assert bike.quantities["drive.engine_torque_Nm"] == Quantity(32.0, 1.6, "manual")
    assert bike.choices["lever.cable_end"] == "far"
    assert "cable.friction" in bike.assumed


def test_what_is_not_known_stands_in_the_file_as_a_comment():
    text = interview.toml(ask(KNOWN))
    assert "\n# bend_deg is not known: 150 ± 50 ° assumed\n" in text
    assert "\n# friction is not known: 0.12 ± 0.04 assumed\n" in text
    assert "\n# blade_length_mm is not known: left open\n" in text


def test_the_wire_is_asked_for_when_the_rate_is_not_known():
    asked = ask(KNOWN | WIRE)
    assert set(WIRE) <= set(asked)
    bike = bikefile.assemble(bikefile.loads(interview.toml(asked), "new.toml"))
    assert 20e3 < bike.springs.stiffness / 6 < 35e3
    assert "springs.wire_mm" not in ask(KNOWN)
    with pytest.raises(InputError, match=r"springs\.wire_mm: this one is needed"):
        ask(KNOWN | {"springs.rate_N_per_mm": "?"})


def test_a_diaphragm_is_asked_for_its_rings():
    kinds = {"lever.cable_end": "cam", "lift.kind": "cam", "springs.kind": "diaphragm"}
    keys = [asked.key for asked in interview.questions(kinds)]
    assert {"springs.outer_mm", "springs.tip_radius_mm", "lift.eccentricity_mm"} <= set(keys)
    assert not {"springs.count", "springs.wire_mm", "lever.cable_angle_deg", "lift.pinion_radius_mm"} & set(keys)


def test_a_kind_is_asked_before_what_follows_from_it():
    assert [asked.key for asked in interview.questions({})] == ["name", "lever.cable_end"]


def test_what_nobody_measures_at_home_is_not_asked():
    asked = set(ask(KNOWN))
    assert not asked & {"oil.idle_rpm", "heat.steel_mass_kg", "pack.curve", "drive.engine_inertia_kgm2"}


def test_a_question_says_how_to_measure_and_what_is_allowed():
    asked = question("lever.finger_radius_mm")
    assert asked.allowed == "from 30 to 200 mm"
    assert "ruler" in asked.how
    assert not asked.may_be_unknown
    assert question("lift.kind").options == ("rack", "screw", "ramp", "cam")
    assert question("springs.count").allowed == "from 3 to 12"


@pytest.mark.parametrize("text", ["82 ± 2", "82+-2", "82 +/- 2 mm", " 82  ±2mm ", "82.0 ± 2.0 measured"])
def test_a_number_with_its_uncertainty(text):
    assert interview.answer(question("lever.finger_radius_mm"), text) == Quantity(82.0, 2.0, "measured")


@pytest.mark.parametrize(
    ("text", "becomes"),
    [
        ("82", Quantity(82.0, 1.5, "measured")),
        ("82 manual", Quantity(82.0, 1.5, "manual")),
        ("82 mm estimated", Quantity(82.0, 1.5, "estimated")),
    ],
)
def test_a_number_alone_is_as_good_as_its_key_says(text, becomes):
    assert interview.answer(question("lever.finger_radius_mm"), text) == becomes


@pytest.mark.parametrize(
    ("key", "text"),
    [("drive.engine_torque_Nm", "38 Nm"), ("cable.bend_deg", "140 deg"), ("cable.bend_deg", "140 °")],
)
def test_the_unit_may_be_written_after_the_number(key, text):
    assert interview.answer(question(key), text).value == float(text.split()[0])


@pytest.mark.parametrize("text", ["", "  ", "?", "don't know", "Don't  Know", "unknown"])
def test_not_knowing_is_an_answer(text):
    assert interview.answer(question("cable.friction"), text) is None
    assert interview.answer(question("lever.cable_end"), text) == "far"
    assert interview.answer(question("clearance.plate_moves"), text) == "outward"
    assert interview.answer(question("clearance.boss"), text) is None


@pytest.mark.parametrize(
    ("key", "text", "says"),
    [
        ("lever.finger_radius_mm", "?", "this one is needed .from 30 to 200 mm"),
        ("lever.finger_radius_mm", "82,5", "write a decimal point, such as 12.5"),
        ("lever.finger_radius_mm", "8.2 cm", "give a number from 30 to 200 mm"),
        ("lever.finger_radius_mm", "eighty", "give a number from 30 to 200 mm"),
        ("lever.finger_radius_mm", "nan", "give a number"),
        ("lever.finger_radius_mm", "8", "must be from 30 to 200 mm"),
        ("lever.finger_radius_mm", "82 ± -1", "must be a number from 0 to 170 mm, one standard uncertainty"),
        ("lever.finger_radius_mm", "9" * 400, "must be a number from 30"),
        ("springs.count", "six", "must be a whole number from 3 to 12"),
        ("springs.count", "6.5", "must be a whole number"),
        ("springs.count", "99", "must be a whole number"),
        ("lift.kind", "table", "answer one of rack, screw, ramp, cam"),
        ("lift.kind", "?", "this one is needed .rack, screw, ramp, cam"),
        ("name", "", "this one is needed"),
        ("name", "x" * 101, "1 to 100 characters"),
    ],
)
def test_an_answer_that_cannot_be_used_is_refused_in_one_line(key, text, says):
    with pytest.raises(InputError, match=says) as caught:
        interview.answer(question(key), text)
    assert caught.value.key == key
    assert str(caught.value).isprintable()


def test_a_word_may_be_written_in_capitals():
    assert interview.answer(question("lift.kind"), "Rack") == "rack"


def test_answers_that_do_not_fit_each_other_name_the_key_to_ask_again():
    text = interview.toml(ask(KNOWN | {"lever.stop_span_mm": "78"}))
    with pytest.raises(InputError) as caught:
        bikefile.loads(text, "new.toml")
    assert caught.value.key == "lever.stop_span_mm"
