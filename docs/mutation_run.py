"""Change the code a little, thousands of times, and see whether a test notices: python -m docs.mutation_run.

Works on a copy in build/mutation, and writes docs/tests/mutation.csv, a line for each module,
docs/tests/mutants-left.csv, a line for each change that no test noticed, and docs/tests/mutation-run.txt, how it was
run. Takes hours, so it is run on demand only; one that was cut short goes on where it stopped. The reasons given in
mutants-left.csv are kept.
"""

from __future__ import annotations

import ast
import csv
import json
import re
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from difflib import unified_diff
from pathlib import Path
from textwrap import dedent

import numpy as np

ROOT = Path(__file__).resolve().parents[1]
COPY = ROOT / "build" / "mutation"
SOURCE = Path("src", "clutchwright")
FOLDER = ROOT / "docs" / "tests"
COUNTS, LEFT, HOW = FOLDER / "mutation.csv", FOLDER / "mutants-left.csv", FOLDER / "mutation-run.txt"
SEED = 7
WHOLE = ("chain", "physics", "hand")  # every mutant of these
SAMPLED = {"study": 330}  # so many of these, drawn at random
WORDS, KILLED, SURVIVED = "words", "killed", "survived"
COLUMNS = ("module", "made", WORDS, "tested", KILLED)
DETAILS = ("module", "function", "change", "why")
PROPERTY = re.compile(r"(?m)^( +)@(property|cached_property)\n\1def (\w+)")
# exit codes of one run of the tests, as the tool keeps them
SURVIVING = {0, 5, 33}  # all passed, or none was there to run
UNTRIED = {None, 2, -15}  # not begun, or cut short from outside
Row = dict[str, str]


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change.

    Parameters
    ----------
    module : str
        Where, within the package.
    key : str
        What the tool calls it.
    function : str
        In which function.
    change : str
        Lines taken out and lines put in.
    words : bool
        Whether it changes only the wording of a text.
    code : int | None
        Exit code of the tests; None when not run.
    """

    module: str
    key: str
    function: str
    change: str
    words: bool
    code: int | None


def prepare() -> None:
    """Lay the copy, its properties taken apart: the tool passes over functions with a decorator."""
    for name in ("src", "tests", "docs"):
        shutil.copytree(ROOT / name, COPY / name, dirs_exist_ok=True, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, COPY)
    for path in sorted((COPY / SOURCE).rglob("*.py")):
        path.write_text(without_decorators(path.read_text("utf-8")), "utf-8")


def without_decorators(source: str) -> str:
    """The same classes, each property made by a call after its function."""
    lines = source.splitlines()
    found = [
        (function.end_lineno or 0, function.col_offset, function.name, decorator.id)
        for function in ast.walk(ast.parse(source))
        if isinstance(function, ast.FunctionDef) and len(function.decorator_list) == 1
        for decorator in function.decorator_list
        if isinstance(decorator, ast.Name) and decorator.id in ("property", "cached_property")
    ]
    for end, column, name, decorator in sorted(found, reverse=True):
        lines.insert(end, f"{' ' * column}{name} = {decorator}(get_{name})")
    return PROPERTY.sub(r"\1def get_\3", "\n".join(lines) + "\n")


def mutmut(*names: str) -> None:
    """Run the tool in the copy, on mutants by name or pattern."""
    program = Path(sys.executable).with_name("mutmut")
    subprocess.run([str(program), "run", "--max-children", "1", *names], cwd=COPY, check=True)


def mutants(copy: Path = COPY) -> Iterator[Mutant]:
    """All mutants made, in order."""
    base = copy / "mutants" / SOURCE
    for path in sorted(base.rglob("*.py.meta")):
        codes = json.loads(path.read_text("utf-8"))["exit_code_by_key"]
        module = path.relative_to(base).as_posix().removesuffix(".py.meta")
        made = _functions(path.with_suffix("").read_text("utf-8")) if codes else {}
        for key, code in codes.items():
            name = key.rpartition(".")[2]
            stem = name.rpartition("__mutmut_")[0]
            before, after = made[f"{stem}__mutmut_orig"], made[name]
            function = stem.removeprefix("xǁ").removeprefix("x_").replace("ǁ", ".").replace("get_", "")
            yield Mutant(module, key, function, _change(before, after), _only_words(before, after), code)


def _functions(source: str) -> dict[str, str]:
    lines = source.splitlines()
    return {
        node.name: dedent("\n".join(lines[node.lineno - 1 : node.end_lineno]))
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.FunctionDef) and "__mutmut_" in node.name
    }


def _change(before: str, after: str) -> str:
    old, new = ([line.strip() for line in re.sub(r"__mutmut_\w+", "", text).splitlines()] for text in (before, after))
    lines = [line for line in unified_diff(old, new, lineterm="", n=0) if not line.startswith(("---", "+++", "@@"))]
    return " ".join(f"{line[0]} {line[1:]}" for line in lines)


def _only_words(before: str, after: str) -> bool:
    """Whether the one difference is the wording of a text: one with a space in it, so no key."""
    texts = [_texts(text) for text in (before, after)]
    changed = [old for old, new in zip(*texts, strict=True) if old != new] if len(texts[0]) == len(texts[1]) else []
    return len(changed) == 1 and " " in changed[0]


def _texts(source: str) -> list[str]:
    constants = (node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Constant))
    return [node.value for node in constants if isinstance(node.value, str)]


def drawn(made: Iterable[Mutant], package: str, size: int) -> list[str]:
    """A sample of a package's mutants, so many from each module as its share is, drawn at random."""
    by_module: dict[str, list[str]] = {}
    for mutant in made:
        if mutant.module.partition("/")[0] == package and not mutant.words:
            by_module.setdefault(mutant.module, []).append(mutant.key)
    total = sum(map(len, by_module.values()))
    rng = np.random.default_rng(SEED)
    return [str(key) for keys in by_module.values() for key in rng.permutation(keys)[: round(size * len(keys) / total)]]


