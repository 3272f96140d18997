"""Charts in a browser, under the headers of the workbench: the server's picture first, then rows alone.

What the browser shows is held against the server's SVG of the same assessment, which another program drew.
"""

import gzip
import re
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from html import unescape
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from importlib import resources
from urllib.parse import parse_qs, urlsplit

import pytest

from clutchwright.assess.budgets import Item
from clutchwright.picture import force_budget, pull_curve, render, travel_budget
from clutchwright.picture.live import CHARTS, definition_json, live_charts
from clutchwright.picture.look import DARK, LIGHT
from clutchwright.web.drawing import made_bundle
from clutchwright.web.guard import HEADERS
from tests.unit.shown_assessment import assessment, changed, hydraulic, short, unreachable
from tests.web.browser import needs_chromium

pytestmark = needs_chromium
DRAW = {"pull": pull_curve, "force": force_budget, "travel": travel_budget}
TEXT = re.compile(r"<text[^>]*>([^<]+)</text>")
FITS = """[...document.querySelectorAll("svg")].every((svg) => {
    const spare = svg.parentElement.parentElement.clientWidth - svg.clientWidth;
    return spare >= 0 && spare < 60;
})"""
SCRIPT = """
import * as charts from "/static/charts.js";
window.charts = charts;
window.breaches = [];
document.addEventListener("securitypolicyviolation", (event) => breaches.push(event.violatedDirective));
"""


def colors(of: dict[str, str]) -> str:
    return ":root {" + "".join(f"--{name}: {color};" for name, color in of.items()) + "}"


STYLE = colors(LIGHT) + "@media (prefers-color-scheme: dark) {" + colors(DARK) + "} svg { display: block; }"


def page() -> str:
    server_drawn = "<svg aria-label='drawn by the server'></svg>"
    parts = "".join(f"<div id='{name}'>{server_drawn}</div>" for name in CHARTS)
    head = (
        "<link rel='stylesheet' href='/style.css'><link rel='icon' href='data:,'><script type='module' src='/page.js'>"
    )
    return (
        f"<!DOCTYPE html><title>Charts</title><meta name='viewport' content='width=device-width'>{head}</script>{parts}"
    )


def answer(address: str) -> tuple[str, str]:
    """What the workbench would answer, and its kind."""
    asked = urlsplit(address)
    if asked.path.startswith("/api/charts/"):
        name, key = asked.path.split("/")[-2:]
        return definition_json(name, key, width=int(parse_qs(asked.query)["width"][0])), "application/json"
    static = resources.files("clutchwright.web") / "static" / "charts.js"
    plain = {"/": (page, "text/html"), "/style.css": (lambda: STYLE, "text/css")}
    scripts = {"/page.js": lambda: SCRIPT, "/static/charts.js": lambda: static.read_text("utf-8"), "/vega.js": library}
    make, kind = plain.get(asked.path) or (scripts[asked.path], "text/javascript")
    return make(), kind


def library() -> str:
    return gzip.decompress(made_bundle()).decode()


