"""Time the search: python -m benchmarks.bench_search [SHARE]. Exit status 1 when a goal is missed.

SHARE of the full sizes, 1 unless given; the goals are for 1. Each time is the least of some repeats, after warming up.
What is compared is timed in turn, so that other programs slow both. Every comparison first shows that the answers are
equal. Without OpenTURNS or a C compiler its row says nan.
"""

import ctypes
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from math import nan, prod
from pathlib import Path

import numpy as np
from numba import njit

from benchmarks.table import LINES, Row, as_installed, parsed, run, seconds
from clutchwright import usecases
from clutchwright.bikefile import assemble
from clutchwright.chain import shaft_moment
from clutchwright.changes import Step, find
from clutchwright.physics import PULL
from clutchwright.quantity import Array, Quantity
from clutchwright.study.catalogue import Catalogue, Option
from clutchwright.study.compiled import count_above, judge
from clutchwright.study.components import _glance, column, release_angle, release_columns
from clutchwright.study.kernel import judge_plainly
from clutchwright.study.search import search
from clutchwright.study.task import Levers, Lines, Task
from clutchwright.study.tolerance import Sample, random_values

SAMPLES = 4096
REPEATS = 5
WIDELY = "--wide"

# kind, parameter, values from, to, how many, price, hours, other parameters
Line = tuple[str, str, float, float, int, float, float, dict[str, float]]
WIDE: tuple[Line, ...] = (
    ("perch-shift", "shift_mm", 5, 40, 9, 0, 0.3, {}),
    ("reach-screw", "rest_span_mm", 70, 80, 6, 0, 0.1, {}),
    ("free-play", "free_play_mm", 1.5, 4, 4, 0, 0.1, {}),
    ("cable-radius", "radius_mm", 20, 26, 5, 65, 0.5, {}),
    ("cable-service", "friction", 0.06, 0.08, 2, 4, 0.7, {}),
    ("cable-routing", "bend_deg", 80, 120, 3, 0, 0.5, {}),
    ("cable-stiffer", "compliance_share", 0.4, 0.8, 3, 45, 0.7, {}),
    ("arm-length", "length_mm", 33, 44, 8, 55, 1.5, {}),
    ("springs-softer", "rate_share", 0.6, 0.95, 8, 48, 1, {}),
    ("washers", "thickness_mm", 0.25, 2, 6, 3, 1, {"outer_mm": 11}),
    ("plates", "friction_share", 1.05, 1.2, 4, 140, 2, {}),
    ("plates", "friction_share", 1.0, 1.0, 1, 90, 2, {"extra_pairs": 1}),
    ("springs-softer", "rate_share", 0.97, 0.97, 1, 20, 1, {}),
)
NARROW: tuple[Line, ...] = (
    ("perch-shift", "shift_mm", 5, 40, 9, 0, 0.3, {}),
    ("cable-radius", "radius_mm", 22, 26, 9, 65, 0.5, {}),
    ("cable-service", "friction", 0.05, 0.08, 4, 4, 0.7, {}),
    ("cable-stiffer", "compliance_share", 0.2, 0.8, 4, 45, 0.7, {}),
    ("arm-length", "length_mm", 33, 37, 4, 55, 1.5, {}),
    ("springs-softer", "rate_share", 0.8, 0.95, 3, 48, 1, {}),
    ("washers", "thickness_mm", 0.25, 1, 4, 3, 1, {"outer_mm": 11}),
)
DEMO = usecases.read_demo()
# the demo bike with some grip to spend
BIKE = replace(DEMO, quantities={**DEMO.quantities, "drive.engine_torque_Nm": Quantity(20.0, 1.0)})


def options(lines: tuple[Line, ...], name: str) -> Catalogue:
    made = []
    for number, (kind, key, low, high, count, price, hours, rest) in enumerate(lines):
        change = find(kind)
        steps = tuple(Step(kind, change.check({key: float(v), **rest})) for v in np.linspace(low, high, count))
        made.append(Option(f"{kind} {number}", steps, price, hours, True))
    return Catalogue(name, tuple(made))


