"""Slow, greedy and many: what one device or one kind of question does must not keep the others out."""

import asyncio
import socket
import time

import pytest

from clutchwright.web import lines
from clutchwright.web.app import create_app
from clutchwright.web.lines import AT_ONCE, MOST_WAITING, Turns
from clutchwright.workspace import Workspace
from tests.web.workbench import sent, served

ASK = b"GET /%s HTTP/1.1\r\nHost: localhost\r\n"


async def plain(_scope, _receive, send):
    await send({"type": "http.response.start", "status": 200, "headers": [(b"content-length", b"2")]})
    await send({"type": "http.response.body", "body": b"ok"})


@pytest.fixture
def port(monkeypatch):
    monkeypatch.setattr(lines, "HEAD_WITHIN", 0.5)
    with served(plain) as found:
        yield found


def closed_after(line):
    """Seconds until the other side closes."""
    begun = time.monotonic()
    while line.recv(4096):
        pass
    return time.monotonic() - begun


@pytest.mark.parametrize("begun", [b"", b"G", ASK % b"", ASK % b"" + b"X-Slow: "])
def test_who_does_not_ask_soon_is_let_go(port, begun):
    with socket.create_connection(("127.0.0.1", port), timeout=5.0) as line:
        line.sendall(begun)
        assert closed_after(line) < 3.0


def cut_off(port, part, pause):
    """Whether the other side closes while a part is sent a hundred times, with a pause between [s]."""
    with socket.create_connection(("127.0.0.1", port), timeout=5.0) as line:
        try:
            line.sendall(ASK % b"")
            for _ in range(100):
                line.sendall(part)
                time.sleep(pause)
        except OSError:
            return True
    return False


def test_a_head_that_trickles_is_given_up(port):
    assert cut_off(port, b"X: y\r\n", 0.05)


def test_a_head_without_end_is_not_kept(port, monkeypatch):
    monkeypatch.setattr(lines, "HEAD_WITHIN", 20.0)
    assert cut_off(port, b"a" * 10_000, 0.004)


def test_a_second_head_on_the_same_connection_must_come_soon_too(port):
    with socket.create_connection(("127.0.0.1", port), timeout=5.0) as line:
        line.sendall(ASK % b"" + b"\r\n")
        with line.makefile("rb") as answer:
            assert answer.readline() == b"HTTP/1.1 200 OK\r\n"
            while answer.readline() != b"\r\n":
                pass
            assert answer.read(2) == b"ok"
        line.sendall(ASK % b"")
        assert closed_after(line) < 3.0


def test_another_device_holds_no_more_than_its_share(port, monkeypatch):
    monkeypatch.setattr(lines, "HERE", ("127.0.0.1",))
    monkeypatch.setattr(lines, "MOST_PER_DEVICE", 3)
    monkeypatch.setattr(lines, "HEAD_WITHIN", 5.0)
    held = [socket.create_connection(("127.0.0.1", port), source_address=("127.0.0.2", 0)) for _ in range(3)]
    try:
        with pytest.raises((OSError, IndexError)):
            sent(port, ASK % b"" + b"Connection: close\r\n\r\n", source="127.0.0.2")
        for other in ("127.0.0.1", "127.0.0.3"):
            assert sent(port, ASK % b"" + b"Connection: close\r\n\r\n", source=other)[0] == 200
    finally:
        for line in held:
            line.close()


class Slow:
    """An application whose long answers wait to be let go."""

    def __init__(self):
        self.running = self.most = 0
        self.go = asyncio.Event()

    async def __call__(self, scope, receive, send):
        if "live" not in scope["path"]:
            self.running += 1
            self.most = max(self.most, self.running)
            await self.go.wait()
            self.running -= 1
        await plain(scope, receive, send)


async def nothing():
    return {"type": "http.request", "body": b"", "more_body": False}


async def status(app, path, query=b"", *, reading=None, receive=nothing):
    """Status of the answer; the body is read once an event is set."""
    found = []

    async def send(message):
        found.append(message)
        if reading is not None:
            await reading.wait()

    await app({"type": "http", "path": path, "query_string": query}, receive, send)
    return found[0]["status"]


LONG, LIVE = "/bikes/b.toml/worked", "/api/bikes/b.toml/live"


async def crowd():
    slow = Slow()
    app = Turns(slow)
    asked = [asyncio.create_task(status(app, LONG)) for _ in range(AT_ONCE + MOST_WAITING)]
    await asyncio.sleep(0.05)
    at_once = await asyncio.wait_for(status(app, LIVE), 1.0)
    refused = await asyncio.wait_for(status(app, LIVE, b"samples=16384"), 1.0)
    slow.go.set()
    return at_once, refused, await asyncio.gather(*asked), slow.most


def test_a_crowd_of_long_answers_is_made_a_few_at_a_time_and_live_ones_pass():
    at_once, refused, answers, most = asyncio.run(crowd())
    assert (at_once, refused, set(answers), most) == (200, 503, {200}, AT_ONCE)


async def slow_readers():
    slow, reading = Slow(), asyncio.Event()
    slow.go.set()
    app = Turns(slow)
    readers = [asyncio.create_task(status(app, LONG, reading=reading)) for _ in range(2 * AT_ONCE)]
    await asyncio.sleep(0.05)
    found = await asyncio.wait_for(status(app, LONG), 1.0)
    reading.set()
    await asyncio.gather(*readers)
    return found


def test_who_reads_slowly_holds_no_turn():
    assert asyncio.run(slow_readers()) == 200


async def slow_senders():
    slow, sending = Slow(), asyncio.Event()
    slow.go.set()
    app = Turns(slow)

    async def trickle():
        await sending.wait()
        return await nothing()

    senders = [asyncio.create_task(status(app, LONG, receive=trickle)) for _ in range(2 * AT_ONCE)]
    await asyncio.sleep(0.05)
    found = await asyncio.wait_for(status(app, LONG), 1.0)
    sending.set()
    return found, set(await asyncio.gather(*senders))


def test_who_sends_slowly_holds_no_turn():
    assert asyncio.run(slow_senders()) == (200, {200})


async def gone():
    return {"type": "http.disconnect"}


def test_who_has_gone_while_sending_is_not_answered():
    with pytest.raises(IndexError):  # nothing was sent
        asyncio.run(status(Turns(plain), LONG, receive=gone))


def test_what_a_slow_sender_is_told_stays_the_same(tmp_path, monkeypatch):
    monkeypatch.setattr("clutchwright.web.guard.BODY_WITHIN", 0.2)
    head = b"POST /bikes/b.toml/calibrated HTTP/1.1\r\nHost: localhost\r\nContent-Length: 100\r\n"
    with served(create_app(Workspace(tmp_path))) as port:
        code, _, body = sent(port, head + b"Content-Type: application/x-www-form-urlencoded\r\n\r\nr=")
    assert code == 408
    assert b"within 0.2 seconds" in body


async def given_up():
    slow = Slow()
    app = Turns(slow)
    asked = [asyncio.create_task(status(app, LONG)) for _ in range(AT_ONCE + 3)]
    await asyncio.sleep(0.05)
    for task in asked:
        task.cancel()
    await asyncio.gather(*asked, return_exceptions=True)
    slow.go.set()
    return [await asyncio.wait_for(status(app, LONG), 1.0) for _ in range(AT_ONCE + 1)]


def test_what_is_given_up_gives_its_turn_back():
    assert asyncio.run(given_up()) == [200] * (AT_ONCE + 1)
