"""The layers' contract in pyproject.toml finds an import that goes up or in a circle, and a module without a layer."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

CONFIG = Path(__file__).parents[2] / "pyproject.toml"
GOOD = {
    "physics/lever.py": "from clutchwright import quantity",
    "quantity.py": "",
    "cli.py": "import clutchwright.chain",
}
BAD = {
    "goes up": {"physics/lever.py": "from clutchwright import bike", "bike.py": ""},
    "goes up by way of another": {
        "errors.py": "from clutchwright import quantity",
        "quantity.py": "import clutchwright.chain",
    },
    "goes in a circle": {
        "physics/arm.py": "from clutchwright.physics import lever",
        "physics/lever.py": "from clutchwright.physics import arm",
    },
    "has no layer": {"misplaced.py": ""},
}


def contract_kept(folder: Path, modules: dict[str, str]) -> bool:
    for name, source in {"chain.py": "", **modules}.items():
        path = folder / "clutchwright" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(source, "utf-8")
    for package in {path.parent for path in folder.rglob("*.py")} | {folder / "clutchwright"}:
        (package / "__init__.py").touch()
    done = subprocess.run(
        [Path(sys.executable).with_name("lint-imports"), "--no-logo", "--no-cache", CONFIG],
        env=os.environ | {"PYTHONPATH": str(folder), "PYTHONUTF8": "1"},
        cwd=folder,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert "Contracts" in done.stdout, done.stdout + done.stderr
    return done.returncode == 0


def test_imports_that_go_down_pass(tmp_path):
    assert contract_kept(tmp_path, GOOD)


@pytest.mark.parametrize("modules", BAD.values(), ids=BAD)
def test_a_breach_is_found(tmp_path, modules):
    assert not contract_kept(tmp_path, modules)
