"""Time the main job: python -m benchmarks.bench_chain [REPEATS]. Exit status 1 when a figure misses what is asked.

Each time is the least of some repeats, after warming up: what the work itself needs, other programs left out. A rival
does the same in the same run, in turn, and its answer is held against ours. Without OpenTURNS its row says nan.
"""

import subprocess
import sys
from collections.abc import Callable, Iterator
from importlib.resources import as_file, files
from math import cos, exp, nan, radians, sin
from pathlib import Path

import numpy as np
from scipy.optimize import brentq

from benchmarks.table import Row, as_installed, run, seconds
from clutchwright import chain, usecases
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
from clutchwright.quantity import Array, Number
from clutchwright.study.outcomes import outcomes
from clutchwright.study.tolerance import combined, halves, one_at_a_time, uncertain, values_at
from tests.independent.bikes import random_bike
from tests.independent.test_mujoco import STATIONS, build, turned

SAMPLES = 4096
DEMO = usecases.read_demo()


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


def assess(*more: str) -> str:
    """Run the main command on a demo bike in a process of its own and give what the last of its lines says."""
    with as_file(files("clutchwright") / "demo") as folder:
        bike_file = sorted(Path(folder).glob("*.toml"))[0]
        command = [sys.executable, *more, "assess", str(bike_file)]
        done = subprocess.run(command, check=True, capture_output=True, text=True, encoding="utf-8", env=as_installed())
        return done.stderr


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


def by_roots(one: Bike, travels: Array) -> list[float]:
    """Pull at finger travels, the arm's angle sought at each by scipy, by formulas as one writes them."""
    lever, line, arm, lift, pack = one.lever, one.line, one.arm, one.lift, one.pack
    stiffness, engaged = sum(each.rate for each in one.springs.springs), float(one.engaged_clamp)
    gain = exp(line.friction * line.bend)
    give = line.compliance * (gain - 1.0) / (line.friction * line.bend)
    square, begin, end = arm.cable_angle, lever.cable_end.angle, lever.cable_end.radius
    free = end * (cos(begin) - cos(begin + lever.free_play / lever.finger_radius))

    def tension(angle: float) -> float:
        rise = lift.pinion_radius * angle
        bearing = engaged + stiffness * rise - max(engaged - pack.stiffness * rise, 0.0)
        return bearing * lift.pinion_radius * (1.0 + lift.kappa) / (arm.length * sin(square + angle))

    def pull(travel: float) -> float:
        turned = begin + travel / lever.finger_radius
        drawn = end * (cos(begin) - cos(turned)) - free

        def missing(angle: float) -> float:
            return arm.length * (cos(square) - cos(square + angle)) + give * tension(angle) - drawn

        at_lever = gain * tension(brentq(missing, -0.01, 1.2, xtol=1e-14)) + line.drag
        return at_lever * end * sin(turned) / lever.finger_radius * (1.0 + lever.pivot_friction)

    return [pull(travel) for travel in travels]


def against_roots(repeats: int) -> Row:
    """One bike's stroke against a root sought at each position."""
    one = bike(lambda value, _: value)
    response = chain.respond(one)
    turning = response.travel >= one.lever.free_play
    travels = response.travel[turning]
    np.testing.assert_allclose(by_roots(one, travels), response.pull[turning], rtol=1e-9)
    ours, theirs = seconds(lambda: chain.respond(one), lambda: by_roots(one, travels), repeats=10 * repeats)
    return Row("one bike's stroke", 1e3 * ours, "ms", 1e3 * theirs, f"scipy, {len(travels)} roots")


def against_simulator(repeats: int) -> Row:
    """One bike's stroke, without friction, against a rigid-body simulator that comes to rest at each of 8 positions."""
    one = random_bike(0, "rack", friction=False)
    model, data = build(one)
    full = one.lever.full_travel / one.lever.finger_radius

    def simulate() -> list[tuple[float, ...]]:
        return [turned(model, data, share * full) for share in STATIONS]

    response, found = chain.respond(one), np.array(simulate())
    travel, pull = found[:, 0] * one.lever.finger_radius, found[:, 1] / one.lever.finger_radius
    np.testing.assert_allclose(pull, np.interp(travel, response.travel, response.pull), rtol=1e-3)
    ours, theirs = seconds(lambda: chain.respond(one), simulate, repeats=repeats)
    return Row("one bike's stroke without friction", 1e3 * ours, "ms", 1e3 * theirs, "MuJoCo, 8 positions")


def against_openturns(repeats: int) -> Row:
    """The uncertainty of all figures by first order against that of the pull alone by OpenTURNS' Taylor expansion.

    Both take slopes over one standard uncertainty up and down; ours leaves all others at their means, theirs at their
    medians.
    """
    lots = uncertain(DEMO.quantities)

    def first_order_u() -> float:
        moved = outcomes(DEMO, (), one_at_a_time(DEMO.quantities), size=2 * len(lots)).figures["pull_peak_N"]
        return combined(dict(zip(lots, halves(moved), strict=True)))

    name = f"uncertainty of all figures, {len(lots)} inputs"
    try:
        import openturns as ot
    except ImportError:
        return Row(
            name, 1e3 * seconds(first_order_u, repeats=repeats)[0], "ms", nan, "OpenTURNS on our model, the pull alone"
        )

    def peaks(scores: Array) -> Array:
        scores = np.asarray(scores)
        values = values_at(DEMO.quantities, scores)
        return outcomes(DEMO, (), values, size=len(scores)).figures["pull_peak_N"][:, np.newaxis]

    function = ot.PythonFunction(len(lots), 1, func=lambda point: peaks([point])[0], func_sample=peaks)
    function.setGradient(ot.CenteredFiniteDifferenceGradient([1.0] * len(lots), function.getEvaluation()))

    def taylor() -> float:
        scores = ot.CompositeRandomVector(function, ot.RandomVector(ot.Normal(len(lots))))
        return ot.TaylorExpansionMoments(scores).getCovariance()[0, 0] ** 0.5

    np.testing.assert_allclose(taylor(), first_order_u(), rtol=0.02)
    ours, theirs = seconds(first_order_u, taylor, repeats=repeats)
    return Row(name, 1e3 * ours, "ms", 1e3 * theirs, "OpenTURNS on our model, the pull alone")


def rows(repeats: float) -> Iterator[Row]:
    """Every figure."""
    repeats = int(repeats)
    memory = peak_memory_mb()  # first: on Linux a process counts what its parent held when it was born
    rng = np.random.default_rng(1)
    one = bike(lambda value, _: value)
    many = bike(lambda value, u: rng.normal(value, u, (SAMPLES, 1)))
    jobs = (
        ("one bike, 200 positions", lambda: chain.respond(one), 50 * repeats, 1.0),
        (f"{SAMPLES:,} bikes x 200 positions", lambda: chain.respond(many), 2 * repeats, 150.0),
        ("clutchwright assess, whole process", lambda: assess("-m", "clutchwright"), repeats, 600.0),
    )
    for name, job, times, limit in jobs:
        yield Row(name, 1e3 * seconds(job, repeats=times)[0], "ms", limit)
    yield Row("clutchwright assess, greatest memory", memory, "MB", 150.0)
    yield against_roots(repeats)
    yield against_simulator(repeats)
    yield against_openturns(repeats)


if __name__ == "__main__":
    sys.exit(run(rows, 5))
