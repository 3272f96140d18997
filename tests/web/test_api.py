"""The interface for programs holds to its own description, whatever it is asked; errors are one line."""

from __future__ import annotations

import re
from html import unescape
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
import schemathesis
from hypothesis import HealthCheck, given, seed, settings
from hypothesis import strategies as st
from schemathesis.checks import CHECKS, load_all_checks

from clutchwright import bikefile, usecases
from clutchwright.changes import CHANGES
from clutchwright.readings import template
from clutchwright.web.app import DESCRIPTION, create_app
from clutchwright.web.asking import MOST_CHANGES, MOST_SAMPLES
from clutchwright.workspace import Workspace
from tests.web.workbench import HERE, client, filled

BIKE = usecases.DEMOS[0]
# Values that suit, so that not every question ends at the door.
SUITABLE: dict[str, list[Any]] = {
    "file": [f"{name}.toml" for name in usecases.DEMOS],
    "hand": ["hand-small-hand.toml", ""],
    "with": [["perch-shift:shift_mm=12"], ["washers:thickness_mm=0.5", "reach-screw:rest_span_mm=70"], ["washers"]],
    "riding": ["trail", "own:pulls_per_hour=300,hold_s=2"],
    "samples": [0, 8, 16],
    "says": ["50%", "0", "1e400%", "-3 %"],
    "by": ["springs", "anything"],
    "readings": [["readings.csv"], ["readings.csv", "readings.csv"]],
    "softer": [85.0],
    "target": [80.0],
    "name": ["pull"],
    "key": ["now", "before"],
}
# What each is asked first, so that an answer is looked at too; none where only a study that was made has one.
PLAIN: dict[str, dict[str, Any] | None] = {
    "assessment": {"hand": "hand-small-hand.toml", "with": ["perch-shift:shift_mm=12"], "samples": 8},
    "claim": {"says": "50%", "samples": 8},
    "patterns": {"samples": 8},
    "plan": {"with": ["perch-shift:shift_mm=12"]},
    "measure": {},
    "fit": {"readings": ["readings.csv"]},
    "compare": {"readings": ["readings.csv"]},
    "live": {"with": ["perch-shift:shift_mm=12"]},
    "study": None,
    "files": {},
    "changes": {},
    "key": None,
    "setups": None,
    "charts": {"width": 400},
}
BOUNDED = {"samples": 32}  # what only takes longer is tried elsewhere


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return filled(tmp_path_factory.mktemp("garage"))


@pytest.fixture(scope="module")
def bench(folder):
    return client(folder)


@pytest.fixture(scope="module")
def described(folder):
    """The description as `schemathesis` reads it, of an application asked from this machine."""
    app = create_app(Workspace(folder))

    async def local(scope: Any, receive: Any, send: Any) -> None:
        if scope["type"] == "http":
            headers = [pair for pair in scope["headers"] if pair[0] != b"host"]
            scope = {**scope, "client": (HERE, 1), "headers": [*headers, (b"host", b"localhost")]}
        await app(scope, receive, send)

    return schemathesis.openapi.from_asgi(DESCRIPTION, local)


@pytest.mark.parametrize("name", PLAIN)
def test_every_answer_is_as_described(described, name):
    load_all_checks()
    wanted = [
        "not_a_server_error", "status_code_conformance", "content_type_conformance", "response_schema_conformance",
        "response_headers_conformance",
    ]  # fmt: skip
    checks = CHECKS.get_by_names(wanted)
    found = [each.ok() for each in described.get_all_operations()]
    chosen = [each for each in found if name in each.path.replace("{key}", "key").split("/")]
    assert chosen

    if PLAIN[name] is not None:
        places = {"file": f"{BIKE}.toml", "name": "pull", "key": "now"}
        case = chosen[0].Case(path_parameters={k: v for k, v in places.items() if f"{{{k}}}" in chosen[0].path})
        case.query = PLAIN[name]
        assert case.call_and_validate(checks=checks).status_code == 200

    @seed(1)
    @settings(max_examples=10, deadline=None, database=None, suppress_health_check=list(HealthCheck))
    @given(data=st.data())
    def holds(data: st.DataObject) -> None:
        case = data.draw(st.sampled_from(chosen).flatmap(lambda operation: operation.as_strategy()))
        for values in (case.path_parameters, case.query):
            for key in list(values):
                if key in SUITABLE and data.draw(st.integers(0, 9), key):
                    values[key] = data.draw(st.sampled_from(SUITABLE[key]), key)
                elif key in BOUNDED and isinstance(values[key], int):
                    values[key] = min(values[key], BOUNDED[key])
        case.call_and_validate(checks=checks)

    holds()


