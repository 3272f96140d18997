"""The reference page of catalogue files, written from the table of their keys."""

from __future__ import annotations

from clutchwright.changes import CHANGES
from clutchwright.quantity import unit_of
from clutchwright.study.catalogue import DEAREST, GRID, KEYS, MOST_CHOICES
from clutchwright.study.variants import MOST_VARIANTS
from clutchwright.tomlfile.reading import LARGEST

_OPENING = f"""\
# Catalogue files

A catalogue says what could be done to a bike, at what price and in how many hours. `clutchwright study` goes through
every combination of it. It is TOML in UTF-8, at most {LARGEST // 1_000_000} MB; `schema = 1` and a `name` come first.
`clutchwright demo --save-catalogue shop.toml` writes an invented one to put your own prices in.

Each `[[option]]` is one change. It is taken or not:

    schema = 1
    name = "What my garage could do"

    [[option]]
    name = "Oil the cable"
    change = "cable-service"
    price = 4
    hours = 0.7
    parts = ["cable oil"]

    [[option]]
    name = "Longer release arm"
    change = "arm-length"
    length_mm = {{ range = [33, 41] }}
    price = 55
    hours = 1.5

    [[option]]
    name = "Softer springs"
    change = "springs-softer"
    rate_share = {{ values = [0.8, 0.9] }}
    price = 48
    hours = 1
    excludes = ["Washers"]

    [[option]]
    name = "Washers"
    change = "washers"
    thickness_mm = 1

A key that is not in these tables is an error. Options are made in the order in which they stand in the file; an assist
spring comes last.

## Keys of an option

| key | needed | meaning |
|---|---|---|
"""
_VALUES = f"""
## Values of the change

Each value of the change is a key of its own, in the unit at its end:

* a plain number, or for positions a list of whole numbers from 1: `thickness_mm = 1`, `positions = [1, 4]`;
* `{{ values = [..] }}`: one of 1 to {MOST_CHOICES} values, when the option is taken; no value twice;
* `{{ range = [low, high] }}`: any number from low to high. The search knows it by {GRID} values, both ends among them;
  each of the best setups is then moved to where it is lightest.

Only one value of an option may be left open. For more, write more options that exclude each other. Each of lever, line,
arm and clutch may come in up to {MOST_VARIANTS} variants.

## What each change takes

Ranges and what counts where a value is not given: [changes](changes.md).

| change | what it is | values |
|---|---|---|
"""


def reference_page() -> str:
    """Reference of catalogue files.

    Returns
    -------
    str
        Markdown, for docs/reference/catalogue-file.md.
    """
    keys = "".join(f"| `{key}` | {'yes' if key in ('name', 'change') else ''} | {KEYS[key]} |\n" for key in KEYS)
    amounts = f"\nA price or time is a number from 0 to {DEAREST:.0f} with at most three decimals.\n"
    return f"{_OPENING}{keys}{amounts}{_VALUES}{''.join(map(_row, CHANGES))}"


def _row(kind: str) -> str:
    change = CHANGES[kind]
    values = (
        f"`{value.name}`{' (needed)' if value.default is None else ''}{_unit(value.name)}"
        for value in change.parameters
    )
    return f"| [`{kind}`](changes.md#{kind}) | {change.title} | {', '.join(values)} |\n"


def _unit(name: str) -> str:
    return f" [{unit_of(name)}]" if unit_of(name) else ""
