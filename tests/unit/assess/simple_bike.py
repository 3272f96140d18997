"""A clutch so simple that every figure can be worked out by hand: no friction, no stretch, cams and racks."""

from __future__ import annotations

from dataclasses import replace
from math import pi
from typing import Any

from clutchwright.bike import Bike
from clutchwright.physics.arm import Arm
from clutchwright.physics.cable import Cable
from clutchwright.physics.clearance import Clearance
from clutchwright.physics.demand import Drive
from clutchwright.physics.heat import HeatLimits
from clutchwright.physics.lever import CamEnd, Lever
from clutchwright.physics.lift import Rack
from clutchwright.physics.pack import Oil, Pack
from clutchwright.physics.springs import CoilSet, CoilSpring

# Lever: 80 mm to the finger, 20 mm to the cable on a cam: 4 to 1. Arm: 40 mm, square to the cable at rest.
# Rack: 5 mm pinion, so 8 to 1 at rest. Springs: 4 of 20 N/mm squeezed by 10 mm: 800 N, 80 N/mm together.
# Pack: 10 faces, 120/80 mm, so a mean radius of 50 mm; squash 0.2 mm at 800 N; gaps 0.05 mm, so release at 0.7 mm.


def simple_bike(**parts: Any) -> Bike:
    springs = CoilSet(tuple(CoilSpring(20e3, 0.040, 0.030, 0.020, place) for place in range(4)), 4, 0.04)
    bike = Bike(
        lever=Lever(CamEnd(0.020), 0.080, 0.080, 0.040, 0.004, 0.0),
        line=Cable(bend=2.0, friction=0.0, drag=0.0, compliance=0.0),
        arm=Arm(0.040, pi / 2),
        lift=Rack(0.005, 0.0),
        springs=springs,
        pack=Pack(10, 0.120, 0.080, 0.12, 0.10, 0.9, 800.0 / 0.2e-3, (), 0.05e-3, 0.0, 1.0e-3),
        oil=Oil(0.2, 0.01, 120.0),
        drive=Drive(16.0, 2.5, 1.0, 250.0, 500.0, 0.02, 2.0, 3.0, 2.0, 200.0, None, 2.0),
        heat=HeatLimits(0.5, 1e6, 1e6),
        clearance=Clearance(None, "outward", None, None, None, None, None, 0.5),
    )
    return replace(bike, **parts)
