"""The interview in the terminal: what it says, what it asks again, what it keeps."""

import builtins
import io
import json
from collections.abc import Iterable

import pytest
from rich.console import Console

from clutchwright import bikefile, handfile
from clutchwright.errors import InputError
from clutchwright.report.ask import ask

LEVER = ["Mine", "?", "82", "26", "78", "32", "?", "?", "?", "?"]
CABLE = ["?", "?", "?", "?"]
ARM = ["32", "?"]
LIFT = ["rack", "4.5", "?"]
SPRINGS = ["coil", "6", "41", "32", "27", "?", "?", "?"]
PACK = ["14", "122", "98", "?", "?", "?", "?", "?", "?"]
DRIVE = ["32 manual", "2.9 manual", "?", "?", "?", "?"]
CLEARANCE = ["?", "?", "?", "?", "?", "?"]
ALL = [*LEVER, *CABLE, *ARM, *LIFT, *SPRINGS, *PACK, *DRIVE, *CLEARANCE]
STOP = 5


class Heard(str):
    """What was said, with the labels of the questions in order."""

    asked: list[str]


@pytest.fixture
def talk(monkeypatch, tmp_path):
    """Types lines and gives what was said; the input ends, or is interrupted, after the last of them."""

    def run(lines: Iterable[str], kind=bikefile, name="mine.toml", end=EOFError) -> Heard:
        typed, heard, asked = iter(lines), io.StringIO(), []

        def read(_prompt: str = "") -> str:
            asked.append(heard.getvalue().rsplit("\n\n", 1)[-1].split(",")[0])
            try:
                line = next(typed)
            except StopIteration:
                raise end from None
            heard.write(f"{line}\n")
            return line

        monkeypatch.setattr(builtins, "input", read)
        end_line = ""
        try:
            ask(tmp_path / name, kind.interview, Console(file=heard, width=400))
        except InputError as error:
            end_line = str(error)
        said = Heard(heard.getvalue() + end_line)
        said.asked = asked
        return said

    return run


def kept(tmp_path) -> dict[str, str]:
    rows = map(json.loads, (tmp_path / "mine.toml.draft").read_text("utf-8").splitlines())
    return {row["key"]: row["text"] for row in rows}


def test_the_opening_says_how_to_answer(talk):
    heard = talk([])
    for words in ("± 1, one standard uncertainty", "manual or estimated", "? for don't know", "Ctrl-C keeps"):
        assert words in heard


def test_the_end_says_what_was_not_asked_and_what_comes_next(talk, tmp_path):
    heard = talk(ALL)
    path = tmp_path / "mine.toml"
    assert f"Written: {path}" in heard
    assert f"Next: clutchwright assess {path}" in heard
    assert "oil.idle_rpm: 1300 ± 150 1/min assumed" in heard
    assert "docs/reference/bike-file.md" in heard
    assert not (tmp_path / "mine.toml.draft").exists()
    assert bikefile.loads(path.read_text("utf-8"), "mine.toml").name == "Mine"


def test_a_hand_is_used_beside_a_bike(talk, tmp_path):
    heard = talk(["Me", *["?"] * 3, "norm", *["?"] * 20], handfile, "me.toml")
    assert f"Next: clutchwright assess BIKE --hand {tmp_path / 'me.toml'}" in heard


def test_a_name_with_a_blank_is_given_in_quotes(talk, tmp_path):
    assert f'go on with: clutchwright new "{tmp_path / "my bike.toml"}"' in talk(["Mine"], name="my bike.toml")


@pytest.mark.parametrize("end", [EOFError, KeyboardInterrupt])
def test_an_interruption_says_the_command_that_goes_on(talk, tmp_path, end):
    heard = talk(ALL[:4], end=end)
    assert heard.endswith(f"go on with: clutchwright new {tmp_path / 'mine.toml'}")
    assert list(kept(tmp_path).values()) == ALL[:4]
    rest = talk(ALL[4:])
    assert "Going on after the 4 answers kept in" in rest
    assert "Written" in rest


def test_a_question_says_what_not_knowing_leads_to(talk):
    heard = talk(ALL)
    assert "Spring rate, from 0.5 to 200 N/mm (? then asks for the wire, from which it is worked out)" in heard
    assert "Finger-point travel before the arm starts to turn, from 0 to 30 mm (? will do: 3 ± 1.2 mm assumed)" in heard


def test_a_wrong_answer_is_asked_again(talk):
    heard = talk(["Mine", "bowden", "far"])
    assert "Not taken: bowden: answer one of far, near, cam" in heard
    assert heard.asked[1:] == ["How the cable sits on the lever"] * 2 + ["Pivot to finger point"]


def test_a_refused_answer_says_what_is_allowed_and_not_the_whole_question_again(talk):
    heard = talk([*ALL[:2], "820", "82"])
    assert "Not taken: 820: must be from 30 to 200 mm" in heard
    assert heard.count("Mark where the middle of the pulling fingers lies") == 1


