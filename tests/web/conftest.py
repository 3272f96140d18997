"""The browser of a module of tests; closed after it, since its event loop must not run beside those of other tests."""

import pytest

from tests.web.browser import ARGUMENTS, CHROMIUM


@pytest.fixture(scope="module")
def browser():
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=CHROMIUM, args=list(ARGUMENTS))
        yield started
        started.close()
