"""Who may come in, and with what: tried from outside, by a real server where the way there matters."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import time
from html.parser import HTMLParser
from pathlib import Path

import pytest

from clutchwright import cli_web, usecases
from clutchwright.errors import InputError
from clutchwright.web import guard
from clutchwright.web.app import create_app
from clutchwright.web.guard import COOKIE, HEADERS, LARGEST_BODY, TRIES, Pairing
from clutchwright.workspace import Workspace
from tests.web.workbench import PHONE, client, filled, sent, served

BIKE = usecases.DEMOS[0]
HARM = "<script>alert(1)</script>\"'><img src=x onerror=alert(2)>{{7*7}}${7*7}"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return filled(tmp_path_factory.mktemp("garage"))


@pytest.fixture(scope="module")
def port(folder):
    with served(create_app(Workspace(folder))) as number:
        yield number


@pytest.fixture(scope="module")
def empty(tmp_path_factory):
    """A folder without files, and where it is served."""
    made = tmp_path_factory.mktemp("empty")
    with served(create_app(Workspace(made))) as number:
        yield made, number


def files(folder: Path) -> list[str]:
    """Names of the user's files in a folder."""
    return sorted(path.name for path in folder.iterdir() if not path.name.startswith("."))


@pytest.fixture(scope="module")
def bench(folder):
    return client(folder)


def asked(*lines: str, body: bytes = b"") -> bytes:
    """A request from its lines."""
    return "\r\n".join([*lines, "Connection: close", "", ""]).encode("latin-1") + body


def posted(*lines: str, body: bytes = b"demo=six-spring-rack") -> bytes:
    kind = "Content-Type: application/x-www-form-urlencoded"
    return asked("POST /files/begin HTTP/1.1", kind, f"Content-Length: {len(body)}", *lines, body=body)


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "evil.example:8471",
        "localhost.evil.example",
        "evil.example#localhost",
        "evil.example/localhost",
        "evil.example?localhost",
        "evil.example@localhost",
        "localhost@evil.example",
        "localhost\\.evil.example",
        "localhost evil.example",
        "localhost.",
        "127.0.0.1.evil.example",
        "127.1",
        "0.0.0.0",  # noqa: S104  # asked for, not listened to
        "0",
        "2130706433",
        "192.0.2.1",
        "[::1",
        "[::ffff:127.0.0.1]",
        "[localhost]",
        ":8471",
        "",
    ],
)
def test_an_address_that_is_not_ours_is_turned_away(port, host):
    status, headers, body = sent(port, asked("GET / HTTP/1.1", f"Host: {host}"))
    assert status in (400, 421), "400 where the server itself finds it to be no host"
    assert len(body.decode().splitlines()) == 1
    if status == 421:
        assert headers["content-security-policy"] == HEADERS["Content-Security-Policy"]


@pytest.mark.parametrize("host", ["localhost", "localhost:1", "LOCALHOST", "127.0.0.1:8471", "[::1]:8471"])
def test_our_own_addresses_are_let_in(port, host):
    assert sent(port, asked("GET / HTTP/1.1", f"Host: {host}"))[0] == 200


def test_a_request_without_a_host_is_turned_away(port):
    assert sent(port, asked("GET / HTTP/1.0"))[0] == 421
    assert sent(port, asked("GET / HTTP/1.1"))[0] == 400
    assert sent(port, asked("GET / HTTP/1.1", "Host: localhost", "Host: evil.example"))[0] == 400


@pytest.mark.parametrize(
    "lines",
    [
        ["Origin: http://evil.example"],
        ["Origin: null"],
        ["Origin: http://localhost:9999"],
        ["Origin: http://localhost:8471.evil.example"],
        ["Origin: http://[::1"],
        ["Origin: localhost:8471"],
        ["Origin:"],
        ["Sec-Fetch-Site: cross-site"],
        ["Sec-Fetch-Site: same-site"],
        ["Sec-Fetch-Site: cross-site", "Origin: http://localhost:8471"],
        ["Sec-Fetch-Site: cross-site", "Sec-Fetch-Mode: navigate"],
        ["Sec-Fetch-Site: what-comes-next"],
    ],
)
def test_what_another_site_sends_changes_nothing(empty, lines):
    folder, number = empty
    assert sent(number, posted("Host: localhost:8471", *lines))[0] == 403
    assert files(folder) == []


