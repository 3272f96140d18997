"""The interview asks in the order of measuring, takes "don't know", and makes a file that can be read."""

import math
import re

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
    assert asked.unknown == ""
    assert question("lift.kind").options == ("rack", "screw", "ramp", "cam")
    assert "point by point goes into the file by hand" in question("lift.kind").how
    assert question("springs.count").allowed == "from 3 to 12"


@pytest.mark.parametrize("text", ["82 ± 2", "82+-2", "82 +/- 2 mm", " 82  ±2mm ", "82.0 ± 2.0 measured", "82,0 ± 2,0"])
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
@pytest.mark.parametrize("key", ["cable.friction", "lever.cable_end", "clearance.plate_moves", "clearance.boss"])
def test_not_knowing_is_an_answer(key, text):
    assert interview.answer(question(key), text) is None


@pytest.mark.parametrize(
    ("key", "leads_to"),
    [
        ("lever.free_play_mm", "will do: 3 ± 1.2 mm assumed"),
        ("cable.friction", "will do: 0.12 ± 0.04 assumed"),
        ("pack.wear_mm", "will do: 0 mm assumed"),
        ("lever.cable_end", "will do: on a pin, the adjuster far away, assumed"),
        ("lever.blade_length_mm", "left open"),
        ("springs.rate_N_per_mm", "then asks for the wire, from which it is worked out"),
        ("springs.free_length_mm", ""),
    ],
)
def test_a_question_says_what_not_knowing_leads_to(key, leads_to):
    assert question(key).unknown == leads_to


def test_words_not_known_are_written_as_comments_and_listed_as_assumed():
    text = interview.toml(ask(KNOWN))
    assert "\n# cable_end is not known: far assumed\n" in text
    assert "\n# plate_moves is not known: outward assumed\n" in text
    bike = bikefile.loads(text, "new.toml")
    assert {"lever.cable_end", "clearance.plate_moves", "pack.friction_radius"} <= set(bike.assumed)
    known = bikefile.loads(interview.toml(ask(KNOWN | {"clearance.plate_moves": "inward"})), "new.toml")
    assert known.choices["clearance.plate_moves"] == "inward"
    assert "clearance.plate_moves" not in known.assumed


LINE = re.compile(r"|#.*|\[[a-z]+\]|[A-Za-z0-9_]+ = [^#]+")
NOT_KNOWN = re.compile(r"# (\w+) is not known: .*")
ALL_NEAR_TYPICAL = {
    "lever.cable_end": '"far"',
    "lever.blade_length_mm": "110",
    "lever.level_angle_deg": "20",
    "springs.solid_length_mm": "26",
    "springs.inner_mm": "12",
    "clearance.bolt_to_cover_mm": "6",
    "clearance.plate_moves": '"inward"',
    "clearance.thread_engagement_mm": "9",
    "clearance.bolt_diameter_mm": "6",
    "clearance.boss": '"steel"',
    "clearance.arm_room_mm": "30",
}
KINDS = {
    "rack and coil": KNOWN,
    "rack and wire": KNOWN | WIRE,
    "ramp": KNOWN | {"lift.kind": "ramp", "lift.ramp_radius_mm": "14.5", "lift.ramp_angle_deg": "15.5"},
    "screw": KNOWN | {"lift.kind": "screw", "lift.lead_mm": "25", "lift.thread_diameter_mm": "16"},
    "cam": KNOWN | {"lift.kind": "cam", "lift.eccentricity_mm": "5.5"},
}


@pytest.mark.parametrize("kind", KINDS)
def test_each_line_of_a_written_file_is_a_value_a_comment_a_head_or_blank(kind):
    lines = interview.toml(ask(KINDS[kind])).splitlines()
    assert not [line for line in lines if not LINE.fullmatch(line)]
    assert sum(NOT_KNOWN.fullmatch(line) is not None for line in lines) >= 20


