"""Guided measuring: whole journeys through its pages, as a browser without a script would make them."""

import io
import json
import re
from html import unescape
from pathlib import Path

import pytest
from rich.console import Console
from starlette.testclient import TestClient

from clutchwright import bikefile, handfile, usecases
from clutchwright.report.ask import ask
from clutchwright.tomlfile.interview import Question
from clutchwright.tomlfile.keys import Key
from clutchwright.tomlfile.layout import entry_of
from clutchwright.web.app import create_app
from clutchwright.web.drafts import Place, new_place
from clutchwright.web.entry import offer
from clutchwright.workspace import Workspace
from tests.unit.test_ask import ALL, DRIVE, LEVER

KEY = "lever.finger_radius_mm"
HAND = ["Me", "man", "50", "?", "lever_scale", "22", "100", "82", "70", "?", "185", "?", "?", "all", "yes", "angle"]


def client(folder: Path) -> TestClient:
    """A browser that talks to a server just started on the folder."""
    app = create_app(Workspace(folder), hosts=("testserver",))
    return TestClient(app, client=("127.0.0.1", 50000))


def fields(page: str) -> dict[str, str]:
    """What the form of a page would send, the first of each list."""
    form = re.search(r'<form method="post" action="([^"]*)" data-key.*?</form>', page, re.S)
    assert form is not None, page
    found = {"action": unescape(form[1])}
    for name, value in re.findall(r'<input (?:type="hidden" )?name="(\w+)" value="([^"]*)"', form[0]):
        found[name] = unescape(value)
    for name, options in re.findall(r'<select name="(\w+)".*?>(.*?)</select>', form[0], re.S):
        chosen = re.search(r'value="([^"]*)" selected', options) or re.search(r'value="([^"]*)"', options)
        found[name] = unescape(chosen[1])
    return found


def post(web: TestClient, page: str, text: str, **other: str):
    """Type into the form of a page, or choose a word of it, and send it."""
    sent = fields(page)
    address = sent.pop("action")
    words = re.findall(r'<button name="word" value="([^"]*)"|<button class="other" name="word" value="([^"]*)"', page)
    chosen = {word for pair in words for word in pair if word}
    given = {"word": text} if text in chosen else {"value": text.removesuffix(" manual")}
    if text.endswith(" manual"):
        given["origin"] = "manual"
    elif sent.get("origin", "").startswith("measured") or "origin" in sent:
        given["origin"] = "measured"
    return web.post(address, data=sent | given | other)


def begin(web: TestClient, kind: str = "bike"):
    return web.post(f"/measure/{kind}")


def answer_all(web: TestClient, page: str, texts: list[str]) -> str:
    for text in texts:
        answer = post(web, page, text)
        assert answer.status_code == 200, answer.text
        page = answer.text
    return page


def answered(folder: Path, texts: list[str]) -> str:
    """Address of a draft of a bike with its first questions answered, without going through the pages."""
    place = new_place(Workspace(folder), "bike")
    place.begin()
    for text in texts:
        place.change(lambda draft, text=text: draft.answered(draft.open_question(), text))
    return place.url


def draft_of(answer) -> str:
    return answer.url.path


def make(web: TestClient, draft: str, name: str = ""):
    page = web.get(f"{draft}/all").text
    usual = re.search(r'<input id="name" name="name" value="([^"]*)"', page)
    return web.post(f"{draft}/file", data={"name": name or usual[1]}, follow_redirects=False)


def heading(page: str) -> str:
    return unescape(re.search(r"<h1>(.*?)</h1>", page)[1])


def wrong(page: str) -> str:
    return unescape(re.search(r'<p class="wrong" role="alert"[^>]*>(.*?)</p>', page)[1])


def typed_in_the_terminal(monkeypatch, path: Path, texts: list[str], interview) -> str:
    lines = iter(texts)
    monkeypatch.setattr("builtins.input", lambda _prompt="": next(lines))
    ask(path, interview, Console(file=io.StringIO()))
    return path.read_text("utf-8")


@pytest.fixture
def web(tmp_path):
    return client(tmp_path)


