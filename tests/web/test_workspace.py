"""The user's folder: names that lead elsewhere, saves that clash or are cut off, undo and redo, nothing ever lost."""

from __future__ import annotations

import errno
import io
import os
import random
import signal
import subprocess
import sys
import time
import zipfile
from pathlib import Path

import pytest

from clutchwright import usecases
from clutchwright.errors import InputError
from clutchwright.workspace import MOST_FILES, OWN, ConflictError, File, MissingError, Workspace
from tests.web.workbench import client, filled

NAME = "bike.toml"
ELSEWHERE = {
    "parent": "../bike.toml",
    "parent within": "a/../../bike.toml",
    "absolute": "/etc/bike.toml",
    "folder": "a/bike.toml",
    "backslash": "..\\bike.toml",
    "drive": "C:bike.toml",
    "stream": "bike.toml:x.toml",
    "NUL": "bike.toml\0.toml",
    "line end": "bike.toml\n",
    "leading dot": ".bike.toml",
    "our own folder": f"{OWN}/versions/x.toml",
    "dots alone": "..toml",
    "leading space": " bike.toml",
    "dash, as an option": "-bike.toml",
    "very long": "x" * 300 + ".toml",
    "long once encoded": "\N{CJK UNIFIED IDEOGRAPH-4E00}" * 90 + ".toml",
    "device": "/dev/zero",
    "device of Windows": "CON.toml",
    "port of Windows": "com1 .x.csv",
    "fraction slash": "..\N{FRACTION SLASH}bike.toml",
    "full-width solidus": "a\N{FULLWIDTH SOLIDUS}bike.toml",
    "one dot leader": "bike\N{ONE DOT LEADER}toml",
    "letter that looks like o": "bike.t\N{CYRILLIC SMALL LETTER O}ml",
    "right-to-left override": "bike\N{RIGHT-TO-LEFT OVERRIDE}lmot.toml",
    "zero width": "bi\N{ZERO WIDTH SPACE}ke.toml",
    "half a character": "bike\udc80.toml",
    "empty": "",
    "ending alone": ".toml",
    "other ending": "bike.html",
    "percent": "%2e%2e%2fbike.toml",
}


@pytest.fixture
def folder(tmp_path):
    return Workspace(tmp_path)


def put(folder: Workspace, *texts: str) -> None:
    """Save one text after the other, each made from the one before."""
    for text in texts:
        path = folder.folder / NAME
        folder.save(File(NAME, text.encode()), based_on=folder.read(NAME).version if path.exists() else None)


def back(folder: Workspace) -> str:
    folder.undo(NAME)
    return folder.read(NAME).text


def on(folder: Workspace) -> str:
    folder.redo(NAME)
    return folder.read(NAME).text


def kept(folder: Workspace) -> set[str]:
    """Every content that is kept."""
    return {path.read_text() for path in (folder.folder / OWN / "versions" / NAME).glob("0*")}


@pytest.mark.parametrize("name", ELSEWHERE.values(), ids=ELSEWHERE)
def test_names_that_lead_elsewhere_are_refused_and_touch_nothing(tmp_path, name):
    inside = tmp_path / "inside"
    inside.mkdir()
    (tmp_path / NAME).write_text("outside")
    folder = Workspace(inside)
    for ask in (folder.read, folder.undo, folder.redo, folder.steps, folder.before):
        with pytest.raises(InputError, match="must be a plain name") as told:
            ask(name)
        assert len(str(told.value).splitlines()) == 1
    with pytest.raises(InputError, match="must be a plain name"):
        folder.save(File(name, b"new"), based_on=None)
    assert list(inside.iterdir()) == []
    assert (tmp_path / NAME).read_text() == "outside"


@pytest.mark.parametrize(
    "name", ["bike.toml", "Tante Käthes Rad 2.toml", "a+b_c-d.1.csv", "バイク.toml", "con-rod.toml"]
)
def test_names_that_people_give_are_taken(folder, name):
    folder.save(File(name, b"x"), based_on=None)
    assert folder.read(name).content == b"x"


