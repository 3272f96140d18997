"""Where the lever should stand, which pulls suit the hand, and which springs may stay out: on the workbench."""

import json
import re
from html import unescape

import pytest
from typer.testing import CliRunner

from clutchwright import usecases
from clutchwright.cli import app
from tests.web.workbench import client, filled

BIKE, HAND = "six-spring-rack", "hand-small-hand.toml"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return filled(tmp_path_factory.mktemp("garage"))


@pytest.fixture(scope="module")
def web(folder):
    return client(folder)


def text(page):
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", page)))


def said(monkeypatch, folder, *words):
    monkeypatch.chdir(folder)
    return json.loads(CliRunner().invoke(app, [*words, "--json"]).stdout)


def test_the_hand_page_says_where_the_lever_should_stand_as_the_command_line_does(monkeypatch, folder, web):
    found = said(monkeypatch, folder, "position", f"{BIKE}.toml", "--hand", HAND)
    asked = web.get(f"/bikes/{BIKE}.toml/position", params={"hand": HAND}, follow_redirects=False)
    assert asked.headers["location"] == f"/bikes/{BIKE}.toml/hand?hand={HAND}#place"
    page = web.get(f"/bikes/{BIKE}.toml/hand", params={"hand": HAND}).text
    assert "Where the lever should stand" in page
    assert found["advice"].replace("\N{NO-BREAK SPACE}", " ") in text(page)
    (trying,) = re.findall(r'href="([^"]*/change[^"]*)">Try it', page)
    changed = web.get(unescape(trying))
    assert changed.status_code == 200
    assert all(f'id="{step.partition(":")[0]}" name' in changed.text for step in found["steps"])


def test_the_hand_page_leads_to_the_study_with_its_pulls(web, folder):
    page = web.get(f"/bikes/{BIKE}.toml/hand", params={"hand": HAND}).text
    pulls = re.findall(r"What gets it down to (\d+) N", page)
    assert pulls
    (link, *_) = re.findall(r'href="([^"]*/compromise[^"]*)">What gets', page)
    assert f"target={pulls[0]}" in unescape(link)
    assert f'value="{pulls[0]}"' in web.get(unescape(link)).text
    hand = usecases.assess_bike(
        usecases.read_bike(folder / f"{BIKE}.toml"), rider=usecases.rider(usecases.read_hand(folder / HAND))
    ).hand
    worst = max(hand.counting, key=lambda each: each.effort_peak)
    assert f"This hand can just pull {worst.once_pull_N:.0f} N once" in text(page)
    assert worst.target_pull_N < worst.short_pull_N < worst.once_pull_N


def test_patterns_are_listed_as_on_the_command_line_and_each_can_be_tried(monkeypatch, folder, web):
    found = said(monkeypatch, folder, "patterns", f"{BIKE}.toml", "--softer", "85")
    page = web.get(f"/bikes/{BIKE}.toml/patterns", params={"softer": 85}).text
    even = [row for row in found["patterns"] if not row["refused"]]
    links = dict(re.findall(r'<a href="([^"]*/change[^"]*)">([Fs-]+)</a>', page))
    assert sorted(links.values()) == sorted(row["pattern"] for row in even if row["steps"])
    for row in even:
        assert f"{row['figures']['pull_peak_N']:.0f} N" in text(page)
    assert web.get(unescape(next(iter(links)))).status_code == 200
    assert "/patterns" in web.get(f"/bikes/{BIKE}.toml/change").text


def test_a_clutch_without_coil_springs_says_so(web):
    answer = web.get("/bikes/diaphragm-cam.toml/patterns")
    assert answer.status_code == 422
    assert "diaphragm spring" in answer.text
