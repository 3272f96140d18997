"""Each page in a browser, of a server in a process of its own: at a desk and on a phone, in light and dark.

No page asks another machine for anything, writes a complaint into the console, or breaks a rule of accessibility that
axe-core finds (WCAG 2.2 A and AA, and its best practices).
"""

from __future__ import annotations

import re
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

from clutchwright import usecases
from tests.web.browser import DESK, PHONE, needs_chromium
from tests.web.workbench import filled

axe = pytest.importorskip("axe_playwright_python.base", reason="needs the axe-core script of that package")
pytestmark = needs_chromium
BIKE = f"/bikes/{usecases.DEMOS[0]}.toml"
PAGES = {
    "folder": "/",
    "file": f"/files/{usecases.DEMOS[0]}.toml",
    "interface": "/api",
    "words": "/words",
    "error": "/bikes/none.toml/heavy",
    "heavy": f"{BIKE}/heavy?samples=64",
    "hand, asked": f"{BIKE}/hand",
    "hand": f"{BIKE}/hand?hand=hand-small-hand.toml&samples=64",
    "change": f"{BIKE}/change",
    "compromise": f"{BIKE}/compromise",
    "claim, asked": f"{BIKE}/claim",
    "claim": f"{BIKE}/claim?says=50%25&samples=64",
    "next": f"{BIKE}/next",
    "worked, asked": f"{BIKE}/worked",
    "worked": f"{BIKE}/worked?readings=readings.csv",
    "measure": f"{BIKE}/measure",
    "measure one": f"{BIKE}/measure/lever.finger_radius_mm",
}
PICTURES = Path(__file__).parents[2] / "build" / "pages"  # to be looked at, and kept by whoever runs this
LONGEST = 60_000  # milliseconds
HEAVIEST = 1_600_000  # bytes of a first page with all that it loads
REFUSED = "Failed to load resource: the server responded with a status of {}"  # what a browser says of it
AXE = """() => axe.run(document, {resultTypes: ["violations"]}).then(({violations}) => violations.flatMap(
    ({id, nodes}) => nodes.map((node) => `${id}: ${node.html.slice(0, 120)} ${node.failureSummary}`)))"""


@pytest.fixture(scope="module")
def address(tmp_path_factory) -> Iterator[str]:
    """Where a workbench answers that runs in a process of its own."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    folder = filled(tmp_path_factory.mktemp("garage"))
    command = [sys.executable, "-m", "clutchwright", "open", str(folder), "--port", str(port), "--no-browser"]
    running = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    try:
        for _ in range(600):
            with socket.socket() as probe:
                if probe.connect_ex(("127.0.0.1", port)) == 0:
                    break
            time.sleep(0.1)
        yield f"http://localhost:{port}"
    finally:
        running.terminate()
        running.wait(timeout=20)


@contextmanager
def page_of(browser: Any, address: str, *, refused: str = "", **options: Any) -> Iterator[Any]:
    """A page; whatever it asks of another machine, and whatever it complains about, fails the test."""
    context = browser.new_context(base_url=address, **options)
    context.set_default_timeout(LONGEST)
    page, complaints = context.new_page(), []

    def asked(route: Any) -> None:
        if urlsplit(route.request.url).netloc == urlsplit(address).netloc:
            route.continue_()
        else:
            complaints.append(f"asked for {route.request.url}")
            route.abort()

    context.route(re.compile(r"^(?!data:|blob:)"), asked)
    page.on("console", lambda said: complaints.append(f"{said.type}: {said.text}"))
    page.on("pageerror", lambda error: complaints.append(str(error)))
    try:
        yield page
    finally:
        context.close()
    assert [each for each in complaints if each != f"error: {refused}"] == []


def opened(page: Any, path: str) -> Any:
    """A page's answer, once its scripts are done."""
    answer = page.goto(path)
    if page.locator('script[src="/static/change.js"]').count():
        page.wait_for_selector("html[data-drawn=yes]")
    return answer


@pytest.mark.parametrize("device", [DESK, PHONE], ids=["desk", "phone"])
@pytest.mark.parametrize("path", PAGES.values(), ids=PAGES)
def test_each_page_is_clean_in_light_and_dark(browser, address, path, device):
    with page_of(browser, address, refused=REFUSED.format("404 (Not Found)"), **device) as page:
        answer = opened(page, path)
        assert answer.status == (404 if "none" in path else 200)
        wide = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
        assert wide[0] <= wide[1], "nothing to scroll sideways"
        page.evaluate(axe.AXE_SCRIPT)
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            assert page.evaluate(AXE) == [], scheme
            PICTURES.mkdir(parents=True, exist_ok=True)
            name = next(name for name, each in PAGES.items() if each == path)
            width = page.viewport_size["width"]
            page.screenshot(path=PICTURES / f"{name}-{width}-{scheme}.png", full_page=True)