@pytest.mark.parametrize("to", ["../secret.toml", "/dev/zero", "deep/secret.toml", "round.toml"])
def test_a_link_out_of_the_folder_is_neither_read_nor_written_nor_listed_with_what_it_holds(tmp_path, to):
    inside = tmp_path / "inside"
    (inside / "deep").mkdir(parents=True)
    for secret in (tmp_path / "secret.toml", inside / "deep" / "secret.toml"):
        secret.write_text(usecases.demo_text(usecases.DEMOS[0]))
    (inside / "round.toml").symlink_to(to)
    folder = Workspace(inside)
    for attempt in (
        lambda: folder.read("round.toml"),
        lambda: folder.save(File("round.toml", b"x"), based_on=None),
        lambda: folder.save(File("round.toml", b"x"), based_on="0" * 64),
    ):
        with pytest.raises(InputError, match="is a link that leads out of the folder"):
            attempt()
    assert [entry.title for entry in folder.entries()] in ([], [""])
    assert zipfile.ZipFile(io.BytesIO(folder.exported())).namelist() == []


def test_a_link_within_the_folder_is_a_file_like_others(folder):
    put(folder, "old")
    (folder.folder / "link.toml").symlink_to(NAME)
    folder.save(File("link.toml", b"new"), based_on=folder.read("link.toml").version)
    assert folder.read(NAME).text == "new"
    assert (folder.folder / "link.toml").is_symlink()


def test_what_is_no_file_is_refused(folder):
    (folder.folder / NAME).mkdir()
    os.mkfifo(folder.folder / "pipe.toml")
    for name in (NAME, "pipe.toml"):
        with pytest.raises(InputError, match=r"is a folder|is no regular file"):
            folder.read(name)
    assert folder.entries() == ()


def test_a_file_that_is_not_there_is_missing(folder):
    for ask in (folder.read, folder.undo, folder.redo, folder.steps):
        with pytest.raises(MissingError, match="is not in this folder"):
            ask(NAME)


def test_a_save_from_an_older_version_writes_nothing(folder):
    put(folder, "one")
    opened = folder.read(NAME).version
    put(folder, "two")
    with pytest.raises(ConflictError, match="changed elsewhere since you opened it"):
        folder.save(File(NAME, b"mine"), based_on=opened)
    with pytest.raises(InputError, match="exists already"):
        folder.save(File(NAME, b"mine"), based_on=None)
    assert folder.read(NAME).text == "two"
    assert kept(folder) == {"one", "two"}


def test_undo_and_redo_go_along_the_line_of_edits(folder):
    put(folder, "one", "two", "three")
    assert (back(folder), back(folder)) == ("two", "one")
    assert folder.steps(NAME) == (False, True)
    with pytest.raises(InputError, match="no earlier version"):
        folder.undo(NAME)
    assert (on(folder), on(folder)) == ("two", "three")
    with pytest.raises(InputError, match="no later version"):
        folder.redo(NAME)
    assert folder.steps(NAME) == (True, False)


def test_an_edit_after_undo_loses_nothing(folder):
    put(folder, "one", "two")
    back(folder)
    put(folder, "other", "other still")
    assert (back(folder), back(folder)) == ("other", "one")
    assert on(folder) == "other", "the newest that was made from it"
    assert kept(folder) == {"one", "two", "other", "other still"}


def test_the_same_text_again_is_another_step(folder):
    put(folder, "one", "two", "one", "three")
    assert (back(folder), back(folder), back(folder)) == ("one", "two", "one")
    with pytest.raises(InputError, match="no earlier version"):
        folder.undo(NAME)


def test_saving_what_is_there_is_no_step(folder):
    put(folder, "one", "one")
    assert folder.steps(NAME) == (False, False)


