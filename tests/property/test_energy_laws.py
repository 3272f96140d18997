"""Energy: what the finger puts in is found again, joule by joule, in springs, pack, stretch and friction.

The right-hand side shares no formula with the chain: stored energies are closed forms (textbook: k x^2/2 and its like;
the disc's is the integral of the EN 16984 load), and each friction's work is its own law integrated along the arm's
rotation by Gauss quadrature, split at every kink.
"""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given

from clutchwright import chain
from clutchwright.bike import Bike
from clutchwright.physics import PULL
from clutchwright.physics.assist import AssistSpring
from clutchwright.physics.cable import Hydraulic
from clutchwright.physics.lift import Cam, LiftTable, Rack, Ramp, Screw
from clutchwright.physics.springs import CoilSet
from tests.strategies import ASSISTS, LAW, LEVER_ASSISTS, bikes, frictionless

NODES, WEIGHTS = np.polynomial.legendre.leggauss(20)


def kinks(bike: Bike, full: float) -> np.ndarray:
    """Arm angles from 0 to full between which nothing has a kink."""
    squash = bike.pack.squash(bike.engaged_clamp)
    lifts = [squash - point for point, _ in bike.pack.curve] or [squash]
    angles = [float(bike.lift.rotation(lift * bike.springs.bearing_ratio)) for lift in lifts if lift > 0.0]
    angles += list(bike.lift.rotations) if isinstance(bike.lift, LiftTable) else []
    return np.unique([0.0, *(angle for angle in angles if 0.0 < angle < full), full])


def along(bike: Bike, full: float):
    """Arm angles of the quadrature and their weights."""
    edges = kinks(bike, full)
    half = 0.5 * np.diff(edges)[:, None]
    return (edges[:-1, None] + half * (1.0 + NODES)).ravel(), (half * WEIGHTS).ravel()


def spring_energy(bike: Bike, lift: float) -> float:
    """Energy stored from rest to a lift."""
    springs, wear = bike.springs, bike.pack.wear
    if isinstance(springs, CoilSet):
        starts = [(s.rate, s.free_length - s.installed_length - s.washer - wear) for s in springs.springs]
        return sum(0.5 * rate * ((start + lift) ** 2 - start**2) for rate, start in starts)
    ratio = springs.outer / springs.inner
    k1 = ((ratio - 1) / ratio) ** 2 / ((ratio + 1) / (ratio - 1) - 2 / np.log(ratio)) / np.pi
    thickness = springs.thickness
    scale = 4 * springs.modulus / (1 - 0.3**2) * thickness**5 / (k1 * springs.outer**2)
    cone = springs.cone_height / thickness
    gain = (springs.outer - springs.inner) / (2 * (springs.plate_radius - springs.pivot_radius))

    def stored(deflection: float) -> float:
        s = deflection * gain / thickness
        return scale * ((cone**2 + 1) * s**2 / 2 - cone * s**3 / 2 + s**4 / 8)

    start = springs.deflection - wear
    return springs.load_scale * (stored(start + lift) - stored(start))


def pack_energy(bike: Bike, lift: float) -> float:
    """Energy the pack gives back from rest to a lift."""
    clamp = bike.engaged_clamp
    if not bike.pack.curve:
        squash = clamp / bike.pack.stiffness
        return 0.5 * bike.pack.stiffness * (squash**2 - max(squash - lift, 0.0) ** 2)
    points, clamps = np.array(bike.pack.curve).T
    squash = float(bike.pack.squash(clamp))
    left = max(squash - lift, 0.0)
    steps = np.unique([left, squash, *points[(points > left) & (points < squash)]])
    slope = (clamps[-1] - clamps[-2]) / (points[-1] - points[-2])
    forces = np.interp(steps, points, clamps) + slope * np.maximum(steps - points[-1], 0.0)
    return float(np.sum(0.5 * (forces[1:] + forces[:-1]) * np.diff(steps)))


def assist_energy(assist: AssistSpring | None, full: float) -> float:
    """Energy an assist spring gives up from rest to a rotation of its part."""
    if assist is None:
        return 0.0
    a, b, start = assist.hook_radius, assist.post_radius, assist.start_angle
    before, after = (np.sqrt(a**2 + b**2 + 2 * a * b * np.cos(angle)) for angle in (start, start + full))
    stretch = after - before
    return -(assist.pretension * stretch + 0.5 * assist.rate * stretch**2)