@pytest.mark.parametrize(("kind", "texts", "module"), [("bike", ALL, bikefile), ("hand", None, handfile)])
def test_a_file_from_nothing_is_the_one_the_terminal_makes(web, tmp_path, monkeypatch, kind, texts, module):
    texts = texts or [*HAND, *["?"] * 4]
    other = tmp_path / "elsewhere"
    other.mkdir()
    expected = typed_in_the_terminal(monkeypatch, other / "one.toml", texts, module.interview)
    begun = begin(web, kind)
    page = answer_all(web, begun.text, texts)
    assert "Make the file" in page
    made = make(web, draft_of(begun), "one")
    assert made.status_code == 303
    assert (tmp_path / "one.toml").read_text("utf-8") == expected


def test_the_finished_bike_is_asked_about_at_once_and_its_draft_leads_to_it(web, tmp_path):
    draft = answered(tmp_path, ALL)
    made = make(web, draft)
    again = web.post(f"{draft}/file", data={"name": "sent again"}, follow_redirects=False)
    late = web.get(draft, follow_redirects=False)
    assert {each.headers["location"] for each in (made, again, late)} == {"/bikes/mine.toml/heavy"}
    assert "Go on with" not in web.get("/").text


def test_a_name_that_is_taken_is_refused_and_stays_in_the_field(web, tmp_path):
    (tmp_path / "mine.toml").write_text("x = 1\n", "utf-8")
    draft = answered(tmp_path, ALL)
    assert 'value="mine-2.toml"' in web.get(f"{draft}/all").text
    made = make(web, draft, "mine.toml")
    assert made.status_code == 422
    assert "mine.toml" in wrong(made.text)
    assert (tmp_path / "mine.toml").read_text("utf-8") == "x = 1\n"


def test_a_server_started_anew_goes_on_where_it_was(web, tmp_path):
    begun = begin(web)
    page = answer_all(web, begun.text, ALL[:5])
    again = client(tmp_path)
    assert heading(again.get(draft_of(begun)).text) == heading(page)
    assert re.search(r'<a class="open" href="[^"]*">Go on with Mine</a> bike, 5 of about 48', again.get("/").text)
    assert "7 of about 48" in answer_all(again, again.get(draft_of(begun)).text, ALL[5:6])


def test_back_shows_the_answer_before_to_be_changed(web):
    begun = begin(web)
    page = answer_all(web, begun.text, ["Mine", "far", "82"])
    back = web.get(unescape(re.search(r'<a href="([^"]*)" rel="prev">', page)[1])).text
    assert heading(back) == "Pivot to finger point, square to the pull"
    assert fields(back)["value"] == "82"
    on = post(web, back, "84")
    assert heading(on.text) == heading(page)
    assert "84" in web.get(f"{draft_of(begun)}/all").text


def test_one_can_go_back_to_the_first_question(web):
    page = answer_all(web, begin(web).text, ["Mine", "far"])
    for _ in range(2):
        page = web.get(unescape(re.search(r'<a href="([^"]*)" rel="prev">', page)[1])).text
    assert heading(page) == "Name of the bike"
    assert 'rel="prev"' not in page


def test_not_knowing_says_what_will_do(web, tmp_path):
    page = web.get(answered(tmp_path, LEVER[:6])).text
    assert heading(page) == "Finger-point travel before the arm starts to turn"
    assert "<small>will do: 3 ± 1.2 mm assumed</small>" in page
    needed = answer_all(web, begin(web).text, ["Mine", "far"])
    assert "needed, so come back when you know it" in needed


def test_springs_of_unknown_rate_are_asked_for_their_wire(web, tmp_path):
    until = ALL.index("27")
    page = web.get(answered(tmp_path, [*ALL[:until], "?", "?", "?", "?"])).text
    assert heading(page) == "Wire diameter of a spring"


def test_it_says_how_far_one_is_and_what_must_be_answered(web):
    page = answer_all(web, begin(web).text, ["Mine", "?", "82"])
    assert "4 of about 48" in page
    needed = re.search(r"(\d+) left; (\d+) of them must be answered", page)
    assert int(needed[1]) == 45
    known_to_the_terminal = [text for text in ALL[3:] if text != "?"]
    assert int(needed[2]) == len(known_to_the_terminal) - 1  # the springs' rate: their wire will do instead