def test_what_another_program_wrote_in_between_is_kept_and_undone(folder):
    put(folder, "one", "two")
    (folder.folder / NAME).write_text("from an editor")
    assert folder.steps(NAME) == (True, False)
    assert folder.before(NAME) == File(NAME, b"two")
    assert back(folder) == "two"
    assert on(folder) == "from an editor"
    with pytest.raises(ConflictError):
        folder.save(File(NAME, b"late"), based_on=File(NAME, b"two").version)


def test_what_another_program_wrote_after_an_undo_goes_back_to_what_it_was_made_from(folder):
    put(folder, "one", "two")
    back(folder)
    (folder.folder / NAME).write_text("one, from an editor")
    assert folder.before(NAME) == File(NAME, b"one")
    assert back(folder) == "one"
    assert kept(folder) == {"one", "two", "one, from an editor"}


def test_a_file_that_was_there_before_us_can_be_undone_to(folder):
    (folder.folder / NAME).write_text("long ago")
    assert folder.steps(NAME) == (False, False)
    put(folder, "new")
    assert back(folder) == "long ago"


def test_a_damaged_mark_is_no_obstacle(folder):
    put(folder, "one", "two")
    (folder.folder / OWN / "versions" / NAME / "at").write_bytes(b"\xff\0../../x")
    assert back(folder) == "one"


def full(*_: object) -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def test_on_a_full_disk_all_stays_as_it_was(folder, monkeypatch):
    put(folder, "one")
    monkeypatch.setattr(os, "fsync", full)
    for attempt in (
        lambda: folder.save(File(NAME, b"two"), based_on=File(NAME, b"one").version),
        lambda: folder.save(File("other.toml", b"two"), based_on=None),
    ):
        with pytest.raises(InputError, match="No space left on device"):
            attempt()
    monkeypatch.undo()
    assert [each.name for each in sorted(folder.folder.iterdir())] == [OWN, NAME]
    assert (folder.read(NAME).text, kept(folder), folder.steps(NAME)) == ("one", {"one"}, (False, False))


def test_a_disk_that_fills_while_a_file_is_written(folder, monkeypatch):
    resource = pytest.importorskip("resource", reason="no limits of this kind here")
    put(folder, "one")
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (4096, limits[1]))
    try:
        with pytest.raises(InputError, match="cannot be written: File too large"):
            folder.save(File(NAME, b"x" * 100_000), based_on=File(NAME, b"one").version)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
    assert folder.read(NAME).text == "one"
    assert kept(folder) == {"one"}


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may write everywhere")
def test_a_folder_that_may_only_be_read_shows_its_files_and_says_why_it_cannot_save(folder):
    (folder.folder / NAME).write_text("old")
    folder.folder.chmod(0o500)
    with pytest.raises(InputError, match=r"Permission denied|may not be written here"):
        folder.save(File(NAME, b"new"), based_on=File(NAME, b"old").version)
    with pytest.raises(InputError, match=r"Permission denied|may not be written here"):
        folder.save(File("new.toml", b"new"), based_on=None)
    assert [entry.name for entry in folder.entries()] == [NAME]
    assert folder.read(NAME).text == "old"


def test_where_nothing_can_be_kept_nothing_is_saved(folder):
    (folder.folder / NAME).write_text("old")
    (folder.folder / OWN).write_text("in the way")
    with pytest.raises(InputError, match="cannot be made"):
        folder.save(File(NAME, b"new"), based_on=File(NAME, b"old").version)
    with pytest.raises(InputError, match="cannot be made"):
        folder.save(File("new.toml", b"new"), based_on=None)
    assert folder.read(NAME).text == "old"
    assert not (folder.folder / "new.toml").exists()