def test_on_a_phone_everything_to_touch_is_large_enough(browser, address):
    """At least 24 px each way, or as far from others: WCAG 2.2, 2.5.8, target size (minimum); found."""
    with page_of(browser, address, **PHONE) as page:
        for path in (PAGES["folder"], PAGES["change"], PAGES["hand"]):
            opened(page, path)
            small = page.eval_on_selector_all(
                "button, select, input:not([type=hidden], [type=checkbox], [type=range]), summary, nav a",
                "all => all.filter(e => e.offsetParent && e.getBoundingClientRect().height < 24).map(e => e.outerHTML)",
            )
            assert small == []


def test_from_an_empty_folder_to_each_answer_without_a_mouse(browser, tmp_path_factory, address):
    with page_of(browser, address, **DESK) as page:
        opened(page, "/")
        keys(page, "Tab")
        assert focused(page) == "To the answer"
        tab_to(page, "Six springs and a rack (invented)")
        page.keyboard.press("Enter")
        page.wait_for_url(re.compile("/heavy$"))
        tab_to(page, "What could I change?")
        page.keyboard.press("Enter")
        page.wait_for_url(re.compile("/change"))
        page.wait_for_selector("html[data-drawn=yes]")
        before = page.inner_text("#answer")
        box = page.locator("#perch-shift")
        tab_to(page, "perch-shift")
        page.keyboard.press("Space")
        assert box.is_checked()
        assert page.locator("#perch-shift + details").get_attribute("open") is not None
        tab_to(page, "perch-shift-shift_mm")
        page.evaluate("document.addEventListener('redrawn', (event) => (window.took = event.detail.ms))")
        keys(page, *["ArrowRight"] * 3)
        until(page, "window.took > 0 && location.search.includes('perch-shift')")
        assert page.inner_text("#answer") != before
        assert page.locator("#answer").get_attribute("aria-live") == "polite"
        assert "before" in page.inner_text("table").lower()


def keys(page: Any, *names: str) -> None:
    for name in names:
        page.keyboard.press(name)


