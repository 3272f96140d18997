"""Guided measuring in a browser the size of a phone, with touch: a reload, a lost network, a battery that goes flat."""

import threading
import time
from collections.abc import Callable, Iterator
from importlib import resources
from pathlib import Path

import pytest
import uvicorn

from clutchwright import usecases
from clutchwright.web.app import create_app
from clutchwright.web.drawings import CHOICE_VIEW, DRAWINGS
from clutchwright.web.drawings.strokes import HEIGHT, WIDTH, svg
from clutchwright.workspace import Workspace
from tests.unit.test_ask import ALL, LEVER
from tests.web.browser import needs_chromium
from tests.web.test_measuring import answered

pytestmark = needs_chromium
PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True, "device_scale_factor": 2}
FINGER_RADIUS, CABLE_RADIUS = "Pivot to finger point, square to the pull", "Pivot to cable end on the lever"
# What a finger meets: fields, buttons and links that stand by themselves.
SMALL = """[...document.querySelectorAll("main :is(input:not([type=hidden]), select, button, .head a, .rows a)")]
    .filter((each) => each.checkVisibility() && each.getBoundingClientRect().height < 44)
    .map((each) => each.outerHTML)"""


@pytest.fixture
def address(tmp_path) -> Iterator[str]:
    """Address of a workbench on an empty folder."""
    app = create_app(Workspace(tmp_path), hosts=("127.0.0.1",))
    server = uvicorn.Server(uvicorn.Config(app, port=0, log_level="error"))
    thread = threading.Thread(target=server.run)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    yield f"http://127.0.0.1:{server.servers[0].sockets[0].getsockname()[1]}"
    server.should_exit = True
    thread.join()


@pytest.fixture
def phone(browser):
    context = browser.new_context(**PHONE)
    context.set_default_timeout(10_000)
    yield context
    context.close()


@pytest.fixture
def page(phone):
    opened = phone.new_page()
    opened.breaches = []
    opened.on("console", lambda message: opened.breaches.append(message.text) if message.type == "error" else None)
    opened.on("pageerror", lambda error: opened.breaches.append(str(error)))
    yield opened
    assert [text for text in opened.breaches if "ERR_INTERNET_DISCONNECTED" not in text] == []


def at(page, heading: str) -> None:
    page.get_by_role("heading", name=heading, exact=True).wait_for()


def kept(folder: Path, draft: str) -> str:
    """What the server has of a draft."""
    return (folder / ".clutchwright" / "drafts" / f"bike-{draft[-8:]}.draft").read_text("utf-8")


def until(happens: Callable[[], bool]) -> None:
    end = time.monotonic() + 10.0
    while not happens():
        assert time.monotonic() < end
        time.sleep(0.05)


def test_a_bike_is_begun_with_the_thumb(page, address):
    page.goto(address)
    page.get_by_role("button", name="Measure a new bike").tap()
    page.get_by_label("Name of the bike").fill("Mine")
    page.get_by_role("button", name="Keep it").tap()
    at(page, "How the cable sits on the lever")
    page.get_by_role("button", name="on a pin, the adjuster far away", exact=True).tap()
    at(page, FINGER_RADIUS)
    page.get_by_label(FINGER_RADIUS).fill("82,5")
    page.get_by_label(FINGER_RADIUS).press("Enter")
    at(page, CABLE_RADIUS)
    assert "82.5\N{NO-BREAK SPACE}mm, measured: ruler" in page.get_by_text("Kept.").inner_text()
    page.go_back()
    at(page, FINGER_RADIUS)
    assert page.get_by_label(FINGER_RADIUS).input_value() == "82.5"


def test_what_is_being_typed_outlives_a_reload(page, address, tmp_path):
    page.goto(address + answered(tmp_path, ["Mine", "far"]))
    page.get_by_label(FINGER_RADIUS).fill("3.25")
    page.get_by_label("Unit").select_option("inch")
    page.get_by_label("Give or take").fill("0.0")
    page.reload()
    assert page.get_by_label(FINGER_RADIUS).input_value() == "3.25"
    assert page.get_by_label("Unit").input_value() == "inch"
    assert page.get_by_label("Give or take").input_value() == "0.0"


def test_without_a_network_the_answer_waits_and_says_so_and_goes_out_by_itself(page, phone, address, tmp_path):
    draft = answered(tmp_path, ["Mine", "far"])
    page.goto(address + draft)
    phone.set_offline(True)
    page.get_by_label(FINGER_RADIUS).fill("82")
    page.get_by_role("button", name="Keep it").tap()
    page.get_by_text("Not sent yet: 1 answer.").wait_for()
    at(page, FINGER_RADIUS)
    assert "82" not in kept(tmp_path, draft)
    phone.set_offline(False)
    at(page, CABLE_RADIUS)
    assert page.get_by_text("Not sent yet").count() == 0
    assert "82" in kept(tmp_path, draft)