@pytest.mark.parametrize(
    ("typed", "line"),
    [
        ("820", "820: must be from 30 to 200 mm; measure again, and check that it is in mm"),
        ("", "type it first: from 30 to 200 mm"),
        ("abc", "abc: give a number from 30 to 200 mm"),
        ("1.082,5", "1.082,5: write a decimal point"),
    ],
)
def test_a_wrong_value_gets_one_line_and_stays_in_the_field(web, typed, line):
    page = answer_all(web, begin(web).text, ["Mine", "far"])
    answer = post(web, page, typed, u="1")
    assert answer.status_code == 422
    assert line in wrong(answer.text)
    assert "\n" not in wrong(answer.text)
    assert fields(answer.text)["value"] == typed
    assert fields(answer.text)["u"] == "1"
    assert heading(answer.text) == heading(page)


@pytest.mark.parametrize(
    ("typed", "unit", "u", "value", "spread"),
    [
        ("82,5", "mm", "0,5", 82.5, 0.5),
        ("3.25", "inch", "0.02", 82.55, 0.508),  # identity: 25.4 mm to the inch
        ("3,25", "inch", "", 82.55, 1.5),  # what a plain reading of the key is worth
    ],
)
def test_commas_and_inches_are_kept_in_the_units_of_the_file(web, tmp_path, typed, unit, u, value, spread):
    draft = answered(tmp_path, ALL)
    post(web, web.get(f"{draft}?at={KEY}").text, typed, unit=unit, u=u)
    make(web, draft, "one")
    found = bikefile.loads((tmp_path / "one.toml").read_text("utf-8"), "one.toml").quantities[KEY]
    assert (found.value, found.u) == pytest.approx((value, spread), rel=1e-12)


def test_answers_that_do_not_fit_each_other_are_named_and_can_be_mended(web, tmp_path):
    texts = [*LEVER]
    texts[5] = "78"
    page = web.get(answered(tmp_path, texts)).text
    assert heading(page) == "These do not fit each other"
    assert "must be below “Span at the finger point, lever at rest” = 78" in wrong(page)
    links = re.findall(r'<a href="([^"]*at=[^"]*)">', page)
    assert len(links) == 2
    mended = post(web, web.get(unescape(links[0])).text, "32")
    assert heading(mended.text) == "All bends added up"


def test_the_same_answer_sent_twice_counts_once(web):
    begun = begin(web)
    page = answer_all(web, begun.text, ["Mine", "far"])
    first, second = post(web, page, "82"), post(web, page, "82")
    assert heading(first.text) == heading(second.text)
    assert second.status_code == 200


def test_an_answer_given_elsewhere_meanwhile_is_shown_and_not_overwritten(web):
    begun = begin(web)
    page = answer_all(web, begun.text, ["Mine", "far"])
    post(web, page, "83")
    late = post(web, page, "82")
    assert late.status_code == 409
    assert "answered elsewhere: 83" in wrong(late.text)
    assert fields(late.text)["value"] == "82"
    assert "83" in web.get(f"{draft_of(begun)}/all").text
    assert post(web, late.text, "82").status_code == 200


def test_an_answer_that_comes_while_another_is_being_kept_is_not_overwritten(web, monkeypatch):
    begun, own = begin(web), Place.change

    def just_before(place, make):
        own(place, lambda draft: draft.answered(draft.open_question(), "Ada"))
        return own(place, make)

    monkeypatch.setattr(Place, "change", just_before)
    late = post(web, begun.text, "Bea")
    assert late.status_code == 409
    assert "answered elsewhere: Ada" in wrong(late.text)


def test_an_answer_to_a_question_that_is_gone_is_refused(web):
    begun = begin(web)
    page = answer_all(web, begun.text, ["Mine", "near", *LEVER[2:6]])
    assert heading(page) == "Cable end to adjuster, lever at rest"
    post(web, web.get(f"{draft_of(begun)}?at=lever.cable_end").text, "far")
    assert post(web, page, "30").status_code == 409


