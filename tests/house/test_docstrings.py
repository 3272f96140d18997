"""Each public function of the physics documents its arguments in order, with their units, and names its source.

A class documents its fields in the same way. A method may do with running text that has a unit for each number that
goes in or out, and may leave the source to its class or module.
"""

import ast
import re
from pathlib import Path

import pytest
from docstring_parser.numpydoc import parse

MODULES = sorted(Path(__file__).parents[2].glob("src/clutchwright/physics/*.py"))
NUMERIC = re.compile(r"\b(Number|Array|NDArray|float)\b")
UNIT = re.compile(r"\[[^\[\]]+\]")
# The words "own derivation", a standard's number, the place in a cited work or its year, or where it is to be seen.
SOURCE = re.compile(
    r"own\s+derivation|\b(EN|ISO|DIN|VDI|IEC)\s\d|\b(chapter|ch|eq|eqs|ex|p|pp|sec|table|fig)\.?\s\d|\b(17|18|19|20)\d\d\b|see\s`",
    re.IGNORECASE,
)
Function = ast.FunctionDef | ast.AsyncFunctionDef


def numeric(annotation: ast.expr | None) -> bool:
    return annotation is not None and NUMERIC.search(ast.unparse(annotation)) is not None


def arguments(node: Function) -> dict[str, bool]:
    """Names in order, each with whether it is a number."""
    every = [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]
    return {argument.arg: numeric(argument.annotation) for argument in every if argument.arg not in ("self", "cls")}


def table_problems(name: str, docstring: str, expected: dict[str, bool]) -> list[str]:
    documented = {parameter.arg_name: parameter for parameter in parse(docstring).params}
    if list(documented) != list(expected):
        return [f"{name}: documents {list(documented)}, takes {list(expected)}"]
    texts = {key: f"{parameter.type_name} {parameter.description}" for key, parameter in documented.items()}
    return [f"{name}: {key} has no unit" for key in expected if expected[key] and not UNIT.search(texts[key])]


def has_source(docstring: str) -> bool:
    references = any(section.args[:1] == ["references"] for section in parse(docstring).meta)
    return references or SOURCE.search(docstring) is not None


def function_problems(name: str, node: Function) -> list[str]:
    docstring = ast.get_docstring(node) or ""
    found = table_problems(name, docstring, arguments(node))
    returns = parse(docstring).returns
    if numeric(node.returns) and not (returns and UNIT.search(f"{returns.type_name} {returns.description}")):
        found.append(f"{name}: the result has no unit")
    return found if has_source(docstring) else [*found, f"{name}: no source"]


def method_problems(name: str, node: Function, around: str) -> list[str]:
    docstring = ast.get_docstring(node) or ""
    takes = arguments(node)
    if parse(docstring).params:
        found = table_problems(name, docstring, takes)
    else:
        numbers = sum(takes.values()) + numeric(node.returns)
        units = len(UNIT.findall(docstring))
        found = [f"{name}: {units} units for {numbers} numbers"] if units < numbers else []
    sourced = not takes or has_source(docstring) or has_source(around)
    return found if sourced else [*found, f"{name}: no source"]


def class_problems(node: ast.ClassDef, module_docstring: str) -> list[str]:
    docstring = ast.get_docstring(node) or ""
    fields = {
        item.target.id: numeric(item.annotation)
        for item in node.body
        if isinstance(item, ast.AnnAssign) and isinstance(item.target, ast.Name)
    }
    found = table_problems(node.name, docstring, fields)
    for item in node.body:
        if isinstance(item, Function) and not item.name.startswith("_"):
            found += method_problems(f"{node.name}.{item.name}", item, docstring + module_docstring)
    return found


def problems(source: str) -> list[str]:
    module = ast.parse(source)
    found = []
    for node in module.body:
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            found += class_problems(node, ast.get_docstring(module) or "")
        elif isinstance(node, Function) and not node.name.startswith("_"):
            found += function_problems(node.name, node)
    return found


def test_the_physics_is_documented():
    found = {path.name: wrong for path in MODULES if (wrong := problems(path.read_text("utf-8")))}
    assert not found


GOOD = '''
def load(rate: Number, *, travel: Number, material: str) -> Number:
    """Load of a spring.

    Parameters
    ----------
    rate : Number
        Rate [N/m].
    travel : Number
        Travel from free [m].
    material : str
        A key of the table.

    Returns
    -------
    Number
        Load [N].

    References
    ----------
    A. Author, A Book, p. 12.
    """


class Spring:
    """A spring; own derivation.

    Parameters
    ----------
    rate : Number
        Rate [N/m].
    """

    rate: Number

    def load(self, travel: Number) -> Number:
        """Load [N] at a travel [m]."""


def _hidden(rate): ...
'''
BREACHES = {
    "argument left out": ("    travel : Number\n        Travel from free [m].\n", "", "documents"),
    "arguments in another order": ("rate: Number, *, travel: Number", "travel: Number, *, rate: Number", "documents"),
    "argument without unit": ("Travel from free [m]", "Travel from free", "travel has no unit"),
    "result without unit": ("        Load [N].", "        Load.", "the result has no unit"),
    "no source": ("    References\n    ----------\n    A. Author, A Book, p. 12.\n", "", "load: no source"),
    "field without unit": (
        '    rate : Number\n        Rate [N/m].\n    """',
        '    rate : Number\n    """',
        "rate has no unit",
    ),
    "field left out": ("    rate: Number\n", "    rate: Number\n    mass: Number\n", "Spring: documents"),
    "method without unit": ("at a travel [m]", "at a travel", "1 units for 2 numbers"),
    "method without source": ("; own derivation.", ".", "Spring.load: no source"),
}


def test_a_documented_sample_passes():
    assert problems(GOOD) == []


@pytest.mark.parametrize(("old", "new", "message"), BREACHES.values(), ids=BREACHES)
def test_a_breach_is_found(old, new, message):
    assert GOOD.count(old) == 1
    found = problems(GOOD.replace(old, new))
    assert len(found) == 1
    assert message in found[0]


@pytest.mark.parametrize(
    "source",
    [
        "Own derivation (moments).",
        "EN 13906-1.",
        "A. Author, A Book, eq. 10-5.",
        "A. Author (1936).",
        "See `disc_load`.",
    ],
)
def test_a_source_may_stand_in_the_text(source):
    assert has_source(f"Load [N]. {source}")


@pytest.mark.parametrize("text", ["Load [N].", "Textbook formula.", "A number that everybody knows."])
def test_other_words_are_no_source(text):
    assert not has_source(text)