def until(page: Any, condition: str) -> None:
    """Wait for a condition, looked at from outside: the page's policy lets nothing be made into code."""
    for _ in range(LONGEST // 20):
        if page.evaluate(condition):
            return
        page.wait_for_timeout(20)
    pytest.fail(condition)


def focused(page: Any) -> str:
    """What has the focus: its id, or what it says."""
    return page.evaluate("document.activeElement.id || document.activeElement.textContent.trim()")


def tab_to(page: Any, wanted: str) -> None:
    for _ in range(80):
        if focused(page) == wanted:
            outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
            assert outline != "none", "the focus can be seen"
            return
        page.keyboard.press("Tab")
    pytest.fail(f"Tab never comes to {wanted}")


def test_the_pages_work_without_scripts(browser, address):
    with page_of(browser, address, java_script_enabled=False, **PHONE) as page:
        page.goto(PAGES["change"])
        page.locator("#perch-shift").check()
        page.get_by_role("button", name="Show").click()
        page.wait_for_url(re.compile("with=perch-shift"))
        assert page.locator("svg").count() > 2
        page.goto(PAGES["hand, asked"])
        page.get_by_label("Hand").select_option(index=1)
        page.get_by_role("button", name="Ask").click()
        page.wait_for_url(re.compile("hand=hand-"))
        page.goto(PAGES["claim, asked"])
        page.get_by_role("button", name="Judge it").click()
        page.wait_for_url(re.compile("says=50"))
        assert page.locator(".answer").count() == 1


def test_the_menu_is_a_line_on_a_phone_and_opens_without_scripts_by_keyboard(browser, address):
    with page_of(browser, address, java_script_enabled=False, **PHONE) as page:
        page.goto(PAGES["heavy"])
        assert page.locator("nav").bounding_box()["height"] < 80
        assert not page.get_by_role("link", name="Did it work?").is_visible()
        page.locator(".menu summary").focus()
        page.keyboard.press("Enter")
        page.get_by_role("link", name="Is that claim true?").click()
        page.wait_for_url(re.compile("/claim"))
    with page_of(browser, address, **DESK) as page:
        page.goto(PAGES["heavy"])
        assert page.get_by_role("link", name="Did it work?").is_visible()
        assert not page.locator(".menu summary").is_visible()


def test_on_paper_only_the_answer_stands(browser, address):
    with page_of(browser, address, color_scheme="dark", **DESK) as page:
        for path in (PAGES["heavy"], PAGES["change"], PAGES["hand"]):
            opened(page, path)
            page.emulate_media(media="print")
            for hidden in ("nav", ".ask", ".panel", ".where a", ".skip", ".units"):
                assert not any(each.is_visible() for each in page.locator(hidden).all()), (path, hidden)
            assert page.locator(".answer").first.is_visible()
            paper = page.evaluate("getComputedStyle(document.body).backgroundColor")
            assert paper == "rgb(255, 255, 255)"
            page.emulate_media(media="screen")


def test_a_first_page_is_small(browser, address):
    sizes: dict[str, int] = {}
    with page_of(browser, address, **PHONE) as page:
        page.on("requestfinished", lambda each: sizes.update({each.url: sum(each.sizes().values())}))
        opened(page, PAGES["change"])
        page.wait_for_load_state("networkidle")
        begun = page.evaluate("performance.getEntriesByType('navigation')[0].domInteractive")
    print(f"{sum(sizes.values())} bytes in {len(sizes)} answers; interactive after {begun:.0f} ms")
    assert sum(sizes.values()) < HEAVIEST


def test_a_slider_redraws_all_charts(browser, address):
    with page_of(browser, address, **PHONE) as page:
        opened(page, f"{PAGES['change']}?with=perch-shift:shift_mm=10")
        page.evaluate("window.took = []; document.addEventListener('redrawn', (e) => took.push(e.detail.ms))")
        for step in range(20):
            page.locator("#perch-shift-shift_mm").fill(str(5 + step))
            until(page, f"took.length >= {step + 1}")
        took = sorted(page.evaluate("took"))
        assert page.locator('output[for="perch-shift-shift_mm"]').inner_text() == "24"
        page.wait_for_url(re.compile("shift_mm(=|%3D)24"))
    print(f"redrawn: median {took[len(took) // 2]:.0f} ms, slowest {took[-1]:.0f} ms")
    assert took[len(took) // 2] < 2000.0, "the goal, 50 ms, is held by benchmarks/bench_pages.py"


def test_the_address_follows_a_slider_no_faster_than_any_browser_allows(browser, address):
    with page_of(browser, address, **PHONE) as page:
        opened(page, f"{PAGES['change']}?with=perch-shift:shift_mm=10")
        page.evaluate(
            "window.noted = []; const own = history.replaceState.bind(history);"
            "history.replaceState = (...given) => { noted.push(performance.now()); own(...given); };0"
        )
        begun = page.evaluate("performance.now()")
        for step in range(40):
            page.locator("#perch-shift-shift_mm").fill(str(2 + step % 20))
        page.wait_for_url(re.compile("shift_mm(=|%3D)21"))
        times = page.evaluate("noted")
    assert len(times) <= 1 + (times[-1] - begun) / 250  # 100 in 10 s are the most that one browser takes


def test_a_change_that_is_refused_is_said_and_the_charts_stay(browser, address):
    with page_of(browser, address, refused=REFUSED.format("422 (Unprocessable Entity)"), **DESK) as page:
        opened(page, PAGES["change"])
        answer = page.inner_text("#answer")
        page.locator("#springs-fewer + details summary").click()
        box = page.locator("#springs-fewer-left_out")
        box.fill("9")
        page.wait_for_selector("#refused:visible")
        assert len(page.inner_text("#refused").splitlines()) == 1
        assert page.inner_text("#answer") == answer
        assert page.locator("[data-chart=pull] svg").count() >= 1


def test_springs_left_out_on_the_page_are_left_out(browser, address):
    with page_of(browser, address, **DESK) as page:
        opened(page, PAGES["change"])
        page.locator("#springs-fewer + details summary").click()
        assert page.locator("#springs-fewer-left_out").input_value() == "1+4"
        page.locator("#springs-fewer").check()
        page.wait_for_url(re.compile("springs-fewer%3Aleft_out%3D1%2B4"))
        assert page.locator("#refused:visible").count() == 0