def lift_friction(bike: Bike, angles: np.ndarray, bearing_force: np.ndarray) -> np.ndarray:
    """Moment lost in the lift; screws and ramps by moment on the unrolled thread, not by a share."""
    lift = bike.lift
    if isinstance(lift, Rack):
        return bearing_force * lift.pinion_radius * lift.kappa
    if isinstance(lift, Cam):
        return bearing_force * lift.eccentricity * np.cos(lift.start_angle + angles) * lift.kappa
    if isinstance(lift, LiftTable):
        return bearing_force * lift.slope(angles) * lift.kappa
    if isinstance(lift, Ramp):
        tangent, friction, radius = np.tan(lift.ramp_angle), lift.rolling_friction, lift.ramp_radius
    else:
        assert isinstance(lift, Screw)
        radius = lift.thread_diameter / 2
        tangent = lift.lead / (2 * np.pi * radius)
        friction = lift.thread_friction / np.cos(lift.flank_angle)
    # block on an incline, pushed sideways: W (tan + mu)/(1 - mu tan), of which W tan is the ideal part
    return bearing_force * radius * ((tangent + friction) / (1 - friction * tangent) - tangent)


def arm_end_work(bike: Bike, full: float) -> tuple[float, float]:
    """Work that leaves the arm's end over the full stroke as stored energy or lift friction, and the last tension."""
    angles, weights = along(bike, full)
    bearing_force = chain.at_angle(bike, angles, PULL).bearing_force
    lost = float(np.sum(weights * lift_friction(bike, angles, bearing_force)))
    end = chain.at_angle(bike, full, PULL)
    stored = spring_energy(bike, end.lift) - pack_energy(bike, end.lift) - assist_energy(bike.arm.assist, full)
    return stored + lost, float(end.tension)


def expected_work(bike: Bike, full: float) -> float:
    """Work at the finger: the arm end's, the line's stretch and friction, drag, and the pivot's share."""
    at_arm, tension = arm_end_work(bike, full)
    drawn = float(chain.at_angle(bike, full, PULL).drawn)
    if isinstance(bike.line, Hydraulic):
        swelling = 0.5 * bike.line.expansion * tension**2
        at_lever = (at_arm + swelling) / (1 - bike.line.seal_loss) ** 2
    else:
        # each bit of the wire, a share u along the bends from the arm, carries T exp(mu theta u); it stretches, and
        # drags over the liner by as far as all the wire between it and the arm has moved
        shares, share_weights = 0.5 * (1 + NODES), 0.5 * WEIGHTS
        bend = bike.line.friction * bike.line.bend
        profile = np.exp(bend * shares)
        moved = np.array([np.sum(0.5 * WEIGHTS * u * np.exp(bend * u * shares)) for u in shares])
        stretch = 0.5 * bike.line.compliance * tension**2 * np.sum(share_weights * profile**2)
        rubbed = np.sum(share_weights * bend * profile) * at_arm
        rubbed += 0.5 * bike.line.compliance * tension**2 * np.sum(share_weights * bend * profile * moved)
        at_lever = at_arm + stretch + rubbed + bike.line.drag * drawn
    given = assist_energy(bike.lever.assist, bike.lever.full_travel / bike.lever.finger_radius)
    return at_lever * (1 + bike.lever.pivot_friction) - given


def finger_work(bike: Bike) -> tuple[float, float]:
    response = chain.respond(bike)
    return float(chain.path_work(response.pull, response.travel)), float(response.full_angle[0])


def keeps_the_cable_taut(bike: Bike, full: float) -> bool:
    return bool(np.all(chain.at_angle(bike, np.linspace(0.0, full, 50), PULL).tension >= 0.0))


@LAW
@given(bikes(smooth=True))
def test_without_friction_the_work_is_stored_energy(bike):
    bike = frictionless(bike)
    work, full = finger_work(bike)
    end = chain.at_angle(bike, full, PULL)
    compliance = bike.line.expansion if isinstance(bike.line, Hydraulic) else bike.line.compliance
    stored = spring_energy(bike, end.lift) - pack_energy(bike, end.lift) + 0.5 * compliance * end.tension**2
    assert work == pytest.approx(stored, rel=1e-9)


@LAW
@given(bikes(smooth=True))
def test_with_friction_the_work_is_stored_energy_and_each_loss(bike):
    work, full = finger_work(bike)
    assert work == pytest.approx(expected_work(bike, full), rel=1e-9)


@LAW
@given(bikes(smooth=True), ASSISTS, LEVER_ASSISTS)
def test_the_energy_of_assist_springs_is_counted_too(bike, on_arm, on_lever):
    bike = replace(bike, arm=replace(bike.arm, assist=on_arm), lever=replace(bike.lever, assist=on_lever))
    work, full = finger_work(bike)
    assume(keeps_the_cable_taut(bike, full))
    assert work == pytest.approx(expected_work(bike, full), rel=1e-9)


@LAW
@given(bikes())
def test_work_adds_up_with_measured_tables_too(bike):
    work, full = finger_work(bike)
    assume(keeps_the_cable_taut(bike, full))
    # between its positions a kink of a measured curve goes unseen: second order in the step
    assert work == pytest.approx(expected_work(bike, full), rel=1e-4)