def test_the_description_tells_every_kind_of_error(bench):
    told = bench.get(DESCRIPTION).json()
    for path, methods in told["paths"].items():
        for operation in methods.values():
            schemas = [
                operation["responses"][status]["content"]["application/json"]["schema"] for status in ("404", "422")
            ]
            assert schemas == [{"$ref": "#/components/schemas/Problem"}] * 2, path
            assert operation["description"], path
            assert all(each.get("description") for each in operation.get("parameters", ()) if each["in"] == "query"), (
                path
            )
    assert list(told["components"]["schemas"]) == ["Problem"]
    assert told["components"]["schemas"]["Problem"]["required"] == ["error"]


# Address after the bike's, status, and what the line says.
WRONG = {
    "no such bike": ("nowhere.toml/{}", {}, 404, "file = 'nowhere.toml': is not in this folder"),
    "bike that cannot be read": ("broken.toml/{}", {}, 422, "broken.toml"),
    "no text": ("binary.toml/{}", {}, 422, "binary.toml"),
    "no bike": ("catalogue.toml/{}", {}, 422, "catalogue.toml"),
    "name that leads elsewhere": ("..%2Fx.toml/{}", {}, 404, ""),
    "unknown change": (f"{BIKE}.toml/{{}}", {"with": "magic:x=1"}, 422, "magic"),
    "change without a value": (f"{BIKE}.toml/{{}}", {"with": "perch-shift"}, 422, "shift_mm"),
    "change beyond its range": (f"{BIKE}.toml/{{}}", {"with": "springs-softer:rate_share=-1"}, 422, "rate_share"),
    "refused change": (f"{BIKE}.toml/{{}}", {"with": "springs-fewer:left_out=5"}, 422, ""),
    "too many changes": (
        f"{BIKE}.toml/{{}}",
        {"with": ["washers"] * (MOST_CHANGES + 1)},
        422,
        f"at most {MOST_CHANGES}",
    ),
    "too many samples": (
        f"{BIKE}.toml/{{}}",
        {"samples": MOST_SAMPLES + 1},
        422,
        "samples: input should be less than",
    ),
    "no number": (f"{BIKE}.toml/{{}}", {"samples": "many"}, 422, "samples: "),
    "hours that are none": (f"{BIKE}.toml/{{}}", {"hours": "nan"}, 422, "hours: "),
    "unknown unit": (f"{BIKE}.toml/{{}}", {"force": "dyn"}, 422, "force: "),
    "no such hand": (f"{BIKE}.toml/{{}}", {"hand": "nobody.toml"}, 404, "nobody.toml"),
    "hand that is a bike": (f"{BIKE}.toml/{{}}", {"hand": f"{BIKE}.toml"}, 422, f"{BIKE}.toml"),
    "unknown riding": (f"{BIKE}.toml/{{}}", {"hand": "hand-small-hand.toml", "riding": "moon"}, 422, "moon"),
}


@pytest.fixture(scope="module")
def trouble(folder):
    (folder / "broken.toml").write_text("[lever]\nfinger_radius_mm = 'far'\n")
    (folder / "binary.toml").write_bytes(b"\xff\xfe[lever]")
    return client(folder)


@pytest.mark.parametrize(("path", "query", "status", "says"), WRONG.values(), ids=WRONG)
def test_each_error_is_one_line_for_programs_and_for_people(trouble, path, query, status, says):
    program = trouble.get(f"/api/bikes/{path.format('assessment')}", params=query)
    person = trouble.get(f"/bikes/{path.format('heavy')}", params=query)
    assert (program.status_code, person.status_code) == (status, status)
    assert list(program.json()) == ["error"]
    line = program.json()["error"]
    assert says in line
    assert len(line.splitlines()) == 1
    assert line.isprintable()
    shown = re.findall(r'role="alert">(.*?)</p>', person.text, re.DOTALL)
    assert [unescape(each) for each in shown] == [line.removeprefix("--")]


def test_a_save_that_clashes_is_told_and_keeps_both_texts(tmp_path):
    filled(tmp_path)
    bench = client(tmp_path)
    path = tmp_path / f"{BIKE}.toml"
    opened = bench.app.state.workspace.read(path.name).version
    elsewhere = path.read_text("utf-8") + "# an editor was here\n"
    path.write_text(elsewhere, "utf-8")
    mine = usecases.demo_text(BIKE) + "# mine\n"
    answer = bench.post(f"/files/{path.name}", data={"text": mine, "version": opened})
    assert answer.status_code == 409
    assert "changed elsewhere since you opened it" in answer.text
    assert path.read_text("utf-8") == elsewhere
    assert unescape(re.search(r"<textarea[^>]*>\n(.*?)</textarea>", answer.text, re.DOTALL)[1]) == mine
    version = re.search(r'name="version" value="(.*?)"', answer.text)[1]
    again = bench.post(f"/files/{path.name}", data={"text": mine, "version": version})
    assert again.headers["location"] == f"/files/{path.name}?done=saved"
    assert 'role="status">Saved.</p>' in bench.get(again.headers["location"]).text
    assert path.read_text("utf-8") == mine


