"""Below the use cases nothing reads a clock, a file, the environment or a global random source, and nothing prints.

The rule stands in pyproject.toml, as names that the linter bans outside the edges; here it is shown to bite.
"""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
RULES = "PTH123,T20,TID251"
IMPURE = {
    "print": "print(1)",
    "stdout": "import sys\nsys.stdout.write('a')",
    "open": "text = open('a')",
    "path": "from pathlib import Path\ntext = Path('a').read_text()",
    "numpy file": "import numpy as np\ndata = np.loadtxt('a')",
    "environment": "import os\nhome = os.environ['HOME']",
    "environment by name": "from os import environ\nhome = environ['HOME']",
    "clock": "import time\nnow = time.time()",
    "date": "from datetime import datetime\nnow = datetime.now()",
    "today": "import datetime as dt\nnow = dt.date.today()",
    "global random": "import random\ndraw = random.random()",
    "unasked random": "import numpy as np\nrng = np.random.default_rng()",
}
BELOW = [
    "physics/lever.py",
    "bike.py",
    "bikefile.py",
    "chain.py",
    "hand/span.py",
    "changes/lever.py",
    "study/search.py",
]


def banned(source: str, module: str) -> bool:
    command = [sys.executable, "-m", "ruff", "check", "--quiet", "--no-cache", "--select", RULES]
    command += ["--stdin-filename", f"src/clutchwright/{module}", "-"]
    done = subprocess.run(command, input=source, text=True, capture_output=True, cwd=ROOT, check=False)
    assert done.returncode in (0, 1), done.stderr
    return done.returncode == 1


@pytest.mark.parametrize("source", IMPURE.values(), ids=IMPURE)
def test_impure_code_is_found(source):
    assert banned(source, "physics/sample.py")


@pytest.mark.parametrize("module", BELOW)
def test_the_rule_holds_below_the_use_cases(module):
    assert banned(IMPURE["clock"], module)


@pytest.mark.parametrize("module", ["cli.py", "usecases.py", "web/app.py", "report/page.py", "book/store.py"])
def test_the_edges_may_read(module):
    assert not banned(IMPURE["clock"], module)


def test_pure_code_passes():
    assert not banned(
        "import numpy as np\nfrom datetime import date\nx = np.sin(0.5)\nd = date(2024, 5, 1)", "chain.py"
    )


def test_no_line_of_the_package_switches_the_rule_off():
    rules = RULES.split(",")
    found = [
        f"{path.name}:{number}"
        for path in ROOT.glob("src/**/*.py")
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1)
        if "noqa" in line and any(rule in line for rule in rules)
    ]
    assert not found
