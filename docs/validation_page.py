"""Write the page of formulas, sources, checks and agreement: python docs/validation_page.py.

The page, docs/reference/validation.md, comes from the docstrings of the formulas and from the register of check values
in tests/validation; tests/docs/test_validation_page.py tells when it is out of date.
"""

from __future__ import annotations

import inspect
import sys
from collections.abc import Iterable
from pathlib import Path

from docstring_parser.numpydoc import parse

ROOT = Path(__file__).resolve().parents[1]
PAGE = ROOT / "docs" / "reference" / "validation.md"
sys.path[:0] = [path for path in (str(ROOT), str(ROOT / "src")) if path not in sys.path]

from tests.validation.rows import (  # noqa: E402
    CONFIDENCES,
    CONSTANT,
    COPIES,
    Compared,
    Row,
    all_compared,
    all_rows,
    formulas,
    resolve,
)

PACKAGE = "clutchwright."
HEAD = "| check | value | expected | computed | off by | allowed | word | source |\n|---|---|---|---|---|---|---|---|"
WORDS = {
    "found": "published, and seen in a stored copy; for textbooks an open re-calculation of the example, not the book",
    "memory": "remembered from the source named and not seen: do not take it for published",
    "derived": "nobody published it; it follows from the formula by other means",
    "identity": "a limit case, an inverse or a balance that must hold",
}
CLAIMS = (  # what is said, what it is held against, what is missing
    (
        "Pull along the whole stroke of a bike",
        "each stage by itself, a bike worked by hand, conservation of energy, and rigid bodies without friction",
        "a lever measured on a real bike",
    ),
    (
        "Friction of cable, pivots and lift; stretch of the cable",
        "the laws of textbooks; the usual coefficients are from memory, assumed or common practice",
        "a measured cable, and a return stroke measured beside its pull",
    ),
    (
        "Torque that the clutch carries, worn and hot",
        "textbook formula; friction coefficients and hot factor are the owner's, or usual values from memory",
        "a clutch made to slip",
    ),
    (
        "Lift at which the clutch releases, drag of the oil",
        "own sums of squash, gaps and flatness; textbook formula of a sheared film",
        "a clutch whose drag or release was measured",
    ),
    (
        "Heat of a start",
        "textbook formulas, and the motion integrated in time",
        "a temperature measured in a clutch",
    ),
    (
        "Tilt of the pressure plate, patterns of springs, unbalance",
        "symmetry and counting; published grades of balance, from memory, are for other rotors",
        "a plate whose tilt was measured",
    ),
    (
        "Wear: how much slips, how far the free play lasts",
        "own derivation from the stages' ratios",
        "a clutch worn in use. How fast it wears is nowhere computed",
    ),
    (
        "Strength of a hand on a lever",
        "each factor by its study; their product is an assumption, and the reach of a hand has no source",
        "people who pull levers",
    ),
    (
        "Hours that a hand can ride, fatigue, target pull",
        "each model's published values; one published study agrees in direction, not in size",
        "riders over a day. Pulls an hour are counted for no riding but the urban cycle's",
    ),
    (
        "Prices, hours of work, catalogues",
        "nothing: usual prices and hours are our guess, those of the demos are invented",
        "offers and bills",
    ),
    (
        "What each change does and brings with it",
        "the chain with the change made; trade rules are common practice without a source",
        "a bike measured before and after",
    ),
    (
        "The lightest setup, the plan's order, the choice among setups",
        "brute force over small catalogues, every order of few steps",
        "an owner who followed the advice",
    ),
    (
        "Probability that an advised setup slips or does not release",
        "synthetic bikes around one invented bike",
        "real bikes. It is no better than the uncertainties in the file",
    ),
    (
        "Fit of a bike to its readings, faults named",
        "synthetic bikes of one kind with simulated instruments; published problems for the least squares alone",
        "readings from a real bike, and a clutch opened to see what was wrong",
    ),
    (
        "What a claim of less pull is worth",
        "the chain by itself",
        "a claim whose outcome is known",
    ),
)


def page() -> str:
    """The whole page as Markdown."""
    rows, compared = all_rows(), all_compared()
    names = {row.formula for row in rows}.union(formulas("physics"), formulas("hand"))
    names.update(formula for entry in compared for formula in entry.formulas)
    parts = [introduction(rows), unverified(names, rows, compared)]
    for module in sorted({module_of(name) for name in names}):
        parts.append(f"## {module.removeprefix(PACKAGE)}")
        parts += [section(name, rows, compared) for name in sorted(names) if module_of(name) == module]
    return "\n\n".join(parts) + "\n"


def module_of(formula: str) -> str:
    """Dotted name of the module that holds a formula."""
    return resolve(formula).__module__


