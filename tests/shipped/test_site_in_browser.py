"""The documentation site in a browser, opened from the disk: what is asked for, the search, a phone's width."""

import pytest

from tests.web.browser import ARGUMENTS, CHROMIUM, DESK, PHONE, needs_chromium

playwright = pytest.importorskip("playwright.sync_api", reason="the browser driver is not installed")
pytestmark = needs_chromium
PAGES = (
    "index.html",
    "physics/lever.html",
    "reference/commands.html",
    "reference/validation.html",
    "reference/modules/clutchwright.physics.html",
    "how-this-house-is-built.html",
)


@pytest.fixture(scope="module")
def browser():
    with playwright.sync_playwright() as started:
        browser = started.chromium.launch(executable_path=CHROMIUM, args=list(ARGUMENTS))
        yield browser
        browser.close()


@pytest.fixture
def opened(browser, built):
    """Opens a page of the site at a size; gives it, and all that it asks for or says is wrong."""
    site, _ = built
    contexts = []

    def go(name, size):
        context = browser.new_context(**size)
        contexts.append(context)
        page, asked, wrong = context.new_page(), [], []
        page.on("request", lambda request: asked.append(request.url))
        page.on("requestfailed", lambda request: wrong.append(request.url))
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.goto(site.as_uri() + "/" + name, wait_until="load")
        return page, asked, wrong

    yield go
    for context in contexts:
        context.close()


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_a_page_fits_and_asks_no_other_machine(opened, name, size):
    page, asked, wrong = opened(name, size)
    assert asked
    assert not [address for address in asked if not address.startswith(("file:", "data:"))]
    assert not wrong
    assert page.evaluate("document.documentElement.scrollWidth") <= size["viewport"]["width"]


@pytest.mark.parametrize(
    ("words", "title"), [("moment arm", "Lever"), ("at_angle", "at_angle"), ("slip margin", "words")]
)
def test_the_search_box_finds(opened, words, title):
    page, asked, wrong = opened("index.html", DESK)
    page.fill(".sidebar-search", words)
    page.press(".sidebar-search", "Enter")
    page.get_by_text("Search finished").wait_for()
    found = page.locator("#search-results ul.search li a").all_inner_texts()
    assert [each for each in found if title in each]
    assert not [address for address in asked if not address.startswith(("file:", "data:"))]
    assert not wrong


def test_a_result_leads_to_its_page(opened):
    page, _, wrong = opened("search.html?q=moment+arm", PHONE)
    page.get_by_role("link", name="Lever", exact=True).last.click()
    page.wait_for_url("**/physics/lever.html*")
    assert "Lever" in page.inner_text("h1")
    assert not wrong
