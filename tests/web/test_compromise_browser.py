"""From the form to the picked plan in a browser, at a desk and on a phone; and a workbench that is killed meanwhile."""

import json
import socket
import subprocess
import sys
import time
from urllib.request import urlopen

import numpy as np
import pytest

from clutchwright import usecases
from clutchwright.report.setups import COLUMNS
from clutchwright.study.front import best
from clutchwright.study.search import OBJECTIVES
from tests.web import workers
from tests.web.browser import DESK, PHONE, needs_chromium

pytestmark = needs_chromium
PAGE = f"/bikes/{workers.BIKE}/compromise"
WITHIN = 90_000  # milliseconds
WATCH = """window.breaches = [];
document.addEventListener("securitypolicyviolation", (event) => breaches.push(event.violatedDirective));"""


def opened(folder, port):
    """A workbench in a process of its own, once it answers."""
    process = subprocess.Popen([sys.executable, "-m", "clutchwright", "open", str(folder), "--port", str(port)])
    until = time.monotonic() + WITHIN / 1000
    while True:
        try:
            urlopen(f"http://localhost:{port}/").close()
        except OSError:
            assert process.poll() is None
            assert time.monotonic() < until
            time.sleep(0.1)
        else:
            return process


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def filled(path):
    (path / workers.BIKE).write_text(usecases.demo_text(usecases.DEMOS[0]), "utf-8")
    (path / workers.CATALOGUE).write_text(usecases.demo_catalogue_text(), "utf-8")
    return path


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    port = free_port()
    process = opened(filled(tmp_path_factory.mktemp("browser")), port)
    yield f"http://localhost:{port}"
    process.terminate()
    process.wait()


@pytest.fixture(params=[DESK, PHONE], ids=["desk", "phone"])
def page(request, browser, address):
    """The page of the compromises with a study that is done; nothing may be said on the console."""
    context = browser.new_context(**request.param)
    page = context.new_page()
    said = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.add_init_script(WATCH)
    page.goto(address + PAGE)
    page.fill("#target", "85")
    page.get_by_role("button", name="Work it out").click()
    page.wait_for_selector("form[data-ready]", timeout=WITHIN)
    yield page
    assert page.evaluate("window.breaches") == []
    assert said == []
    context.close()


def slide(page, name, value):
    page.locator(f".wish:has([name={name}]) input[type=range]").fill(str(value))


def kept(page):
    key = page.locator("#limits").get_attribute("data-job")
    return page.evaluate("(address) => fetch(address).then((answer) => answer.json())", f"/api/jobs/{key}/setups")


def expected(data, *, money=np.inf, slips=np.inf, left=()):
    """Pulls of the best of the kept setups, by the search's own rule."""
    places = [place for place, option in enumerate(data["options"]) if option["name"] in left]
    rows = data["setups"]
    table = np.array([rows[name] for name in COLUMNS] + [[c[p] for c in rows["choices"]] for p in places]).T
    own = [[each[name] for name in COLUMNS] + [place in each["taken"] for place in places] for each in data["front"]]
    every = np.concatenate([table, np.array(own, dtype=float)])
    column = dict(zip(COLUMNS, every.T, strict=False))
    fine = (column["price"] <= money) & (column["slips"] <= slips) & ~np.any(every[:, len(COLUMNS) :] > 0, axis=1)
    points = np.stack([sign * column[name][fine] for name, sign in OBJECTIVES], axis=1)
    return sorted(points[best(points)][:, 0])


def marked(page):
    """Pulls of the marks, in whole newton."""
    labels = page.locator("svg.compromise:visible .marks a").evaluate_all("all => all.map((a) => a.ariaLabel)")
    return [int(label.replace("\N{NO-BREAK SPACE}", " ").split(": ")[1].split()[0]) for label in labels]


def near(page, place):
    """Middle of a mark on the screen."""
    circle = page.locator(f"svg.compromise:visible .marks a[data-place='{place}'] circle")
    circle.scroll_into_view_if_needed()
    box = circle.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def test_tighter_limits_are_answered_by_the_rule_of_the_search(page):
    data = kept(page)
    assert marked(page) == [round(pull) for pull in expected(data)]
    slide(page, "money", 200)
    assert marked(page) == [round(pull) for pull in expected(data, money=200)]
    assert page.locator("#rerun").is_hidden()
    assert "With these limits, the cheapest that gets down to 85" in page.inner_text("#answer")
    page.get_by_label("Softer springs").uncheck()
    assert marked(page) == [round(pull) for pull in expected(data, money=200, left=("Softer springs",))]
    assert "worked out below" in page.inner_text("#rerun")
    slide(page, "money", 20)
    assert marked(page) == []
    assert page.inner_text("#answer") == "With these limits no combination is left."
    assert page.locator("#front tbody tr").count() == 1