def introduction(rows: list[Row]) -> str:
    """What the page shows, what its words mean, and how many values there are of each."""
    counts = {word: sum(row.confidence == word for row in rows) for word in CONFIDENCES}
    held = {word: len({row.formula for row in rows if row.confidence == word}) for word in CONFIDENCES}
    lines = [
        "# Formulas, sources, checks and agreement",
        "",
        "Every formula, where it comes from, the numbers it is held against and how near it comes to them.",
        "This page is written by `python docs/validation_page.py`; the values stand in `tests/validation`.",
        "`tests/validation/test_rows.py` tests each; run one with, say, `-k C-04`.",
        "",
        "A difference up to *allowed* passes: half of the last printed digit, or more with the reason given.",
        "",
        "| word | meaning | values | formulas |",
        "|---|---|---|---|",
        *(f"| {word} | {WORDS[word]} | {counts[word]} | {held[word]} |" for word in CONFIDENCES),
        "",
        "Copies seen:",
        "",
        *(f"* [{code}] {place}" for code, place in COPIES.items()),
    ]
    return "\n".join(lines)


def unverified(names: Iterable[str], rows: list[Row], compared: list[Compared]) -> str:
    """What nothing outside the project bears out: larger claims, and formula by formula."""
    seen = {row.formula for row in rows if row.confidence == "found"}
    seen.update(formula for entry in compared for formula in entry.formulas)
    remembered = {row.formula for row in rows if row.confidence == "memory"} - seen
    own = {row.formula for row in rows} - seen - remembered
    without = {*names} - seen - remembered - own
    lines = [
        "## What is not verified against anything outside",
        "",
        "No real bike and no real hand has been measured for this program. So nothing below is borne out as a whole:",
        "",
        "| what the program says | held against | missing |",
        "|---|---|---|",
        *(f"| {' | '.join(claim)} |" for claim in CLAIMS),
        "",
        f"Of {len({*names})} formulas {len(seen)} are held against a published value that was seen or another program.",
        "The others are not:",
        "",
        *listed("remembered only, the source not seen", remembered),
        *listed(
            "held against our own sums only: limit cases, inverses, balances, arithmetic on a source's numbers", own
        ),
        *listed("without a check value of its own, tested as part of others or the same whatever goes in", without),
    ]
    return "\n".join(lines)


def listed(title: str, names: Iterable[str]) -> list[str]:
    """Formulas by module, a line for each."""
    by_module: dict[str, list[str]] = {}
    for name in sorted(names):
        by_module.setdefault(module_of(name), []).append(name)
    lines = [
        f"  * {module.removeprefix(PACKAGE)}: {', '.join(name.removeprefix(f'{module}.') for name in held)}"
        for module, held in by_module.items()
    ]
    return [f"* **{sum(map(len, by_module.values()))} {title}**", *lines]


def section(formula: str, rows: Iterable[Row], compared: Iterable[Compared]) -> str:
    """One formula: what it says of itself, its values, other programs."""
    name = formula.removeprefix(module_of(formula) + ".")
    table = [line(row) for row in rows if row.formula == formula]
    checks = ["\n".join([HEAD, *table])] if table else []
    checks += [
        f"Against another program: {entry.tool} (`{entry.test}`): {entry.agreement}."
        for entry in compared
        if formula in entry.formulas
    ]
    without = "The same whatever goes in." if formula in CONSTANT else "No check value of its own."
    return "\n\n".join([f"### {name}", described(inspect.getdoc(resolve(formula)) or ""), *(checks or [without])])


def described(docstring: str) -> str:
    """What a docstring says the function gives, and its references, in running text."""
    parsed = parse(docstring)
    references = [
        section.description for section in parsed.meta if section.args[:1] == ["references"] and section.description
    ]
    given = parsed.returns.description if parsed.returns else ""
    texts = [parsed.short_description, given or parsed.long_description, *references]
    return " ".join(" ".join(text.split()) for text in texts if text)


def line(row: Row) -> str:
    """One value as a line of the table."""
    value = float(row.compute())
    digits = len(row.printed.lower().partition("e")[0].partition(".")[2]) + 1
    source = f"{row.source}; {row.reason}" if row.reason else row.source
    cells = (
        row.id,
        row.inputs,
        row.printed,
        f"{round(value, digits) + 0.0:.{digits}f}",
        off(value, row.expected),
        f"{row.allowed:.3g}",
        row.confidence,
        source,
    )
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def off(value: float, expected: float) -> str:
    """Relative difference, two digits; what is below 0.001 % is noise of the machine at hand and not told apart."""
    if expected == 0.0:
        return "0" if abs(value) < 1e-6 else f"{value:.2g}"
    share = 100.0 * abs(value / expected - 1.0)
    return "< 0.001 %" if share < 1e-3 else f"{share:.2g} %"


if __name__ == "__main__":
    PAGE.write_text(page(), "utf-8", newline="\n")
