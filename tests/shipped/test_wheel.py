"""The wheel holds all that the program needs, and works in an environment of its own, away from this checkout.

With CLUTCHWRIGHT_EMPTY=1 the environment begins empty and the wheel brings its dependencies, from the package index;
otherwise it borrows those installed here, so that every run can afford it.
"""

import json
import os
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src" / "clutchwright"
EMPTY = "CLUTCHWRIGHT_EMPTY" in os.environ


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
    return next(folder.glob("*.whl"))


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory):
    """Run the installed program in a folder of its own; what it printed."""
    home = tmp_path_factory.mktemp("elsewhere")
    venv.create(home / "env", with_pip=EMPTY)
    programs = home / "env" / ("Scripts" if os.name == "nt" else "bin")
    env = {name: value for name, value in os.environ.items() if name not in ("PYTHONPATH", "VIRTUAL_ENV")}
    if EMPTY:
        subprocess.run([programs / "python", "-m", "pip", "install", "--quiet", wheel], check=True)
    else:
        # a folder on this path is searched, but its .pth files, such as that of this checkout, are not followed
        env["PYTHONPATH"] = sysconfig.get_path("purelib")
        install = [sys.executable, "-m", "uv", "pip", "install", "--offline", "--no-deps", "--quiet"]
        subprocess.run([*install, "--python", programs / "python", wheel], check=True)

    def run(*command):
        done = subprocess.run(
            [programs / command[0], *command[1:]], cwd=home, env=env, check=True, capture_output=True, encoding="utf-8"
        )
        return done.stdout

    return run


def test_the_wheel_holds_every_file_of_the_package(wheel):
    held = set(zipfile.ZipFile(wheel).namelist())
    files = [path for path in SOURCE.rglob("*") if path.is_file() and "__pycache__" not in path.parts]
    assert not [path for path in files if path.relative_to(ROOT / "src").as_posix() not in held]
    assert not [name for name in held if name.startswith("clutchwright/") and not (ROOT / "src" / name).is_file()]


def test_the_wheel_carries_its_licence_and_its_readme(wheel):
    held = zipfile.ZipFile(wheel)
    folder = next(name.partition("/")[0] for name in held.namelist() if name.endswith("/METADATA"))
    assert held.read(f"{folder}/licenses/LICENSE") == (ROOT / "LICENSE").read_bytes()
    assert (ROOT / "README.md").read_text("utf-8").splitlines()[2] in held.read(f"{folder}/METADATA").decode("utf-8")


def test_what_runs_is_the_installed_package(installed):
    where = Path(installed("python", "-c", "import clutchwright; print(clutchwright.__file__)").strip())
    assert ROOT not in where.parents


def test_the_installed_program_answers(installed):
    installed("clutchwright", "demo", "--save", "bike.toml", "--save-hand", "hand.toml")
    found = json.loads(installed("clutchwright", "assess", "bike.toml", "--hand", "hand.toml", "--json"))
    assert found["schema"] == 1
    assert found["verdict"] in ("sound", "marginal", "unsafe")


def test_the_installed_workbench_has_its_pages(installed):
    script = (
        "from pathlib import Path; from starlette.testclient import TestClient;"
        "from clutchwright.web.app import create_app; from clutchwright.workspace import Workspace;"
        "app = create_app(Workspace(Path('.')));"
        "page = TestClient(app, base_url='http://localhost:8471', client=('127.0.0.1', 1));"
        "print([page.get(at).status_code for at in ('/', '/bikes/bike.toml/heavy', '/static/workbench.css')])"
    )
    if EMPTY:
        pytest.skip("the test client is no part of what the program needs")
    assert installed("python", "-c", script).strip() == "[200, 200, 200]"
