"""The page of the compromises in each of its states, and the same for programs."""

import json
import re
import time
from html import unescape

import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from clutchwright import usecases
from clutchwright.cli import app as command
from clutchwright.web.app import create_app
from clutchwright.web.jobs import Jobs
from clutchwright.workspace import File, Workspace
from tests.web import workers

PAGE = f"/bikes/{workers.BIKE}/compromise"
API = f"/api/bikes/{workers.BIKE}/study"
FORM = {"catalogue": workers.CATALOGUE, "target": "85", "slips_percent": "1", "drags_percent": "1"}
QUICK = {"samples": 1000}


@pytest.fixture
def folder(tmp_path):
    made = Workspace(tmp_path)
    demo = usecases.DEMOS[0]
    made.save(File(workers.BIKE, usecases.demo_text(demo).encode()), based_on=None)
    made.save(File(workers.CATALOGUE, usecases.demo_catalogue_text().encode()), based_on=None)
    made.save(File("hand.toml", usecases.demo_hand_text("small-hand").encode()), based_on=None)
    return made


@pytest.fixture
def opened(folder):
    """The workbench in a browser, with some work in place of the study, or the study itself."""
    clients = []

    def opens(work=None):
        app = create_app(folder)
        if work is not None:
            app.state.jobs = Jobs(folder, work)
        client = TestClient(app, base_url="http://localhost", client=("127.0.0.1", 50_000))
        clients.append(client)
        return client.__enter__()

    yield opens
    for client in clients:
        client.__exit__(None, None, None)


def asked(client, **other):
    """Fill in the form, and come back to the page."""
    answer = client.post(PAGE, params=QUICK, data=FORM | other, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


def shown(client, address, ready):
    until = time.monotonic() + 90.0
    while not ready(page := client.get(address).text):
        assert time.monotonic() < until, page
        time.sleep(0.1)
    return page


def over(page):
    return 'id="job"' not in page


def text(page):
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", page)))


def test_before_anything_is_asked_the_form_lists_the_jobs(opened):
    page = opened().get(PAGE).text
    assert page.count('name="jobs"') == page.count("checked> ") == 8
    assert "Work it out" in page
    assert not re.search(r"\s(style|on\w+)=", page)
    assert not re.search(r"<script(?![^>]*\bsrc=)(?![^>]*json)", page)


def test_without_a_catalogue_the_page_says_what_one_is(opened, folder):
    (folder.folder / workers.CATALOGUE).unlink()
    assert "A catalogue says what could be done" in opened().get(PAGE).text


def test_a_list_is_made_for_the_bike_and_chosen(opened, folder):
    (folder.folder / workers.CATALOGUE).unlink()
    client = opened()
    page = client.get(PAGE).text
    assert "Make a list for this bike" in page
    (action,) = re.findall(r'action="([^"]*compromise/list[^"]*)"', page)
    for _ in "12":
        made = client.post(unescape(action))
        assert made.status_code == 200
        assert f"jobs for {workers.BIKE}" in made.text
        assert "Longer release arm" in made.text
    assert "invented" in folder.read(f"jobs for {workers.BIKE}").text


def test_the_boxes_are_those_of_the_list_asked_for(opened, folder):
    few = usecases.demo_catalogue_text().split("[[option]]")
    folder.save(File("few.toml", "[[option]]".join(few[:3]).encode()), based_on=None)
    page = opened().get(PAGE, params={"catalogue": "few.toml"}).text
    assert page.count('name="jobs"') == 2
    assert '<script type="module" src="/static/jobs.js">' in page


def test_while_it_runs_the_page_says_how_far_it_is_and_can_stop_it(opened):
    client = opened(workers.slow)
    address = asked(client)
    page = shown(client, address, lambda page: "Counting sheep" in page)
    assert "Counting sheep: 3 of 40." in page
    assert 'value="3" max="40"' in page
    assert '<noscript><meta http-equiv="refresh"' in page
    (action,) = re.findall(r'action="([^"]*cancel[^"]*)"', page)
    stopped = client.post(unescape(action))
    assert "This study was stopped." in stopped.text
    assert "Run it again" in stopped.text
    assert 'value="85"' in stopped.text
    asked(client)
    assert 'id="job"' in client.get(address).text


def test_a_second_study_waits(opened):
    client = opened(workers.slow)
    shown(client, asked(client), lambda page: "Counting" in page)
    assert "Waiting until another study is done" in client.get(asked(client, target="80")).text


@pytest.mark.parametrize(
    ("work", "words"), [(workers.refusing, "says so"), (workers.dying, "its process ended by itself (exit code 7")]
)
def test_what_failed_says_why(opened, work, words):
    client = opened(work)
    page = shown(client, asked(client), over)
    assert "This study could not be done." in page
    assert words in page


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("target", "900", "from 1 to 500 N"),
        ("target", "many", "target"),
        ("slips_percent", "101", "slips_percent"),
        ("catalogue", "none.toml", "not in this folder"),
        ("catalogue", "hand.toml", "hand.toml: rider"),
        ("hand", "catalogue.toml", "catalogue.toml: "),
        ("catalogue", "../catalogue.toml", "plain name"),
    ],
)
def test_what_cannot_be_asked_is_refused(opened, field, value, words):
    answer = opened(workers.slow).post(PAGE, data=FORM | {field: value})
    assert answer.status_code in (404, 422)
    assert words in text(answer.text)


