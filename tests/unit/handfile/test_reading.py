"""What a hand file says, and what it becomes for the hand model; numbers are unit conversions and sums by hand."""

import re
from dataclasses import replace
from math import radians
from pathlib import Path

import jsonschema
import pytest

from clutchwright import handfile
from clutchwright.errors import InputError
from clutchwright.hand.fingers import FINGERS
from clutchwright.hand.hand import capacity, estimate_hand
from clutchwright.hand.strength import norm_strength
from clutchwright.handfile import LeverPlace
from clutchwright.quantity import Quantity
from tests.broken_hands import BATHROOM, BROKEN, DYNAMOMETER, GOOD, LEVER_SCALE, NORM, PAINLESS, edited

KGF = 9.80665  # by definition
DEMOS = sorted(Path(handfile.__file__).parents[1].glob("demo/hands/*.toml"))
LEVEL = LeverPlace(0.078, radians(25), radians(25))
NOT_LEVELLED = LeverPlace(0.078, None, None)


def read(*edits: tuple[str, str]) -> handfile.MeasuredHand:
    return handfile.loads(edited(*edits), "test.toml")


def facts(*edits: tuple[str, str], place: LeverPlace = LEVEL, posture: handfile.Posture = "seated"):
    return handfile.facts(read(*edits), place, posture)


@pytest.mark.parametrize(("text", "says"), BROKEN.values(), ids=BROKEN)
def test_a_broken_file_is_refused_in_one_line(text, says):
    with pytest.raises(InputError) as caught:
        handfile.loads(text, "broken.toml")
    line = str(caught.value)
    assert re.search(says, line), line
    assert line.startswith("broken.toml: ")
    assert line.isprintable()
    assert len(line) < 600


def test_there_are_enough_of_them():
    assert len(BROKEN) >= 40


def test_the_file_they_are_made_from_is_good():
    assert read().name == "A hand made up for tests"


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_a_demo_hand_is_invented_and_comes_back_as_it_is_written(path):
    text = path.read_text("utf-8")
    hand = handfile.loads(text, path.name)
    assert text.startswith("# An invented hand")
    assert "(invented)" in hand.name
    assert handfile.loads(handfile.dumps(hand), "again") == hand
    jsonschema.Draft202012Validator(handfile.json_schema()).validate(_tomllib(text))


def _tomllib(text: str) -> dict[str, object]:
    import tomllib

    return tomllib.loads(text)


def test_the_demo_hands_differ_in_how_their_strength_is_known():
    kinds = [handfile.loads(path.read_text("utf-8"), path.name).choices["strength.kind"] for path in DEMOS]
    assert sorted(kinds) == ["dynamometer", "lever_scale", "norm", "painless"]


# What a schema cannot see: two numbers that do not fit each other, or the norms' ages.
UNSEEN = ("not TOML", "unclosed text", "too young for the norms", "too old for the norms", "reach told", "too unsure")


@pytest.mark.parametrize("name", [name for name in BROKEN if not name.startswith(UNSEEN)])
def test_an_editor_sees_what_is_wrong(name):
    validator = jsonschema.Draft202012Validator(handfile.json_schema())
    assert not validator.is_valid(_tomllib(BROKEN[name][0]))


def test_a_bare_reading_is_worth_a_tenth():
    assert read((NORM, DYNAMOMETER)).quantities["strength.grip_kgf"] == Quantity(26.0, 2.6, "estimated")


@pytest.mark.parametrize(
    ("text", "newton", "relative", "covers"),
    [
        (DYNAMOMETER, 26 * KGF, 0.10, {"side", "condition"}),
        (PAINLESS, 12 * KGF, 0.10, {"side", "condition"}),
        (BATHROOM, 15 * KGF, (0.20**2 + 0.05**2) ** 0.5, {"condition"}),
        (BATHROOM.replace("hands = 2", "hands = 1"), 30 * KGF, (0.20**2 + 0.05**2) ** 0.5, {"condition", "side"}),
    ],
)
def test_a_reading_is_converted_to_newton_with_its_spread(text, newton, relative, covers):
    strength = facts((NORM, text)).strength
    assert strength.grip.value == pytest.approx(newton, rel=1e-12)
    assert strength.grip.relative == pytest.approx(relative, rel=1e-9)
    assert strength.covers == covers


def test_a_pull_on_the_lever_is_brought_to_the_best_span():
    """20 kgf at 100 mm is 25 kgf at 80 mm; best span 176/5 + 15 = 50.2 mm, so 70 mm leaves 1 - 10 x 0.0198."""
    strength = facts((NORM, LEVER_SCALE)).strength
    assert strength.grip.value == pytest.approx(25 * KGF / (1 - 10 * 0.0198), rel=1e-9)
    assert {"fingers", "wrist", "forearm", "side", "glove", "condition"} == strength.covers


