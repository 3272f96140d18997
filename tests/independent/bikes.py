"""Random bikes for the comparisons with other programs."""

import math

import numpy as np

from clutchwright.bike import Bike
from clutchwright.physics.arm import Arm
from clutchwright.physics.assist import AssistSpring
from clutchwright.physics.cable import Cable
from clutchwright.physics.clearance import Clearance
from clutchwright.physics.demand import Drive
from clutchwright.physics.heat import HeatLimits
from clutchwright.physics.lever import CamEnd, FarCable, Lever, NearCable
from clutchwright.physics.lift import Cam, Rack
from clutchwright.physics.pack import Oil, Pack
from clutchwright.physics.springs import CoilSet, CoilSpring

# Not asked by anything compared here.
OIL = Oil(0.2, 0.01, 140.0)
DRIVE = Drive(40.0, 2.9, 0.98, 200.0, 300.0, 0.01, 2.5, 3.0, 1.9, 250.0, None, 2.0)
HEAT = HeatLimits(0.6, 1e6, 1.5e6)
ROOM = Clearance(None, "outward", None, None, None, None, None, 0.3)


def random_lever(rng, pivot_friction):
    finger_radius, swing = rng.uniform(0.06, 0.1), rng.uniform(0.4, 0.65)
    radius, angle = rng.uniform(0.02, 0.028), math.radians(rng.uniform(65.0, 105.0))
    ends = [FarCable(radius, angle), NearCable(radius, angle, rng.uniform(0.03, 0.12)), CamEnd(radius)]
    free_play = rng.uniform(0.001, 0.004)
    end = ends[rng.integers(3)]
    return Lever(end, finger_radius, 0.03 + finger_radius * swing, 0.03, free_play, pivot_friction)


def random_springs(rng):
    count = int(rng.integers(3, 7))
    springs = tuple(
        CoilSpring(rng.uniform(15e3, 35e3), rng.uniform(0.042, 0.046), 0.036, None, place, rng.uniform(0.0, 1e-3))
        for place in range(count)
    )
    return CoilSet(springs, count, 0.042)


def random_bike(seed, lift, *, friction):
    """A bike with a ``rack`` or a ``cam``, mixed springs, every second one with an assist spring."""
    rng = np.random.default_rng(seed)
    kappa = 0.08 if friction else 0.0
    lifts = {
        "rack": Rack(rng.uniform(0.004, 0.006), kappa),
        "cam": Cam(rng.uniform(0.004, 0.006), math.radians(rng.uniform(-25.0, 10.0)), kappa),
    }
    assist = AssistSpring(rng.uniform(300.0, 1500.0), rng.uniform(3.0, 15.0), 0.018, 0.04, rng.uniform(-0.4, -0.1))
    coils, wear = random_springs(rng), rng.uniform(0.0, 1e-3)
    stiffness = coils.load_engaged(wear) / rng.uniform(0.15e-3, 0.4e-3)
    compliance = rng.uniform(1e-6, 8e-6)
    return Bike(
        lever=random_lever(rng, 0.02 if friction else 0.0),
        line=Cable(math.radians(140.0), 0.12, 2.0, compliance) if friction else Cable(2.4, 0.0, 0.0, compliance),
        arm=Arm(rng.uniform(0.03, 0.045), math.radians(rng.uniform(70.0, 105.0)), assist if seed % 2 else None),
        lift=lifts[lift],
        springs=coils,
        pack=Pack(14.0, 0.122, 0.098, 0.13, 0.11, 0.9, stiffness, (), 5e-5, 0.0, 2e-3, wear),
        oil=OIL,
        drive=DRIVE,
        heat=HEAT,
        clearance=ROOM,
    )