class Handler(BaseHTTPRequestHandler):
    def do_GET(self):
        body, kind = answer(self.path)
        self.send_response(200)
        for name, value in {**HEADERS, "Content-Type": f"{kind}; charset=utf-8"}.items():
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(body.encode())

    def log_message(self, *_):
        pass


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    with ThreadingHTTPServer(("127.0.0.1", 0), Handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()


@contextmanager
def opened(browser, address, *, width=1280, scheme="light"):
    """The page with the charts of an unchanged bike; at the end nothing may have been forbidden or gone wrong."""
    context = browser.new_context(viewport={"width": width, "height": 900}, color_scheme=scheme)
    shown = context.new_page()
    said = []
    shown.on("console", lambda message: said.append(message.text))
    shown.on("pageerror", lambda error: said.append(str(error)))
    shown.goto(address)
    until(shown, "'charts' in window")
    shown.evaluate(
        "charts => Promise.all(Object.entries(charts).map(([name, { key, data }]) =>"
        " window.charts.mount(document.getElementById(name), name, key, data)))",
        live_charts(assessment()),
    )
    yield shown
    assert shown.evaluate("breaches") == []
    assert said == []
    context.close()


def until(shown, condition: str) -> None:
    """Wait for it, as the page itself may not make code of text."""
    for _ in range(200):
        if shown.evaluate(condition):
            return
        time.sleep(0.05)
    pytest.fail(f"not within 10 s: {condition}")


def lighter():
    """Half the force, so that all keys stay and all words about force change."""
    now = assessment()
    return replace(now, force=tuple(Item(item.key, 0.5 * item.value) for item in now.force))


def update(shown, case) -> None:
    shown.evaluate("charts => window.charts.update(charts)", live_charts(case))


def words(shown, name: str) -> list[str]:
    """Texts of a chart in the page, but for the axes' numbers, which depend on the width."""
    return drop_numbers(shown.locator(f"#{name} svg text").all_text_contents())


def expected_words(name: str, case) -> list[str]:
    return drop_numbers(unescape(text) for text in TEXT.findall(render(DRAW[name](case), "svg").decode()))


def drop_numbers(texts) -> list[str]:
    return sorted(text for text in texts if not re.fullmatch(r"\d+", text))


def test_the_servers_picture_stays_until_the_chart_is_drawn(browser, address):
    with opened(browser, address) as shown:
        shown.reload()
        until(shown, "'charts' in window")
        chart = live_charts(assessment())["pull"]
        before, after = shown.evaluate(
            """async ({ key, data }) => {
                const element = document.getElementById("pull");
                const drawn = window.charts.mount(element, "pull", key, data);
                const before = element.innerHTML;
                await drawn;
                return [before, element.innerHTML];
            }""",
            chart,
        )
        assert "drawn by the server" in before
        assert "drawn by the server" not in after
        assert shown.locator("#pull[role=img]").get_attribute("aria-label") == "drawn by the server"


@pytest.mark.parametrize("name", CHARTS)
def test_the_browser_says_what_the_server_says(browser, address, name):
    with opened(browser, address) as shown:
        for case in (lighter(), short(), changed(), hydraulic(), unreachable(), assessment()):
            update(shown, case)
            if name != "pull" and not case.travel:
                assert "never gets to a clean release" in " ".join(words(shown, name))
            else:
                assert words(shown, name) == expected_words(name, case)


def test_a_chart_is_set_up_again_only_where_its_key_changed(browser, address):
    with opened(browser, address) as shown:
        drawn = shown.locator("#travel svg").element_handle()
        update(shown, short())
        assert drawn.evaluate("svg => svg.isConnected")
        update(shown, changed())
        assert not drawn.evaluate("svg => svg.isConnected")


def test_of_many_updates_in_a_hurry_the_last_counts(browser, address):
    with opened(browser, address) as shown:
        wanted = [live_charts(case) for case in (changed(), short(), changed(), unreachable(), short())]
        shown.evaluate("all => Promise.all(all.map((charts) => window.charts.update(charts)))", wanted)
        assert words(shown, "pull") == expected_words("pull", short())
        assert words(shown, "travel") == expected_words("travel", short())


@pytest.mark.parametrize(("scheme", "palette"), [("light", LIGHT), ("dark", DARK)])
def test_colours_are_those_of_the_page(browser, address, scheme, palette):
    with opened(browser, address, scheme=scheme) as shown:
        stroke = shown.locator("#pull .mark-line path").first.evaluate("path => getComputedStyle(path).stroke")
        red, green, blue = (int(palette["pull"][place : place + 2], 16) for place in (1, 3, 5))
        assert stroke == f"rgb({red}, {green}, {blue})"


@pytest.mark.parametrize("width", [1280, 390])
def test_a_chart_fits_its_element_also_after_the_page_was_turned(browser, address, width):
    with opened(browser, address, width=width) as shown:
        for room in (width, 700):
            shown.set_viewport_size({"width": room, "height": 900})
            until(shown, FITS)
