"""Invented bikes for the changes: one so plain that every figure can be worked out by hand, and a usual one."""

from dataclasses import replace
from math import pi, radians
from typing import Any

from clutchwright import chain
from clutchwright.bike import Bike
from clutchwright.physics import PULL
from clutchwright.physics.arm import Arm
from clutchwright.physics.cable import Cable
from clutchwright.physics.clearance import Clearance
from clutchwright.physics.demand import Drive
from clutchwright.physics.diaphragm import Diaphragm
from clutchwright.physics.heat import HeatLimits
from clutchwright.physics.lever import CamEnd, FarCable, Lever
from clutchwright.physics.lift import Rack
from clutchwright.physics.pack import Oil, Pack
from clutchwright.physics.springs import CoilSet, CoilSpring


def six_springs(rate: float = 25e3, preload: float = 9e-3, bosses: int = 6, **known: Any) -> CoilSet:
    springs = tuple(CoilSpring(rate, 0.032 + preload, 0.032, 0.026, place) for place in range(bosses))
    return CoilSet(springs, bosses, 0.042, **known)


DIAPHRAGM = Diaphragm(0.120, 0.094, 1.8e-3, 2.4e-3, 2.3e-3, 0.059, 0.048, 0.024, 206e9)


def plain_bike(**parts: Any) -> Bike:
    """No friction, no stretch; 80 to 20 mm at the lever, a cam; arm of 40 mm square to the cable; pinion of 5 mm.

    The springs press with 1350 N and the pack gives 0.2 mm; above that lift the bearing carries the whole load.
    """
    bike = Bike(
        lever=Lever(CamEnd(0.020), 0.080, 0.080, 0.030, 0.004, 0.0),
        line=Cable(bend=2.0, friction=0.0, drag=0.0, compliance=0.0),
        arm=Arm(0.040, pi / 2),
        lift=Rack(0.005, 0.0),
        springs=six_springs(),
        pack=Pack(14, 0.122, 0.098, 0.13, 0.11, 0.9, 1350.0 / 0.2e-3, (), 0.05e-3, 0.0, 0.9e-3),
        oil=Oil(0.2, 0.01, 140.0),
        drive=Drive(38.0, 2.9, 0.98, 200.0, 300.0, 0.01, 2.5, 3.0, 1.9, 250.0, None, 2.0),
        heat=HeatLimits(0.6, 1e6, 1.5e6),
        clearance=Clearance(None, "outward", None, None, None, None, None, 0.5),
    )
    return replace(bike, **parts)


def usual_bike(**parts: Any) -> Bike:
    """A cable in good order, springs squeezed by 8 mm, an arm of 30 mm nearly square to the cable."""
    bike = plain_bike(
        lever=Lever(FarCable(0.026, radians(80.0)), 0.082, 0.078, 0.028, 0.003, 0.02),
        line=Cable(bend=radians(140.0), friction=0.08, drag=1.0, compliance=2e-6),
        arm=Arm(0.030, radians(85.0)),
        lift=Rack(0.0045, 0.06),
        springs=six_springs(27e3, 8e-3),
    )
    return replace(bike, **parts)


def pull_at(bike: Bike, lift: float) -> float:
    return float(chain.at_lift(bike, lift, PULL).force)


def full_lift(bike: Bike) -> float:
    return float(chain.respond(bike).lift[-1])
