"""No file names a host on the network, save those set aside for examples and the names of formats."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
ADDRESS = re.compile(
    r"\b[a-z][a-z0-9+.-]*://([^\s/\"'<>)\]}`,;]+)|\b((?:[a-z0-9-]+\.)+(?:com|org|net|dev))\b", re.IGNORECASE
)
ALLOWED = re.compile(
    r"""(localhost|127\.0\.0\.1|\[::1\]) (:\S+)?    # this machine
    | ([\w-]+\.)* example (\.(com|org|net))? | .*\.(test|invalid|example)    # set aside for examples
    | (www\.)?w3\.org | json-schema\.org            # names of formats, never fetched
    | \W.*                                          # a pattern or a field to fill in, not a name
    """,
    re.VERBOSE | re.IGNORECASE,
)
LEFT_BEHIND = {"build", "dist", "mutants", "clutchwright-files"}
BINARY = {".png", ".pdf", ".ico", ".woff2", ".parquet", ".wav"}


def hosts(text: str) -> list[str]:
    named = (match[1] or match[2] for match in ADDRESS.finditer(text))
    return [host for host in named if not ALLOWED.fullmatch(host)]


def project_files() -> list[Path]:
    """All files of the project, without what tools leave behind."""
    top = [path for path in ROOT.iterdir() if path.name == ".ci" or not path.name.startswith(".")]
    top = [path for path in top if path.name not in LEFT_BEHIND]
    files = [file for path in top for file in ([path] if path.is_file() else path.rglob("*")) if file.is_file()]
    return [file for file in files if "__pycache__" not in file.parts and file.suffix not in BINARY]


def test_no_file_names_a_host():
    found = {
        str(path.relative_to(ROOT)): named for path in project_files() if (named := hosts(path.read_text("utf-8")))
    }
    assert not found


@pytest.mark.parametrize("name", ["pyproject.toml", "tasks.py", "requirements/test.txt", ".ci/run"])
def test_the_search_covers(name):
    assert ROOT / name in project_files()


def test_a_real_host_is_found():
    made_up = "clutches" + ".com"
    assert hosts(f"see {made_up}") == [made_up]
    assert hosts("see ssh:" + f"//{made_up}:22/x") == [f"{made_up}:22"]
    assert hosts("get http" + "://10.0.0.1:80/x") == ["10.0.0.1:80"]


@pytest.mark.parametrize(
    "text",
    ["http://127.0.0.1:8000/", "http://localhost", "https://example.org/a", "bike.test", "http://www.w3.org/2000/svg"],
)
def test_what_is_set_aside_passes(text):
    assert hosts(text) == []
