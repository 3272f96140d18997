"""Draw the pictures of the pages: python -m docs.drawings [folder], by default into docs/pictures.

Mechanisms and curves come from the package's own formulas, for the invented bike in `docs.drawing.example`.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

from docs.drawing import answers, controls, helper, house, lifting, plates, road
from docs.drawing.sheet import Sheet

PICTURES = Path(__file__).parent / "pictures"

DRAWINGS: dict[str, Callable[[], Sheet]] = {
    "chain": answers.chain,
    "floor": answers.floor,
    "lever": controls.lever,
    "cable": controls.cable,
    "arm": controls.arm,
    "assist": helper.assist,
    "lift": lifting.lift,
    "springs": lifting.springs,
    "diaphragm": lifting.diaphragm,
    "pack": plates.pack,
    "clearance": plates.clearance,
    "spring-patterns": plates.spring_patterns,
    "demand": road.demand,
    "heat": road.heat,
    "wear": road.wear,
    "budgets": answers.budgets,
    "uncertainty": answers.uncertainty,
    "house": house.house,
}


def main(folder: Path) -> None:
    """Write every drawing into a folder, as SVG."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, draw in DRAWINGS.items():
        (folder / f"{name}.svg").write_text(draw().svg(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else PICTURES)