def write(made: Iterable[Mutant]) -> None:
    """Write both tables."""
    made = list(made)
    known = read(LEFT) if LEFT.exists() else []
    reasons = {(row["module"], row["function"], row["change"]): row["why"] for row in known}
    counts: dict[str, Counter[str]] = {}
    left: list[Row] = []
    for mutant in made:
        count = counts.setdefault(mutant.module, Counter(made=0))
        count["made"] += 1
        if mutant.words:
            count[WORDS] += 1
        elif mutant.code not in UNTRIED:
            count["tested"] += 1
            count[KILLED] += mutant.code not in SURVIVING
            if mutant.code in SURVIVING:
                why = reasons.get((mutant.module, mutant.function, mutant.change), "")
                left.append(dict(zip(DETAILS, (mutant.module, mutant.function, mutant.change, why), strict=True)))
    _save(COUNTS, COLUMNS, [{"module": module, **{c: str(n[c]) for c in COLUMNS[1:]}} for module, n in counts.items()])
    _save(LEFT, DETAILS, left)


def read(path: Path) -> list[Row]:
    """Rows of a table."""
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def _save(path: Path, columns: Iterable[str], rows: Iterable[Row]) -> None:
    path.parent.mkdir(exist_ok=True)
    with path.open("w", encoding="utf-8", newline="") as lines:
        writer = csv.DictWriter(lines, list(columns), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


def run() -> None:
    """Make the mutants, test those of the sample, and write the tables."""
    prepare()
    mutmut(*(f"{SOURCE.name}.{package}.*" for package in WHOLE))
    made = list(mutants())
    mutmut(*(key for package, size in SAMPLED.items() for key in drawn(made, package, size)))
    write(mutants())
    HOW.write_text("All tests that `pyproject.toml` lists under `tool.mutmut` were used.\n", "utf-8")


if __name__ == "__main__":
    run()