def sample(size: int) -> Sample:
    return Sample(1, size, random_values(BIKE.quantities, size, np.random.default_rng(1)))


class Setups:
    """One clutch with some arms, lines and levers, each other by some factor from the demo bike's own."""

    def __init__(self, size: int, *, arms: int, lines: int, levers: int) -> None:
        self.size, rng = size, np.random.default_rng(2)
        self.bike = assemble(BIKE, sample(size).values)
        self.arms = [replace(self.bike.arm, length=self.bike.arm.length * f) for f in np.linspace(0.9, 1.2, arms)]
        angle = release_angle(self.bike)
        self.angle, self.moment = column(angle, size), column(shaft_moment(self.bike, angle, PULL), size)
        line, lever = self.bike.line, self.bike.lever
        self.ratio = np.outer(np.linspace(1.0, 1.1, lines), np.ones(size))
        self.give = np.outer(np.linspace(0.5, 1.0, lines), column(line.stretch(1.0, 1.0), size))
        draw = column(lever.full_draw - lever.free_draw, size)
        self.draw = np.sort(rng.uniform(0.8, 1.3, levers))[:, np.newaxis] * draw
        self.count = arms * lines * levers

    @property
    def pairs(self) -> Iterator[tuple[int, int, int]]:
        return ((a, k, v) for a in range(len(self.arms)) for k in range(len(self.ratio)) for v in range(len(self.draw)))

    def ours(self) -> Array:
        """How many possible bikes do not release, by setup."""
        return judge(self.task()).failed

    def task(self) -> Task:
        """All of it, so that none is passed over."""
        pairs, levers = len(self.arms) * len(self.ratio), len(self.draw)
        move, pull = release_columns(self.bike, self.arms, self.size)
        row = np.arange(levers)
        by_line = Lines(self.ratio, self.give, np.full((pairs, 1), np.inf), np.zeros((pairs, 1)))
        light = np.zeros(levers)
        by_lever = Levers(
            self.draw, row, self.draw[:, 0], light, light, 0 * light, 0 * row, *_glance(self.draw, row, self.size)
        )
        return Task(move, pull, by_line, by_lever, np.full((pairs, 1), np.inf), self.size)

    def inputs(self, arm: int, line: int, lever: int) -> tuple[Array, ...]:
        """The numbers of one setup, all of shape (samples,)."""
        stage = self.arms[arm]
        length, square = column(stage.length, self.size), column(stage.cable_angle, self.size)
        return self.angle, self.moment, length, square, self.ratio[line], self.give[line], self.draw[lever]

    def by_numpy(self, chosen: list[tuple[int, int, int]]) -> list[int]:
        """The same as one reads it in the formula, one setup after the other."""
        return [int(np.count_nonzero(short(*self.inputs(*each)) > 0.0)) for each in chosen]

    def by_openturns(self, chosen: list[tuple[int, int, int]], function: object) -> list[int]:
        """The same with OpenTURNS asking for the values."""
        import openturns as ot

        counts = []
        for each in chosen:
            points = ot.Sample(np.stack(self.inputs(*each), axis=1))
            counts.append(int(np.count_nonzero(np.asarray(function(points)) > 0.0)))  # type: ignore[operator]
        return counts


def short(angle: Array, moment: Array, length: Array, square: Array, ratio: Array, give: Array, draw: Array) -> Array:
    """Cable that is missing at the lever where the clutch is released [m]."""
    move = length * (np.cos(square) - np.cos(square + angle))
    pull = np.maximum(moment / (length * np.sin(square + angle)), 0.0)
    return ratio * (move + give * pull) - draw


FORMULA = "q * (l * (cos(s) - cos(s + a)) + g * max(m / (l * sin(s + a)), 0)) - d"


