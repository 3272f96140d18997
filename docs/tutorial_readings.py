"""Take the readings of the tutorial on an invented bike: python -m docs.tutorial_readings.

Writes the files of readings in docs/tutorial/. The bike behind them differs a little from its file, as any bike does,
its cable has run dry, and each change does a little more or less than it says. Instruments err as they say.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from clutchwright.bikefile import MeasuredBike
from clutchwright.calibrate.forward import predicted, situation
from clutchwright.changes import Step, parse
from clutchwright.readings import KINDS
from clutchwright.usecases import read_bike
from tests.bench_simulation import Tools, empty

FOLDER = Path(__file__).parent / "tutorial"
SEED = 5
GRAVITY = 9.80665  # m/s2, standard gravity, CGPM 1901
# What the bike is in truth, where that is not what its file says.
TRUTH = {
    "lever.finger_radius_mm": 78.6,
    "lever.free_play_mm": 3.2,
    "lever.cable_angle_deg": 84.0,
    "cable.bend_deg": 138.0,
    "cable.friction": 0.29,
    "cable.drag_N": 2.4,
    "cable.compliance_mm_per_N": 0.0036,
    "arm.cable_angle_deg": 79.5,
    "lift.thread_friction": 0.12,
    "springs.rate_N_per_mm": 22.8,
    "springs.free_length_mm": 40.45,
    "pack.compression_mm": 0.23,
}
SERVICE = "cable-service:friction=0.095"
SCREW = "reach-screw:rest_span_mm=85.5"
ARM = "arm-length:length_mm=37.8"


@dataclass(frozen=True)
class Block:
    """One block of a file: what is read, and where.

    Parameters
    ----------
    title : str
        Comment above it.
    position : str
        Where the others are read, with its unit; empty where they stand for themselves.
    columns : tuple of str
        What is read, with units.
    places : tuple of float
        Shown places; each is read twice.
    """

    title: str
    position: str
    columns: tuple[str, ...]
    places: tuple[float, ...] = (0.0,)


LEVER = ("hook_pull_kg", "hook_return_kg")
FULL = (
    Block("The lever, as it stands", "travel_mm", LEVER, (0.9, 6, 12, 18, 24, 29, 35, 41, 47)),
    Block("What reaches the arm", "travel_mm", ("arm_travel_mm",), (12, 24, 35, 47)),
    Block("The cable alone", "weight_kg", ("cable_pull_kg", "cable_return_kg"), (2, 5)),
    Block("The arm alone", "arm_turn_deg", ("arm_pull_kg", "arm_return_kg"), (4, 8, 12)),
)
SHORT = (
    Block("The lever, as it stands", "travel_mm", LEVER, (0.9, 8, 14, 20, 26, 32, 38, 44)),
    Block("What reaches the arm", "travel_mm", ("arm_travel_mm",), (14, 26, 38)),
)
FILES: dict[str, tuple[str, tuple[Block, ...], tuple[str, ...]]] = {
    "before": ("before anything was changed", FULL, ()),
    "after-1": ("after the cable was oiled", SHORT, (SERVICE,)),
    "after-2": ("after the reach screw was turned", SHORT, (SERVICE, SCREW)),
    "after-3": ("after the longer arm was fitted", FULL, (SERVICE, SCREW, ARM)),
    "half-year": ("half a year later", SHORT, (SERVICE.replace("0.095", "0.21"), SCREW, ARM)),
}


def shown(
    bike: MeasuredBike, truth: Mapping[str, float], steps: Sequence[Step], block: Block, tools: Tools
) -> list[list[str]]:
    """Rows of a block: the place, and what the instruments show there."""
    values = {key: np.array([[value]]) for key, value in truth.items()}
    position = block.position.rpartition("_")[0]
    rows = []
    for place in (place for place in block.places for _ in range(2)):
        at = place * GRAVITY if position == "weight" else place
        row = [f"{place:g}"]
        for column in block.columns:
            name, _, unit = column.rpartition("_")
            reading = empty(name, position, at, 0)
            true_at = max(tools.stand(reading.at_instrument, reading.at), 0.0)
            now = situation(bike, values, steps, max(true_at, reading.at) if position == "travel" else 0.0)
            true = float(predicted(now, name, position, np.array([[true_at]]), 0)[0, 0])
            read = tools.show(reading.instrument, true, KINDS[name, position].between)
            row.append(f"{read / GRAVITY:.2f}" if unit == "kg" else f"{1e3 * read:.2f}")
        rows.append(row)
    return rows


TOOLS = {"travel": "ruler,1", "weight": "kitchen scale,0.001", "arm_turn": "protractor,1"}


def written(
    bike: MeasuredBike,
    truth: Mapping[str, float],
    tools: Tools,
    title: str,
    blocks: Sequence[Block] = SHORT,
    changes: Sequence[str] = (),
) -> str:
    """A file of readings of a bike that is in truth what its file says, but for some values."""
    steps = tuple(parse(change) for change in changes)
    lines = [f'# Invented readings of the invented bike "{bike.name}", {title}. No real machine showed these numbers.']
    for block in blocks:
        tool, step = TOOLS[block.position.rpartition("_")[0]].split(",")
        usual = ["calliper" if column.endswith("_mm") else "luggage scale" for column in block.columns]
        lines += ["", f"# {block.title}", ",".join(["note", block.position, *block.columns])]
        lines += [",".join(["instrument", tool, *usual]), ",".join(["resolution", step, *["0.05"] * len(usual)])]
        lines += ["," + ",".join(row) for row in shown(bike, truth, steps, block, tools)]
    return "\n".join(lines) + "\n"


def texts() -> dict[str, str]:
    """All files of readings by name, the same instruments in all."""
    bike = read_bike(FOLDER / "bike.toml")
    tools = Tools(np.random.default_rng(SEED))
    return {f"{name}.csv": written(bike, TRUTH, tools, *what) for name, what in FILES.items()}


if __name__ == "__main__":
    for name, text in texts().items():
        (FOLDER / name).write_text(text, "utf-8")
