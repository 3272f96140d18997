"""The frozen description of a bike's clutch, in SI, from lever to drive.

Every numeric field is a float, or an array of shape (samples, 1) when a bike stands for many possible bikes at once.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from clutchwright.physics.arm import Arm
from clutchwright.physics.cable import Line
from clutchwright.physics.clearance import Clearance
from clutchwright.physics.demand import Drive
from clutchwright.physics.diaphragm import Diaphragm
from clutchwright.physics.heat import HeatLimits
from clutchwright.physics.lever import Lever
from clutchwright.physics.lift import Lift
from clutchwright.physics.pack import Oil, Pack
from clutchwright.physics.springs import CoilSet
from clutchwright.quantity import Number


@dataclass(frozen=True, slots=True)
class Bike:
    """One clutch, from the hand to the road.

    Parameters
    ----------
    lever, line, arm, lift, springs, pack, oil, drive, heat, clearance
        The stages, see their own modules.
    """

    lever: Lever
    line: Line
    arm: Arm
    lift: Lift
    springs: CoilSet | Diaphragm
    pack: Pack
    oil: Oil
    drive: Drive
    heat: HeatLimits
    clearance: Clearance

    @property
    def engaged_clamp(self) -> Number:
        """Clamp with the lever out and free play present [N]."""
        return self.springs.load_engaged(self.pack.wear)

    @property
    def unaided(self) -> Bike:
        """The same bike without assist springs; itself where it has none."""
        if self.lever.assist is None and self.arm.assist is None:
            return self
        return replace(self, lever=replace(self.lever, assist=None), arm=replace(self.arm, assist=None))

    def worn(self, wear: Number) -> Bike:
        """The same bike with its pack worn by [m], free play adjusted again."""
        return replace(self, pack=replace(self.pack, wear=wear))
