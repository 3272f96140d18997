"""Fit 500 synthetic bikes and count how often the 90 % intervals hold the truth.

    python -m docs.bench_coverage            count anew; some twenty minutes on one core
    python -m docs.bench_coverage BIKES      the same with so many bikes
    python -m docs.bench_coverage --page     picture and page alone, from the counts

Writes docs/bench/coverage.csv and from it docs/bench/coverage.md and docs/pictures/bench-coverage.svg.
"""

from __future__ import annotations

import csv
import math
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from clutchwright import usecases
from clutchwright.numbers import decimal_text
from clutchwright.picture import marks
from clutchwright.picture.look import WIDE, render
from tests.bench_simulation import PLAN, covered

if TYPE_CHECKING:
    import altair as alt

FOLDER = Path(__file__).parent
TABLE, PAGE = FOLDER / "bench" / "coverage.csv", FOLDER / "bench" / "coverage.md"
PICTURE = FOLDER / "pictures" / "bench-coverage.svg"
LEVEL, ASKED = 0.9, (0.87, 0.93)
SEED = 2
_ROW, _LEFT = 22.0, 210
_ENDS = (-1.0, ASKED[0]), (1.0, ASKED[1])


def run(bikes: int) -> dict[str, int]:
    """Number of bikes whose true value lies in its interval, by key."""
    bike, held = usecases.read_demo(), {}
    for number in range(bikes):
        for key, inside in covered(bike, PLAN, (SEED, number)).items():
            held[key] = held.get(key, 0) + inside
        if sys.stderr.isatty():
            print(f"\r{number + 1} of {bikes}", end="", file=sys.stderr)
    return held


def picture(shares: dict[str, float], bikes: int) -> alt.LayerChart:
    """A dot for each unknown, over the band that is asked for."""
    import altair as alt

    places = {key: place * _ROW for place, key in enumerate(shares)}
    height, chance = _ROW * len(shares), math.sqrt(LEVEL * (1.0 - LEVEL) / bikes)
    x = alt.X(
        "x:Q", title="share of intervals that hold the truth, %", scale=alt.Scale(domain=[80.0, 100.0], nice=False)
    )
    y = alt.Y("y:Q", title=None, scale=alt.Scale(domain=[height, 0.0], nice=False), axis=None)
    dots = [{"x": 100.0 * share, "y": places[key] + 0.5 * _ROW} for key, share in shares.items()]
    ends = [dot | {"x": dot["x"] - 100.0 * chance, "x2": dot["x"] + 100.0 * chance, "y2": dot["y"]} for dot in dots]
    names = [{"y": dot["y"], "text": key} for key, dot in zip(shares, dots, strict=True)]
    band = {"x": 100.0 * ASKED[0], "x2": 100.0 * ASKED[1], "y": 0.0, "y2": height}
    layers = [
        marks.areas([band], "bite", x, y),
        marks.chart([{"x": 100.0 * LEVEL}]).mark_rule(strokeWidth=1.0, opacity=0.5).encode(x=x),
        marks.rules(ends, "pull", x, y, strokeWidth=1.5),
        marks.chart(dots).mark_point(filled=True, size=50, opacity=1.0, color="#0b5a7d").encode(x=x, y=y),
        marks.texts(names, "ink", marks.fixed(-8), y, align="right"),
    ]
    subtitle = (
        f"{bikes} synthetic bikes, 90 % intervals; shaded: 87 to 93 %; bars: one standard uncertainty of the count"
    )
    title = alt.Title("How often the intervals hold the truth", subtitle=subtitle, anchor="start", frame="bounds")
    return alt.LayerChart(layer=layers, width=WIDE - _LEFT, height=height, title=title)


def read() -> tuple[dict[str, float], int]:
    """Shares by key, and how many bikes, from the table."""
    with TABLE.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    return {row["key"]: int(row["held"]) / int(row["bikes"]) for row in rows}, int(rows[0]["bikes"])


TEXT = """# How often the fit's intervals hold the truth

{bikes} synthetic bikes are drawn as the file of the invented bike "Six springs and a rack" lets them be, each read as
a patient owner would ({readings} readings) with instruments that err as they say, and fitted. Of each unknown that the
readings touch, the interval from the 5 to the 95 % quantile should hold the true value on 90 of 100 bikes.

{inside} of {count} unknowns lie between 87 and 93 %; all together it is {mean}. With so many bikes the share of an
honest interval lies between {low} and {high} in 19 of 20 cases (binomial).

![How often the intervals hold the truth](../pictures/bench-coverage.svg)

| unknown | intervals that hold the truth |
|---|---|
{rows}

**Where it falls short.** {outside}

What it does not show: a bike of another kind, instruments worse than they claim, or a bike file that is wrong.

Counts: `docs/bench/coverage.csv`; written by `docs/bench_coverage.py`.
"""


def page(shares: dict[str, float], bikes: int) -> str:
    """The page, in Markdown."""
    spread = 1.96 * math.sqrt(LEVEL * (1.0 - LEVEL) / bikes)
    low, high = ([key for key, share in shares.items() if sign * (share - end) > 0.0] for sign, end in _ENDS)
    return TEXT.format(
        bikes=bikes,
        readings=len(PLAN),
        inside=sum(ASKED[0] <= share <= ASKED[1] for share in shares.values()),
        count=len(shares),
        mean=_percent(sum(shares.values()) / len(shares)),
        low=_percent(LEVEL - spread),
        high=_percent(LEVEL + spread),
        outside=f"Too seldom: {_listed(low)}. Too often: {_listed(high)}.",
        rows="\n".join(f"| `{key}` | {_percent(share)} |" for key, share in shares.items()),
    )


def _listed(keys: list[str]) -> str:
    return ", ".join(f"`{key}`" for key in keys) or "none"


def _percent(share: float) -> str:
    return f"{100.0 * share:.1f} %"


def count_anew(bikes: int) -> None:
    """Run, and write the counts."""
    held = run(bikes)
    rows = [f"{key},{count},{bikes},{decimal_text(count / bikes, 3)}" for key, count in held.items()]
    TABLE.write_text("\n".join(["key,held,bikes,share", *rows]) + "\n", "utf-8", newline="\n")


if __name__ == "__main__":
    words = sys.argv[1:]
    if "--page" not in words:
        count_anew(int(words[0]) if words else 500)
    PAGE.write_text(page(*read()), "utf-8", newline="\n")
    PICTURE.write_bytes(render(picture(*read()), "svg"))