@pytest.mark.parametrize("kind", KINDS)
def test_a_comment_may_be_replaced_by_its_value(kind):
    answers = ask(KINDS[kind])
    lines = interview.toml(answers).splitlines()
    heads = [line for line in lines if line.startswith("[")]
    for place, line in enumerate(lines):
        unknown = NOT_KNOWN.fullmatch(line)
        if unknown:
            section = [head for head in heads if head in lines[:place]][-1].strip("[]")
            key = f"{section}.{unknown[1]}"
            value = ALL_NEAR_TYPICAL.get(key)
            if value is None and key == "springs.rate_N_per_mm":
                value = "27"
            if value is None:
                entry = bikefile.find_key(key, {name: word or "far" for name, word in answers.items()})
                value = f"{entry.assumed.value:g}"
            lines[place] = f"{unknown[1]} = {value}"
            bike = bikefile.loads("\n".join(lines), "replaced")
            assert key not in bike.assumed
            assert key in bike.quantities or key in bike.choices


def test_a_clash_is_found_when_its_section_is_answered_and_names_all_that_may_be_wrong():
    known, answers, clash = KNOWN | {"lever.stop_span_mm": "78"}, {}, None
    while clash is None:
        asked = interview.next_question(answers)
        answers[asked.key] = interview.answer(asked, known.get(asked.key, "?"))
        try:
            interview.check(answers)
        except InputError as error:
            clash = error
    assert interview.next_question(answers).key == "cable.bend_deg"
    assert {clash.key, *clash.others} == {"lever.stop_span_mm", "lever.rest_span_mm"}


CLASHES = {
    "pack": ({"pack.inner_mm": "130"}, {"pack.inner_mm", "pack.outer_mm"}),
    "coil": (
        {"springs.installed_length_mm": "41"},
        {"springs.installed_length_mm", "springs.free_length_mm"},
    ),
    "lever": (
        {"lever.cable_angle_deg": "150"},
        {"lever.cable_angle_deg", "lever.rest_span_mm", "lever.stop_span_mm", "lever.finger_radius_mm"},
    ),
    "free play": (
        {"lever.stop_span_mm": "76"},
        {"lever.free_play_mm", "lever.rest_span_mm", "lever.stop_span_mm"},
    ),
    "arm": (
        {"arm.cable_angle_deg": "155", "lift.pinion_radius_mm": "1.6"},
        {"arm.cable_angle_deg", "lift.pinion_radius_mm", "pack.compression_mm"},
    ),
    "worn springs": (
        {"pack.wear_mm": "9.5"},
        {"springs", "springs.free_length_mm", "springs.installed_length_mm", "pack.wear_mm"},
    ),
    "screw": (
        {"lift.kind": "screw", "lift.lead_mm": "4", "lift.thread_diameter_mm": "16"},
        {"lift.thread_friction", "lift.lead_mm", "lift.thread_diameter_mm", "lift.flank_deg"},
    ),
}


@pytest.mark.parametrize("name", CLASHES)
def test_a_clash_names_what_may_be_wrong(name):
    wrong, named = CLASHES[name]
    with pytest.raises(InputError) as caught:
        interview.check(ask(KNOWN | wrong))
    assert {caught.value.key, *caught.value.others} == named


def test_what_is_not_asked_is_listed_with_what_is_assumed():
    found = interview.not_asked(ask(KNOWN))
    assert found["oil.idle_rpm"] == "1300 ± 150 1/min assumed"
    assert found["pack.friction_radius"] == "wear assumed"
    assert "springs.mass_g" not in found
    assert not found.keys() & ask(KNOWN).keys()


def test_the_radius_of_a_circle_of_bolts_from_two_neighbours():
    how = question("springs.circle_radius_mm").how
    divisors = {3: 1.732} | {int(count): float(text) for text, count in re.findall(r"([0-9.]+) for (\d+)", how)}
    assert sorted(divisors) == [3, 5, 7, 9, 11]
    for count, divisor in divisors.items():
        # chord of a regular polygon, a = 2 R sin(pi / n)
        assert divisor == pytest.approx(2.0 * math.sin(math.pi / count), abs=6e-4)


@pytest.mark.parametrize(
    ("key", "text", "says"),
    [
        ("lever.finger_radius_mm", "?", "this one is needed .from 30 to 200 mm"),
        ("lever.finger_radius_mm", "1.082,5", "write a decimal point, such as 12.5"),
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
