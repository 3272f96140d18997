"""The house of the code: layers of the contract as floors, modules as rooms, and the way of one number up."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from docs.drawing.sheet import Sheet

ROOT = Path(__file__).parents[2]
PACKAGE = "src/clutchwright/"
LEFT, WIDTH, FLOOR = 8.0, 216.0, 34.0
STAIRS = LEFT + WIDTH + 20.0
WIDEST = 3  # rooms side by side


def floors() -> list[list[str]]:
    """Rooms of each floor, from the top: the layers that the imports are held to, as far as they are built."""
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["importlinter"]["contracts"]
    layers = next(contract["layers"] for contract in contracts if contract["type"] == "layers")
    built = {path.stem for path in (ROOT / PACKAGE).iterdir() if not path.name.startswith("_")}
    named = ([name for name in re.findall(r"\w+", layer) if name in built] for layer in layers)
    return [names for names in named if names]


def way() -> list[str]:
    """Files of the package that one number goes through, from the bike file on, as the page lists them."""
    text = (ROOT / "docs" / "how-this-house-is-built.md").read_text("utf-8")
    return re.findall(rf"^\d\. `{PACKAGE}([\w./-]+)`", text, re.MULTILINE)


def room(file: str) -> str:
    """Room that a file of the package lies in."""
    return file.partition("/")[0].removesuffix(".py")


def rows(rooms: list[str], stops: list[str]) -> list[list[str]]:
    """A floor's rooms in rows from the top; those that the number stops at end a row each, the first of them lowest."""
    ends = [name for name in reversed(stops) if name in rooms]
    others = [name for name in rooms if name not in stops]
    count = max(len(ends), -(-len(rooms) // WIDEST))
    return [others[index::count] + ends[index : index + 1] for index in range(count)]


def house() -> Sheet:
    """The layers as floors, and the pull at the finger on its way from the bike file to the page."""
    files = way()
    stops = [room(file) for file in files]
    plan = [rows(rooms, stops) for rooms in floors()]
    height = 92 + sum(FLOOR * len(floor) + 6 for floor in plan) + 64
    sheet = Sheet(356, int(height), "The layers of the code as floors, and the way of one number up through five files")
    sheet.polygon([(LEFT - 6, 86), (LEFT + WIDTH / 2, 34), (LEFT + WIDTH + 6, 86)], "grid-fill grey w1")
    sheet.text((LEFT + WIDTH / 2, 79), "imports go down only", "grey", "middle")
    marks = {}
    top = 92.0
    for floor in plan:
        for row in floor:
            _row(sheet, top, row, stops)
            marks |= dict.fromkeys(row, top + FLOOR / 2)
            top += FLOOR
        top += 6
    marks[stops[0]] = top + 26
    sheet.line((4, top), (352, top), "ink w2")
    _stairs(sheet, [(marks[stop], file) for stop, file in zip(stops, files, strict=True)])
    return sheet


def _row(sheet: Sheet, top: float, names: list[str], stops: list[str]) -> None:
    """Draw the rooms of one row."""
    wide = WIDTH / len(names)
    for index, name in enumerate(names):
        x = LEFT + index * wide
        sheet.rect((x, top), (wide, FLOOR), "force-shade" if name in stops else "grid-fill")
        sheet.rect((x, top), (wide, FLOOR), "grey w1")
        sheet.text((x + wide / 2, top + FLOOR / 2 + 5), name, "ink bold" if name in stops else "ink", "middle")


def _stairs(sheet: Sheet, stops: list[tuple[float, str]]) -> None:
    """Draw the way up, a number at each file and an arrow between."""
    sheet.text((STAIRS + 18, 40), "on the page", "force bold", "middle")
    ends = [y for y, _ in stops] + [40.0]
    for index, (y, file) in enumerate(stops):
        sheet.arrow((STAIRS, y - 13), (STAIRS, ends[index + 1] + 14), "force w2")
        sheet.circle((STAIRS, y), 11, "force-fill")
        sheet.text((STAIRS, y + 5), str(index + 1), "paper bold", "middle")
        if index:
            sheet.line((LEFT + WIDTH, y), (STAIRS - 11, y), "force w2")
            sheet.text((STAIRS + 16, y + 5), file.rpartition("/")[2], "force small")
        else:
            sheet.text((STAIRS - 17, y + 5), file, "force", "end")
