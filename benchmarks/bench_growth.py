"""Time against the size of the problem: python -m benchmarks.bench_growth [SHARE]. Exit status 1 above an exponent.

SHARE of the full sizes, 1 unless given. Each time is the least of some repeats, the sizes in turn, so that other
programs slow all of them. The exponent is the slope of a straight line through the points, both axes logarithmic. With
--keep the points are written to growth.csv.
"""

import csv
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from benchmarks.bench_search import SAMPLES, Setups
from benchmarks.table import FOLDER, KEEP, Row, run, seconds, stamp
from clutchwright import usecases
from clutchwright.manybikes import Request, study_bikes
from clutchwright.study.compiled import judge
from clutchwright.study.limits import Limits
from clutchwright.study.outcomes import outcomes
from clutchwright.study.tolerance import random_values

POINTS = FOLDER / "growth.csv"
COLUMNS = ["problem", "size", "seconds"]
MOST = 1.1
BIKE = usecases.read_demo()
POSITIONS = 193


@dataclass(frozen=True, slots=True)
class Problem:
    """A kind of problem in several sizes.

    Parameters
    ----------
    name : str
        What grows.
    sizes : tuple of int
        How many of it.
    job : callable
        From a size to what is timed.
    repeats : int
        Least of so many times.
    warm : bool
        Whether once more is done before, which jobs in processes of their own do not need.
    """

    name: str
    sizes: tuple[int, ...]
    job: Callable[[int], Callable[[], object]]
    repeats: int = 5
    warm: bool = True

    def timed(self) -> list[float]:
        """A time for each size [s]."""
        return seconds(*map(self.job, self.sizes), repeats=self.repeats, warm=self.warm)


def exponent(sizes: tuple[int, ...], times: list[float]) -> float:
    """Slope of the line through the points, both axes logarithmic."""
    return float(np.polyfit(np.log(sizes), np.log(times), 1)[0])


def bikes(size: int) -> Callable[[], object]:
    """The whole stroke, and all figures, of so many possible bikes times positions."""
    count = size // POSITIONS
    values = random_values(BIKE.quantities, count, np.random.default_rng(1))
    return lambda: outcomes(BIKE, (), values, size=count)


def judged(size: int, **parts: int) -> Callable[[], object]:
    """Each setup held against so many possible bikes."""
    task = Setups(size, **parts).task()
    return lambda: judge(task)


def studied(count: int) -> None:
    """So many bike files, on all cores, the start of the processes included."""
    request = Request(usecases.demo_catalogue_text(), (), Limits(0.05, 0.05), None, None, samples=256, seed=1)
    with tempfile.TemporaryDirectory() as folder:
        files = [Path(folder) / f"{number}.toml" for number in range(count)]
        for path in files:
            path.write_text(usecases.demo_text(usecases.DEMOS[0]), "utf-8")
        done = list(study_bikes(files, request, Path(folder) / "out"))
    assert [each.state for each in done] == ["studied"] * count


def problems(share: float) -> tuple[Problem, ...]:
    """What is measured."""
    levers = max(int(100 * share), 20)
    many = max(int(2 * share), 1)
    return (
        Problem("possible bikes x positions", tuple(POSITIONS * 4**power for power in range(3, 8)), bikes),
        Problem(
            f"setups, judged on {SAMPLES:,} bikes",
            tuple(5 * lines * levers for lines in (10, 20, 40, 80)),
            lambda size: judged(SAMPLES, arms=5, lines=size // (5 * levers), levers=levers),
        ),
        Problem(
            f"possible bikes, {50 * levers:,} setups judged",
            (2048, 4096, 8192, 16384),
            lambda size: judged(size, arms=5, lines=10, levers=levers),
        ),
        Problem(
            "bike files of a study",
            tuple(many * 2**power for power in range(4)),
            lambda n: lambda: studied(n),
            1,
            False,
        ),
    )


def rows(share: float) -> Iterator[Row]:
    """The exponents."""
    points = []
    head = stamp()
    for problem in problems(share):
        times = problem.timed()
        points += [
            [*head.values(), problem.name, size, f"{t:.4g}"] for size, t in zip(problem.sizes, times, strict=True)
        ]
        yield Row(f"{problem.name}, growth exponent", exponent(problem.sizes, times), "", MOST)
    if KEEP in sys.argv:
        with POINTS.open("w", encoding="utf-8", newline="") as lines:
            csv.writer(lines, lineterminator="\n").writerows([[*head, *COLUMNS], *points])


if __name__ == "__main__":
    sys.exit(run(rows, 1.0))