def test_a_text_that_cannot_be_used_is_not_saved_and_stays_on_the_page(tmp_path):
    filled(tmp_path)
    bench = client(tmp_path)
    path = tmp_path / f"{BIKE}.toml"
    version = bench.app.state.workspace.read(path.name).version
    for text in ("[lever]\nfinger_radius_mm = 1e9\n", "mine, and no TOML"):
        answer = bench.post(f"/files/{path.name}", data={"text": text, "version": version})
        assert answer.status_code == 422
        assert unescape(re.search(r"<textarea[^>]*>\n(.*?)</textarea>", answer.text, re.DOTALL)[1]) == text
    assert path.read_text("utf-8") == usecases.demo_text(BIKE)


def test_a_claim_that_is_none_is_told_beside_its_form(trouble):
    answer = trouble.get(f"/bikes/{BIKE}.toml/claim", params={"says": "half", "by": "leverage"})
    assert answer.status_code == 422
    assert "Not judged: give a percentage from 1 to 99" in answer.text
    assert 'name="says" value="half"' in answer.text


def test_pages_say_changes_in_words(trouble):
    page = trouble.get(f"/bikes/{BIKE}.toml/claim", params={"with": ["arm-length:length_mm=38", "cable-service"]}).text
    told = [
        unescape(each).replace("\N{NO-BREAK SPACE}", " ") for each in re.findall(r'class="step">(.*?)</span>', page)
    ]
    assert told == ["Longer release arm (length 38 mm)", "Cable cleaned and oiled, or renewed with a better liner"]


def test_a_service_of_the_cable_begins_at_what_it_usually_gives(trouble):
    """A tick alone does what the change does without values on the command line: friction 0.08 and drag 1 N."""
    page = trouble.get(f"/bikes/{BIKE}.toml/change").text
    begin = dict(re.findall(r'name="cable-service\.(\w+)" type="range".*? value="(.*?)"', page))
    assert begin == {"friction": "0.08", "drag_N": "1.0"}


def test_a_file_of_readings_begins_with_what_to_read(folder):
    bench = client(folder)
    places = [bench.post(f"/bikes/{BIKE}.toml/readings").headers["location"] for _ in range(2)]
    assert places == [f"/files/{BIKE}-readings.csv", f"/files/{BIKE}-readings-2.csv"]
    text = (folder / f"{BIKE}-readings.csv").read_text("utf-8")
    assert text == template(bikefile.loads(usecases.demo_text(BIKE), BIKE))
    begun = bench.get(places[0]).text
    assert "begun, 0 of 3 readings" in begun
    assert "cannot be used" not in begun
    page = bench.get(f"/bikes/{BIKE}.toml/worked").text
    assert f'value="{BIKE}-readings.csv"' in page
    assert "begun, 0 of 3 readings" in page


def test_the_sheet_to_print_is_offered(bench):
    link = re.search(r'href="([^"]*readings.pdf)"', bench.get(f"/bikes/{BIKE}.toml/worked").text)[1]
    sheet = bench.get(link)
    assert (sheet.headers["content-type"], sheet.content[:5]) == ("application/pdf", b"%PDF-")


def test_a_file_for_a_bike_of_a_name_with_spaces_has_none(folder):
    (folder / "old twin.toml").write_text(usecases.demo_text(BIKE), encoding="utf-8")
    place = client(folder).post("/bikes/old twin.toml/readings").headers["location"]
    assert place == "/files/old-twin-readings.csv"


def test_what_was_changed_is_ticked_on_the_page_of_readings(bench):
    page = bench.get(f"/bikes/{BIKE}.toml/worked", params={"with": "arm-length:length_mm=38"}).text
    assert re.search(r'name="arm-length"[^>]* checked', page)
    assert re.search(r'name="arm-length.length_mm"[^>]* value="38.0"', page)
    fields = {"readings": "readings.csv", "ask": "compare", "arm-length": "on", "arm-length.length_mm": "40"}
    answer = bench.get(f"/bikes/{BIKE}.toml/worked/ask", params={**fields, "perch-shift.shift_mm": "3"})
    query = parse_qs(urlsplit(answer.headers["location"]).query)
    assert query == {"with": ["arm-length:length_mm=40"], "readings": ["readings.csv"], "ask": ["compare"]}


