"""Many bikes: what counts as done, what is done again, and what stops nothing."""

import json
import sys
from concurrent.futures import Future, ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import fields, replace

import pytest

from clutchwright import manybikes, usecases
from clutchwright.errors import ClutchwrightError, InputError
from clutchwright.manybikes import ENDING, Request, bike_files, passed_over, read_request, study_bikes, study_text
from clutchwright.report.study import study_to_json
from clutchwright.study.catalogue import Wished
from clutchwright.study.limits import Budget, Limits

CATALOGUE = """schema = 1
name = "Small shop (invented)"

[[option]]
name = "Oil the cable"
change = "cable-service"
price = 4
hours = 0.7

[[option]]
name = "Softer springs"
change = "springs-softer"
rate_share = { values = [0.8, 0.9] }
price = 48
hours = 1

[[option]]
name = "Grippier plates"
change = "plates"
friction_share = 1.25
price = 140
hours = 2
"""
REQUEST = Request(CATALOGUE, (), Limits(0.2, 0.2), None, None, samples=64, seed=1)
OTHER = {
    "catalogue": CATALOGUE.replace("48", "49"),
    "prices": ("Oil the cable=5",),
    "budget": Budget(money=50.0),
    "limits": Limits(slips=0.02),
    "target_N": 80.0,
    "hand": "a hand",
    "samples": 65,
    "seed": 2,
    "version": "0.0.0",
    "without": ("Oil the cable",),
}


@pytest.fixture
def club(tmp_path, monkeypatch):
    """A folder of three bikes, studied on a thread of this process."""

    @contextmanager
    def one_thread(_scheduler):
        with ThreadPoolExecutor(1) as pool:
            yield pool

    monkeypatch.setattr(manybikes, "_workers", one_thread)
    folder = tmp_path / "club"
    folder.mkdir()
    for place in range(3):
        text = usecases.demo_text("six-spring-rack").replace("value = 82,", f"value = {82 + place},")
        (folder / f"bike-{place}.toml").write_text(text, encoding="utf-8")
    return folder


def states(folder, out, request=REQUEST):
    found = study_bikes(bike_files(folder), request, out)
    return {one.name.removesuffix(".toml"): one.state for one in found}


ALL_STUDIED = dict.fromkeys(("bike-0", "bike-1", "bike-2"), "studied")
ALL_KEPT = dict.fromkeys(ALL_STUDIED, "kept")


def test_a_result_holds_what_the_study_of_one_bike_finds(club, tmp_path):
    assert states(club, tmp_path / "new" / "out") == ALL_STUDIED
    found = json.loads((tmp_path / "new" / "out" / f"bike-1{ENDING}").read_text("utf-8"))
    bike = usecases.read_bike(club / "bike-1.toml")
    alone = study_to_json(
        *usecases.study_bike(bike, REQUEST.parsed_catalogue(), limits=Limits(0.2, 0.2), samples=64)[:2]
    )
    assert found == {"fingerprint": found["fingerprint"], "bike_file": "bike-1.toml", **json.loads(json.dumps(alone))}


def test_what_is_there_is_kept_untouched(club, tmp_path):
    states(club, tmp_path)
    before = {path: (path.stat().st_mtime_ns, path.read_bytes()) for path in tmp_path.glob(f"*{ENDING}")}
    assert states(club, tmp_path) == ALL_KEPT
    assert before == {path: (path.stat().st_mtime_ns, path.read_bytes()) for path in tmp_path.glob(f"*{ENDING}")}


@pytest.mark.parametrize(
    "spoil",
    [
        lambda path: path.write_bytes(path.read_bytes()[:-5]),
        lambda path: path.write_bytes(b""),
        lambda path: path.write_text("[1]", encoding="utf-8"),
        lambda path: path.write_text(path.read_text("utf-8").replace('"fingerprint": "', '"fingerprint": "0'), "utf-8"),
        lambda path: path.unlink(),
    ],
    ids=["cut", "empty", "other", "fingerprint", "gone"],
)
def test_a_result_that_is_not_whole_or_of_another_is_made_again(club, tmp_path, spoil):
    states(club, tmp_path)
    whole = (tmp_path / f"bike-1{ENDING}").read_bytes()
    spoil(tmp_path / f"bike-1{ENDING}")
    assert states(club, tmp_path) == ALL_KEPT | {"bike-1": "studied"}
    assert (tmp_path / f"bike-1{ENDING}").read_bytes() == whole


