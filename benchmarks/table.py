"""Rows of a benchmark, the table they are printed in, and the results kept by version.

A ratio below 1 is good: a figure below its limit, or a time shorter than a rival's. A row without a limit or rival only
tells its figure; one whose rival is not installed says nan.
"""

from __future__ import annotations

import csv
import math
import os
import platform
import subprocess
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from clutchwright import __version__

FOLDER = Path(__file__).parent
RESULTS = FOLDER / "results.csv"
COLUMNS = ["benchmark", "figure", "unit", "limit", "rival", "ratio", "state"]
LOSS = 1.25  # so much worse than the last kept result on the same machine is a loss
NAN = float("nan")
LINES = "--lines"  # rows as comma-separated lines, for the table of all benchmarks
KEEP = "--keep"


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table.

    Parameters
    ----------
    name : str
        What was measured.
    figure : float
        How much; NaN where it cannot be measured here.
    unit : str
        Of figure and limit.
    limit : float
        What the figure is held against: a limit, or what a rival takes for the same; NaN for nothing.
    rival : str
        Whose figure that is; empty for a limit.
    most : float
        Greatest ratio that is asked for, in print as its reciprocal: how many times as fast as the rival.
    least : bool
        Whether the figure must be at least the limit.
    """

    name: str
    figure: float
    unit: str
    limit: float = NAN
    rival: str = ""
    most: float = 1.0
    least: bool = False

    @property
    def ratio(self) -> float:
        """Figure over limit, or the other way round where more is better."""
        return self.limit / self.figure if self.least else self.figure / self.limit

    @property
    def missed(self) -> bool:
        return bool(self.ratio > self.most)

    @property
    def held_against(self) -> str:
        """Limit or rival in words."""
        if math.isnan(self.limit):
            return self.rival
        if not self.rival:
            return f"{'>=' if self.least else '<='} {self.limit:g}"
        asked = f", asked {1.0 / self.most:g} x" if self.most < 1.0 else ""
        return f"{self.rival} {digits(self.limit) or 'nan'}{asked}"

    def worse(self, before: float) -> float:
        """How many times as bad as a figure before."""
        return before / self.figure if self.least else self.figure / before


def seconds(*jobs: Callable[[], object], repeats: int, warm: bool = True) -> list[float]:
    """Least wall time of each job [s], done in turn, so that other programs slow all of them; once more to warm up."""
    times: list[list[float]] = [[] for _ in jobs]
    for turn in range(not warm, repeats + 1):
        for job, found in zip(jobs, times, strict=True):
            begun = time.perf_counter()
            job()
            if turn:
                found.append(time.perf_counter() - begun)
    return [min(found) for found in times]


def as_installed() -> dict[str, str]:
    """Environment in which Python keeps what it compiles, as it does for who just uses the program."""
    return {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def digits(value: float) -> str:
    """A figure to three digits; empty for NaN."""
    return "" if math.isnan(value) else f"{value:.0f}" if abs(value) >= 1000.0 else f"{value:.3g}"


def state(row: Row, before: float) -> str:
    """The word of the last column: missed and loss, which may both be, or ok."""
    words = ["missed"] * row.missed + ["loss"] * bool(row.worse(before) > LOSS)
    return ", ".join(words) or ("ok" if not math.isnan(row.ratio) else "")


def shown(rows: Iterable[Row], before: dict[tuple[str, str], float]) -> int:
    """Print the table, each row as it comes; 1 when a figure misses what is asked of it, else 0."""
    missed = False
    print(f"{'benchmark':<58}{'figure':>9} {'':<4}{'rival or limit':<48}{'ratio':>7}{'before':>9}", flush=True)
    for row in rows:
        last = before.get((row.name, row.rival), NAN)
        cells = f"{row.name:<58}{digits(row.figure) or 'nan':>9} {row.unit:<4}{row.held_against:<48}"
        print(f"{cells}{digits(row.ratio):>7}{digits(last):>9}  {state(row, last)}".rstrip(), flush=True)
        missed = missed or row.missed
    return 1 if missed else 0


def run(rows: Callable[[float], Iterable[Row]], size: float) -> int:
    """One benchmark by itself, of a size that the command line may name; its exit status."""
    sizes = [word for word in sys.argv[1:] if not word.startswith("--")]
    found = rows(float(sizes[0]) if sizes else size)
    if LINES not in sys.argv:
        return shown(found, last_kept(machine()))
    write = csv.writer(sys.stdout, lineterminator="\n").writerow
    for row in found:
        write([row.name, row.figure, row.unit, row.limit, row.rival, row.most, int(row.least)])
        sys.stdout.flush()
    return 0


def parsed(lines: Iterable[str]) -> Iterator[Row]:
    """Rows from the lines of a benchmark that was run by another process."""
    for name, figure, unit, limit, rival, most, least in csv.reader(lines):
        yield Row(name, float(figure), unit, float(limit), rival, float(most), least == "1")


def machine() -> str:
    """Cores, processor, memory, Python and system of this machine."""
    memory = os.sysconf("SC_PHYS_PAGES") * os.sysconf("SC_PAGE_SIZE") / 2**30 if hasattr(os, "sysconf") else NAN
    return (
        f"{os.cpu_count()} cores, {processor()}, {memory:.1f} GiB, "
        f"Python {platform.python_version()}, {platform.system()} {platform.release()}"
    )


def processor() -> str:
    """Model of the processor as the system names it."""
    if sys.platform == "darwin":
        command = ["sysctl", "-n", "machdep.cpu.brand_string"]
        return subprocess.run(command, check=True, capture_output=True, text=True).stdout.strip()
    told = Path("/proc/cpuinfo")
    lines = told.read_text("utf-8").splitlines() if told.is_file() else []
    models = [line.partition(":")[2].strip() for line in lines if line.startswith("model name")]
    return models[0] if models else platform.processor() or platform.machine()


def load() -> float:
    """How many programs want a core, over the last minute; NaN where the system does not tell."""
    return os.getloadavg()[0] if hasattr(os, "getloadavg") else NAN


def commit() -> str:
    """The commit that is measured; with a plus sign where files differ from it."""
    command = ["git", "describe", "--always", "--exclude=*", "--dirty=+"]
    done = subprocess.run(command, cwd=FOLDER, capture_output=True, text=True, check=False)
    return done.stdout.strip()


def kept() -> list[dict[str, str]]:
    """All kept results, the oldest first."""
    if not RESULTS.is_file():
        return []
    with RESULTS.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def last_kept(here: str) -> dict[tuple[str, str], float]:
    """The last kept figure by benchmark and rival, on a machine with as many cores of the same processor."""
    same = [row for row in kept() if _cores(row["machine"]) == _cores(here)]
    return {(row["benchmark"], row["rival"]): float(row["figure"]) for row in same}


def _cores(text: str) -> list[str]:
    return text.split(", ")[:2]


def stamp() -> dict[str, str]:
    """What a kept figure belongs to: version, commit, date, machine and load."""
    date = f"{datetime.now(UTC):%Y-%m-%d %H:%M}"
    values = __version__, commit(), date, machine(), f"{load():.1f}"
    return dict(zip(("version", "commit", "date", "machine", "load"), values, strict=True))


def keep(rows: Iterable[Row], head: dict[str, str]) -> None:
    """Add results to the kept ones."""
    fresh = not RESULTS.is_file()
    with RESULTS.open("a", encoding="utf-8", newline="") as lines:
        write = csv.writer(lines, lineterminator="\n").writerow
        if fresh:
            write([*head, *COLUMNS])
        for row in rows:
            ratio = "" if math.isnan(row.ratio) else f"{row.ratio:.3g}"
            limit = "" if math.isnan(row.limit) else f"{row.limit:.4g}"
            fate = "missed" if row.missed else ""
            write([*head.values(), row.name, f"{row.figure:.4g}", row.unit, limit, row.rival, ratio, fate])
