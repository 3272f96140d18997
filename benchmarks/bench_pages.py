"""Time the workbench: python -m benchmarks.bench_pages [MOVES]. Exit status 1 when a goal is missed.

A server in a process of its own; a browser that moves a slider, at a desk and on a phone; and twenty phones at once, on
this machine's own network, which move a slider, wait for the answer and think for a quarter of a second. What the
browser shows is timed from the slider's move until all charts are drawn again. Without a browser its rows say nan.
"""

import contextlib
import random
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from http.client import HTTPConnection
from math import nan
from pathlib import Path
from urllib.parse import urlencode

from benchmarks.table import Row, as_installed, run
from clutchwright import usecases
from tests.web.browser import ARGUMENTS, CHROMIUM, DESK, PHONE

MOVES = 60  # of each slider
PHONES, THINKING = 20, 0.25  # at once; seconds
BIKE = usecases.DEMOS[0]
PAGE = f"/bikes/{BIKE}.toml/change"
DEVICES = {"desk": DESK, "phone": PHONE}
COUNT_MOVES = "window.took = []; document.addEventListener('redrawn', (event) => took.push(event.detail.ms))"


def late(times: list[float]) -> float:
    """The time that 95 of 100 keep."""
    return statistics.quantiles(times, n=20, method="inclusive")[-1]


@contextlib.contextmanager
def workbench() -> Iterator[int]:
    """A workbench with the demo bike, and its port."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / f"{BIKE}.toml").write_text(usecases.demo_text(BIKE), encoding="utf-8")
        command = [sys.executable, "-m", "clutchwright", "open", folder, "--port", str(port), "--no-browser"]
        running = subprocess.Popen(command, stdout=subprocess.DEVNULL, env=as_installed())
        try:
            while socket.socket().connect_ex(("127.0.0.1", port)):
                time.sleep(0.1)
            asked(HTTPConnection("localhost", port), 10.0)  # loads and compiles what the first answer needs
            yield port
        finally:
            running.terminate()
            running.wait()


def asked(line: HTTPConnection, shift_mm: float) -> float:
    """How long one answer for the sliders takes [ms]."""
    begun = time.perf_counter()
    line.request("GET", f"/api/bikes/{BIKE}.toml/live?{urlencode({'with': f'perch-shift:shift_mm={shift_mm:.3f}'})}")
    answer = line.getresponse()
    content = answer.read()
    took = 1e3 * (time.perf_counter() - begun)
    assert answer.status == 200
    assert b'"refused":""' in content
    return took


def phone(port: int, number: int, moves: int, times: list[float]) -> None:
    """One phone, whose moves are unlike those of the others."""
    chance, line = random.Random(number), HTTPConnection("localhost", port)  # noqa: S311  # moves of a slider
    time.sleep(chance.uniform(0.0, THINKING))
    for _ in range(moves):
        times.append(asked(line, chance.uniform(1.0, 30.0)))
        time.sleep(THINKING)


def together(port: int, moves: int) -> list[Row]:
    """Phones at once."""
    times: list[float] = []
    threads = [threading.Thread(target=phone, args=(port, number, moves, times)) for number in range(PHONES)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert len(times) == PHONES * moves
    return [
        Row(f"{PHONES} phones at once, an answer, median", statistics.median(times), "ms", 100.0),
        Row(f"{PHONES} phones at once, an answer, 95 %", late(times), "ms"),
    ]


def alone(port: int, moves: int) -> Row:
    """One program that asks without a pause."""
    line = HTTPConnection("localhost", port)
    times = [asked(line, 1.0 + 0.37 * move) for move in range(moves)]
    return Row("an answer for a slider, median", statistics.median(times), "ms", 8.0)


def moved(page: object, moves: int) -> list[float]:
    """How long each move of a slider took until all was drawn again [ms]."""
    page.evaluate(COUNT_MOVES)
    for move in range(moves):
        page.locator("#perch-shift-shift_mm").fill(str(1 + move % 35))
        while page.evaluate("took.length") <= move:
            page.wait_for_timeout(5)
    return page.evaluate("took")


def shown(port: int, moves: int) -> Iterator[Row]:
    """A browser at a desk and on a phone."""
    if CHROMIUM is None:
        yield Row("slider to charts, without a browser", nan, "ms", 50.0)
        return
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(ARGUMENTS))
        for name, options in DEVICES.items():
            page = browser.new_context(base_url=f"http://localhost:{port}", **options).new_page()
            sizes: list[int] = []
            page.on("requestfinished", lambda each, sizes=sizes: sizes.append(sum(each.sizes().values())))
            page.goto(f"{PAGE}?with=perch-shift:shift_mm=10")
            page.wait_for_selector("html[data-ready=yes]")
            ready = page.evaluate("performance.now()")
            page.wait_for_selector("html[data-drawn=yes]")
            drawn = page.evaluate("performance.now()")
            page.wait_for_load_state("networkidle")
            yield Row(f"first page, {name}", sum(sizes) / 1e6, "MB", 1.6)
            yield Row(f"first page, its sliders at work, {name}", ready / 1e3, "s", 1.5)
            yield Row(f"first page, its charts drawn anew, {name}", drawn / 1e3, "s")
            moved(page, 5)
            page.reload()
            page.wait_for_selector("html[data-drawn=yes]")
            times = moved(page, moves)
            yield Row(f"slider to charts, {name}, median", statistics.median(times), "ms", 50.0)
            yield Row(f"slider to charts, {name}, 95 %", late(times), "ms", 100.0)
        browser.close()


def rows(moves: float) -> Iterator[Row]:
    """Every figure."""
    with workbench() as port:
        yield alone(port, int(moves))
        yield from shown(port, int(moves))
        yield from together(port, max(int(moves) // 2, 1))


if __name__ == "__main__":
    sys.exit(run(rows, MOVES))
