"""The interview asks what it must, takes "don't know", and makes a file that can be read."""

import pytest

from clutchwright import handfile
from clutchwright.errors import InputError
from clutchwright.quantity import Quantity
from clutchwright.tomlfile.interview import Answer, Question

KNOWN = {
    "name": "My hand",
    "rider.sex": "woman",
    "rider.age_years": "62",
    "strength.kind": "dynamometer",
    "strength.grip_kgf": "26 ± 2 kgf",
    "size.reach_mm": "?",
    "size.hand_length_mm": "175",
    "pull.fingers": "index+middle",
    "pull.glove": "no",
    "wrist.kind": "angle",
    "wrist.seated_extension_deg": "20",
}


def ask(known: dict[str, str]) -> dict[str, Answer]:
    """Answer all questions, with "?" to those not known."""
    answers: dict[str, Answer] = {}
    while question := handfile.interview.next_question(answers):
        answers[question.key] = handfile.interview.answer(question, known.get(question.key, "?"))
    return answers


def question(key: str, **answers: Answer) -> Question:
    kinds = {"strength.kind": "norm", "wrist.kind": "angle"}
    return next(asked for asked in handfile.interview.questions(kinds | answers) if asked.key == key)


def test_the_answers_make_the_hand():
    hand = handfile.loads(handfile.interview.toml(ask(KNOWN)), "asked")
    assert hand.name == "My hand"
    assert hand.quantities["strength.grip_kgf"] == Quantity(26.0, 2.0, "measured")
    assert hand.quantities["size.hand_length_mm"] == Quantity(175.0, 3.0, "measured")
    assert hand.choices["pull.glove"] is False
    assert hand.choices["rider.dominant_hand"] == "right"


def test_knowing_nothing_makes_a_hand_too():
    hand = handfile.loads(handfile.interview.toml(ask({})), "asked")
    assert hand.name == "My hand"
    assert hand.choices["strength.kind"] == "norm"
    assert "rider.sex" not in hand.choices
    assert hand.choices["pull.glove"] is True
    assert "size.lever_feels_far" not in hand.choices
    assert {"pull.glove", "pull.fingers"} <= set(hand.assumed)


def test_the_better_way_to_tell_the_reach_is_asked_first_and_then_no_other():
    asked = list(ask(KNOWN))
    assert asked.index("size.reach_mm") < asked.index("size.hand_length_mm")
    assert "size.lever_feels_far" not in asked
    asked = list(ask(KNOWN | {"size.reach_mm": "80"}))
    assert "size.hand_length_mm" not in asked
    assert "size.lever_feels_far" in list(ask(KNOWN | {"size.hand_length_mm": "?"}))


def test_an_age_beyond_the_norms_is_found_once_the_strength_is_told_and_either_may_be_wrong():
    known = KNOWN | {"rider.age_years": "91", "strength.kind": "norm"}
    answers: dict[str, Answer] = {}
    while (asked := handfile.interview.next_question(answers)).key.startswith(("name", "rider", "strength")):
        handfile.interview.check(answers)
        answers[asked.key] = handfile.interview.answer(asked, known.get(asked.key, "?"))
    with pytest.raises(InputError, match="the norms cover 20 to 84") as caught:
        handfile.interview.check(answers)
    assert (caught.value.key, *caught.value.others) == ("rider.age_years", "strength.kind")


def test_not_knowing_the_reach_leads_to_the_next_best():
    assert question("size.reach_mm").unknown == "then asks for the length of the hand"
    assert question("size.hand_length_mm").unknown == "then asks for whether the lever feels far away"


def test_only_the_chosen_way_of_measuring_is_asked():
    asked = set(ask(KNOWN | {"strength.kind": "bathroom_scale", "strength.scale_kgf": "30", "strength.hands": "2"}))
    assert "strength.scale_kgf" in asked
    assert "strength.grip_kgf" not in asked


@pytest.mark.parametrize(("text", "flag"), [("yes", True), ("No", False), ("?", None)])
def test_yes_and_no(text, flag):
    asked = question("pull.glove")
    assert asked.options == ("yes", "no")
    assert asked.unknown == "will do: yes assumed"
    assert handfile.interview.answer(asked, text) is flag


def test_a_wrong_answer_is_asked_again():
    with pytest.raises(InputError, match="answer one of yes, no"):
        handfile.interview.answer(question("pull.glove"), "maybe")
    needed = question("strength.grip_kgf", **{"strength.kind": "dynamometer"})
    with pytest.raises(InputError, match="this one is needed"):
        handfile.interview.answer(needed, "?")
