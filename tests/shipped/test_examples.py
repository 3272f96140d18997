"""Every example of the pages is run: each command shows what it says it shows, each file can be read.

In a block of ```console lines that begin with `$ ` are commands, the rest is what they print, with `...` for what is
left out. Blocks of a page run in their order in one folder; the pages of the tutorial share theirs. A block of ```toml
or ```csv that begins with `# file: NAME` is such a file, and goes into the folder.
"""

from __future__ import annotations

import doctest
import io
import os
import re
import shlex
import shutil
import sys
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from sybil import Example, Sybil
from sybil.parsers.markdown import CodeBlockParser, PythonCodeBlockParser, SkipParser
from typer.main import get_command

from clutchwright import cli, usecases, usecases_bench
from clutchwright.web.app import create_app
from clutchwright.workspace import Workspace
from docs import tutorial_readings
from tests.bench_simulation import Tools
from tests.web.workbench import served

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
TUTORIAL = [
    DOCS / "tutorial" / f"{name}.md" for name in ("index", "measuring", "bench", "choosing", "doing", "keeping")
]
# Their blocks of ```console are written from the program's own help, and held against it by a test of their own.
GENERATED = {DOCS / "reference" / "commands.md"}
PAGES = [
    path
    for path in sorted([ROOT / "README.md", *DOCS.rglob("*.md")])
    if path not in (*TUTORIAL, *GENERATED)
    and re.search(r"^```(console|csv|python|toml)$", path.read_text("utf-8"), re.M)
]

FLAGS = doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE
HOME = "/home/rider/garage"  # what the pages call the folder
WORKBENCH = "http://localhost:8471/"  # and the workbench, which a test has at a port of its own
# Not run, but held against the command's own options: it serves until it is stopped, asks questions, wants a cluster.
PARSED_ONLY = re.compile(r"clutchwright (open|new)\b(?!.* --catalogue-for )|.* --scheduler ")
FILLED_IN = "exists already and is left alone"  # of an empty file that a page writes and takes as filled in after
# Not run at all: what they do to this machine is no business of a test.
OUTSIDE = ("python3 tasks.py", "pip install", "mkdir", "cd", "cp", "git", "curl")
WRITING = {"--save", "--save-catalogue", "demo", "new"}  # writes what another command reads
# What comes from a fit's random chains hangs in its last digits on how the processor rounds.
SAMPLED = re.compile(r"clutchwright (compare|diagnose|fit) |\b(fitted|now)\.toml")
NUMBER = re.compile(r"(\d+(?:\.\d+)?)")
FILE = re.compile(r"# file: ([\w./-]+)\n")


def run(arguments: list[str]) -> tuple[int, str]:
    """Exit status and output of the program; the same question about the same files is asked only once."""
    if WRITING & set(arguments):
        return called.__wrapped__(tuple(arguments), ())
    files = (Path(word) for word in arguments if Path(word).is_file())
    return called(tuple(arguments), tuple(file.read_bytes() for file in files))


@cache
def called(arguments: tuple[str, ...], _files: tuple[bytes, ...]) -> tuple[int, str]:
    """Exit status and output of the program, called within this process; the folder by its name on the pages."""
    shown = io.StringIO()
    old, sys.argv = sys.argv, ["clutchwright", *arguments]
    try:
        with redirect_stdout(shown), redirect_stderr(shown), pytest.raises(SystemExit) as end:
            cli.main()
    finally:
        sys.argv = old
    return int(end.value.code or 0), shown.getvalue().replace(str(Path.cwd()), HOME)


def check_words(arguments: list[str]) -> None:
    """Parse the words of a command without running it; raises where an option or argument is not known."""
    group = get_command(cli.app)
    name, command, rest = group.resolve_command(group.make_context("clutchwright", ["changes"]), arguments)
    command.make_context(name, rest)


def commands(text: str) -> Iterator[tuple[str, str]]:
    """Commands of a block, each with what it is said to print."""
    for part in re.split(r"^\$ ", text, flags=re.M)[1:]:
        line, _, wanted = part.partition("\n")
        while line.endswith("\\"):
            more, _, wanted = wanted.partition("\n")
            line = f"{line[:-1]} {more.strip()}"
        yield line.partition(" # ")[0].strip(), wanted


def status_of(line: str) -> tuple[int, str]:
    """Exit status and output of one line."""
    program, *words = shlex.split(line)
    if program != "clutchwright":
        message = f"{line!r} cannot be tried here; use clutchwright, or a block of ```text"
        raise ValueError(message)
    if PARSED_ONLY.match(line):
        check_words(words)
        return 0, ""
    return run(words)


def near(wanted: str, shown: str) -> bool:
    """Whether an output differs in last digits alone: by 1 in the last one, or by a hundredth."""
    parts = (NUMBER.split(part) for part in " ".join(wanted.split()).split("..."))
    pattern = ".*".join(NUMBER.pattern.join(re.escape(text) for text in part[::2]) for part in parts)
    found = re.fullmatch(pattern, " ".join(shown.split()))
    pairs = zip(NUMBER.findall(wanted.replace("...", " ")), found.groups() if found else (), strict=False)
    return bool(found) and all(
        abs(float(one) - float(other)) <= 1.01 * max(10.0 ** -len(one.partition(".")[2]), 0.01 * float(one))
        for one, other in pairs
    )


