"""The invented demo bikes that the drawings show, so that all drawings and pages agree with each other."""

from __future__ import annotations

from math import radians
from typing import TypeVar

from clutchwright import usecases
from clutchwright.bike import Bike
from clutchwright.bikefile import assemble
from clutchwright.physics.cable import Cable
from clutchwright.physics.diaphragm import Diaphragm
from clutchwright.physics.lever import FarCable
from clutchwright.physics.springs import CoilSet

Part = TypeVar("Part")

PER_RPM = radians(6.0)

MEASURED = usecases.read_demo("six-spring-rack")
BIKE: Bike = assemble(MEASURED)
PACK, DRIVE = BIKE.pack, BIKE.drive


def of_kind(part: object, kind: type[Part]) -> Part:
    """Part of a bike, known to be of a kind."""
    if not isinstance(part, kind):
        message = f"the drawings need a demo bike with a {kind.__name__}, not a {type(part).__name__}"
        raise TypeError(message)
    return part


CABLE_END = of_kind(BIKE.lever.cable_end, FarCable)
CABLE = of_kind(BIKE.line, Cable)
SPRINGS = of_kind(BIKE.springs, CoilSet)
DIAPHRAGM = of_kind(assemble(usecases.read_demo("diaphragm-cam")).springs, Diaphragm)