def test_a_question_about_no_file_says_so(bench):
    answer = bench.get(f"/bikes/{BIKE}.toml/worked/ask", params={"ask": "diagnose"})
    page = bench.get(answer.headers["location"]).text
    assert "Tick the file of readings that you ask about." in page
    assert "Tick the file" not in bench.get(f"/bikes/{BIKE}.toml/worked").text


@pytest.mark.parametrize("ask", ["diagnose", "fit"])
def test_what_takes_a_while_says_so_first(bench, ask):
    page = bench.get(f"/bikes/{BIKE}.toml/worked/ask", params={"ask": ask, "readings": "readings.csv"})
    assert page.status_code == 200
    assert "Being worked out" in page.text
    assert "<progress" in page.text
    to = unescape(re.search(r'http-equiv="refresh" content="0; url=([^"]*)"', page.text)[1])
    assert to == f"/bikes/{BIKE}.toml/worked?readings=readings.csv&ask={ask}"


def test_a_full_disk_is_told_on_the_page(tmp_path, monkeypatch):
    import errno
    import os

    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    bench = client(tmp_path)
    monkeypatch.setattr(os, "fsync", full)
    answer = bench.post("/files/begin", data={"demo": BIKE})
    assert answer.status_code == 422
    assert "No space left on device" in answer.text
    assert [path.name for path in tmp_path.iterdir() if not path.name.startswith(".")] == []


def test_begin_leaves_files_that_are_there_alone(tmp_path):
    (tmp_path / f"{BIKE}.toml").write_text("mine")
    assert client(tmp_path).post("/files/begin", data={"demo": BIKE}).status_code == 303
    assert (tmp_path / f"{BIKE}.toml").read_text() == "mine"


def test_a_file_goes_in_and_out_as_it_is(tmp_path):
    bench = client(tmp_path)
    content = usecases.demo_text(BIKE).replace("\n", "\r\n").encode()
    answer = bench.post("/files/import", files={"upload": ("Tante Käthe.toml", content)})
    assert (answer.status_code, answer.headers["location"]) == (303, "/files/Tante%20K%C3%A4the.toml")
    assert bench.get("/files/Tante Käthe.toml/download").content == content
    again = bench.post("/files/import", files={"upload": ("Tante Käthe.toml", b"# other\n" + content)})
    assert again.status_code == 422
    assert "exists already" in again.text
    assert (tmp_path / "Tante Käthe.toml").read_bytes() == content


def test_the_page_that_describes_the_interface_names_all_of_it(bench):
    page = bench.get("/api").text
    text = unescape(re.sub(r"<[^>]*>", "", page))
    told = bench.get(DESCRIPTION).json()
    for path, methods in told["paths"].items():
        for method, operation in methods.items():
            assert f"{method.upper()} {path}" in text
            assert operation["description"] in text
            assert all(
                each["name"] in text and each.get("description", "") in text for each in operation.get("parameters", ())
            )
    for link in re.findall(r'href="(/[^"]*)"', page):
        assert bench.get(link).status_code == 200, link
    assert 'href="/api"' in bench.get("/").text


def test_a_form_keeps_what_it_does_not_ask(bench):
    query = {
        "with": ["perch-shift:shift_mm=12"],
        "hand": "hand-small-hand.toml",
        "riding": "trail",
        "hours": "2",
        "samples": "8",
        "seed": "5",
        "force": "kgf",
        "length": "inch",
    }
    asks = {
        "hand": {"hand", "riding", "hours"},
        "claim": {"says", "by"},
        "worked": {"readings", "with"},
        "change": {"with"},
    }
    for question, own in asks.items():
        page = bench.get(f"/bikes/{BIKE}.toml/{question}", params=query).text
        form = re.search(r'<form method="get".*?</form>', page, re.DOTALL)[0]
        kept = re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', form)
        expected = {(key, each) for key, value in query.items() if key not in own for each in as_list(value)}
        assert set(kept) == expected, question


def as_list(value: Any) -> list[str]:
    return value if isinstance(value, list) else [value]


def test_what_costs_nothing_is_marked_free_on_the_page_of_changes(tmp_path):
    page = client(filled(tmp_path)).get(f"/bikes/{BIKE}.toml/change").text
    marks = dict(re.findall(r'id="([\w-]+)-title">[^<]*</span> <span class="[^"]*">([^<]*)<', page))
    assert len(marks) > 12
    assert {kind for kind, mark in marks.items() if mark == "free"} == {k for k in marks if CHANGES[k].free}
