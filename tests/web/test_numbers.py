"""Every number of the interface is the command line's, and every number of a page is the figure behind it, rounded."""

from __future__ import annotations

import html
import json
import math
import re
from html.parser import HTMLParser

import pytest
from typer.testing import CliRunner

from clutchwright import usecases
from clutchwright.assess.figures import FIGURES
from clutchwright.bikefile import set_value
from clutchwright.cli import app
from clutchwright.numbers import quantity_text
from clutchwright.quantity import Quantity
from tests.web.workbench import client, filled

CHANGES = {
    "as it is": (),
    "changed": ("perch-shift:shift_mm=12", "springs-softer:rate_share=0.9"),
}
# Question, arguments of the command, the same as a query.
ASKED = {
    "assess": ("assessment", (), {}),
    "assess in a hand": (
        "assessment",
        ("--hand", "hand-small-hand.toml", "--riding", "trail", "--hours", "2", "--samples", "32", "--seed", "5"),
        {"hand": "hand-small-hand.toml", "riding": "trail", "hours": 2, "samples": 32, "seed": 5},
    ),
    "plan": ("plan", ("--target", "80"), {"target": 80}),
    "measure": ("measure", (), {}),
    "compare": ("compare", ("readings.csv", "--seed", "3"), {"readings": "readings.csv", "seed": 3}),
    "claim": (
        "claim",
        ("--says", "35%", "--by", "springs", "--samples", "64"),
        {"says": "35%", "by": "springs", "samples": 64},
    ),
    "patterns": ("patterns", ("--softer", "85", "--samples", "128"), {"softer": 85, "samples": 128}),
}
WITHOUT_CHANGES = ("claim", "patterns")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return filled(tmp_path_factory.mktemp("garage"))


@pytest.fixture(scope="module")
def bench(folder):
    return client(folder)


def said(monkeypatch, folder, *arguments: str):
    """What the command line prints with --json, or its one line where it cannot answer."""
    monkeypatch.chdir(folder)
    done = CliRunner().invoke(app, [*arguments, "--json"])
    return json.loads(done.stdout) if done.exit_code == 0 else str(done.exception)


@pytest.mark.parametrize("steps", CHANGES.values(), ids=CHANGES)
@pytest.mark.parametrize("question", ASKED)
@pytest.mark.parametrize("bike", usecases.DEMOS)
def test_the_interface_says_what_the_command_line_says(monkeypatch, folder, bench, bike, question, steps):
    path, arguments, query = ASKED[question]
    if steps and path in WITHOUT_CHANGES:
        steps = ()
    changes = [word for step in steps for word in ("--with", step)]
    expected = said(monkeypatch, folder, question.split()[0], f"{bike}.toml", *arguments, *changes)
    answer = bench.get(f"/api/bikes/{bike}.toml/{path}", params={**query, "with": list(steps)})
    if isinstance(expected, str):
        assert (answer.status_code, answer.json()) == (422, {"error": expected})
    else:
        assert (answer.status_code, answer.json()) == (200, expected)


def test_the_kinds_of_change_are_the_command_line_s(monkeypatch, folder, bench):
    assert bench.get("/api/changes").json() == said(monkeypatch, folder, "changes")


# Parts of a figure, and checks, may have a figure's name.
OTHER_TABLES = ("Where the force goes (at release)", "Where the travel goes", "Checks")


class Tables(HTMLParser):
    """Rows of a page's tables of figures: the text of their heading, and of each cell."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.rows: dict[str, list[str]] = {}
        self._cells: list[str] = []
        self._inside = self._note = self._caption = False
        self._captions: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "tr":
            self._cells = []
        elif tag in ("td", "th"):
            self._cells.append("")
            self._inside = True
        elif tag == "small":
            self._note = True
        elif tag == "caption":
            self._caption = True
            self._captions.append("")

    def handle_endtag(self, tag: str) -> None:
        if tag == "tr" and self._cells and self._captions[-1] not in OTHER_TABLES:
            self.rows[self._cells[0]] = self._cells[1:]
        elif tag in ("td", "th"):
            self._inside = False
        elif tag == "small":
            self._note = False
        elif tag == "caption":
            self._caption = False

    def handle_data(self, data: str) -> None:
        if self._caption:
            self._captions[-1] += data
        if self._inside and not self._note:
            self._cells[-1] += data


@pytest.mark.parametrize("steps", CHANGES.values(), ids=CHANGES)
@pytest.mark.parametrize("bike", usecases.DEMOS)
def test_the_numbers_of_the_page_are_the_figures_rounded(bench, bike, steps):
    query = {"with": list(steps), "samples": 32}
    data = bench.get(f"/api/bikes/{bike}.toml/assessment", params=query)
    page = bench.get(f"/bikes/{bike}.toml/heavy", params=query)
    assert data.status_code == page.status_code
    if data.status_code != 200:
        assert html.escape(data.json()["error"], quote=False) in page.text.replace("&#39;", "'").replace("&#34;", '"')
        return
    found, rows, compared = data.json(), Tables(page.text).rows, 0
    for figure in FIGURES:
        cells = rows[figure.label]
        for now, cell in zip((found["before"], found) if steps else (found,), cells, strict=False):
            if now[figure.key] is not None and cell != "does not apply":
                assert cell == quantity_text(figure.key, now[figure.key], uncertain(now, figure.key))
                compared += 1
    assert compared > 25


def uncertain(found: dict, key: str) -> float:
    u = found["u"][key]
    return math.nan if u is None else u


@pytest.mark.parametrize(
    ("key", "ending"), [("cable.drag_N", "cable-service-drag_N"), ("cable.bend_deg", "cable-routing-bend_deg")]
)
def test_a_slider_without_room_stands_still_and_the_page_shows(tmp_path, key, ending):
    bike = filled(tmp_path) / "six-spring-rack.toml"
    bike.write_text(set_value(bike.read_text("utf-8"), key, Quantity(0.0, 0.0)), "utf-8")
    page = client(tmp_path).get("/bikes/six-spring-rack.toml/change")
    assert page.status_code == 200
    slider = re.search(rf'<input id="{ending}"[^>]*>', page.text)[0]
    assert 'min="0' in slider
    assert 'max="0' in slider