def test_once_all_that_is_needed_is_known_it_says_what_an_answer_did(web, tmp_path):
    draft = answered(tmp_path, ALL[: len(ALL) - 10])
    page = post(web, web.get(f"{draft}?at=cable.friction").text, "0.1", u="0.01").text
    assert "an assumed value will do" in page
    assert re.search(r"<p>Peak pull was [^<]*\sN, now [^<]*\sN\.</p>", page)
    assert "Chance that it slips, worn and hot: " in page


def test_the_rest_can_be_left_to_what_is_assumed(web, tmp_path):
    make(web, answered(tmp_path, ALL[: len(ALL) - 10]), "early")
    bike = bikefile.loads((tmp_path / "early.toml").read_text("utf-8"), "early.toml")
    assert bike.quantities["drive.mass_kg"].assumed
    make(web, answered(tmp_path, ALL), "late")
    assert (tmp_path / "early.toml").read_bytes() == (tmp_path / "late.toml").read_bytes()


def test_a_draft_that_lacks_what_is_needed_makes_no_file(web, tmp_path):
    answer = web.post(f"{answered(tmp_path, ALL[:9])}/file", data={"name": "early"})
    assert answer.status_code == 422
    assert not (tmp_path / "early.toml").exists()


def test_a_draft_that_cannot_be_read_does_not_hide_the_folder(web, tmp_path):
    begun = begin(web)
    number = draft_of(begun).rpartition("/")[2]
    (tmp_path / ".clutchwright" / "drafts" / f"bike-{number}.draft").write_text("?", "utf-8")
    assert "cannot be read; move it away" in web.get("/").text


def test_a_note_of_what_a_draft_became_that_cannot_be_read_is_no_fault(web, tmp_path):
    (Workspace(tmp_path).store("drafts") / "bike-00000000.done").write_bytes(b"\xff")
    assert web.get("/measure/bike/00000000").status_code == 422


def test_thrown_away_is_gone_and_says_so(web):
    begun = begin(web)
    web.post(f"{draft_of(begun)}/drop")
    gone = web.get(draft_of(begun))
    assert gone.status_code == 404
    assert "finished or thrown away" in gone.text


@pytest.mark.parametrize("number", ["..%2f..%2fetc", "0123456", "0123456g", "0123456789"])
def test_a_draft_has_a_plain_number(web, number):
    assert web.get(f"/measure/bike/{number}").status_code in (404, 422)


@pytest.fixture
def bike(web, tmp_path):
    for demo in usecases.DEMOS:
        (tmp_path / f"{demo}.toml").write_text(usecases.demo_text(demo), "utf-8")
    return tmp_path / "six-spring-rack.toml"


def page_of(web, key=KEY) -> str:
    return web.get(f"/bikes/six-spring-rack.toml/measure/{key}").text


def test_a_quantity_measured_anew_is_saved_with_its_origin_and_the_comments_stay(web, bike):
    before = bike.read_text("utf-8")
    page = page_of(web)
    assert "82.0" in page
    done = post(web, page, "84", u="0.5", origin="measured: ruler")
    assert done.url.path == f"/bikes/six-spring-rack.toml/measured/{KEY}"
    old = 'finger_radius_mm = { value = 82, u = 1.5, origin = "measured: ruler" }'
    assert old in before
    assert bike.read_text("utf-8") == before.replace(old, old.replace("82, u = 1.5", "84, u = 0.5"))


def test_what_it_did_and_what_to_measure_next(web, bike):
    done = post(web, page_of(web, "pack.friction_static"), "0.14", u="0.004").text
    chances = re.search(r"Chance that it slips, worn and hot: was ([^,]*), now ([^.]*)\.", done)
    assert chances is not None
    assert "before it was 0.130" in done
    assert re.search(r"expected to take away [^<]* of the doubt", done)
    assert "/measure/pack.friction_static" not in done.split("Measure next")[1].split("</ul>")[0]