def test_looser_limits_need_a_new_study(page):
    slide(page, "slips_percent", 2)
    assert "Looser limits let setups in" in page.inner_text("#rerun")
    page.get_by_role("button", name="Work it out for these limits").click()
    page.wait_for_selector("form[data-ready]", timeout=WITHIN)
    assert "slips_percent=2" in page.url
    assert page.input_value("#slips_percent") == "2"
    assert page.locator("#rerun").is_hidden()


def test_a_dot_says_what_it_is_and_leads_to_its_plan(page):
    x, y = near(page, 0)
    touch = page.evaluate("navigator.maxTouchPoints > 0")
    (page.touchscreen.tap if touch else page.mouse.move)(x, y)
    page.wait_for_selector("#setup .figures")
    lightest = kept(page)["front"][0]
    assert page.inner_text("#setup .figures").startswith(f"{lightest['pull_peak_N']:.0f}\N{NO-BREAK SPACE}N for")
    assert all(words in page.inner_text("#setup") for words in lightest["words"])
    page.locator("#setup").get_by_role("link", name="make it the plan").click()
    page.wait_for_url("**/plan?**")
    assert page.get_by_role("heading", name="Step 1:").is_visible()
    assert page.locator("ul.ticks").count() > len(lightest["steps"])


def test_the_keyboard_goes_from_setup_to_setup(page):
    chart = page.locator("svg.compromise:visible")
    chart.focus()
    told = set()
    for _ in range(4):
        page.keyboard.press("ArrowRight")
        told.add(page.inner_text("#setup"))
    assert len(told) == 4
    page.keyboard.press("Tab")
    first = kept(page)["front"][0]
    assert page.inner_text("#setup .figures").startswith(f"{first['pull_peak_N']:.0f}")


def test_nothing_is_wider_than_the_screen_and_what_is_tapped_is_large_enough(page):
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    small = page.locator("#limits input:not([type=hidden]):not([type=checkbox]), #limits select, #limits button")
    heights = small.evaluate_all("all => all.map((each) => each.getBoundingClientRect().height)")
    assert min(heights) >= 44
    ticks = page.locator(".job-tick").evaluate_all("all => all.map((each) => each.getBoundingClientRect().height)")
    assert min(ticks) >= 44


def test_without_scripts_the_same_way_can_be_gone(browser, address):
    context = browser.new_context(java_script_enabled=False, **PHONE)
    page = context.new_page()
    page.goto(address + PAGE)
    page.fill("#target", "80")
    page.get_by_role("button", name="Work it out").click()
    page.wait_for_selector("#front", timeout=WITHIN)
    page.locator("svg.compromise:visible .marks a").first.wait_for()
    page.get_by_role("link", name="make it the plan").first.click()
    assert "/plan?" in page.url
    context.close()


def test_a_workbench_that_is_killed_takes_the_study_up_again(tmp_path):
    port = free_port()
    asked = f"http://localhost:{port}/api/bikes/{workers.BIKE}/study?catalogue={workers.CATALOGUE}&samples=2048"
    process = opened(filled(tmp_path), port)
    with urlopen(asked) as answer:
        key = json.load(answer)["id"]
    file = tmp_path / ".clutchwright" / "studies" / f"{key}.job.json"
    while json.loads(file.read_text("utf-8"))["state"] != "running":
        time.sleep(0.02)
    process.kill()
    process.wait()
    assert json.loads(file.read_text("utf-8"))["state"] == "running"
    process = opened(tmp_path, port)
    try:
        until = time.monotonic() + WITHIN / 1000
        while (now := json.loads(file.read_text("utf-8")))["state"] != "done":
            assert time.monotonic() < until, now["state"]
            time.sleep(0.1)
        assert now["tries"] == 2
        with urlopen(asked) as answer:
            assert json.load(answer)["samples"] == 2048
    finally:
        process.terminate()
        process.wait()