@pytest.mark.parametrize("lines", [[], ["Origin: http://localhost:8471", "Sec-Fetch-Site: same-origin"]])
def test_what_our_own_page_or_a_program_sends_is_taken(empty, lines):
    folder, number = empty
    assert sent(number, posted("Host: localhost:8471", *lines))[0] == 303
    assert f"{BIKE}.toml" in files(folder)
    for name in files(folder):
        (folder / name).unlink()


def test_another_site_may_link_to_a_page_but_not_load_it(bench):
    site = {"Sec-Fetch-Site": "cross-site"}
    assert bench.get("/", headers={**site, "Sec-Fetch-Mode": "navigate"}).status_code == 200
    for mode in ("no-cors", "cors", "websocket"):
        assert bench.get("/api/files", headers={**site, "Sec-Fetch-Mode": mode}).status_code == 403


def test_every_route_that_changes_something_wants_our_own_page(folder):
    app = create_app(Workspace(folder))
    bench = client(folder, app=app)
    writing = [
        (method, re.sub(r"{\w+}", "x", path))
        for path, methods in routes(app)
        for method in methods - {"GET", "HEAD", "OPTIONS"}
    ]
    assert ("POST", "/files/begin") in writing
    for method, path in writing:
        for lines in ({"Origin": "null"}, {"Sec-Fetch-Site": "cross-site"}):
            assert bench.request(method, path, headers=lines).status_code == 403, (method, path)


def routes(app) -> list[tuple[str, set[str]]]:
    """Path and methods of every route."""
    from fastapi.routing import iter_route_contexts

    return [(each.path, set(each.methods or ())) for each in iter_route_contexts(app.routes) if each.path]


def test_no_answer_allows_another_site_to_read(bench):
    answer = bench.get("/api/files", headers={"Origin": "http://evil.example"})
    assert not [name for name in answer.headers if name.lower().startswith("access-control")]
    assert bench.options("/files/begin", headers={"Origin": "http://evil.example"}).status_code == 405


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("/", 200),
        ("/api", 200),
        ("/api/files", 200),
        ("/api/description.json", 200),
        ("/static/workbench.css", 200),
        ("/static/none.css", 404),
        ("/look.css", 200),
        (f"/bikes/{BIKE}.toml", 303),
        (f"/bikes/{BIKE}.toml/claim", 200),
        (f"/bikes/{BIKE}.toml/claim/", 307),
        ("/bikes/none.toml/heavy", 404),
        ("/bikes/none/heavy", 422),
        ("/nowhere", 404),
        ("/files/begin", 422),
        ("/files/all.zip", 200),
        (f"/files/{BIKE}.toml/download", 200),
    ],
)
def test_every_answer_carries_our_headers(port, path, status):
    found, headers, body = sent(port, asked(f"GET {path} HTTP/1.1", "Host: localhost"))
    assert found == status, body
    assert headers.items() >= {name.lower(): value.lower() for name, value in HEADERS.items()}.items()
    assert "cache-control" in headers
    assert not {"server", "x-powered-by"} & set(headers)


def test_a_fault_of_our_own_is_one_line_with_our_headers(folder, monkeypatch):
    app = create_app(Workspace(folder))

    def breaks(*_: object) -> None:
        message = "secret of the inside"
        raise RuntimeError(message)

    monkeypatch.setattr(Workspace, "entries", breaks)
    bench = client(folder, app=app)
    bench._transport.raise_server_exceptions = False
    for path, text in (("/", "A fault of this program"), ("/api/files", '{"error":"A fault of this program')):
        answer = bench.get(path)
        assert answer.status_code == 500
        assert answer.text.startswith(text)
        assert "secret" not in answer.text
        assert answer.headers.items() >= {name.lower(): value for name, value in HEADERS.items()}.items()


def chunk(content: bytes) -> bytes:
    return b"%x\r\n%s\r\n" % (len(content), content)


CHUNKED = asked(
    "POST /files/begin HTTP/1.1",
    "Host: localhost",
    "Content-Type: application/x-www-form-urlencoded",
    "Transfer-Encoding: chunked",
)