def test_undo_takes_it_back_but_not_what_followed(web, bike):
    before = bike.read_bytes()
    done = post(web, page_of(web), "84").text
    version = re.search(r'name="version" value="(\w+)"', done)[1]
    address = f"/bikes/six-spring-rack.toml/measure/{KEY}/undo"
    post(web, page_of(web, "arm.length_mm"), "33")
    assert web.post(address, data={"version": version}).status_code == 409
    web.post("/files/six-spring-rack.toml/undo")
    assert web.post(address, data={"version": version}).status_code == 200
    assert bike.read_bytes() == before


def test_an_edit_elsewhere_meanwhile_is_not_overwritten(web, bike):
    page = page_of(web)
    post(web, page_of(web, "arm.length_mm"), "33")
    late = post(web, page, "84")
    assert late.status_code == 409
    assert "changed elsewhere" in wrong(late.text)
    assert fields(late.text)["value"] == "84"
    assert post(web, late.text, "84").status_code == 200
    found = bikefile.loads(bike.read_text("utf-8"), "bike").quantities
    assert (found[KEY].value, found["arm.length_mm"].value) == (84.0, 33.0)


def test_the_same_value_sent_twice_is_no_conflict(web, bike):
    page = page_of(web)
    post(web, page, "84")
    assert post(web, page, "84").status_code == 200


def test_a_wrong_value_leaves_the_file_alone(web, bike):
    before = bike.read_bytes()
    answer = post(web, page_of(web), "820")
    assert answer.status_code == 422
    assert wrong(answer.text).startswith("820: must be from 30 to 200 mm")
    assert fields(answer.text)["value"] == "820"
    unfitting = post(web, page_of(web, "lever.stop_span_mm"), "79")
    assert unfitting.status_code == 422
    assert "79: must be below “Span at the finger point, lever at rest”" in wrong(unfitting.text)
    assert bike.read_bytes() == before


def test_the_best_that_the_tool_gives_counts_when_no_uncertainty_is_typed(web, bike):
    """Friction from a pull and return reading is worth 0.015, a bare number 0.03; own judgement."""
    page = page_of(web, "cable.friction")
    assert "0.015 counts (luggage scale)" in page
    for origin, u in (("measured: luggage scale", 0.015), ("estimated", 0.03)):
        post(web, page_of(web, "cable.friction"), "0.13", origin=origin)
        found = bikefile.loads(bike.read_text("utf-8"), "bike").quantities["cable.friction"]
        assert (found.u, found.origin) == (u, origin)


def test_an_uncertainty_that_was_never_typed_follows_value_and_source(web, tmp_path):
    """62 N m from a power run are worth 3 %; 52 from a manual 5 %, what any plain number is worth; own judgement."""
    torque = {"at": "drive.engine_torque_Nm"}
    address = answered(tmp_path, ALL[: ALL.index(DRIVE[0])])
    for value, source, kept in (
        ("62", "measured: power run at the wheel", "62 ± 1.86 measured: power run at the wheel"),
        ("52", "manual", "52 manual"),
    ):
        page = web.get(address, params=torque).text
        assert fields(page)["u"] == ""
        post(web, page, value, origin=source)
        assert Place(Workspace(tmp_path), "bike", address[-8:]).read().said[torque["at"]].text == kept


def test_every_screen_has_a_way_not_to_know_and_choices_stand_in_words(web):
    page = begin(web, "hand").text
    for _ in range(40):
        if not re.search(r'data-key="([^"]*)"', page):
            break
        key = re.search(r'data-key="([^"]*)"', page)[1]
        assert ("Rather not say" if key in ("rider.sex", "rider.age_years") else "Don't know") in unescape(page), key
        shown = re.findall(r'<button name="word" value="(\w*_\w*)"[^>]*>(?:<svg.*?</svg>)?([^<]*)<', page, re.S)
        assert all("_" not in words for _, words in shown), shown
        page = post(web, page, "dynamometer" if key == "strength.kind" else "30" if "grip" in key else "?").text
    assert "Make the file" in page


