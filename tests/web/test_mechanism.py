"""The drawing of the mechanism moved in a browser, under the page's strict content policy."""

import json
import shutil
import threading
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import numpy as np
import pytest

from clutchwright.chain import respond
from clutchwright.changes import parse
from clutchwright.picture.look import DARK, LIGHT
from clutchwright.picture.mechanism import mechanism_data, mechanism_svg
from clutchwright.study.mechanism import mechanisms
from clutchwright.usecases import DEMOS, read_demo
from tests.web.browser import needs_chromium

STATIC = Path(__file__).parents[2] / "src/clutchwright/web/static"
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
START = """
import { mount } from "./mechanism.js";
const figure = document.querySelector("figure");
window.other = await (await fetch("other.json")).json();
window.mechanism = mount(figure, await (await fetch(figure.dataset.source)).json());
"""
CHANGE = "arm-length:length_mm=38"
# Finger point on the screen as it is, and with the lever turned 10 degrees further.
ON_THE_BLADE = """size => {
        const view = document.querySelector(`svg.${size} [data-view=lever]`);
        const blade = mechanism.data.now.parts.lever.find(([look]) => look === "blade");
        const [, , factor, px, py] = blade[2][0];
        const dot = mechanism.data.now.parts.lever.find(([look]) => look === "point");
        const point = dot[1].match(/-?[\\d.]+/g).map(Number);
        const foot = new DOMPoint((point[0] + point[7]) / 2, point[1]);
        const matrix = view.getScreenCTM();
        const place = (turn) => {
            const angle = (turn * Math.PI) / 180, dx = foot.x - px, dy = foot.y - py;
            const x = px + dx * Math.cos(angle) + dy * Math.sin(angle);
            const y = py + dy * Math.cos(angle) - dx * Math.sin(angle);
            const on = new DOMPoint(x, y).matrixTransform(matrix);
            return [on.x, on.y];
        };
        return [place(mechanism.travel * factor), place(mechanism.travel * factor + 10)];
}"""
BOXES = """() => [...document.querySelectorAll("svg.wide [data-layer] > *")].map(mark => {
    const { left, top, right, bottom } = mark.getBoundingClientRect();
    return [left, top, right, bottom];
})"""
PLACES = ("rest", "bite", "release", "stop")
pytestmark = needs_chromium


class Handler(SimpleHTTPRequestHandler):
    def end_headers(self):
        self.send_header("Content-Security-Policy", POLICY)
        super().end_headers()

    def log_message(self, *args):
        pass


def colours(table):
    return "".join(f"--{name}:{value};" for name, value in table.items())


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    folder = tmp_path_factory.mktemp("site")
    for name in ("mechanism.js", "mechanism.css"):
        shutil.copy(STATIC / name, folder)
    (folder / "start.js").write_text(START, "utf-8")
    dark = f"@media (prefers-color-scheme: dark) {{ :root {{ {colours(DARK)} }} }}"
    page = "body { background: var(--paper); color: var(--ink); margin: 16px }"
    (folder / "look.css").write_text(f":root {{ {colours(LIGHT)} }} {dark} {page}", "utf-8")
    for demo in DEMOS:
        for name, steps in ((demo, []), (f"{demo}-changed", [parse(CHANGE)])):
            write_page(folder, name, *mechanisms(read_demo(demo), steps))
    shutil.copy(folder / f"{DEMOS[0]}-changed.json", folder / "other.json")
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Handler, directory=str(folder)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


def write_page(folder, name, now, before):
    drawings = mechanism_svg(now, before) + mechanism_svg(now, before, size="narrow")
    head = '<meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Mechanism</title>'
    links = '<link rel="icon" href="data:,">' + "".join(
        f'<link rel="stylesheet" href="{sheet}.css">' for sheet in ("look", "mechanism")
    )
    figure = f'<figure class="mechanism-figure" data-source="{name}.json">{drawings}</figure>'
    script = '<script type="module" src="start.js"></script>'
    (folder / f"{name}.html").write_text(
        f'<!doctype html><html lang="en"><head>{head}{links}{script}</head><body>{figure}</body></html>', "utf-8"
    )
    (folder / f"{name}.json").write_text(json.dumps(mechanism_data(now, before)), "utf-8")