def test_a_thousand_files_are_listed_and_more_are_refused(folder):
    text = usecases.demo_text(usecases.DEMOS[0])
    for number in range(MOST_FILES):
        (folder.folder / f"{number:04d}.toml").write_text(f"{text}\n# {number}" if number < 20 else "x = 1")
    entries = folder.entries()
    assert [entry.name for entry in entries] == [f"{number:04d}.toml" for number in range(MOST_FILES)]
    assert sum(entry.kind == "bike" and not entry.error for entry in entries) == 20
    begun = time.perf_counter()
    assert folder.entries() == entries
    assert time.perf_counter() - begun < 2.0, "what has not changed is not read through again"
    (folder.folder / "one-more.csv").write_text("")
    with pytest.raises(InputError, match=f"holds more than {MOST_FILES} files"):
        folder.entries()


def test_a_changed_file_is_listed_as_it_is_now(folder):
    put(folder, "x = 1")
    assert folder.entries()[0].error
    (folder.folder / NAME).write_text(usecases.demo_text(usecases.DEMOS[0]))
    assert (folder.entries()[0].kind, folder.entries()[0].error) == ("bike", "")


def test_the_archive_holds_every_file_as_it_is(folder):
    put(folder, "one", "two")
    folder.save(File("readings.csv", b"\xff\0"), based_on=None)
    archive = zipfile.ZipFile(io.BytesIO(folder.exported()))
    assert {name: archive.read(name) for name in archive.namelist()} == {NAME: b"two", "readings.csv": b"\xff\0"}


def test_a_removed_file_can_be_brought_back_with_all_its_versions(folder):
    put(folder, "one", "two")
    (folder.folder / "plain.csv").write_text("never saved here")
    for name in (NAME, "plain.csv"):
        folder.remove(name)
    assert folder.entries() == ()
    assert folder.removed() == (NAME, "plain.csv")
    folder.bring_back(NAME)
    folder.bring_back("plain.csv")
    assert folder.removed() == ()
    assert folder.read("plain.csv").text == "never saved here"
    assert (folder.read(NAME).text, back(folder), on(folder)) == ("two", "one", "two")
    with pytest.raises(InputError, match="exists already"):
        folder.bring_back(NAME)
    with pytest.raises(MissingError, match="was never in this folder"):
        folder.bring_back("nothing.toml")


def test_a_removed_file_whose_name_is_used_again_is_an_earlier_version_of_it(folder):
    put(folder, "one")
    folder.remove(NAME)
    put(folder, "anew")
    assert (folder.removed(), back(folder)) == ((), "one")


def test_a_renamed_file_keeps_its_versions_and_takes_no_other_files_place(folder):
    put(folder, "one", "two")
    folder.save(File("taken.toml", b"x"), based_on=None)
    for name, why in (("taken.toml", "exists already"), ("bike.csv", "must end in .toml"), ("../x.toml", "plain name")):
        with pytest.raises(InputError, match=why):
            folder.rename(NAME, name)
    folder.rename(NAME, "mine.toml")
    assert [entry.name for entry in folder.entries()] == ["mine.toml", "taken.toml"]
    folder.undo("mine.toml")
    assert folder.read("mine.toml").text == "one"
    assert folder.removed() == ()


def test_the_pages_remove_bring_back_and_rename(tmp_path):
    web = client(filled(tmp_path))
    name = "hand-small-hand.toml"
    assert web.post(f"/files/{name}/remove").headers["location"] == "/"
    assert not (tmp_path / name).exists()
    assert f'action="/files/{name}/back"' in web.get("/").text
    assert web.post(f"/files/{name}/back").headers["location"] == f"/files/{name}?done=back"
    assert (tmp_path / name).read_text() == usecases.demo_hand_text("small-hand")
    assert web.post(f"/files/{name}/rename", data={"to": "me"}).headers["location"] == "/files/me.toml?done=renamed"
    refused = web.post("/files/me.toml/rename", data={"to": "catalogue.toml"})
    assert (refused.status_code, "exists already" in refused.text) == (422, True)


