"""A function's body has at most 40 lines, its docstring not counted, and a module at most 400."""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
MODULES = sorted([*ROOT.glob("src/**/*.py"), ROOT / "tasks.py"])
BODY_LINES = 40
MODULE_LINES = 400


def long_functions(source: str) -> list[str]:
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            body = node.body[1:] if ast.get_docstring(node) is not None else node.body
            lines = node.body[-1].end_lineno - body[0].lineno + 1 if body else 0
            if lines > BODY_LINES:
                found.append(f"{node.name}: {lines} lines")
    return found


def test_function_bodies_are_short():
    found = {path.name: long for path in MODULES if (long := long_functions(path.read_text("utf-8")))}
    assert not found


def test_modules_are_short():
    found = {
        path.name: lines for path in MODULES if (lines := len(path.read_text("utf-8").splitlines())) > MODULE_LINES
    }
    assert not found


@pytest.mark.parametrize(
    ("docstring_lines", "body_lines", "long"),
    [(0, 40, False), (0, 41, True), (60, 40, False), (60, 41, True), (60, 0, False)],
)
def test_the_count_leaves_the_docstring_out(docstring_lines, body_lines, long):
    docstring = ['    """Say.', *["    more"] * (docstring_lines - 2), '    """'] if docstring_lines else []
    source = "\n".join(["def sample():", *docstring, *["    x = 1"] * body_lines])
    assert bool(long_functions(source)) is long
