"""Coil springs: rate from wire, stress, and the load of a set on the pressure plate.

A set is the sum of its linear springs, own derivation.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from clutchwright.errors import ModelRangeError
from clutchwright.quantity import Array, Number

# Turns that do not work, and solid length as (turns + this) x wire. Shigley, Mechanical Engineering Design, table 10-1
# (from memory).
END_TURNS: dict[str, tuple[float, float]] = {
    "plain": (0.0, 1.0),
    "plain ground": (1.0, 0.0),
    "squared": (2.0, 1.0),
    "squared ground": (2.0, 0.0),
}


@dataclass(frozen=True, slots=True)
class SpringSteel:
    """A spring wire material.

    Parameters
    ----------
    strength : callable
        Wire diameter [mm] to least tensile strength [MPa], as the source tabulates it.
    shear_modulus : float
        G [Pa].
    """

    strength: Callable[[Number], Number]
    shear_modulus: float


# Tensile strength A/d^m: Shigley, table 10-4 (chrome-silicon from memory, the rest found in open worked examples);
# patented drawn: EN 10270-1, grades SM and DM (found in a public verification print). Shear modulus: Shigley, table
# 10-5, and EN 13906-1 for patented drawn wire (from memory).
MATERIALS: dict[str, SpringSteel] = {
    "music": SpringSteel(lambda d: 2211.0 / d**0.145, 81.0e9),
    "oil tempered": SpringSteel(lambda d: 1855.0 / d**0.187, 77.2e9),
    "hard drawn": SpringSteel(lambda d: 1783.0 / d**0.190, 80.0e9),
    "chrome vanadium": SpringSteel(lambda d: 2005.0 / d**0.168, 77.2e9),
    "chrome silicon": SpringSteel(lambda d: 1974.0 / d**0.108, 77.2e9),
    "patented drawn": SpringSteel(lambda d: 1980.0 - 740.0 * np.log10(d), 81.5e9),
}

# Permissible shear stress at solid length as a share of tensile strength, cold coiled (EN 13906-1, from memory).
PERMISSIBLE_SHARE = 0.56


def spring_rate(*, wire: Number, mean_diameter: Number, active_turns: Number, shear_modulus: Number) -> Number:
    """Rate of a round-wire compression spring.

    Parameters
    ----------
    wire : Number
        Wire diameter d [m].
    mean_diameter : Number
        Mean coil diameter D [m].
    active_turns : Number
        Turns that work n [-].
    shear_modulus : Number
        G [Pa].

    Returns
    -------
    Number
        R = G d^4/(8 D^3 n) [N/m].

    References
    ----------
    EN 13906-1 (spring rate); Shigley, Mechanical Engineering Design, eq. 10-9. Known good for 4 <= D/d <= 20, n >= 2.
    """
    return shear_modulus * wire**4 / (8.0 * mean_diameter**3 * active_turns)


def bergstraesser_factor(index: Number) -> Number:
    """Stress correction for the curvature of the wire.

    Parameters
    ----------
    index : Number
        Spring index D/d [-].

    Returns
    -------
    Number
        (w + 0.5)/(w - 0.75) [-]; EN 13906-1, the same as Shigley eq. 10-5 (4C + 2)/(4C - 3).
    """
    return (index + 0.5) / (index - 0.75)


def wahl_factor(index: Number) -> Number:
    """Stress correction after Wahl, the rival of Bergstraesser's.

    Parameters
    ----------
    index : Number
        Spring index D/d [-].

    Returns
    -------
    Number
        (4C - 1)/(4C - 4) + 0.615/C [-]; Shigley, Mechanical Engineering Design, eq. 10-4.
    """
    return (4.0 * index - 1.0) / (4.0 * index - 4.0) + 0.615 / index


def shear_stress(force: Number, *, wire: Number, mean_diameter: Number) -> Number:
    """Corrected shear stress in the wire.

    Parameters
    ----------
    force : Number
        Load on one spring [N].
    wire : Number
        Wire diameter [m].
    mean_diameter : Number
        Mean coil diameter [m].

    Returns
    -------
    Number
        k 8 F D/(pi d^3) [Pa]; EN 13906-1, with Bergstraesser's k.
    """
    return bergstraesser_factor(mean_diameter / wire) * 8.0 * force * mean_diameter / (np.pi * wire**3)


def tensile_strength(material: str, wire: Number) -> Number:
    """Least tensile strength of a spring wire.

    Parameters
    ----------
    material : str
        A key of ``MATERIALS`` [-].
    wire : Number
        Wire diameter [m].

    Returns
    -------
    Number
        A/d^m [Pa]; Shigley, Mechanical Engineering Design, eq. 10-14 and table 10-4. Patented drawn wire:
        1980 - 740 log10 d [MPa], d in mm; EN 10270-1, grades SM and DM.

    Raises
    ------
    ModelRangeError
        For a material that is not in the table.
    """
    if material not in MATERIALS:
        message = f"springs.material = {material!r}: not in the table; choose one of {', '.join(MATERIALS)}"
        raise ModelRangeError(message)
    return MATERIALS[material].strength(wire * 1e3) * 1e6


def least_gap_sum(*, wire: Number, mean_diameter: Number, active_turns: Number) -> Number:
    """Least sum of the gaps between turns that a cold coiled spring needs at its shortest.

    Nearer to solid than this some turns already touch, and the rate is no longer the same.

    Parameters
    ----------
    wire : Number
        Wire diameter d [m].
    mean_diameter : Number
        Mean coil diameter D [m].
    active_turns : Number
        Turns that work n [-].

    Returns
    -------
    Number
        Sa = n (0.0015 D^2/d + 0.1 d) [m]; EN 13906-1, static load (from memory).
    """
    return active_turns * (0.0015 * mean_diameter**2 / wire + 0.1 * wire)


@dataclass(frozen=True, slots=True)
class Wire:
    """What a spring is wound from.

    Parameters
    ----------
    diameter : Number
        Wire diameter [m].
    outer_diameter : Number
        Outer coil diameter [m].
    total_turns : Number
        All turns, end to end [-].
    ends : str
        A key of ``END_TURNS``.
    material : str
        A key of ``MATERIALS``.
    """

    diameter: Number
    outer_diameter: Number
    total_turns: Number
    ends: str
    material: str

    @property
    def mean_diameter(self) -> Number:
        """Outer diameter less one wire [m]."""
        return self.outer_diameter - self.diameter

    @property
    def inner_diameter(self) -> Number:
        """Outer diameter less two wires [m]."""
        return self.outer_diameter - 2.0 * self.diameter

    @property
    def active_turns(self) -> Number:
        """Turns that work [-]; Shigley, table 10-1 (from memory)."""
        return self.total_turns - END_TURNS[self.ends][0]

    @property
    def rate(self) -> Number:
        """Spring rate [N/m], by `spring_rate`."""
        return spring_rate(
            wire=self.diameter,
            mean_diameter=self.mean_diameter,
            active_turns=self.active_turns,
            shear_modulus=MATERIALS[self.material].shear_modulus,
        )

    @property
    def solid_length(self) -> Number:
        """Length with all coils touching [m]; Shigley, table 10-1 (from memory)."""
        return (self.total_turns + END_TURNS[self.ends][1]) * self.diameter

    @property
    def least_gap_sum(self) -> Number:
        """Least sum of gaps between turns [m], by `least_gap_sum`."""
        return least_gap_sum(wire=self.diameter, mean_diameter=self.mean_diameter, active_turns=self.active_turns)


@dataclass(frozen=True, slots=True)
class CoilSpring:
    """One coil spring in its place.

    Parameters
    ----------
    rate : Number
        Rate [N/m].
    free_length : Number
        Length unloaded [m].
    installed_length : Number
        Length with the clutch engaged, new pack, no washer [m].
    solid_length : Number | None
        Length with all coils touching [m]; None when not known.
    position : int
        Boss it sits on, counted round the circle from 0.
    washer : Number
        Thickness of washers under its bolt's shoulder [m].
    """

    rate: Number
    free_length: Number
    installed_length: Number
    solid_length: Number | None
    position: int
    washer: Number = 0.0

    def preload_travel(self, wear: Number) -> Number:
        """How far it is squeezed, clutch engaged [m], for a pack worn by [m]: L_free - L_inst - wear - washer."""
        return self.free_length - self.installed_length - self.washer - wear

    def load(self, lift: Number, wear: Number) -> Number:
        """Load [N] at a lift [m] with a pack worn by [m]: k (p + h); EN 13906-1, linear spring."""
        return self.rate * (self.preload_travel(wear) + lift)


@dataclass(frozen=True, slots=True)
class CoilSet:
    """The coil springs of a clutch; those left out are simply not in the tuple.

    Parameters
    ----------
    springs : tuple of CoilSpring
        The springs fitted.
    bosses : int
        Places for springs, evenly spaced on the circle.
    circle_radius : Number
        Clutch axis to spring axis [m].
    wire : Wire | None
        What they are wound from; None when not known.
    mass : Number | None
        Mass of one spring with its bolt [kg]; None when not known.
    """

    springs: tuple[CoilSpring, ...]
    bosses: int
    circle_radius: Number
    wire: Wire | None = None
    mass: Number | None = None

    def load(self, lift: Number, wear: Number) -> Number:
        """Load on the pressure plate [N] at a lift [m] with a pack worn by [m]: the sum over the springs.

        All springs are linear, so the sum is P + K h with P and K summed once, whatever the number of positions.
        """
        return self.load_engaged(wear) + self.stiffness * lift

    def load_engaged(self, wear: Number) -> Number:
        """Load with the clutch engaged [N] for a pack worn by [m]."""
        return sum((count * spring.load(0.0, wear) for spring, count in self._alike()), 0.0)

    @property
    def stiffness(self) -> Number:
        """Slope of the load [N/m]."""
        return sum((count * spring.rate for spring, count in self._alike()), 0.0)

    def _alike(self) -> Iterator[tuple[CoilSpring, int]]:
        """Springs that share their numbers, one of them and how many there are: mostly all do."""
        first = self.springs[0]
        for each in self.springs:
            if (
                each.rate is not first.rate
                or each.free_length is not first.free_length
                or each.installed_length is not first.installed_length
                or each.washer is not first.washer
            ):
                yield from ((spring, 1) for spring in self.springs)
                return
        yield first, len(self.springs)

    @property
    def bearing_ratio(self) -> float:
        """Bearing travel per plate lift [-]; the rod pushes the plate itself."""
        return 1.0

    def loosest(self, wear: Number) -> Number:
        """Least preload travel of any spring [m] for a pack worn by [m]; below 0 a spring rattles loose."""
        travels = [np.asarray(spring.preload_travel(wear), dtype=np.float64) for spring in self.springs]
        least: Array = np.min(np.stack(np.broadcast_arrays(*travels)), axis=0)
        return least[()]