@pytest.fixture
def opened(browser, site):
    """Open a page; whatever the browser complains about fails the test."""
    complaints, contexts = [], []

    def visit(name=DEMOS[0], width=1280, **options):
        context = browser.new_context(viewport={"width": width, "height": 900}, **options)
        contexts.append(context)
        page = context.new_page()
        page.on(
            "console",
            lambda message: complaints.append(message.text) if "favicon" not in message.location["url"] else None,
        )
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.goto(f"{site}/{name}.html")
        page.wait_for_selector(".mechanism-controls")
        return page

    yield visit
    for context in contexts:
        context.close()
    assert not complaints


def until(page, condition):
    """Wait until it holds; the page's policy lets no test wait inside it."""
    for _ in range(100):
        if page.evaluate(condition):
            return
        page.wait_for_timeout(20)
    pytest.fail(f"{condition}: not in 2 s")


def travel(page):
    return page.evaluate("mechanism.travel")


def texts(page, size="wide"):
    return page.locator(f"svg.{size} text").all_text_contents()


def test_it_begins_at_the_release_point_like_the_still(opened):
    page = opened()
    release = mechanisms(read_demo())[0].places.release_mm
    assert travel(page) == pytest.approx(release, abs=0.01)


@pytest.mark.parametrize("demo", DEMOS)
def test_the_script_draws_what_the_still_shows(opened, demo):
    """Each mark in the same place, to a quarter of a pixel: the moves are read alike on both sides."""
    page = opened(f"{demo}-changed")
    moved = page.evaluate(BOXES)
    page.evaluate(
        "still => document.querySelector('svg.wide').outerHTML = still",
        mechanism_svg(*mechanisms(read_demo(demo), [parse(CHANGE)])),
    )
    still = page.evaluate(BOXES)
    assert len(still) > 60
    np.testing.assert_allclose(moved, still, atol=0.25)


@pytest.mark.parametrize("demo", DEMOS)
def test_live_texts_are_the_chain_at_that_travel(opened, demo):
    page = opened(demo)
    now = mechanisms(read_demo(demo))[0]
    response = respond(now.bike)
    for share in (0.05, 0.2, 0.5, 0.8, 1.0):
        at = share * now.places.stop_mm
        page.evaluate("travel => { mechanism.show(0); mechanism.show(travel); }", at)
        shown = {text.rsplit(" ", 1)[0]: text.rsplit(" ", 1)[1] for text in texts(page)}
        expected = {
            "pull": (np.interp(at * 1e-3, response.travel, response.pull), 0.6),
            "letting out": (np.interp(at * 1e-3, response.return_travel, response.returning), 0.6),
            "lift": (np.interp(at * 1e-3, response.travel, response.lift) * 1e3, 0.006),
            "clamp left": (np.interp(at * 1e-3, response.travel, response.clamp), 3.0),
        }
        for name, (value, fine) in expected.items():
            assert float(shown[name].split("\N{NO-BREAK SPACE}")[0]) == pytest.approx(value, abs=fine), (name, at)


def test_the_lever_is_dragged_by_the_mouse(opened):
    """The finger point follows the pointer: pulled about the pivot by 10 degrees, it travels r x 10 degrees."""
    page = opened()
    page.evaluate("mechanism.show(5)")
    radius = read_demo().quantities["lever.finger_radius_mm"].value
    start, end = page.evaluate(ON_THE_BLADE, "wide")
    page.mouse.move(*start)
    page.mouse.down()
    page.mouse.move(*end, steps=4)
    page.mouse.up()
    assert dragged(page) == pytest.approx(5 + radius * np.radians(10), abs=0.2)


def test_the_lever_is_dragged_by_a_finger_on_a_phone(opened):
    page = opened(width=390, has_touch=True, is_mobile=True)
    page.evaluate("mechanism.show(5)")
    radius = read_demo().quantities["lever.finger_radius_mm"].value
    start, end = page.evaluate(ON_THE_BLADE, "narrow")
    session = page.context.new_cdp_session(page)
    for kind, point in (("touchStart", start), ("touchMove", end)):
        points = [{"x": point[0], "y": point[1]}]
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    assert dragged(page) == pytest.approx(5 + radius * np.radians(10), abs=0.2)
    assert page.evaluate("scrollY") == 0


def dragged(page):
    """Travel when the frame after the last move is drawn."""
    until(page, "mechanism.travel > 6")
    page.wait_for_timeout(60)
    return travel(page)


