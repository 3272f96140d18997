"""The documentation site, built once for all tests and all processes that run them."""

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


def build(folder: Path) -> str:
    """Build the site from a copy of its pages, warnings being errors; what was said, and the exit status at the end."""
    shutil.copytree(ROOT / "docs", folder / "docs", ignore=shutil.ignore_patterns("__pycache__", "modules"))
    command = [sys.executable, "-m", "sphinx", "-q", "-W", "--keep-going", "-n", "docs", "site"]
    environment = os.environ | {"PYTHONPATH": str(ROOT / "src"), "PYTHONUTF8": "1"}
    done = subprocess.run(command, cwd=folder, env=environment, capture_output=True, encoding="utf-8", check=False)
    return f"{done.stdout}{done.stderr}{done.returncode}"


@pytest.fixture(scope="session")
def built(tmp_path_factory):
    """Folder of the built site, and what the generator said."""
    own = tmp_path_factory.getbasetemp()
    folder = (own.parent if "PYTEST_XDIST_WORKER" in os.environ else own) / "documentation"
    said = folder / "said.txt"
    try:
        folder.mkdir()
    except FileExistsError:  # another process is at it
        while not said.exists():
            time.sleep(0.2)
    else:
        words = "not built"
        try:
            words = build(folder)
        finally:
            (folder / "saying.txt").write_text(words, "utf-8")
            (folder / "saying.txt").rename(said)
    return folder / "site", said.read_text("utf-8")