def test_a_changed_bike_or_another_question_is_studied_again(club, tmp_path):
    states(club, tmp_path)
    path = club / "bike-2.toml"
    path.write_text(path.read_text("utf-8").replace("value = 27.0", "value = 27.5"), encoding="utf-8")
    assert states(club, tmp_path) == ALL_KEPT | {"bike-2": "studied"}
    assert states(club, tmp_path, replace(REQUEST, seed=2)) == ALL_STUDIED


@pytest.mark.parametrize("field", [field.name for field in fields(Request)])
def test_the_fingerprint_knows_every_part_of_the_question(field):
    prints = {REQUEST.fingerprint("bike"), REQUEST.fingerprint("other bike")}
    assert len(prints | {replace(REQUEST, **{field: OTHER[field]}).fingerprint("bike")}) == 3


def test_a_bike_that_cannot_be_used_stops_no_other(club, tmp_path):
    (club / "broken.toml").write_text("oops", encoding="utf-8")
    (club / "binary.toml").write_bytes(b"\xff")
    finished = {one.name: one for one in study_bikes(bike_files(club), REQUEST, tmp_path)}
    assert {one.state for one in finished.values()} == {"studied", "unusable"}
    assert "not TOML" in finished["broken.toml"].error
    assert "not UTF-8" in finished["binary.toml"].error
    assert sorted(path.name for path in tmp_path.glob("*.json")) == [f"bike-{place}{ENDING}" for place in range(3)]


def test_errors_name_the_file_without_its_folder(club, tmp_path):
    (club / "broken.toml").write_text("oops", encoding="utf-8")
    (club / "binary.toml").write_bytes(b"\xff")
    (club / "wrong.toml").write_text("schema = 1", encoding="utf-8")
    for one in study_bikes(bike_files(club), REQUEST, tmp_path):
        assert one.error.startswith(f"{one.name}: ") is (one.state == "unusable")


def test_each_bike_has_its_line_studied_or_kept(club, tmp_path):
    first, again = ({one.name: one.line for one in study_bikes(bike_files(club), REQUEST, tmp_path)} for _ in "12")
    assert first == again
    data = json.loads((tmp_path / f"bike-2{ENDING}").read_text("utf-8"))
    setup = data["front"][data["chosen"]]
    assert first["bike-2.toml"].replace("\N{NO-BREAK SPACE}", " ") == (
        f"{setup['pull_peak_N']:.0f} N for {setup['price']:g} of money and {setup['hours']:g} h "
        f"({', '.join(setup['options'])}); "
        f"today {data['today']['pull_peak_N']:.0f} N"
    )


def test_what_is_no_bike_file_is_named(club):
    (club / "old.toml").mkdir()
    (club / "gone.toml").symlink_to("nowhere.toml")
    (club / "notes.txt").write_text("", encoding="utf-8")
    (club / ".hidden").write_text("", encoding="utf-8")
    assert [path.name for path in bike_files(club)] == ["bike-0.toml", "bike-1.toml", "bike-2.toml"]
    assert passed_over(club) == {"gone.toml": "a link to nothing", "notes.txt": "not *.toml", "old.toml": "a folder"}


def test_a_bike_that_breaks_the_program_stops_no_other(club, tmp_path, monkeypatch):
    real = usecases.study_bike

    def breaks(bike, *arguments, **named):
        if bike.quantities["lever.finger_radius_mm"].value == 83.0:
            raise ZeroDivisionError
        return real(bike, *arguments, **named)

    monkeypatch.setattr(usecases, "study_bike", breaks)
    assert states(club, tmp_path) == ALL_STUDIED | {"bike-1": "unusable"}