@pytest.mark.parametrize("length", [LARGEST_BODY + 1, 10**12, 10**19])
def test_a_body_said_to_be_too_large_is_not_waited_for(port, length):
    head = asked("POST /files/begin HTTP/1.1", "Host: localhost", f"Content-Length: {length}")
    begun = time.monotonic()
    status, _, body = sent(port, head)
    assert status == 413 or (length == 10**19 and status == 400)
    assert len(body.splitlines()) == 1
    assert time.monotonic() - begun < 5.0


@pytest.mark.parametrize("length", ["-1", "+5", "1e3", "5, 6", "\xb2"])
def test_a_length_that_is_none_is_turned_away(port, length):
    status, _, _ = sent(port, asked("POST /files/begin HTTP/1.1", "Host: localhost", f"Content-Length: {length}"))
    assert status in (400, 413)


def test_a_body_that_becomes_too_large_is_cut_off(port):
    parts = [CHUNKED, *[chunk(b"x=" + b"x" * 100_000 + b"&")] * 40, b"0\r\n\r\n"]
    status, headers, body = sent(port, *parts)
    assert status == 413
    assert f"More than {LARGEST_BODY} bytes" in body.decode()
    assert headers["content-security-policy"] == HEADERS["Content-Security-Policy"]


def test_a_file_of_the_largest_size_fits_whatever_it_is_written_in(bench):
    from clutchwright.bikefile import LARGEST

    text = "# " + "\N{LATIN SMALL LETTER E WITH ACUTE}" * ((LARGEST - 10) // 2)
    version = bench.app.state.workspace.read(f"{BIKE}.toml").version
    assert 'enctype="multipart/form-data"' in bench.get(f"/files/{BIKE}.toml").text
    parts = {"text": (None, text.encode()), "version": (None, version)}
    answer = bench.post(f"/files/{BIKE}.toml", files=parts)
    assert answer.status_code == 422
    assert "Not saved" in answer.text


def test_a_body_that_trickles_is_given_up(tmp_path, monkeypatch):
    monkeypatch.setattr(guard, "BODY_WITHIN", 0.6)
    with served(create_app(Workspace(tmp_path))) as number:
        begun = time.monotonic()
        status, headers, body = sent(number, CHUNKED, *[chunk(b"d")] * 100, pause=0.1)
        assert (status, "did not come within 0.6 seconds" in body.decode()) == (408, True)
        assert 0.5 < time.monotonic() - begun < 5.0
        assert headers["content-security-policy"] == HEADERS["Content-Security-Policy"]
        never = asked(*CHUNKED.decode().splitlines()[:3], "Content-Length: 50")
        assert sent(number, never)[0] == 408
    assert files(tmp_path) == []


TRAVERSALS = [
    "..%2fsecret.toml",
    "%2e%2e%2fsecret.toml",
    "..%252fsecret.toml",
    "..%5csecret.toml",
    "..\\secret.toml",
    "../secret.toml",
    "%2e%2e/secret.toml",
    "....//secret.toml",
    "..%c0%afsecret.toml",
    "..%ef%bc%8fsecret.toml",
    "secret.toml%00.toml",
    "%2fetc%2fpasswd",
    "/etc/passwd",
    ".clutchwright%2fversions",
    "out.toml",
]
NAMED = [
    "/files/{}",
    "/files/{}/download",
    "/static/{}",
    "/bikes/{}/heavy",
    "/bikes/{}/change/set",
    "/bikes/{}/measure",
    "/api/bikes/{}/assessment",
    "/api/bikes/{}/live",
    f"/bikes/{BIKE}.toml/hand?hand={{}}",
    f"/bikes/{BIKE}.toml/worked?readings={{}}",
    f"/bikes/{BIKE}.toml/compromise?catalogue={{}}",
    f"/api/bikes/{BIKE}.toml/compare?readings={{}}",
    f"/api/bikes/{BIKE}.toml/study?catalogue={{}}",
    "/api/charts/{}/x",
    "/api/jobs/{}",
]


def test_no_name_leads_out_of_the_folder(tmp_path):
    inside = tmp_path / "inside"
    inside.mkdir()
    filled(inside)
    secret = usecases.demo_text(BIKE).replace('name = "', 'name = "SECRET ')
    assert "SECRET" in secret
    (tmp_path / "secret.toml").write_text(secret)
    (inside / "out.toml").symlink_to(tmp_path / "secret.toml")
    with served(create_app(Workspace(inside))) as number:
        for place in NAMED:
            for name in TRAVERSALS:
                path = place.format(name)
                status, _, body = sent(number, asked(f"GET {path} HTTP/1.1", "Host: localhost"))
                assert 300 <= status < 500, (path, status)
                assert b"SECRET" not in body, path
                assert b"root:" not in body, path
        for name in TRAVERSALS:
            for action in ("", "/undo", "/redo"):
                line = f"POST /files/{name}{action} HTTP/1.1"
                form = b"text=x&version=0"
                kind = "Content-Type: application/x-www-form-urlencoded"
                whole = asked(line, "Host: localhost", kind, f"Content-Length: {len(form)}", body=form)
                assert 300 <= sent(number, whole)[0] < 500, line
    assert (tmp_path / "secret.toml").read_text() == secret
    assert sorted(path.name for path in tmp_path.iterdir()) == ["inside", "secret.toml"]


HOSTILE = {
    "arrays in arrays": b"a = " + b"[" * 100_000,
    "closed arrays in arrays": b"a = " + b"[" * 5000 + b"]" * 5000,
    "tables in tables": b"a = " + b"{a=" * 5000 + b"1" + b"}" * 5000,
    "dots": b".".join([b"a"] * 5000) + b" = 1",
    "heading of dots": b"[" + b".".join([b"a"] * 5000) + b"]",
    "whole number of many digits": b"schema = " + b"9" * 500_000,
    "hexadecimal number": b"schema = 0x" + b"f" * 500_000,
    "infinite": b"[lever]\nfinger_radius_mm = inf\n",
    "no number": b"[lever]\nfinger_radius_mm = nan\n",
    "huge exponent": b"[lever]\nfinger_radius_mm = 1e999999999\n",
    "key twice": b"[lever]\na = 1\na = 2\n",
    "table twice": b"[lever]\n[lever]\n",
    "many keys": b"[lever]\n" + b"".join(b"k%d=1\n" % number for number in range(80_000)),
    "many tables": b"".join(b"[[option]]\n" for _ in range(80_000)),
    "no text": b"\xff\xfe\0\0",
    "byte order mark": b"\xef\xbb\xbf[lever]\n",
    "steers a terminal": b'name = "\\u001b[31m"\n[lever]\n',
    "control in it": b'name = "\x1b[31m"\n',
    "date": b"schema = 9999-99-99\n",
    "empty": b"",
    "too large": b"#" * 1_500_000,
    "a script": f"[lever]\nfinger_radius_mm = '''{HARM}'''\n".encode(),
}


@pytest.mark.parametrize("content", HOSTILE.values(), ids=HOSTILE)
def test_hostile_files_are_told_in_one_line_and_not_taken_in(tmp_path, content):
    bench = client(tmp_path)
    begun = time.monotonic()
    answer = bench.post("/files/import", files={"upload": ("bike.toml", content)})
    assert time.monotonic() - begun < 10.0
    assert answer.status_code == 422
    told = re.search(r'role="alert">([^<]*)<', answer.text)[1]
    assert 0 < len(told) < 600
    assert len(told.splitlines()) == 1
    assert told.isprintable()
    assert files(tmp_path) == []
    (tmp_path / "bike.toml").write_bytes(content)  # and by another way
    for path in ("/", "/files/bike.toml", "/files/bike.toml/download", "/bikes/bike.toml/heavy", "/api/files"):
        assert bench.get(path).status_code in (200, 422), path


def test_a_file_that_claims_to_be_a_path_is_not_taken_in(tmp_path):
    inside = tmp_path / "inside"
    inside.mkdir()
    bench = client(inside)
    content = usecases.demo_text(BIKE).encode()
    for name in ("../x.toml", "..\\x.toml", "/x.toml", ".x.toml", "x.html", "CON.toml", "x" * 300 + ".toml"):
        assert bench.post("/files/import", files={"upload": (name, content)}).status_code == 422
    assert files(inside) == []
    assert [path.name for path in tmp_path.iterdir()] == ["inside"]


def harmful(text: str, name: str) -> str:
    """A demo file with another name in it, which does harm where it is not escaped."""
    quoted = HARM.replace("\\", "\\\\").replace('"', '\\"')
    made, count = re.subn(r'^name = ".*"', lambda _: f'name = "{quoted}"', text, count=1, flags=re.MULTILINE)
    assert count == 1, name
    return made


def test_what_users_write_is_shown_as_text_on_every_page(tmp_path):
    filled(tmp_path)
    for path in (tmp_path / f"{BIKE}.toml", tmp_path / "hand-small-hand.toml", tmp_path / "catalogue.toml"):
        path.write_text(harmful(path.read_text("utf-8"), path.name), "utf-8")
    bench = client(tmp_path)
    query = "?hand=hand-small-hand.toml&samples=16"
    pages = [
        "/",
        f"/files/{BIKE}.toml",
        "/files/catalogue.toml",
        f"/bikes/{BIKE}.toml/heavy{query}",
        f"/bikes/{BIKE}.toml/hand{query}",
        f"/bikes/{BIKE}.toml/change{query}",
        f"/bikes/{BIKE}.toml/claim?says=50%25&samples=16",
        f"/bikes/{BIKE}.toml/next",
        f"/bikes/{BIKE}.toml/worked",
        f"/bikes/{BIKE}.toml/compromise{query}&catalogue=catalogue.toml",
        f"/bikes/{BIKE}.toml/measure",
    ]
    for page in pages:
        answer = bench.get(page)
        assert answer.status_code == 200, page
        assert_harmless(answer.text, page)
        assert "49" not in re.sub(r"[\d.]{3,}|\d49|49\d", "", answer.text.partition("<h1>")[2][:200]), page
    assert "&lt;script&gt;alert(1)" in bench.get(pages[0]).text


def assert_harmless(html: str, page: str) -> None:
    found = Elements()
    found.feed(html)
    found.close()
    assert not found.harmful, page


class Elements(HTMLParser):
    """Finds the elements and attributes of a page that would run something, or that its policy forbids."""

    def __init__(self) -> None:
        super().__init__()
        self.harmful: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        ours = tag == "script" and (given.get("src", "").startswith("/static/") or given["type"] == "application/json")
        attributes = [name for name in given if name.startswith("on") or name == "style"]
        links = [given[name] or "" for name in ("href", "src", "action", "xlink:href") if name in given]
        outside = [link for link in links if not link.startswith(("/", "#", "?")) or link.startswith("//")]
        if (tag in ("script", "img", "iframe", "object", "embed", "base") and not ours) or attributes or outside:
            self.harmful.append(self.get_starttag_text() or tag)


def test_what_a_request_says_is_shown_as_text(bench):
    every = ("with", "hand", "samples", "force")
    own = {"hand": ("riding",), "claim": ("says", "by"), "worked": ("readings",), "compromise": ("catalogue", "target")}
    for question in ("heavy", "hand", "change", "claim", "next", "worked", "compromise"):
        for name in (*every, *own.get(question, ())):
            answer = bench.get(f"/bikes/{BIKE}.toml/{question}", params={name: HARM})
            assert answer.status_code in (200, 404, 422), (question, name)
            assert_harmless(answer.text, f"{question} {name}")
    for path in (f"/files/{HARM}", f"/{HARM}", f"/bikes/{HARM}.toml/heavy"):
        assert_harmless(bench.get(path).text, path)
    assert_harmless(bench.post("/files/begin", data={"demo": HARM}).text, "begin")
    assert_harmless(bench.post("/files/import", files={"upload": (f"{HARM}.toml", b"x")}).text, "import")
    version = bench.app.state.workspace.read(f"{BIKE}.toml").version
    page = bench.post(f"/files/{BIKE}.toml", data={"text": f"</textarea>{HARM}", "version": version})
    assert page.status_code == 422
    assert_harmless(page.text, "edit")
    assert page.text.count("</textarea>") == 1
    found = bench.get("/api/bikes/x.toml/assessment", params={"with": HARM})
    assert found.headers["content-type"] == "application/json"


@pytest.fixture
def shared(folder):
    """An application for other devices too, and the codes that it told."""
    codes: list[str] = []
    return create_app(Workspace(folder), pairing=Pairing(codes.append)), codes


def test_another_machine_without_pairing_sees_nothing_but_the_question_for_the_code(folder, shared):
    app, _ = shared
    phone = client(folder, app=app, at=PHONE)
    for path, methods in routes(app):
        if path in ("/pair", "/look.css") or path.startswith("/static"):
            continue
        for method in methods:
            answer = phone.request(method, re.sub(r"{\w+}", "six-spring-rack.toml", path))
            assert answer.status_code == (401 if path.startswith("/api/") else 303), (method, path)
            assert path.startswith("/api/") or answer.headers["location"] == "/pair"
    for path in ("/pair", "/look.css", "/static/workbench.css"):
        assert phone.get(path).status_code == 200
    for path in ("/pair/", "/pair/../files/all.zip", "//pair", "/static", "/static/../files/all.zip", "/PAIR"):
        assert phone.get(path).status_code in (303, 404), path
    assert str(folder) not in phone.get("/pair").text


def test_without_sharing_only_this_machine_may_come_in(folder):
    phone = client(folder, at=PHONE)
    for path in ("/", "/pair", "/api/files", "/static/workbench.css"):
        assert phone.get(path).status_code == 403
    assert phone.post("/pair", data={"code": "123456"}).status_code == 403


def test_what_a_header_says_of_the_sender_counts_for_nothing(folder, shared):
    phone = client(folder, app=shared[0], at=PHONE)
    for name in ("X-Forwarded-For", "Forwarded", "X-Real-IP", "Client-IP"):
        assert phone.get("/", headers={name: "127.0.0.1"}).status_code == 303


def test_a_code_is_six_digits_and_lets_one_device_in_once(folder, shared):
    app, codes = shared
    phone, other = client(folder, app=app, at=PHONE), client(folder, app=app, at="192.0.2.8")
    code = codes[0]
    assert re.fullmatch(r"\d{6}", code)
    answer = phone.post("/pair", data={"code": f" {code} "})
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    cookie = answer.headers["set-cookie"]
    assert re.match(rf"{COOKIE}=[\w-]{{43}};", cookie)
    assert {"httponly", "samesite=strict", "path=/"} <= set(cookie.lower().split("; "))
    assert "domain" not in cookie.lower()
    assert phone.get("/").status_code == 200
    assert len(codes) == 2, "a new code is told"
    assert other.post("/pair", data={"code": code}).status_code == 403
    assert other.get("/").status_code == 303
    assert other.post("/pair", data={"code": codes[1]}).status_code == 303


def test_opening_the_address_with_the_code_alone_lets_nobody_in(folder, shared):
    app, codes = shared
    phone = client(folder, app=app, at=PHONE)
    page = phone.get(f"/pair?code={codes[0]}")
    assert f'value="{codes[0]}"' in page.text
    assert "set-cookie" not in page.headers
    assert phone.get("/").status_code == 303


def test_wrong_codes_are_soon_not_looked_at(folder, shared, monkeypatch):
    app, codes = shared
    phone, other = client(folder, app=app, at=PHONE), client(folder, app=app, at="192.0.2.8")
    wrong = "000000" if codes[0] != "000000" else "111111"
    found = [phone.post("/pair", data={"code": wrong}).status_code for _ in range(TRIES)]
    assert found == [403] * (TRIES - 1) + [429]
    late = other.post("/pair", data={"code": codes[0]})
    assert (late.status_code, "set-cookie" in late.headers) == (429, False), "from whatever device, right or wrong"
    assert re.search(r"wait \d+ seconds", late.text)
    now = time.monotonic()
    monkeypatch.setattr(guard.time, "monotonic", lambda: now + guard.TRIES_WITHIN + 1.0)
    assert other.post("/pair", data={"code": codes[0]}).status_code == 303


@pytest.mark.parametrize("token", ["", "x", "\xff", "a" * 43, "null", "a" * 10_000])
def test_a_made_up_token_is_none(folder, shared, token):
    phone = client(folder, app=shared[0], at=PHONE)
    answer = phone.get("/", headers=[(b"cookie", f"{COOKIE}={token}".encode("latin-1"))])
    assert answer.status_code == 303


@pytest.mark.parametrize("code", ["", " ", "\N{FULLWIDTH DIGIT ONE}" * 6, "1" * 13, "\0", "12 34 56"])
def test_what_is_no_code_is_turned_away(folder, shared, code):
    answer = client(folder, app=shared[0], at=PHONE).post("/pair", data={"code": code})
    assert answer.status_code in (403, 422)
    assert "set-cookie" not in answer.headers


@pytest.mark.parametrize(("share", "address"), [(True, "0.0.0.0"), (False, "127.0.0.1")])  # noqa: S104
def test_only_sharing_listens_to_the_network(share, address):
    free = socket.create_server(("127.0.0.1", 0))
    number = free.getsockname()[1]
    free.close()
    with cli_web._listen(number, share=share) as listening:
        assert listening.getsockname()[0] == address
        assert listening.proto == socket.IPPROTO_TCP, "else asyncio leaves small answers waiting, 40 ms each"


def test_a_second_time_the_workbench_that_runs_is_shown(folder, tmp_path, monkeypatch, capsys):
    seen = []
    monkeypatch.setattr(cli_web.webbrowser, "open", seen.append)
    with served(create_app(Workspace(folder))) as number:
        cli_web.open_workbench(folder, number, share=False, browser=True)
        assert f"http://localhost:{number}/" in capsys.readouterr().out
        assert seen == [f"http://localhost:{number}/"]
        with pytest.raises(InputError, match=f"in use by the workbench on {re.escape(str(folder))}"):
            cli_web.open_workbench(tmp_path / "another", number, share=False, browser=True)
        with pytest.raises(InputError, match="runs already without it"):
            cli_web.open_workbench(folder, number, share=True, browser=True)
    with socket.create_server(("127.0.0.1", 0)) as other, pytest.raises(InputError, match="by another program"):
        cli_web.open_workbench(folder, other.getsockname()[1], share=False, browser=True)
    assert len(seen) == 1


def test_without_a_port_named_the_first_free_one_serves_and_a_workbench_that_runs_is_found(folder, tmp_path):
    with served(create_app(Workspace(folder))) as number, socket.create_server(("127.0.0.1", 0)) as other:
        spare = socket.create_server(("127.0.0.1", 0))
        free = spare.getsockname()[1]
        spare.close()
        taken = other.getsockname()[1]
        assert cli_web._seat((taken, free, number), folder, share=False) == (number, None)
        port, listening = cli_web._seat((taken, number, free), tmp_path / "another", share=False)
        listening.close()
        assert port == free


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux has all of 127.0.0.0/8 as its own")
def test_the_command_shares_with_a_device_that_types_its_code(tmp_path):
    free = socket.create_server(("127.0.0.1", 0))
    number = free.getsockname()[1]
    free.close()
    command = [sys.executable, "-m", "clutchwright", "open", str(tmp_path / "new"), "--share", "--no-browser"]
    running = subprocess.Popen(
        [*command, "--port", str(number)],
        stdout=subprocess.PIPE,
        encoding="utf-8",
        env={**os.environ, "PYTHONUTF8": "1"},
    )
    try:
        told = ""
        while "good for one device" not in told:
            line = running.stdout.readline()
            assert line, told
            told += line
        code = re.search(r"type the code (\d{6})", told)[1]
        assert told.count("\n") > 15, "and the picture"
        await_answer(number)
        phone = "127.0.0.2"
        host = f"Host: localhost:{number}"
        assert sent(number, asked("GET / HTTP/1.1", host), source=phone)[1]["location"] == "/pair"
        form = f"code={code}".encode()
        kind = "Content-Type: application/x-www-form-urlencoded"
        whole = asked("POST /pair HTTP/1.1", host, kind, f"Content-Length: {len(form)}", body=form)
        cookie = sent(number, whole, source=phone)[1]["set-cookie"].partition(";")[0]
        # names of headers are not case-sensitive, but the token is
        assert cookie.startswith(COOKIE)
    finally:
        running.send_signal(signal.SIGINT)
        running.wait(timeout=20)
        running.stdout.close()


def await_answer(number: int) -> None:
    for _ in range(200):
        try:
            sent(number, asked("GET / HTTP/1.1", "Host: localhost"))
        except (OSError, ValueError, IndexError):
            time.sleep(0.1)
        else:
            return
