"""Root finding and integration by scipy give the same on the same functions, and so do equations of motion in time."""

from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from clutchwright import chain
from clutchwright.physics import PULL, RETURN
from clutchwright.physics.demand import drop_torque
from clutchwright.physics.heat import slip_energy, slip_time, start_energy
from tests.independent.bikes import random_bike

KINDS = pytest.mark.parametrize("friction", [False, True], ids=["frictionless", "friction"])
LIFTS = pytest.mark.parametrize("lift", ["rack", "cam"])
SEEDS = pytest.mark.parametrize("seed", range(4))

# Rising functions with a root in [0, 2]; those that are flat or steep at an end are the hard ones.
RISING = {
    "line": lambda x, a: x - a,
    "steep": lambda x, a: np.expm1(9.0 * x) - np.expm1(9.0 * a),
    "flat at the root": lambda x, a: (x - a) ** 3 + 1e-3 * (x - a),
    "flat, then steep": lambda x, a: x**9 - a**9,
    "kink": lambda x, a: np.where(x < a, 1e-3, 1.0) * (x - a) + np.where(x < 0.5, 0.0, x - 0.5) - max(a - 0.5, 0.0),
    "nearly a step": lambda x, a: np.arctan(1e3 * (x - a)),
}


@pytest.mark.parametrize("name", RISING)
def test_roots_of_brentq(name):
    places = np.linspace(0.01, 1.99, 41)
    function = np.vectorize(RISING[name])
    found = chain.increasing_root(lambda x: function(x, places), np.zeros(41), np.full(41, 2.0))
    expected = [brentq(RISING[name], 0.0, 2.0, args=(place,), xtol=1e-14, rtol=1e-14) for place in places]
    assert found == pytest.approx(expected, abs=1e-11)


def test_a_root_outside_the_bracket_gives_its_end():
    places = np.array([-1.0, 0.5, 3.0])
    found = chain.increasing_root(lambda x: x - places, np.zeros(3), np.ones(3))
    assert found.tolist() == [0.0, 0.5, 1.0]


@KINDS
@LIFTS
@SEEDS
def test_full_angle_of_brentq(seed, lift, friction):
    bike = random_bike(seed, lift, friction=friction)
    found = float(chain.full_angle(bike)[0])
    expected = brentq(lambda angle: float(chain.at_angle(bike, angle, PULL).drawn - bike.lever.full_draw), 0.0, 0.8)
    assert found == pytest.approx(expected, rel=1e-10)


def force_along(bike, direction):
    """Finger force at a finger travel: slack, the cable drawn taut, then the arm turning, its angle found by brentq."""
    rest, end = chain.at_angle(bike, 0.0, direction), 1.01 * float(chain.full_angle(bike)[0])

    def force(travel):
        if travel < rest.travel:
            drawn = bike.lever.cable_end.drawn(travel / bike.lever.finger_radius)
            tension = max(drawn - bike.lever.free_draw, 0.0) / bike.line.drawn(0.0, 1.0, direction)
            return bike.lever.finger_force(bike.line.lever_tension(tension, direction), travel, direction)
        angle = brentq(lambda a: float(chain.at_angle(bike, a, direction).travel) - travel, 0.0, end, xtol=1e-14)
        return float(chain.at_angle(bike, angle, direction).force)

    return force


def work(bike, direction, travel):
    """Integral of the force, in parts between its jumps and kinks: touch, end of the bite band, stop."""
    force = force_along(bike, direction)
    kinks = [0.0, bike.lever.free_play, *travel[[chain.TOUCH, chain.BITE_END, -1]]]
    return sum(quad(force, start, end, epsabs=1e-12, epsrel=1e-10)[0] for start, end in pairwise(kinks))


@KINDS
@LIFTS
@SEEDS
def test_work_of_quad(seed, lift, friction):
    bike = random_bike(seed, lift, friction=friction)
    response = chain.respond(bike)
    pulled = work(bike, PULL, response.travel)
    assert chain.path_work(response.pull, response.travel) == pytest.approx(pulled, rel=1e-8)
    let_out = work(bike, RETURN, response.return_travel)
    # on the return, drag keeps the force at 0 until the tension exceeds it: a kink that lies between positions
    agreement = 1e-5 if friction else 1e-8
    assert chain.path_work(response.returning, response.return_travel) == pytest.approx(let_out, rel=agreement)


DRIVER, DRIVEN, STEP_RPS = 0.02, 0.5, 50.0


def test_peak_torque_of_a_drop_by_time_integration():
    stiffness = 2000.0
    ends = (0.0, 0.05)
    motion = solve_ivp(
        lambda t, y: [y[1] - y[2], -stiffness * y[0] / DRIVER, stiffness * y[0] / DRIVEN],
        ends,
        [0.0, STEP_RPS, 0.0],
        t_eval=np.linspace(*ends, 4001),
        rtol=1e-10,
        atol=1e-12,
    )
    peak = drop_torque(speed_step=STEP_RPS, stiffness=stiffness, driver_inertia=DRIVER, driven_inertia=DRIVEN)
    assert peak == pytest.approx(stiffness * np.max(motion.y[0]), rel=1e-5)


def slipping(driver_moment, driven_moment, torque, driver):
    """Time until both run together and the heat until then, by integration of the equations of motion."""

    def together(t, y):
        return y[0] - y[1] - 1e-9

    together.terminal = True
    motion = solve_ivp(
        lambda t, y: [(driver_moment - torque) / driver, (torque - driven_moment) / DRIVEN, torque * (y[0] - y[1])],
        (0.0, 100.0),
        [STEP_RPS, 0.0, 0.0],
        events=together,
        rtol=1e-10,
        atol=1e-12,
    )
    return motion.t[-1], motion.y[2, -1]


def test_slip_time_and_energy_by_time_integration():
    time, heat = slipping(0.0, 0.0, 40.0, DRIVER)
    pair = {"driver_inertia": DRIVER, "driven_inertia": DRIVEN, "speed_step": STEP_RPS}
    assert slip_time(**pair, torque=40.0) == pytest.approx(time, rel=1e-7)
    assert slip_energy(**pair) == pytest.approx(heat, rel=1e-7)


def test_heat_of_a_start_by_time_integration():
    _, heat = slipping(40.0, 0.0, 40.0, DRIVER)
    assert start_energy(driven_inertia=DRIVEN, speed=STEP_RPS) == pytest.approx(heat, rel=1e-7)