def compared(share: float) -> list[Row]:
    """Ours against plain numpy and OpenTURNS."""
    setups = Setups(SAMPLES, arms=5, lines=10, levers=max(int(400 * share), 20))
    every = list(setups.pairs)
    chosen = every[:: max(len(every) // 300, 1)]
    ours = setups.ours()
    expected = [int(ours[every.index(each)]) for each in chosen]
    assert setups.by_numpy(chosen) == expected
    jobs: list[Callable[[], object]] = [setups.ours, lambda: setups.by_numpy(chosen)]
    plainly = setups.task()
    jobs.append(lambda: judge_plainly(plainly))
    try:
        import openturns as ot
    except ImportError:
        functions = []
    else:
        functions = [
            ot.SymbolicFunction(["a", "m", "l", "s", "q", "g", "d"], [FORMULA]),
            ot.PythonFunction(7, 1, func_sample=lambda points: short(*np.asarray(points).T)[:, np.newaxis]),
        ]
    for function in functions:
        # the last digits of the symbols may differ
        assert np.max(np.abs(np.subtract(setups.by_openturns(chosen, function), expected))) <= 1
        jobs.append(lambda function=function: setups.by_openturns(chosen, function))
    times = iter(seconds(*jobs, repeats=REPEATS))
    own = 1e6 * next(times) / setups.count
    one, all_parts = 1e6 / len(chosen), 1e6 / setups.count
    ours = f"a setup x {SAMPLES:,} bikes"
    return [
        Row(ours, own, "us", 10.0),
        Row(ours, own, "us", one * next(times), "numpy, the formula", 0.1),
        Row(ours, own, "us", all_parts * next(times), "numpy, all parts worked out before"),
        Row(ours, own, "us", one * next(times, nan), "OpenTURNS, its own formula", 0.02),
        Row(ours, own, "us", one * next(times, nan), "OpenTURNS, our formula", 0.02),
    ]


HAND_TUNED = """
#include <stddef.h>
/* Eight sums side by side, so that no addition waits for the one before. */
void count(const double *need, const double *draw, size_t rows, size_t size, int *out) {
    for (size_t row = 0; row < rows; row++) {
        const double *d = draw + row * size;
        long long sum[8] = {0};
        for (size_t i = 0; i + 8 <= size; i += 8)
            for (int k = 0; k < 8; k++) sum[k] += need[i + k] > d[i + k];
        out[row] = (int)(sum[0] + sum[1] + sum[2] + sum[3] + sum[4] + sum[5] + sum[6] + sum[7]);
    }
}
"""


def hand_tuned() -> Row:
    """Our inner loop on one core against one in C, on numbers that lie in the cache and on numbers that do not.

    The worse of the two counts.
    """

    @njit
    def ours(need: Array, draw: Array, out: Array) -> None:
        for row in range(len(draw)):
            out[row] = count_above(need, draw[row], len(need))

    name, rival, allowed = f"inner loop, {SAMPLES:,} bikes, one core", "hand-tuned loop in C", 1.0 / 0.6
    compiler = shutil.which("cc") or shutil.which("gcc")
    if compiler is None:
        return Row(name, nan, "us", nan, rival, allowed)
    with tempfile.TemporaryDirectory() as folder:
        source, library = Path(folder) / "count.c", Path(folder) / "count.so"
        source.write_text(HAND_TUNED)
        flags = ["-O3", "-march=native", "-funroll-loops", "-shared", "-fPIC"]
        subprocess.run([compiler, *flags, str(source), "-o", str(library)], check=True)
        count = ctypes.CDLL(str(library)).count
        timed = []
        for rows in (8, 4000):
            rng = np.random.default_rng(3)
            need, draw = rng.uniform(size=SAMPLES), rng.uniform(size=(rows, SAMPLES))
            one, other = np.empty(rows, dtype=np.int32), np.empty(rows, dtype=np.int32)
            sizes = ctypes.c_size_t(rows), ctypes.c_size_t(SAMPLES)
            turns = 4000 // rows

            def theirs(need=need, draw=draw, other=other, sizes=sizes, turns=turns) -> None:
                for _ in range(turns):
                    count(
                        need.ctypes.data_as(ctypes.c_void_p),
                        draw.ctypes.data_as(ctypes.c_void_p),
                        *sizes,
                        other.ctypes.data_as(ctypes.c_void_p),
                    )

            def mine(need=need, draw=draw, one=one, turns=turns) -> None:
                for _ in range(turns):
                    ours(need, draw, one)

            timed.append(seconds(mine, theirs, repeats=2 * REPEATS))
            np.testing.assert_array_equal(one, other)
    own, hand = (1e6 * each / 4000 for each in max(timed, key=lambda pair: pair[0] / pair[1]))
    return Row(name, own, "us", hand, rival, allowed)


def searched(share: float) -> list[Row]:
    """A catalogue of 100,000 setups, each worked out."""
    setups = Setups(SAMPLES, arms=10, lines=25, levers=max(int(400 * share), 20))
    (judged,) = seconds(setups.ours, repeats=2)
    possible, catalogue = sample(SAMPLES), options(NARROW, "narrow")
    size = f"{catalogue.combinations:,} setups x {SAMPLES:,} bikes"
    (whole,) = seconds(lambda: search(BIKE, catalogue, sample=possible, every=10**9), repeats=1)
    return [
        Row(f"{setups.count:,} setups x {SAMPLES:,} bikes, judged", judged, "s", 10.0),
        Row(f"{size}, to the front", whole, "s", 10.0),
    ]


def wide(share: float) -> list[Row]:
    """The exact front of a catalogue of a thousand million combinations, in this process: run it in one of its own."""
    lines = tuple((*line[:4], max(round(line[4] * share), 1), *line[5:]) for line in WIDE)
    catalogue, possible = options(lines, "wide"), sample(SAMPLES)
    search(BIKE, options(NARROW[:3] + NARROW[4:6], "small"), sample=possible, every=0)  # loads the compiled loop
    begun = time.perf_counter()
    found = search(BIKE, catalogue, sample=possible)
    took = time.perf_counter() - begun
    assert sum(found.counts.values()) == prod(len(option.choices) + 1 for option in catalogue.options)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (1e6 if sys.platform == "darwin" else 1e3)
    size = f"{catalogue.combinations:.2g} combinations, {len(found.front)} best"
    return [Row(size, took, "s", 10.0), Row(f"{size}, greatest memory", peak, "MB", 1000.0)]


FIRST_ANSWER = """
from clutchwright import usecases
from clutchwright.study.catalogue import loads
bike = usecases.read_demo()
catalogue = loads(usecases.demo_catalogue_text(), "demo")
result, chosen, _ = usecases.study_bike(bike, catalogue, samples=4096)
print(len(result.front), result.front[chosen].pull_peak_N)
"""


def first_answer() -> Row:
    command = [sys.executable, "-c", FIRST_ANSWER]
    (took,) = seconds(
        lambda: subprocess.run(command, check=True, capture_output=True, env=as_installed()), repeats=REPEATS
    )
    return Row("demo catalogue x 4,096 bikes, whole process", took, "s", 1.0)


def rows(share: float) -> Iterator[Row]:
    yield first_answer()
    yield from compared(share)
    yield hand_tuned()
    yield from searched(share)
    # in a process of its own, so that its memory is told
    command = [sys.executable, "-m", "benchmarks.bench_search", str(share), WIDELY, LINES]
    done = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True, encoding="utf-8")
    yield from parsed(done.stdout.splitlines())


if __name__ == "__main__":
    sys.exit(run(wide if WIDELY in sys.argv else rows, 1.0))
