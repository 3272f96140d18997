"""Write docs/tests/mutation.md from the tables of the last run: python -m docs.mutation_page."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from scipy.stats import binomtest

from docs.mutation_run import COUNTS, FOLDER, HOW, KILLED, LEFT, WORDS, Row, read

PAGE = FOLDER / "mutation.md"
KINDS = {  # why a change that no test noticed is none that a test could notice, or need notice
    "same": "The same numbers come out, to the last digits that matter",
    "slower": "The same numbers come out, only later: a way to save time, or one step of a search more",
    "edge": "Differs at one point only, of measure nought, where both sides give the same or either is right",
    "type": "A hint to the interpreter or numpy that changes no value",
    "import": "Ran once and was kept, before the tool put its change in: as a module is read, or in an object shared",
    "message": "The number or field in a message to the user",
    "source": "The text that names a source, shown beside a value and used for nothing",
    "": "Not explained: a test is wanted",
}
PACKAGES = ("chain", "physics", "hand", "study")
TEXT = """# How good the tests are

A test that cannot fail is worth nothing. So a tool (mutmut, named with its release in `requirements/mutation.txt`)
changes the code in one small place, + to -, < to <=, 1 to 2, an argument left out, and runs the tests that go through
that place. If one fails, the change is *killed*; if all pass, it has *survived*, and either the change makes no
difference, or a test is missing. That was done {tested} times.

| package | made | wording | tried | killed | share killed, 95 % interval | survived | explained | killed of the rest |
|---|---|---|---|---|---|---|---|---|
{packages}

*Wording*: changes of texts for people; they are counted apart and not tried. *Explained*: survivors that no test could
notice or need notice, by the reasons below; *killed of the rest* leaves them out. The interval is that of Clopper and
Pearson (Biometrika 26 (1934) 404, exact), of the share among all changes that could be made; where every one was tried
nothing is left to be unsure of, and it says how far so many numbers carry. For the study it no longer speaks of the
changes that were not drawn, since tests were added for those that were; its share before stands below.

## What was tried

{sample}

{how}
Not changed at all: numbers and tables that stand outside functions (the tool makes its change after a module has been
read; `tests/validation` holds these against their sources), compiled loops, and texts in triple quotes. Properties are
taken apart before, so that the tool sees them.
Changes that make the code run without end count as killed.
Left out of the tests: those of speed, two that look at the source itself, and two studies of many bikes that take
minutes each; with these the share killed could only be greater.

## Module by module

| module | made | wording | tried | killed | survived | explained |
|---|---|---|---|---|---|---|
{modules}

## Why some survived

| reason | changes |
|---|---|
{kinds}

Each one stands in `docs/tests/mutants-left.csv` with its reason.

## To repeat it

    python3 tasks.py mutants

It works on a copy in `build/mutation`, takes hours, and goes on where it was stopped. Then it writes the tables
`docs/tests/mutation.csv` and `docs/tests/mutants-left.csv` (`docs/mutation_run.py`), keeping the reasons in the second,
and this page from them (`docs/mutation_page.py`).
"""


def page(counts: Sequence[Row], left: Sequence[Row]) -> str:
    """The page, in Markdown."""
    explained = Counter(row["module"] for row in left if row["why"])
    kinds = Counter(row["why"] for row in left)
    return TEXT.format(
        tested=sum(int(row["tested"]) for row in counts),
        packages="\n".join(
            _package(name, [row for row in counts if package_of(row) == name], explained) for name in PACKAGES
        ),
        sample=_sample(counts),
        how=HOW.read_text("utf-8"),
        modules="\n".join(_module(row, explained) for row in counts if int(row["made"])),
        kinds="\n".join(f"| {text} | {kinds[kind]} |" for kind, text in KINDS.items() if kinds[kind]),
    )


def package_of(row: Row) -> str:
    """Package that a row's module is in."""
    return row["module"].partition("/")[0]


def _package(name: str, rows: Sequence[Row], explained: Counter[str]) -> str:
    made, words, tried, killed = (_sum(rows, column) for column in ("made", WORDS, "tested", KILLED))
    fine = sum(explained[row["module"]] for row in rows)
    cells = (
        name,
        made,
        words,
        tried,
        killed,
        span(killed, tried),
        tried - killed,
        fine,
        f"{killed / (tried - fine):.1%}",
    )
    return f"| {' | '.join(map(str, cells))} |".replace("%", " %")


def span(count: int, of: int) -> str:
    """Share with its interval."""
    low, high = binomtest(count, of).proportion_ci(method="exact")
    return f"{count / of:.1%}, {low:.1%} to {high:.1%}"


def _sample(counts: Sequence[Row]) -> str:
    parts = [row for row in counts if int(row["tested"]) < int(row["made"]) - int(row[WORDS])]
    whole = [row for row in counts if int(row["made"]) and row not in parts]
    lines = [f"* **Every change** of {_names(whole)}."]
    for name in PACKAGES:
        rows = [row for row in parts if package_of(row) == name]
        if rows:
            tried, made = _sum(rows, "tested"), _sum(rows, "made") - _sum(rows, WORDS)
            lines.append(f"* **{tried} of {made}**, drawn at random in each module, of {_names(rows)}.")
    return "\n".join(lines)


def _names(rows: Iterable[Row]) -> str:
    return ", ".join(row["module"] for row in rows)


def _module(row: Row, explained: Counter[str]) -> str:
    left = int(row["tested"]) - int(row[KILLED])
    cells = (row["module"], row["made"], row[WORDS], row["tested"], row[KILLED], left, explained[row["module"]])
    return f"| {' | '.join(map(str, cells))} |"


def _sum(rows: Iterable[Row], column: str) -> int:
    return sum(int(row[column]) for row in rows)


if __name__ == "__main__":
    PAGE.write_text(page(read(COUNTS), read(LEFT)), "utf-8", newline="\n")
