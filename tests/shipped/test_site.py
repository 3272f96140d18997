"""The documentation site builds without a warning, has all pages, can be searched, and loads nothing from elsewhere."""

import doctest
import json
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from clutchwright import usecases
from clutchwright.assess.figures import FIGURES
from clutchwright.changes import parse
from clutchwright.report.data import to_json
from docs.interface_pages import PARTS

DOCS = Path(__file__).parents[2] / "docs"
LOADING = {"src", "srcset", "poster", "data", "action"}
ELSEWHERE = re.compile(r"\s*(https?:)?//", re.IGNORECASE)
IN_STYLE = re.compile(r"(?:url\(|@import)\s*[\"']?\s*(?:https?:)?//", re.IGNORECASE)


class Loaded(HTMLParser):
    """Addresses of another machine that a page loads something from."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag, attrs):
        loading = LOADING | ({"href"} if tag in ("link", "base", "image", "use") else set())
        self.found += [value for key, value in attrs if key in loading and value and ELSEWHERE.match(value)]


def loaded(page: str) -> list[str]:
    parser = Loaded()
    parser.feed(page)
    return [*parser.found, *IN_STYLE.findall(page)]


def test_it_builds_without_a_warning(built):
    _, said = built
    assert said == "0"


def test_the_front_page_leads_to_the_four_groups(built):
    site, _ = built
    front = (site / "index.html").read_text("utf-8")
    for group in ("Tutorial", "How to", "Reference", "Explanation"):
        assert re.search(rf"<h2>{group}:", front)


def test_every_page_is_there(built):
    site, _ = built
    pages = [page.relative_to(DOCS).with_suffix(".html") for page in DOCS.rglob("*.md")]
    assert len(pages) > 50
    assert not [page for page in pages if not (site / page).is_file()]


@pytest.mark.parametrize(
    ("word", "page"),
    [
        ("moment", "physics/lever"),
        ("friction", "physics/cable"),
        ("respond", "reference/modules/clutchwright.chain"),
    ],
)
def test_the_index_of_words_holds(built, word, page):
    site, _ = built
    text = (site / "searchindex.js").read_text("utf-8")
    index = json.loads(text[text.index("(") + 1 : text.rindex(")")])
    numbers = index["terms"][word]
    assert index["docnames"].index(page) in (numbers if isinstance(numbers, list) else [numbers])


def test_no_page_loads_anything_from_another_machine(built):
    site, _ = built
    pages = [*site.rglob("*.html"), *site.rglob("*.css"), *site.rglob("*.svg")]
    assert len(pages) > 50
    assert not {page.name: found for page in pages if (found := loaded(page.read_text("utf-8")))}


def test_formulas_are_written_out(built):
    site, _ = built
    page = (site / "physics" / "lever.html").read_text("utf-8")
    assert page.count("<math ") == 3
    assert "$$" not in page
    assert "\\frac" not in page


def test_names_of_the_package_lead_to_the_reference(built):
    site, _ = built
    page = (site / "physics" / "lever.html").read_text("utf-8")
    assert 'href="../reference/modules/clutchwright.physics.html#clutchwright.physics.lever.Lever.finger_force"' in page


@pytest.mark.parametrize(
    ("page", "found"),
    [
        ('<script src="//cdn.example/x.js">', 1),
        ('<link href="https://cdn.example/x.css">', 1),
        ("<style>@import 'https://cdn.example/x.css'; a { background: url(//cdn.example/x.png) }</style>", 2),
        ('<a href="https://cdn.example/">there</a> <img src="x.png">', 0),
    ],
)
def test_what_is_loaded_is_told_from_what_is_linked(page, found):
    assert len(loaded(page)) == found


def test_the_page_on_python_says_what_python_says():
    done = doctest.testfile(str(DOCS / "reference" / "python.md"), module_relative=False, encoding="utf-8")
    assert done.attempted >= 8
    assert done.failed == 0


def test_the_page_on_json_names_every_key():
    rider = usecases.rider(usecases.read_demo_hand())
    found = usecases.assess_bike(usecases.read_demo(), [parse("cable-service")], samples=8, rider=rider)
    assert to_json(found).keys() == {figure.key for figure in FIGURES} | PARTS.keys()
