"""The pages that the program writes about itself are fresh."""

import pytest

from docs.reference_pages import FOLDER, PAGES


@pytest.mark.parametrize("name", PAGES)
def test_the_page_is_fresh(name):
    assert (FOLDER / name).read_text("utf-8") == PAGES[name](), "run: python3 tasks.py docs"