def test_the_slider_has_a_name_a_value_in_words_and_obeys_the_keyboard(opened):
    page = opened()
    slider = page.get_by_role("slider", name="Finger travel")
    slider.focus()
    page.keyboard.press("Home")
    until(page, "mechanism.travel === 0")
    page.keyboard.press("End")
    stop = mechanisms(read_demo())[0].places.stop_mm
    until(page, f"Math.abs(mechanism.travel - {stop}) < 0.11")
    assert "pull" in slider.get_attribute("aria-valuetext")
    assert "lift" in slider.get_attribute("aria-valuetext")


def test_letting_out_the_arm_waits_until_the_stretch_is_given_up(opened):
    """Just behind the turning point the plate still stands where it stood; further back it follows the return."""
    page = opened()
    now = mechanisms(read_demo())[0]
    lift = "[...document.querySelectorAll('svg.wide text')].find(t => t.textContent.startsWith('lift')).textContent"
    page.evaluate("mechanism.show(30)")
    held = page.evaluate(lift)
    page.evaluate("mechanism.show(29.7)")
    assert page.evaluate(lift) == held
    page.evaluate("mechanism.show(15)")
    response = respond(now.bike)
    followed = np.interp(0.015, response.return_travel, response.lift) * 1e3
    assert float(page.evaluate(lift).split()[1]) == pytest.approx(followed, abs=0.006)


def test_other_data_keep_the_travel_and_leave_a_ghost(opened):
    page = opened()
    page.evaluate("mechanism.show(20)")
    assert page.locator("svg.wide [data-layer=before] path").count() == 0
    page.evaluate("mechanism.update(other)")
    assert travel(page) == 20
    assert page.locator("svg.wide [data-layer=before] path").count() > 2
    before, now = (np.interp(0.020, r.travel, r.pull) for r in (respond(m.bike) for m in reversed(changed())))
    assert f"before {before:.0f}\N{NO-BREAK SPACE}N" in texts(page)
    assert f"pull {now:.0f}\N{NO-BREAK SPACE}N" in texts(page)


def changed():
    return mechanisms(read_demo(), [parse(CHANGE)])


def test_buttons_glide_and_jump_where_motion_is_unwelcome(opened):
    page = opened(reduced_motion="reduce")
    page.get_by_role("button", name="Rest").click()
    assert travel(page) == 0
    page = opened()
    page.get_by_role("button", name="Rest").click()
    assert travel(page) > 0
    until(page, "mechanism.travel === 0")


def test_a_frame_takes_less_than_sixteen_milliseconds(opened):
    page = opened(f"{DEMOS[0]}-changed")
    median = page.evaluate(
        """() => {
            const times = [];
            for (let i = 0; i < 120; i++) {
                const began = performance.now();
                mechanism.show((i * 7) % 46);
                document.querySelector("svg.wide text").getBoundingClientRect();
                times.push(performance.now() - began);
            }
            return times.sort((a, b) => a - b)[60];
        }"""
    )
    assert median < 16.0


@pytest.mark.parametrize(("width", "size"), [(1280, "wide"), (390, "narrow")])
@pytest.mark.parametrize("demo", DEMOS)
def test_texts_are_large_inside_and_apart(opened, demo, width, size):
    page = opened(f"{demo}-changed", width)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    for place in PLACES:
        page.evaluate("place => mechanism.show(mechanism.places[place])", place)
        boxes = page.evaluate(
            """size => [...document.querySelectorAll(`svg.${size} text`)].map(text => {
                const { left, top, right, bottom } = text.getBoundingClientRect();
                const size = text.getScreenCTM().a * text.getAttribute("font-size");
                return { text: text.textContent, left, top, right, bottom, size };
            })""",
            size,
        )
        outer = page.locator(f"svg.{size}").bounding_box()
        for box in boxes:
            assert box["size"] >= 11.0, box
            assert box["left"] >= outer["x"] - 1, (place, box)
            assert box["right"] <= outer["x"] + outer["width"] + 1, (place, box)
            assert box["top"] >= outer["y"] - 1, (place, box)
        crossing = [(a["text"], b["text"]) for i, a in enumerate(boxes) for b in boxes[:i] if overlap(a, b)]
        assert not crossing, place


def overlap(a, b):
    """Letters over letters; the empty rims of two lines may touch."""
    rim = 3.0
    across = min(a["right"], b["right"]) - max(a["left"], b["left"])
    down = min(a["bottom"], b["bottom"]) - max(a["top"], b["top"])
    return across > 0.0 and down > rim
