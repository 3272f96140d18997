"""Time the workbench: python benchmarks/bench_pages.py [MOVES]. Exit status 1 when a goal is missed.

A server in a process of its own; a browser that moves a slider, at a desk and on a phone; and twenty phones at once, on
this machine's own network, which move a slider, wait for the answer and think for a quarter of a second. What the
browser shows is timed from the slider's move until all charts are drawn again. Without a browser its rows say nan.
How busy the machine was stands below the table.
"""

import contextlib
import os
import random
import shutil
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from http.client import HTTPConnection
from pathlib import Path
from urllib.parse import urlencode

from clutchwright import usecases

MOVES = 60  # of each slider
PHONES, THINKING = 20, 0.25  # at once; seconds
BIKE = usecases.DEMOS[0]
PAGE = f"/bikes/{BIKE}.toml/change"
CHROMIUM = shutil.which("chromium")
ARGUMENTS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
DEVICES = {
    "desk": {"viewport": {"width": 1280, "height": 900}},
    "phone": {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True},
}
COUNT_MOVES = "window.took = []; document.addEventListener('redrawn', (event) => took.push(event.detail.ms))"


@dataclass(frozen=True)
class Row:
    """One line of the table: a figure that must be at most its goal."""

    name: str
    figure: float
    goal: float
    unit: str

    @property
    def missed(self) -> bool:
        return self.figure > self.goal


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
        running = subprocess.Popen(command, stdout=subprocess.DEVNULL)
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
        Row(f"{PHONES} phones at once, an answer, median", statistics.median(times), 100.0, "ms"),
        Row(f"{PHONES} phones at once, an answer, 95 %", late(times), float("inf"), "ms"),
    ]


def alone(port: int, moves: int) -> Row:
    """One program that asks without a pause."""
    line = HTTPConnection("localhost", port)
    return Row(
        "an answer, median", statistics.median(asked(line, 1.0 + 0.37 * move) for move in range(moves)), 8.0, "ms"
    )


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
    nothing = float("nan")
    if CHROMIUM is None:
        yield Row("slider to charts, without a browser", nothing, 50.0, "ms")
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
            yield Row(f"first page, {name}", sum(sizes) / 1e6, 1.6, "MB")
            yield Row(f"first page, its sliders at work, {name}", ready / 1e3, 1.5, "s")
            yield Row(f"first page, its charts drawn anew, {name}", drawn / 1e3, float("inf"), "s")
            moved(page, 5)
            page.reload()
            page.wait_for_selector("html[data-drawn=yes]")
            times = moved(page, moves)
            yield Row(f"slider to charts, {name}, median", statistics.median(times), 50.0, "ms")
            yield Row(f"slider to charts, {name}, 95 %", late(times), 100.0, "ms")
        browser.close()


def main(moves: int) -> int:
    """Print the table; 0 when every goal is kept."""
    missed = False
    print(f"{'benchmark':<52}{'figure':>9}{'goal':>10}  unit")
    with workbench() as port:
        for row in (alone(port, moves), *shown(port, moves), *together(port, max(moves // 2, 1))):
            missed = missed or row.missed
            goal = f"<= {row.goal:g}" if row.goal < float("inf") else ""
            print(
                f"{row.name:<52}{row.figure:>9.2f}{goal:>10}  {row.unit:<4}{' missed' if row.missed else ''}",
                flush=True,
            )
    if hasattr(os, "getloadavg"):
        print(f"{os.cpu_count()} cores; load while this ran: {os.getloadavg()[0]:.1f}")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else MOVES))
