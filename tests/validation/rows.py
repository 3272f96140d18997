"""The register of check values: what each formula is held against, and where the number comes from.

A module ``rows_*.py`` beside this one lists ``ROWS``, and where another program checks a formula, ``COMPARED``. It
needs no test of its own: ``test_rows.py`` tests every row, and ``tools/validation_page.py`` writes the page from them.

Four words say how far a number may be trusted as somebody else's:

found     seen in a stored copy; for textbooks an open re-calculation of the example, not the book itself
memory    remembered from the source named, not seen; inputs and answer agree with the formula, the digits may not be
          the book's
derived   follows from the formula itself by other means, nobody published it
identity  a limit case, a symmetry or a balance that must hold
"""

from __future__ import annotations

import ast
import importlib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, get_args

import clutchwright

Confidence = Literal["found", "memory", "derived", "identity"]
CONFIDENCES: tuple[Confidence, ...] = get_args(Confidence)

# Where the copies were seen, by the code that stands after a source.
COPIES: dict[str, str] = {
    "BH": "github FOSSEE/Scilab-TBC-Uploads, folder 764, commit b1f5c3f8",
    "PY": "github FOSSEE/Python-Textbook-Companions, commits d34b2ae7, be6b5c24 (Singh), 128c4590 (Wentzell)",
    "SH": (
        "worked solutions of chapter 10, VDocuments, chapter-10-latchame486bn10chap1010epdf (10th and 11th edition); "
        "Scribd, document 247154479 (2003 edition)"
    ),
    "TY": "Two Tyres, page 93735",
    "UN": "github sandialabs/suncal, test/test_examples.py, commits d44c2cc1, 0826754d",
    "GTC": "github MSLNZ/GTC, examples/GUM_H1.py, commit 1c165fce",
    "EN": "a public verification print that quotes EN 10270-1",
}


@dataclass(frozen=True, slots=True)
class Row:
    """One number that a formula must give.

    Parameters
    ----------
    id : str
        Short and unique.
    formula : str
        Dotted name of the function, method or property.
    inputs : str
        What goes in and what comes out, with units, as the source has it.
    printed : str
        The expected number, with the digits the source prints.
    compute : callable
        Gives our number, in the same unit.
    source : str
        Author, work, place.
    confidence : str
        See the module.
    tolerance : float | None
        Largest difference allowed, same unit; half of the last printed digit when None.
    reason : str
        Why the tolerance is wider than that.
    """

    id: str
    formula: str
    inputs: str
    printed: str
    compute: Callable[[], float]
    source: str
    confidence: Confidence
    tolerance: float | None = None
    reason: str = ""

    def __post_init__(self) -> None:
        wider = self.tolerance is not None and self.tolerance > half_last_digit(self.printed) * (1.0 + 1e-9)
        if wider and not self.reason:
            message = f"row {self.id}: a tolerance wider than half of the last printed digit needs a reason"
            raise ValueError(message)

    @property
    def expected(self) -> float:
        """The expected number."""
        return float(self.printed)

    @property
    def allowed(self) -> float:
        """Largest difference allowed."""
        return half_last_digit(self.printed) if self.tolerance is None else self.tolerance


@dataclass(frozen=True, slots=True)
class Compared:
    """Formulas that another program computes by its own means.

    Parameters
    ----------
    formulas : tuple of str
        Dotted names.
    tool : str
        The other program.
    test : str
        File of the test.
    agreement : str
        What the test demands.
    """

    formulas: tuple[str, ...]
    tool: str
    test: str
    agreement: str


def identity(
    formula: str, inputs: str, printed: str, compute: Callable[[], float], *, why: str = "", tag: str = ""
) -> Row:
    """A row for a formula of the physics that must hold whatever any book says.

    Parameters
    ----------
    formula : str
        Dotted name below ``clutchwright.physics``.
    inputs, printed, compute
        See `Row`.
    why : str
        What makes it hold; a limit case worked by hand when empty.
    tag : str
        Tells several rows of one formula apart.
    """
    why = why or "limit case, worked by hand"
    return Row(f"{formula} {tag}".strip(), f"clutchwright.physics.{formula}", inputs, printed, compute, why, "identity")


def half_last_digit(printed: str) -> float:
    """Half a unit of the last digit of a number as printed: 0.005 for ``1.25``, 5e3 for ``2.5e5``."""
    mantissa, _, exponent = printed.lower().partition("e")
    decimals = len(mantissa.partition(".")[2])
    return 0.5 * 10.0 ** (int(exponent or 0) - decimals)


# Formulas that give the same whatever goes in: a lift without a dead point, a line without drag.
CONSTANT = frozenset(
    f"clutchwright.physics.{name}"
    for name in (
        "cable.Hydraulic.drag",
        "lift.LiftTable.dead_rotation",
        "lift.Rack.dead_rotation",
        "lift.Ramp.dead_rotation",
        "lift.Screw.dead_rotation",
        "springs.CoilSet.bearing_ratio",
    )
)


def resolve(dotted: str) -> Callable[..., object]:
    """The function that a dotted name means; for a property, the function behind it."""
    parts = dotted.split(".")
    for split in range(len(parts) - 1, 0, -1):
        try:
            found: object = importlib.import_module(".".join(parts[:split]))
        except ModuleNotFoundError:
            continue
        for name in parts[split:]:
            found = getattr(found, name)
        return found.fget if isinstance(found, property) else found  # type: ignore[return-value]
    message = f"{dotted}: no such module"
    raise ModuleNotFoundError(message)


def formulas(package: str) -> dict[str, str]:
    """Every public function, method and property of a package that gives a number: dotted name to docstring."""
    found = {}
    for path in sorted((Path(clutchwright.__path__[0]) / package).glob("*.py")):
        for node in ast.parse(path.read_text("utf-8")).body:
            inside = isinstance(node, ast.ClassDef)
            for function in node.body if inside else [node]:
                if _is_formula(function) and not node.name.startswith("_"):
                    name = f"{node.name}.{function.name}" if inside else function.name
                    found[f"clutchwright.{package}.{path.stem}.{name}"] = ast.get_docstring(function) or ""
    return found


def _is_formula(node: ast.AST) -> bool:
    if not isinstance(node, ast.FunctionDef) or node.name.startswith("_") or node.returns is None:
        return False
    return ast.unparse(node.returns) in ("Number", "Array", "float")


def _collected(name: str) -> list[object]:
    stems = sorted(path.stem for path in Path(__file__).parent.glob("rows_*.py"))
    modules = [importlib.import_module(f"tests.validation.{stem}") for stem in stems]
    return [entry for module in modules for entry in getattr(module, name, ())]


def all_rows() -> list[Row]:
    """Every row of every ``rows_*.py``, in the order of the files."""
    return _collected("ROWS")  # type: ignore[return-value]


def all_compared() -> list[Compared]:
    """Every comparison with another program."""
    return _collected("COMPARED")  # type: ignore[return-value]