def test_no_hand_is_chosen_before_one_is_asked_for(tmp_path):
    page = client(filled(tmp_path)).get(f"/bikes/{usecases.DEMOS[0]}.toml/hand").text
    chosen = [option for option in page.split("<option")[1:] if " selected" in option.split(">")[0]]
    assert [option.split("<")[0] for option in chosen][:1] == [' value="" selected>choose']


def test_a_draft_is_thrown_away_from_the_list(tmp_path):
    web = client(tmp_path)
    address = web.post("/measure/bike").headers["location"]
    assert f'action="{address}/drop"' in web.get("/").text
    web.post(f"{address}/drop")
    assert address not in web.get("/").text


def body(number: int) -> bytes:
    """A content that shows whether it is whole."""
    return f"n = {number}\n".encode() * 400


# Asked for a process by a line, it starts one that saves without end, and says its number.
STARTER = """
import os, sys
from pathlib import Path
from clutchwright.workspace import File, Workspace
folder = Workspace(Path(sys.argv[1]))
for line in sys.stdin:
    process = os.fork()
    if process == 0:
        now = folder.read("bike.toml")
        while True:
            number = int(now.content.split()[2]) + 1
            new = File("bike.toml", f"n = {number}\\n".encode() * 400)
            folder.save(new, based_on=now.version)
            now = new
    print(process, flush=True)
    os.waitpid(process, 0)
    print("ended", flush=True)
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are started otherwise here")
def test_a_kill_at_any_moment_leaves_the_old_or_the_new_file_and_all_that_was_kept(folder):
    kills = int(os.environ.get("CLUTCHWRIGHT_KILLS", "20"))
    chance = random.Random(1)  # noqa: S311  # moments of a test
    folder.save(File(NAME, body(0)), based_on=None)
    command = [sys.executable, "-c", STARTER, str(folder.folder)]
    versions = folder.folder / OWN / "versions" / NAME
    number, seen = 0, set()
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as starter:
        for _ in range(kills):
            starter.stdin.write("go\n")
            starter.stdin.flush()
            process = int(starter.stdout.readline())
            time.sleep(chance.uniform(0.0, 0.06))
            os.kill(process, signal.SIGKILL)
            assert starter.stdout.readline() == "ended\n"
            before, number = number, checked_number(folder.read(NAME).content)
            assert number >= before
            new = {path.name for path in versions.glob("0*")} - seen
            assert all(checked_number((versions / name).read_bytes()) in range(before, number + 2) for name in new)
            seen |= new
            assert folder.steps(NAME)[0] is (number > 0)
            if number > 0:
                assert checked_number(folder.before(NAME).content) == number - 1
        starter.stdin.close()
    assert {checked_number((versions / name).read_bytes()) for name in seen} >= set(range(number + 1))
    for expected in range(number - 1, max(number - 6, 0), -1):
        assert checked_number(back(folder).encode()) == expected
    cut_off = [*folder.folder.glob(".clutchwright-*"), *versions.glob(".clutchwright-*")]
    print(f"{kills} kills, {number} saves, {len(cut_off)} parts of files left")
    swept_an_hour_later(folder.folder, cut_off)


def swept_an_hour_later(folder: Path, cut_off: list[Path]) -> None:
    young = folder / ".clutchwright-young"
    young.write_text("being written")
    for path in cut_off:
        os.utime(path, (0.0, 0.0))
    Workspace(folder)
    assert [path for path in (*cut_off, young) if path.exists()] == [young]


def checked_number(content: bytes) -> int:
    number = int(content.split(maxsplit=3)[2])
    assert content == body(number)
    return number


def test_to_look_at_a_folder_writes_nothing_into_it(tmp_path):
    web = client(filled(tmp_path))
    before = sorted(tmp_path.rglob("*"))
    for page in ("/", "/bikes/six-spring-rack.toml/compromise?catalogue=catalogue.toml", "/files/six-spring-rack.toml"):
        assert web.get(page).status_code == 200
    assert sorted(tmp_path.rglob("*")) == before