def test_another_site_cannot_begin_a_study(opened):
    answer = opened(workers.slow).post(PAGE, data=FORM, headers={"Origin": "http://elsewhere.invalid"})
    assert answer.status_code == 403


def test_a_job_that_is_not_ticked_is_left_out(opened):
    client = opened(workers.slow)
    jobs = [option.name for option in usecases.priced_catalogue(usecases.demo_catalogue_text(), "").options]
    address = asked(client, listed=workers.CATALOGUE, jobs=jobs[1:])
    assert "without=Oil+the+cable" in address
    page = client.get(address).text
    assert page.count("checked> ") == 7
    none = client.post(PAGE, data=FORM | {"listed": workers.CATALOGUE})
    assert "leave at least one job in" in none.text


@pytest.fixture(scope="module")
def done(tmp_path_factory):
    """A study that is done: client, page, address, and what the command line prints."""
    path = tmp_path_factory.mktemp("done")
    demo = usecases.DEMOS[0]
    (path / workers.BIKE).write_text(usecases.demo_text(demo), "utf-8")
    (path / workers.CATALOGUE).write_text(usecases.demo_catalogue_text(), "utf-8")
    with TestClient(create_app(Workspace(path)), base_url="http://localhost", client=("127.0.0.1", 50_000)) as client:
        address = asked(client)
        page = shown(client, address, over)
        options = ["--catalogue", str(path / workers.CATALOGUE), "--target", "85", "--samples", "1000", "--json"]
        printed = CliRunner().invoke(command, ["study", str(path / workers.BIKE), *options])
        assert printed.exit_code == 0, printed.output
        yield client, page, address, printed.stdout


def test_programs_get_what_the_command_line_prints(done):
    client, _, address, printed = done
    answer = client.get(API + "?" + address.partition("?")[2])
    assert (answer.status_code, answer.text) == (200, printed)


def test_the_page_says_what_the_command_line_prints(done):
    _, page, _, printed = done
    found = json.loads(printed)
    best = found["front"][found["chosen"]]
    said = text(page)
    assert f"{best['pull_peak_N']:.0f} N for {best['price']:g} of money and {best['hours']:g} h" in said
    rows = re.findall(r'<tr role="row"><th[^>]*>no\.\s(\d+)</th><td[^>]*>(\d+)\s', page)
    assert len(rows) >= 3
    assert all(f"{found['front'][int(number) - 1]['pull_peak_N']:.0f}" == pull for number, pull in rows)
    assert page.count('<a href="/bikes/six-spring-rack.toml/change?') >= 2 * len(found["front"])