def console(example: Example) -> str | None:
    """Run the commands of a block; what is wrong with the first that prints something else."""
    checker = doctest.OutputChecker()
    lines = list(commands(example.parsed))
    for number, (line, wanted) in enumerate(lines):
        if line.startswith(OUTSIDE):
            continue
        if line == "echo $?":
            status, shown = 0, f"{example.namespace['status']}\n"
        else:
            status, shown = status_of(line)
        if FILLED_IN in shown and not wanted.strip():
            status = 0
        example.namespace["status"] = status
        asked = number + 1 < len(lines) and lines[number + 1][0] == "echo $?"
        if status and not asked:
            return f"$ {line}\nexit status {status}:\n{shown}"
        fine = checker.check_output(wanted, shown, FLAGS) or (SAMPLED.search(line) and near(wanted, shown))
        if wanted.strip() and not fine:
            return f"$ {line}\nshould print:\n{wanted}\nprints:\n{shown}"
    return None


def keep(example: Example) -> None:
    """Put a file of the page into the folder; one of TOML must be TOML."""
    named = FILE.match(example.parsed)
    if example.region.lexemes["arguments"] == "toml":
        tomllib.loads(example.parsed)
    if named:
        (example.namespace["folder"] / named[1]).write_text(example.parsed, "utf-8")


EXAMPLES = Sybil(
    parsers=[
        CodeBlockParser("console", console),
        CodeBlockParser("toml", keep),
        CodeBlockParser("csv", keep),
        PythonCodeBlockParser(doctest_optionflags=FLAGS),
        SkipParser(),
    ]
)


@contextmanager
def at_home(folder: Path) -> Iterator[None]:
    """In a folder, as a shell is."""
    old = Path.cwd()
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(old)


def demo_files(folder: Path, text: str) -> None:
    """Put the invented files that a page uses into a folder, but for those that its own commands write."""
    (folder / "club").mkdir()
    for name in ("mine", "fitted", "club/anna", "club/ben"):
        (folder / f"{name}.toml").write_text(usecases.demo_text(usecases.DEMOS[0]), "utf-8")
    (folder / "me.toml").write_text(usecases.demo_hand_text("small-hand"), "utf-8")
    (folder / "shop.toml").write_text(usecases.demo_catalogue_text(), "utf-8")
    (folder / "plan.toml").write_text('[[change]]\nkind = "cable-service"\n', "utf-8")
    (folder / "readings.csv").write_bytes(usecases_bench.demo_readings())
    tools = Tools(np.random.default_rng(1))
    after = tutorial_readings.written(usecases.read_demo(), {}, tools, "its cable oiled", changes=["cable-service"])
    (folder / "after.csv").write_text(after, "utf-8")
    for written in re.findall(r"^\$ .*--save ([\w.]+)", text, re.M):
        (folder / written).unlink(missing_ok=True)


def try_page(page: Path, folder: Path) -> None:
    """Run the examples of a page in their order; fails at the first that is not so."""
    with at_home(folder), served(create_app(Workspace(folder))) as port:
        copy = folder / "this-page.md"
        copy.write_text(page.read_text("utf-8").replace(WORKBENCH, f"http://localhost:{port}/"), "utf-8")
        document = EXAMPLES.parse(copy)
        document.namespace.update(folder=folder, status=0)
        for example in document.examples():
            example.evaluate()


@pytest.fixture(autouse=True)
def _plain_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.setenv("TERM", "dumb")
    monkeypatch.delenv("FORCE_COLOR", raising=False)
    monkeypatch.setattr(sys.modules["__main__"], "__package__", "")  # else messages say "python -m pytest.clutchwright"


def test_the_tutorial_goes_as_it_says(tmp_path):
    for data in (DOCS / "tutorial").glob("*.[ct]*"):
        shutil.copy(data, tmp_path)
    for page in TUTORIAL:
        try_page(page, tmp_path)


@pytest.mark.parametrize("page", PAGES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_the_examples_of_a_page_are_so(page, tmp_path):
    text = page.read_text("utf-8")
    if "$ clutchwright demo --save " not in text:  # else the page itself makes them
        demo_files(tmp_path, text)
    try_page(page, tmp_path)


def test_the_tutorial_has_all_its_pages():
    assert set((DOCS / "tutorial").glob("*.md")) == set(TUTORIAL)


def test_the_readings_of_the_tutorial_are_those_that_its_bike_gives():
    for name, text in tutorial_readings.texts().items():
        assert (DOCS / "tutorial" / name).read_text("utf-8") == text, name


def test_only_last_digits_may_differ():
    assert near("182.2 ± 3.6 N ... 627 bikes\n", "182.1 ± 3.7 N\nand more, worth 630  bikes")
    assert not near("182.2 ± 3.6 N", "182.2 ± 3.8 N")
    assert not near("182.2 ± 3.6 N", "184.1 ± 3.6 N")
    assert not near("90 % dry", "90 % worn")


@pytest.mark.parametrize(
    ("block", "fault"),
    [
        ("$ clutchwright --version\nclutchwright 99\n", "should print"),
        ("$ clutchwright assess nothing.toml\n", "exit status 1"),
        ("$ clutchwright open --no-such-option\n", "No such option"),
        ("$ rm nothing\n", "cannot be tried"),
    ],
)
def test_an_example_that_is_not_so_is_found(tmp_path, block, fault):
    page = tmp_path / "page.md"
    page.write_text(f"```console\n{block}```\n", "utf-8")
    with pytest.raises(Exception, match=fault):
        try_page(page, tmp_path)