def test_a_hand_without_the_tool_goes_on_with_the_norm(web, tmp_path):
    page = answer_all(web, begin(web, "hand").text, ["Me", "?", "?", "?", "painless"])
    usual = re.search(r'<form method="post" action="([^"]*)">(<input.*?)<p>', page, re.S)
    sent = {name: unescape(value) for name, value in re.findall(r'name="(\w+)" value="([^"]*)"', usual[2])}
    assert heading(web.post(usual[1], data=sent).text) == "Per cent of people who are weaker"


def test_a_needed_quantity_can_be_left_for_later(web):
    page = answer_all(web, begin(web).text, ["Mine", "?"])
    assert heading(page) == "Pivot to finger point, square to the pull"
    later = re.search(r'<a class="other" href="([^"]*)">Don\'t know', page)[1]
    assert "Not all that is needed is known yet" in web.get(later).text


def test_a_paper_is_chosen_beforehand_where_the_words_of_the_question_begin_with_one():
    for section, forms in bikefile.LAYOUT.sections().items():
        for form in forms.values():
            for name in bikefile.LAYOUT.ordered_keys(form):
                entry = entry_of(form, name)
                if isinstance(entry, Key):
                    question = Question(f"{section}.{name}", entry.label, entry.how, "", (), "", entry)
                    paper = re.match(r"Manual|From the (lining's maker|oil's data sheet)", entry.how) is not None
                    assert offer(question).origins[0][0].startswith("manual") == paper, question.key


@pytest.mark.parametrize(
    ("key", "source"),
    [
        ("drive.engine_torque_Nm", "manual: workshop manual"),
        ("pack.friction_static", "manual: lining maker's data"),
        ("arm.length_mm", "measured: calliper"),
        ("lift.thread_friction", ""),
    ],
)
def test_where_the_words_name_no_source_none_is_chosen(key, source):
    assert (
        offer(bikefile.interview.question(key, {"lift.kind": "screw", "springs.kind": "coil"})).origins[0][0] == source
    )


def test_springs_measured_one_by_one_are_offered_one_by_one(web, bike):
    text = bike.read_text("utf-8")
    text = text.replace(
        "[pack]", "[[springs.each]]\nposition = 3\nrate_N_per_mm = { value = 26, u = 0.5 }\n\n[pack]", 1
    )
    bike.write_text(text, "utf-8")
    assert "/measure/springs.each.3.rate_N_per_mm" in page_of(web, "springs.rate_N_per_mm")
    post(web, page_of(web, "springs.each.3.rate_N_per_mm"), "25.5")
    assert bikefile.loads(bike.read_text("utf-8"), "b").quantities["springs.each.3.rate_N_per_mm"].value == 25.5


def test_a_key_that_is_no_quantity_is_not_found(web, bike):
    for key in ("lever.cable_end", "lever.nothing_mm", "nothing.at_all"):
        assert web.get(f"/bikes/six-spring-rack.toml/measure/{key}").status_code == 404
        assert web.get(f"/bikes/six-spring-rack.toml/measured/{key}").status_code == 404


def test_what_was_never_entered_is_not_said_to_be_saved(web, bike):
    answer = web.get("/bikes/six-spring-rack.toml/measured/springs.each.3.rate_N_per_mm", follow_redirects=False)
    assert answer.headers["Location"] == "/bikes/six-spring-rack.toml/measure/springs.each.3.rate_N_per_mm"


def test_every_quantity_of_every_demo_has_its_page(web, bike):
    for demo in usecases.DEMOS:
        page = web.get(f"/bikes/{demo}.toml/measure").text
        links = re.findall(rf'<a href="(/bikes/{demo}.toml/measure/[^"]*)">', page)
        assert len(links) > 50
        for link in links:
            answer = web.get(link)
            assert answer.status_code == 200, link
            assert not re.search(r'\sstyle="|<script(?! type="module" src=)', answer.text)


def test_the_page_of_the_question_leads_to_the_first(web, bike):
    page = web.get("/bikes/six-spring-rack.toml/next").text
    first = json.loads(web.get("/api/bikes/six-spring-rack.toml/measure").text)["first"]
    assert f'href="/bikes/six-spring-rack.toml/measure/{first}"' in page