def test_each_row_leads_to_its_plan_and_to_what_it_does(done):
    client, page, _, printed = done
    found = json.loads(printed)
    table = page[page.index('<table role="table" id="front">') :]
    (plan, *_), (see, *_) = (
        re.findall(r'href="([^"]*/plan[^"]*)"', table),
        re.findall(r'href="([^"]*/change[^"]*)"', table),
    )
    answer = client.get(unescape(plan))
    assert answer.status_code == 200
    assert f"Step {len(found['front'][0]['steps'])}:" in answer.text
    assert "wanted should be reached after step" in text(answer.text)
    best = found["front"][0]
    assert f'Prices, hours and names are those of "{found["catalogue"]}".' in text(answer.text)
    assert f"{best['price']:g} of money" in text(answer.text)
    assert all(name in text(answer.text) for name in best["options"])
    assert client.get(unescape(see)).status_code == 200


def test_a_budget_is_kept_without_another_study(done):
    client, _, address, printed = done
    page = client.get(f"{address}&money=150").text
    prices = [float(price) for price in re.findall(r'data-heading="Price" class="number ?">([\d.]+)', page)]
    cheap = [setup["price"] for setup in json.loads(printed)["front"] if setup["price"] <= 150.0]
    *best, today = prices
    assert set(best) <= set(cheap)
    assert today == 0.0
    assert "only setups for at most 150 of money count" in text(page)
    nothing = text(client.get(f"{address}&money=1&work=0").text)
    assert "none keeps all limits" in nothing


def test_a_bike_that_was_changed_is_asked_about_anew(done):
    client, _, address, _ = done
    path = client.app.state.workspace.folder / workers.BIKE
    before = path.read_text("utf-8")
    path.write_text(before + "\n# looked at again\n", "utf-8")
    try:
        page = client.get(address).text
        assert 'id="front"' not in page
        assert "Work it out" in page
    finally:
        path.write_text(before, "utf-8")
    assert 'id="front"' in client.get(address).text


def test_pages_in_other_units(done):
    client, _, address, printed = done
    found = json.loads(printed)
    pull = found["front"][found["chosen"]]["pull_peak_N"]
    assert f"{round(pull) / 9.80665:.1f} kgf for" in text(client.get(f"{address}&force=kgf").text)


def test_a_plan_of_nothing_leads_back(done):
    answer = done[0].get(f"/bikes/{workers.BIKE}/plan", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, PAGE)


def test_programs_begin_ask_after_and_end_a_study(opened):
    client = opened(workers.slow)
    query = {"catalogue": workers.CATALOGUE} | QUICK
    begun = client.get(API, params=query)
    assert begun.status_code == 202
    key = begun.json()["id"]
    assert begun.headers["location"] == f"/api/jobs/{key}"
    assert client.get(API, params=query).json()["id"] == key
    assert client.get(f"/api/jobs/{key}").json()["state"] in ("waiting", "running")
    assert client.get(f"/api/jobs/{key}/setups").status_code == 409
    assert client.delete(f"/api/jobs/{key}").json()["state"] == "cancelled"
    assert client.get(API, params=query).status_code == 409
    assert client.get(API, params=query | {"again": True}).status_code == 202


@pytest.mark.parametrize("method", ["GET", "DELETE"])
def test_there_is_no_other_job(opened, method):
    assert opened(workers.slow).request(method, "/api/jobs/..%2F..%2Fhand").status_code == 404
    assert opened(workers.slow).request(method, "/api/jobs/none").json() == {
        "error": "there is no such study in this folder"
    }


def test_a_study_needs_a_catalogue(opened):
    answer = opened(workers.slow).get(API)
    assert answer.status_code == 422
    assert "name a catalogue file" in answer.json()["error"]
