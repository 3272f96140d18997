"""The pages hold together: links, pictures, dotted names, one page for each stage."""

import importlib
import re
import tomllib
from pathlib import Path
from typing import get_args

import pytest

from clutchwright.assess.checks import State
from clutchwright.assess.figures import FIGURES
from clutchwright.assess.verdict import DOUBTFUL, HARMLESS, RULES, Word
from clutchwright.report.legend import GLOSSARY
from clutchwright.usecases import DEMOS, assess_bike, read_demo

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
PAGES = sorted([*DOCS.rglob("*.md"), *ROOT.glob("*.md")])
WRITTEN_BY_HAND = sorted([*DOCS.glob("*.md"), *(DOCS / "physics").glob("*.md")])
STAGES = sorted(path.stem for path in (ROOT / "src/clutchwright/physics").glob("*.py") if path.stem != "__init__")

LINK = re.compile(r"(!?)\[[^\]]*\]\(([^)\s]+)\)")
DOTTED = re.compile(r"`(clutchwright(?:\.\w+)+)`")
FILE = re.compile(r"`((?:src|tests|docs)/[\w./-]+)`")
SECTIONS = ("How to measure it", "Equation", "Source and how sure", "Computed by", "Leaves out")


def name(path: Path) -> str:
    return str(path.relative_to(ROOT))


def broken_links(page: Path) -> list[str]:
    """Links of a page that lead nowhere in this project."""
    targets = (target for _, target in LINK.findall(page.read_text("utf-8")))
    local = (target.partition("#") for target in targets)
    return [file for file, _, _ in local if file and not (page.parent / file).exists()]


def exists(dotted: str) -> bool:
    """Whether a dotted name leads to a module or something in it."""
    parts = dotted.split(".")
    for end in range(len(parts), 0, -1):
        try:
            found = importlib.import_module(".".join(parts[:end]))
        except ModuleNotFoundError:
            continue
        for part in parts[end:]:
            if not hasattr(found, part):
                return False
            found = getattr(found, part)
        return True
    return False


@pytest.mark.parametrize("page", PAGES, ids=name)
def test_links_and_pictures_are_there(page):
    assert not broken_links(page)


@pytest.mark.parametrize("page", PAGES, ids=name)
def test_dotted_names_exist(page):
    assert not [dotted for dotted in DOTTED.findall(page.read_text("utf-8")) if not exists(dotted)]


@pytest.mark.parametrize("page", WRITTEN_BY_HAND, ids=name)
def test_files_named_are_there(page):
    assert not [file for file in FILE.findall(page.read_text("utf-8")) if not (ROOT / file).exists()]


@pytest.mark.parametrize("stage", STAGES)
def test_each_stage_has_its_page_with_picture_equation_source_and_function(stage):
    text = (DOCS / "physics" / f"{stage}.md").read_text("utf-8")
    assert not [section for section in SECTIONS if f"\n## {section}\n" not in text]
    assert "](../pictures/" in text
    assert "| symbol | meaning | unit |" in text
    assert f"`clutchwright.physics.{stage}." in text


def test_the_house_page_names_every_part_of_the_package():
    text = (DOCS / "how-this-house-is-built.md").read_text("utf-8")
    inside = [path for path in (ROOT / "src/clutchwright").iterdir() if path.suffix in ("", ".py")]
    parts = {path.stem for path in inside if not path.name.startswith("_")} - {"demo"}
    assert not {part for part in parts if f"`{part}`" not in text}


def test_the_house_page_has_the_layers_of_the_contract_in_their_order():
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["importlinter"]["contracts"]
    layers = next(contract["layers"] for contract in contracts if contract["type"] == "layers")
    built = {path.stem for path in (ROOT / "src/clutchwright").iterdir() if not path.name.startswith("_")}
    wanted = [names for layer in layers if (names := set(re.findall(r"\w+", layer)) & built)]
    text = (DOCS / "how-this-house-is-built.md").read_text("utf-8")
    table = text[text.index("| layer |") : text.index("Modules of one row")]
    rows = [set(re.findall(r"`(\w+)`", line.split("|")[1])) for line in table.splitlines() if line.startswith("| `")]
    assert rows == wanted


def test_the_page_of_words_has_every_word_and_says_of_every_check_what_it_makes_of_a_clutch():
    text = (DOCS / "words.md").read_text("utf-8")
    rows = dict(line.strip("| ").split(" | ", 1) for line in text.splitlines() if line.startswith("| "))
    assert {*map(str.upper, get_args(Word)), *get_args(State)} <= rows.keys()
    labels = {(check.label, check.key) for name in DEMOS for check in assess_bike(read_demo(name)).checks}
    for label, key in labels:
        assert rows[label].startswith("marginal" if key in HARMLESS else "unsafe"), label
    assert set(HARMLESS) <= {key for _, key in labels}
    assert f"at most {DOUBTFUL:.0%}".replace("%", " %") in rows["SOUND"]
    figures = {figure.key: figure.label.lower() for figure in FIGURES}
    for rule in RULES:
        row = next(value for name, value in rows.items() if re.sub(", (lift|before).*", "", name) == figures[rule.key])
        assert [float(number) for number in re.findall(r"[\d.]+", row)] == [rule.limit, rule.comfort]


def test_the_page_of_words_explains_those_that_pages_and_reports_explain():
    text = (DOCS / "words.md").read_text("utf-8")
    rows = dict(line.strip("| ").split(" | ", 1) for line in text.splitlines() if line.startswith("| "))
    assert {word: rows.get(word) for word in GLOSSARY} == GLOSSARY


def test_the_index_leads_to_every_page():
    text = (DOCS / "physics" / "index.md").read_text("utf-8")
    linked = {target for _, target in LINK.findall(text)}
    others = {path.name for path in (DOCS / "physics").glob("*.md")} - {"index.md"}
    assert others <= linked


def test_equations_are_closed():
    assert not [name(page) for page in WRITTEN_BY_HAND if page.read_text("utf-8").count("\n$$\n") % 2]


def test_a_broken_link_is_found(tmp_path):
    page = tmp_path / "page.md"
    page.write_text("[here](page.md) ![there](no.svg) [top](#top)", "utf-8")
    assert broken_links(page) == ["no.svg"]


@pytest.mark.parametrize(
    ("dotted", "there"),
    [
        ("clutchwright.chain", True),
        ("clutchwright.physics.lever.Lever.travel", True),
        ("clutchwright.physics.lever.Lever.fly", False),
        ("clutchwright.nothing", False),
    ],
)
def test_names_are_told_apart(dotted, there):
    assert exists(dotted) is there