def test_a_worker_of_another_version_says_so():
    found, error = study_text(replace(REQUEST, version="9.9"), "a.toml", "")
    assert found == ""
    assert "asked by clutchwright 9.9, but the worker has" in error


def lost(exception=None):
    future = Future()
    if exception is None:
        future.cancel()
    else:
        future.set_exception(exception)
    return future


@pytest.mark.parametrize(
    ("future", "message"),
    [(lost(BrokenProcessPool("x")), "a worker process .* was lost"), (lost(), "connection to the scheduler was lost")],
    ids=["worker", "scheduler"],
)
def test_lost_workers_end_the_run_and_say_how_to_go_on(future, message):
    with pytest.raises(ClutchwrightError, match=f"{message}.*run the same command again"):
        manybikes._outcome("a.toml", future)


def test_a_cluster_without_its_package_is_one_line(monkeypatch, tmp_path):
    monkeypatch.setitem(sys.modules, "distributed", None)
    (tmp_path / "a.toml").write_text("", encoding="utf-8")
    with pytest.raises(InputError) as caught:
        list(study_bikes(bike_files(tmp_path), REQUEST, tmp_path, scheduler="tcp://127.0.0.1:8786"))
    assert "needs the package distributed; install it: pip install 'clutchwright[cluster]'" in str(caught.value)


@pytest.mark.parametrize(
    ("catalogue", "prices", "hand", "message"),
    [
        ("oops", (), None, "shop.toml: file: not TOML"),
        (CATALOGUE, ("Gold=1",), None, "price = 'Gold'"),
        (CATALOGUE, (), "oops", "me.toml: file: not TOML"),
    ],
)
def test_a_question_that_cannot_be_asked_is_told_first(tmp_path, catalogue, prices, hand, message):
    (tmp_path / "shop.toml").write_text(catalogue, encoding="utf-8")
    (tmp_path / "me.toml").write_text(hand or "", encoding="utf-8")
    who = tmp_path / "me.toml" if hand else None
    with pytest.raises(InputError) as caught:
        read_request(
            tmp_path / "shop.toml",
            Wished(prices),
            who,
            limits=Limits(),
            budget=Budget(),
            target_N=None,
            samples=1000,
            seed=1,
        )
    assert message in str(caught.value)


@pytest.mark.parametrize(
    ("asked", "message"),
    [({"samples": 999}, "--samples = 999"), ({"target_N": float("nan")}, "--target = nan")],
)
def test_a_question_without_an_answer_is_told_first(tmp_path, asked, message):
    with pytest.raises(InputError, match=message):
        read_request(
            tmp_path / "no.toml",
            Wished(),
            None,
            **{"limits": Limits(), "budget": Budget(), "target_N": None, "samples": 1000, "seed": 1, **asked},
        )


def test_a_folder_without_bikes_is_told(tmp_path):
    with pytest.raises(InputError, match="no bike files"):
        bike_files(tmp_path)
    with pytest.raises(InputError, match="is no folder"):
        bike_files(tmp_path / "gone")


def test_a_folder_for_results_that_cannot_be_made_is_told(club, tmp_path):
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(InputError, match="--out: cannot be made"):
        states(club, tmp_path / "file" / "out")


def test_hands_and_catalogues_are_no_bikes(tmp_path):
    (tmp_path / "a.toml").write_text(usecases.demo_text(usecases.DEMOS[0]), "utf-8")
    (tmp_path / "me.toml").write_text(usecases.demo_hand_text(usecases.DEMO_HANDS[0]), "utf-8")
    (tmp_path / "shop.toml").write_text(CATALOGUE, "utf-8")
    assert [path.name for path in bike_files(tmp_path)] == ["a.toml"]
    assert passed_over(tmp_path) == {"me.toml": "a hand file", "shop.toml": "a catalogue"}
    with pytest.raises(InputError, match="this is a hand file, not a bike file"):
        usecases.read_bike(tmp_path / "me.toml")