@pytest.mark.parametrize("opened_at", ["draft", "folder"])
def test_an_answer_that_waited_when_the_battery_went_flat_is_sent_later(page, phone, address, tmp_path, opened_at):
    draft = answered(tmp_path, ["Mine", "far"])
    page.goto(address + draft)
    phone.set_offline(True)
    page.get_by_label(FINGER_RADIUS).fill("82")
    page.get_by_role("button", name="Keep it").tap()
    page.get_by_text("Not sent yet: 1 answer.").wait_for()
    page.close()
    phone.set_offline(False)
    later = phone.new_page()
    later.goto(address + (draft if opened_at == "draft" else "/"))
    until(lambda: "82" in kept(tmp_path, draft) and later.evaluate("localStorage.length") == 0)
    later.goto(address + draft)
    at(later, CABLE_RADIUS)


def test_a_wrong_value_that_waited_comes_back_with_its_reason(page, phone, address, tmp_path):
    page.goto(address + answered(tmp_path, ["Mine", "far"]))
    phone.set_offline(True)
    page.get_by_label(FINGER_RADIUS).fill("820")
    page.get_by_role("button", name="Keep it").tap()
    page.get_by_text("Not sent yet").wait_for()
    phone.set_offline(False)
    page.get_by_role("alert").wait_for()
    assert page.get_by_role("alert").inner_text().startswith("820: must be from 30 to 200 mm")
    assert page.get_by_label(FINGER_RADIUS).input_value() == "820"
    page.get_by_label(FINGER_RADIUS).fill("82")
    page.get_by_role("button", name="Keep it").tap()
    at(page, CABLE_RADIUS)
    page.breaches.clear()  # the browser reports the 422 too


def test_it_works_without_a_script(browser, address, tmp_path):
    context = browser.new_context(**PHONE, java_script_enabled=False)
    page = context.new_page()
    page.goto(address + answered(tmp_path, LEVER[:6]))
    page.get_by_role("button", name="Don't know").tap()
    at(page, "Pivot to the farthest point where a finger can pull")
    page.get_by_role("link", name="Back").tap()
    at(page, "Finger-point travel before the arm starts to turn")
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_screen_fits_a_phone_and_a_thumb(page, address, tmp_path, scheme):
    page.emulate_media(color_scheme=scheme)
    clash = [*LEVER[:5], "78", *LEVER[6:]]
    early, whole = answered(tmp_path, ["Mine"]), answered(tmp_path, ALL)
    (tmp_path / "six-spring-rack.toml").write_text(usecases.demo_text("six-spring-rack"), "utf-8")
    bike = "/bikes/six-spring-rack.toml"
    screens = (
        early, answered(tmp_path, ["Mine", "far"]), answered(tmp_path, clash), f"{early}/all", f"{whole}/all",
        f"{whole}?at=lift.kind", f"{whole}?at=cable.friction&after=cable.drag_N", f"{bike}/measure",
        f"{bike}/measure/cable.friction", f"{bike}/measured/cable.friction",
    )  # fmt: skip
    for screen in screens:
        page.goto(address + screen)
        assert page.evaluate("document.documentElement.scrollWidth") <= 360, screen
        assert page.evaluate(SMALL) == [], screen


def test_every_drawing_stays_in_its_frame(page):
    """No words are cut off, and none of what is asked for."""
    style = (resources.files("clutchwright.web") / "static" / "measure.css").read_text("utf-8")
    drawn = "".join(
        svg(draw(), title=key, about="", view=CHOICE_VIEW if "=" in key else f"0 0 {WIDTH} {HEIGHT}")
        for key, draw in DRAWINGS.items()
    )
    page.set_content(f"<style>{style}</style>{drawn}")
    outside = """() => [...document.querySelectorAll("svg.drawing :is(text, .asked, .tip)")].filter((each) => {
        const frame = each.ownerSVGElement.getBoundingClientRect(), box = each.getBoundingClientRect();
        return box.left < frame.left || box.top < frame.top || box.right > frame.right || box.bottom > frame.bottom + 2;
    }).map((each) => [each.ownerSVGElement.querySelector("title").textContent, each.outerHTML])"""
    assert page.evaluate(outside) == []
    assert page.locator("svg.drawing").count() == len(DRAWINGS) > 60