def test_each_question_says_how_many_there_are(talk):
    """All questions of this bike, as its answers decide them: the list is as long as the answers."""
    heard = talk(ALL)
    assert "\n1 of about " in heard
    assert f"\n{len(ALL)} of about {len(ALL)}. " in heard


def test_a_clash_asks_for_all_it_names_and_forgets_nothing_else(talk, tmp_path):
    wrong = [*LEVER]
    wrong[STOP] = "78"
    heard = talk(wrong)
    after = heard.partition("These do not fit each other: ")[2]
    assert after.startswith("lever.stop_span_mm = 78.0: must be below lever.rest_span_mm = 78")
    assert "lever at rest: 78\n" in after
    assert "lever stopped: 78\n" in after
    assert "You said: 78" in after
    assert list(kept(tmp_path).values()) == wrong
    assert "All bends" not in heard
    rest = talk(["88", "32", *ALL[len(LEVER) :]])
    assert "Written" in rest
    bike = bikefile.loads((tmp_path / "mine.toml").read_text("utf-8"), "mine.toml")
    assert bike.quantities["lever.rest_span_mm"].value == 88.0
    assert bike.quantities["lever.finger_radius_mm"].value == 82.0


def test_the_reason_of_a_clash_is_said_again_on_going_on(talk):
    wrong = [*LEVER]
    wrong[STOP] = "78"
    talk(wrong)
    assert "These do not fit each other: lever.stop_span_mm = 78.0" in talk([])
    assert "These do not fit each other: lever.stop_span_mm = 79.0" in talk(["78", "79"])


def test_a_clash_between_sections_keeps_what_lies_between(talk, tmp_path):
    early = ["32", "155", "rack", "1.6", "?"]
    heard = talk([*LEVER, *CABLE, *early, *SPRINGS, *PACK])
    assert "arm.cable_angle_deg = 155.0: the arm would pass its dead point" in heard
    assert len(kept(tmp_path)) == len([*LEVER, *CABLE, *early, *SPRINGS, *PACK])
    heard = talk(["80", "4.5", "?", *DRIVE, *CLEARANCE])
    assert heard.asked[:3] == ["At the cable end", "Pitch radius of the pinion", "Squash of the pack at full clamp"]
    assert "Written" in heard


def test_a_clash_again_is_said_again(talk):
    wrong = [*LEVER]
    wrong[STOP] = "78"
    assert talk([*wrong, "70", "75"]).count("These do not fit each other") == 2


def test_back_says_what_it_takes_back(talk, tmp_path):
    heard = talk([*ALL[:4], "back", "27"])
    assert "Taken back: Pivot to cable end on the lever: 26" in heard
    assert kept(tmp_path)["lever.cable_radius_mm"] == "27"


def test_back_in_a_clash_takes_back_the_one_before_and_keeps_those_after(talk, tmp_path):
    wrong = [*LEVER]
    wrong[STOP] = "78"
    heard = talk([*wrong, "back"])
    assert "Taken back: Pivot to cable end on the lever: 26" in heard
    left = kept(tmp_path)
    assert len(left) == len(wrong) - 1
    assert "lever.cable_radius_mm" not in left


def test_there_is_nothing_before_the_first_question(talk):
    assert "There is no answer before this one." in talk(["back"])


def test_an_answer_counts_only_for_the_question_it_was_given_to(talk, tmp_path):
    """After the kind is changed, the inside of a coil is not taken for the inside of a diaphragm."""
    talk([*LEVER, *CABLE, *ARM, *LIFT, *SPRINGS[:6]])
    path = tmp_path / "mine.toml.draft"
    coil = "\n".join(line for line in path.read_text("utf-8").splitlines() if "springs.kind" not in line)
    inner = json.dumps({"key": "springs.inner_mm", "label": "Inside diameter of a spring", "text": "22"})
    path.write_text(f"{coil}\n{inner}", "utf-8")
    heard = talk(["diaphragm", "126"])
    assert heard.asked[-1] == "Inner diameter of the closed ring"


def test_a_draft_that_no_longer_fits_its_range_is_asked_again(talk, tmp_path):
    talk(ALL[:4])
    path = tmp_path / "mine.toml.draft"
    path.write_text(path.read_text("utf-8").replace('"82"', '"820"'), "utf-8")
    assert talk([]).asked == ["Pivot to finger point"]


@pytest.mark.parametrize("text", ["?", "[" * 100_000, "[]"], ids=["no JSON", "nested too deeply", "a list"])
def test_a_draft_that_cannot_be_read_is_named(talk, tmp_path, text):
    path = tmp_path / "mine.toml.draft"
    path.write_text(text, "utf-8")
    assert talk([]).endswith(f"{path}: draft: cannot be read; move it away to begin anew")


def test_a_clash_that_no_answer_can_mend_ends_the_interview(talk, monkeypatch):
    def refuse(_text: str, _source: str, _layout: object) -> None:
        raise InputError("fitted.readings", None, "cannot be")

    object.__setattr__(bikefile.interview, "read", refuse)
    try:
        assert talk(LEVER).endswith("fitted.readings: cannot be")
    finally:
        object.__setattr__(bikefile.interview, "read", bikefile.loads)