def test_a_pull_on_the_lever_counts_no_factor_twice_and_gives_the_pull_back():
    """At the span of the trial, in its posture, the capacity is the pull itself."""
    hand = estimate_hand(facts((NORM, LEVER_SCALE))).nominal()
    assert capacity(hand, 0.070) == pytest.approx(25 * KGF, rel=1e-9)


def test_a_pull_on_the_lever_still_feels_another_wrist_angle():
    """Standing at 45 degrees the table leaves 0.75 of what it leaves at 20 degrees."""
    text = (NORM, LEVER_SCALE), ("seated_extension_deg = 20", "seated_extension_deg = 20\nstanding_extension_deg = 45")
    standing = estimate_hand(facts(*text, posture="standing"))
    assert standing.parts["wrist"].value == pytest.approx(0.75, rel=1e-12)
    assert standing.parts["wrist"].u > 0.0
    assert estimate_hand(facts(*text)).parts["wrist"].u == 0.0


def test_norms_take_what_is_told():
    assert facts().strength == norm_strength("woman", 62, 30)
    assert facts(("percentile = 30", "")).strength == norm_strength("woman", 62)
    untold = facts(('sex = "woman"\nage_years = 62\n', ""), ("percentile = 30", ""))
    assert untold.strength == norm_strength()
    assert untold.sex is None


def test_own_readings_need_no_norms():
    assert facts((NORM, DYNAMOMETER), ("age_years = 62", "age_years = 91")).strength.grip.value > 0.0


def test_reach_by_its_three_ways():
    """0.47 of 175 mm; as told; 10 mm less than the lever that feels far."""
    assert facts().reach.value == pytest.approx(0.47 * 0.175)
    assert facts(("hand_length_mm = 175", "reach_mm = 90")).reach.value == pytest.approx(0.090)
    far = facts(("hand_length_mm = 175", "lever_feels_far = true")).reach
    assert (far.value, far.basis) == (pytest.approx(0.068), "assumed")
    assert facts(("hand_length_mm = 175", "")).reach is None


def test_words_and_flags_arrive():
    assert facts().pulling == ("index", "middle")
    assert facts(("index+middle", "all")).pulling == FINGERS
    assert facts().gloved
    assert not facts(("glove = true", "glove = false")).gloved
    assert not facts().dominant
    assert facts(('"right"', '"left"')).dominant


def test_a_condition_is_the_rider_s_own_factor_or_the_published_one():
    assert facts(('kind = "none"', 'kind = "thumb_base"')).condition == "thumb_base"
    own = facts(('kind = "none"', 'kind = "thumb_base"\nfactor = 0.7')).condition
    assert (own.value, own.u) == (0.7, 0.1)


def test_a_lever_raised_bends_the_wrist_up_by_as_much():
    raised = replace(LEVEL, level_now=radians(10))
    assert facts(place=raised).wrist_extension == pytest.approx(radians(20 + 25 - 10))
    assert facts(place=LEVEL).wrist_extension == pytest.approx(radians(20))


def test_the_forearm_gives_the_wrist_with_the_lever():
    """Forearm 50 degrees down, lever 25 degrees down: 25 degrees of extension."""
    forearm = ("seated_extension_deg = 20", 'kind = "forearm"\nseated_forearm_deg = 50')
    assert facts(forearm).wrist_extension == pytest.approx(radians(25))
    assert facts(forearm, place=replace(LEVEL, level_now=radians(5))).wrist_extension == pytest.approx(radians(45))


@pytest.mark.parametrize(
    ("edit", "place"),
    [
        (("seated_extension_deg = 20", 'kind = "forearm"\nseated_forearm_deg = 50'), NOT_LEVELLED),
        (("seated_extension_deg = 20", "seated_extension_deg = 20"), replace(NOT_LEVELLED, level_now=0.1)),
    ],
    ids=["forearm without the lever's angle", "lever turned from an unknown angle"],
)
def test_a_wrist_that_cannot_be_worked_out_is_refused(edit, place):
    with pytest.raises(InputError, match=r"lever.level_angle_deg: missing in the bike file"):
        facts(edit, place=place)


def test_an_unturned_lever_needs_no_angle():
    assert facts(place=NOT_LEVELLED).wrist_extension == pytest.approx(radians(20))


def test_standing_is_known_where_it_is_told():
    assert read().postures == ("seated",)
    told = ("seated_extension_deg = 20", "seated_extension_deg = 20\nstanding_extension_deg = 45")
    assert read(told).postures == ("seated", "standing")
    assert facts(told, posture="standing").wrist_extension == pytest.approx(radians(45))


def test_what_nobody_told_is_assumed():
    hand = handfile.loads('schema = 1\nname = "x"\n[strength]\nkind = "norm"\n', "x")
    words = ["rider.dominant_hand", "pull.fingers", "pull.glove", "wrist.kind", "condition.kind"]
    assert hand.assumed == ["wrist.seated_extension_deg", "wrist.deviation_deg", *words]
    assert hand.choices["rider.dominant_hand"] == "right"
    assert hand.choices["pull.glove"] is True
    assert GOOD.startswith("schema")
