"""Write the page of speed and its picture from the kept figures: python -m docs.speed_page.

The figures are those of `python3 tasks.py bench --keep`, in benchmarks/results.csv and benchmarks/growth.csv.
"""

from __future__ import annotations

import csv
import math
from itertools import groupby
from pathlib import Path

import numpy as np

from benchmarks.bench_growth import MOST, POINTS, exponent
from benchmarks.table import LOSS, digits, kept
from docs.drawing.chart import Chart
from docs.drawing.sheet import Sheet

FOLDER = Path(__file__).parent
PAGE, PICTURE = FOLDER / "tests" / "speed.md", FOLDER / "pictures" / "growth.svg"
PANEL, GAP, EDGE = (320, 190), (100, 110), (70, 60)
Growth = dict[str, tuple[tuple[int, ...], list[float]]]

TEXT = """# How fast it is

{count} benchmarks, each held against a limit or against another program that does the same job in the same run, in turn
with ours, so that a busy machine slows both. Each such comparison first checks that both give the same answer.

{machine}. Version {version} at {commit}, {date} UTC; before it began, {load} programs wanted a core.

| benchmark | figure | limit or rival | ratio | |
|---|---|---|---|---|
{rows}

A ratio is figure over limit, or our time over the rival's: below 1 is good. {missed}

**What the figures mean.** Times are the least of some repeats, after warming up, save those of the workbench, which are
medians over moves of a slider. "Whole process" includes the start of Python. The rivals are programs for every purpose,
used as their pages say: plain numpy, a loop in C tuned by hand for this processor, scipy's root finder, MuJoCo (a
simulator of rigid bodies, which has more to do: it lets the parts move until they rest), OpenTURNS (uncertainties; it
asks our model for its values) and emcee (a sampler). None of this shows a rival to be slow at anything else.

## How time grows with the problem

![Time against size, both axes logarithmic](../pictures/growth.svg)

| what grows | from | to | exponent |
|---|---|---|---|
{growth}

An exponent of 1 says that twice as much takes twice as long; asked for is at most {most:g}. A study of bike files
starts a process for each core first, so that few files cost more apiece than many.

## Do it again

    python3 tasks.py bench           compares with the last kept figures of the same processor
    python3 tasks.py bench --keep    keeps the new ones as well: benchmarks/results.csv, benchmarks/growth.csv
    python3 tasks.py docs            writes this page from them

A figure more than {loss:.0f} % worse than the last kept one is marked "loss". Keep figures of an idle machine only. One
benchmark alone, and smaller: `python -m benchmarks.bench_search 0.1`.
"""


def last_run() -> list[dict[str, str]]:
    """Rows of the last kept run."""
    rows = kept()
    return [row for row in rows if (row["commit"], row["date"]) == (rows[-1]["commit"], rows[-1]["date"])]


def growth() -> Growth:
    """Sizes and times [s] by problem."""
    with POINTS.open(encoding="utf-8", newline="") as lines:
        points = list(csv.DictReader(lines))
    return {
        name: (tuple(int(each["size"]) for each in rows), [float(each["seconds"]) for each in rows])
        for name, rows in ((name, list(rows)) for name, rows in groupby(points, key=lambda row: row["problem"]))
    }


def page() -> str:
    """The page, in Markdown."""
    rows = last_run()
    missed = [row["benchmark"] for row in rows if row["state"]]
    return TEXT.format(
        **{key: rows[0][key] for key in ("machine", "version", "commit", "date", "load")},
        count=len(rows),
        rows="\n".join(map(_line, rows)),
        missed=f"What falls short: {', '.join(missed)}." if missed else "Nothing falls short.",
        growth="\n".join(_grown(name, *found) for name, found in growth().items()),
        most=MOST,
        loss=100.0 * (LOSS - 1.0),
    )


def _line(row: dict[str, str]) -> str:
    against = row["limit"] and f"{row['rival'] or 'limit'} {row['limit']} {row['unit']}".strip()
    figure = f"{digits(float(row['figure']))} {row['unit']}".strip()
    return f"| {row['benchmark']} | {figure} | {against} | {row['ratio']} | {row['state']} |"


def _grown(name: str, sizes: tuple[int, ...], times: list[float]) -> str:
    ends = (f"{size:,}: {digits(1e3 * took)} ms" for size, took in ((sizes[0], times[0]), (sizes[-1], times[-1])))
    return f"| {name} | {' | '.join(ends)} | {exponent(sizes, times):.2f} |"


def picture() -> str:
    """The points and the line through them, a panel for each problem."""
    found = growth()
    down = math.ceil(len(found) / 2)
    size = [2 * EDGE[i] + (2, down)[i] * PANEL[i] + (1, down - 1)[i] * GAP[i] for i in range(2)]
    sheet = Sheet(*size, "Time against size of the problem, both axes logarithmic")
    for place, (name, (sizes, times)) in enumerate(found.items()):
        corner = [EDGE[i] + (place % 2, place // 2)[i] * (PANEL[i] + GAP[i]) for i in range(2)]
        _panel(sheet, (corner[0], corner[1]), name, sizes, times)
    return sheet.svg()


def _panel(sheet: Sheet, corner: tuple[float, float], name: str, sizes: tuple[int, ...], times: list[float]) -> None:
    x, y = np.log10(sizes), np.log10(times)
    steps = [10.0**power * part for power in range(-5, 4) for part in (1, 2, 5)]
    low = max((step for step in steps if step <= min(times)), default=steps[0])
    high = min((step for step in steps if step >= max(times)), default=steps[-1])
    chart = Chart(sheet, corner, PANEL, (x[0] - 0.1, x[-1] + 0.1), (math.log10(low), math.log10(high)))
    left, bottom = corner[0], corner[1] + PANEL[1]
    for step in steps:
        if low <= step <= high:
            _, level = chart.spot(x[0], math.log10(step))
            sheet.line((left, level), (left + PANEL[0], level), "grid w1")
            sheet.text((left - 7, level + 4.5), _duration(step), "grey small", "end")
    for place, each in zip(x, sizes, strict=True):
        across, _ = chart.spot(place, y[0])
        sheet.line((across, bottom), (across, bottom + 5), "grey w1")
        sheet.text((across, bottom + 19), f"{each:,}", "grey small", "middle")
    slope, start = np.polyfit(x, y, 1)
    chart.curve(x, slope * x + start, "travel w2")
    for point in zip(x, y, strict=True):
        chart.dot(*point)
    sheet.text((left, corner[1] - 14), f"{name}: exponent {slope:.2f}", "ink small bold")


def _duration(seconds: float) -> str:
    return f"{seconds:g} s" if seconds >= 1.0 else f"{1e3 * seconds:g} ms"


if __name__ == "__main__":
    PAGE.write_text(page(), "utf-8", newline="\n")
    PICTURE.write_text(picture(), "utf-8", newline="\n")
