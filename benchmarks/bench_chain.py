"""Time the main job: python benchmarks/bench_chain.py [REPEATS]. Exit status 1 when a figure is over its limit.

Each time is the least of some repeats, after warming up: what the work itself needs, other programs left out.
"""

import subprocess
import sys
import time
from collections.abc import Callable
from importlib.resources import as_file, files
from math import radians
from pathlib import Path

import numpy as np

from clutchwright import chain
from clutchwright.bike import Bike
from clutchwright.physics.arm import Arm
from clutchwright.physics.cable import Cable
from clutchwright.physics.clearance import Clearance
from clutchwright.physics.demand import Drive
from clutchwright.physics.heat import HeatLimits
from clutchwright.physics.lever import FarCable, Lever
from clutchwright.physics.lift import Rack
from clutchwright.physics.pack import Oil, Pack
from clutchwright.physics.springs import CoilSet, CoilSpring
from clutchwright.quantity import Number

SAMPLES = 4096
LIMITS = {
    "one bike, 200 positions": (1.0, "ms"),
    f"{SAMPLES} bikes x 200 positions": (150.0, "ms"),
    "clutchwright assess, whole process": (600.0, "ms"),
    "clutchwright assess, greatest memory": (150.0, "MB"),
}


def bike(spread: Callable[[float, float], Number]) -> Bike:
    """An invented bike; ``spread`` gives a field its value from a best estimate and a standard uncertainty."""
    rate, drag = spread(27e3, 0.7e3), spread(2.0, 0.5)
    springs = CoilSet(tuple(CoilSpring(rate, spread(0.041, 1e-4), 0.032, 0.026, boss) for boss in range(6)), 6, 0.042)
    return Bike(
        lever=Lever(
            FarCable(spread(0.026, 2e-4), radians(80)), spread(0.082, 1e-3), 0.078, 0.032, spread(3e-3, 3e-4), 0.02
        ),
        line=Cable(spread(radians(140), 0.2), spread(0.12, 0.03), drag, spread(4e-6, 1e-6)),
        arm=Arm(spread(0.032, 3e-4), spread(radians(95), 0.05)),
        lift=Rack(spread(4.5e-3, 5e-5), spread(0.06, 0.02)),
        springs=springs,
        pack=Pack(14, 0.122, 0.098, 0.13, 0.11, 0.9, spread(5.8e6, 1e6), (), 5e-5, 5e-5, 0.9e-3),
        oil=Oil(0.2, 0.01, 140.0),
        drive=Drive(38.0, 2.9, 0.98, 200.0, 300.0, 0.01, 2.5, 3.0, 1.9, 250.0, None, 2.0),
        heat=HeatLimits(0.6, 1e6, 1.5e6),
        clearance=Clearance(None, "outward", None, None, None, None, None, 0.3),
    )


def least_ms(job: Callable[[], object], repeats: int) -> float:
    """Least wall time of a job [ms]; once more before, to warm up."""
    job()
    times = []
    for _ in range(repeats):
        begun = time.perf_counter()
        job()
        times.append(time.perf_counter() - begun)
    return 1e3 * min(times)


def assess(*more: str) -> str:
    """Run the main command on a demo bike in a process of its own and give what the last of its lines says."""
    with as_file(files("clutchwright") / "demo") as folder:
        bike_file = sorted(Path(folder).glob("*.toml"))[0]
        command = [sys.executable, *more, "assess", str(bike_file)]
        return subprocess.run(command, check=True, capture_output=True, text=True, encoding="utf-8").stderr


MEASURE_MEMORY = """
import resource, runpy, sys
sys.argv[0] = "clutchwright"
try:
    runpy.run_module("clutchwright", run_name="__main__")
finally:
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(peak / (1e6 if sys.platform == "darwin" else 1e3), file=sys.stderr)
"""


def peak_memory_mb() -> float:
    """Greatest memory of the main command's process [MB]; NaN on Windows, which does not tell."""
    if sys.platform == "win32":
        return float("nan")
    return float(assess("-c", MEASURE_MEMORY).split()[-1])


def figures(repeats: int) -> dict[str, float]:
    """Every figure, in the order and units of ``LIMITS``."""
    memory = peak_memory_mb()  # first: on Linux a process counts what its parent held when it was born
    rng = np.random.default_rng(1)
    one = bike(lambda value, _: value)
    many = bike(lambda value, u: rng.normal(value, u, (SAMPLES, 1)))
    values = (
        least_ms(lambda: chain.respond(one), 50 * repeats),
        least_ms(lambda: chain.respond(many), 2 * repeats),
        least_ms(lambda: assess("-m", "clutchwright"), repeats),
        memory,
    )
    return dict(zip(LIMITS, values, strict=True))


def main(repeats: int) -> int:
    """Print the table; 0 when all figures keep their limits."""
    print(f"{'benchmark':<38}{'figure':>9}{'limit':>8}  unit{'ratio':>7}")
    within = True
    for name, figure in figures(repeats).items():
        limit, unit = LIMITS[name]
        within = within and not figure > limit
        print(f"{name:<38}{figure:>9.2f}{limit:>8.0f}  {unit:<4}{figure / limit:>7.2f}")
    return 0 if within else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 5))
