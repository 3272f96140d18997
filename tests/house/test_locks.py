"""The locked lists hold each package at one release with its hashes, contain one another, and match pyproject.toml."""

import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
LISTS = ("run", "check", "test", "bench", "mutation")


def locked(name: str) -> dict[str, str]:
    """Requirement lines, each with its hashes."""
    text = (ROOT / "requirements" / f"{name}.txt").read_text("utf-8").replace("\\\n", " ")
    lines = [line for line in text.splitlines() if line and not line.lstrip().startswith("#")]
    return {line.split(" --hash")[0].strip(): line for line in lines}


def wanted(group: str) -> set[str]:
    """Packages that pyproject.toml asks for in a list."""
    asked = set(PROJECT["project"]["dependencies"])
    for entry in PROJECT["dependency-groups"][group]:
        asked |= {entry} if isinstance(entry, str) else wanted(entry["include-group"])
    return asked


@pytest.mark.parametrize("name", LISTS)
def test_each_line_has_one_release_and_its_hashes(name):
    for requirement, line in locked(name).items():
        assert re.fullmatch(r"==[\w.!+]+", str(Requirement(requirement).specifier)), line
        assert re.search(r"--hash=sha256:[0-9a-f]{64}\b", line), line


@pytest.mark.parametrize("name", LISTS)
def test_what_the_project_asks_for_is_locked(name):
    held = {canonicalize_name(Requirement(requirement).name) for requirement in locked(name)}
    asked = {canonicalize_name(Requirement(requirement).name) for requirement in wanted(name)}
    assert asked <= held, "renew the lists: python3 tasks.py lock"


@pytest.mark.parametrize(
    ("smaller", "larger"), [("run", "check"), ("check", "test"), ("test", "bench"), ("bench", "mutation")]
)
def test_a_larger_list_contains_the_smaller(smaller, larger):
    assert locked(smaller).keys() <= locked(larger).keys()


def test_each_group_asks_for_more_than_the_one_before():
    assert wanted("run") < wanted("check") < wanted("test") < wanted("bench") < wanted("mutation")
