"""The plate pack: torque capacity, how it springs back as it is let go, separation, and drag of the oil."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from clutchwright.quantity import Number


def mean_radius_uniform_wear(outer: Number, inner: Number) -> Number:
    """Friction radius of run-in faces.

    Parameters
    ----------
    outer : Number
        Outer diameter of the friction ring [m].
    inner : Number
        Inner diameter [m].

    Returns
    -------
    Number
        (D + d)/4 [m]; Shigley, Mechanical Engineering Design, ch. 16, uniform wear.
    """
    return (outer + inner) / 4.0


def mean_radius_uniform_pressure(outer: Number, inner: Number) -> Number:
    """Friction radius of new, flat faces.

    Parameters
    ----------
    outer : Number
        Outer diameter of the friction ring [m].
    inner : Number
        Inner diameter [m].

    Returns
    -------
    Number
        (D^3 - d^3)/(3 (D^2 - d^2)) [m]; Shigley, Mechanical Engineering Design, ch. 16, uniform pressure.
    """
    return (outer**3 - inner**3) / (3.0 * (outer**2 - inner**2))


def torque_capacity(clamp: Number, *, faces: Number, friction: Number, mean_radius: Number) -> Number:
    """Torque the pack can carry.

    Parameters
    ----------
    clamp : Number
        Force on the pack [N].
    faces : Number
        Friction faces z [-].
    friction : Number
        Friction coefficient [-].
    mean_radius : Number
        Friction radius [m].

    Returns
    -------
    Number
        T = z mu r_m F [N m]; Shigley, Mechanical Engineering Design, ch. 16.
    """
    return faces * friction * mean_radius * clamp


def oil_drag_torque(
    *, faces: Number, viscosity: Number, slip_speed: Number, outer: Number, inner: Number, gap: Number
) -> Number:
    """Torque that the oil between parted faces still carries.

    Parameters
    ----------
    faces : Number
        Parted faces z [-].
    viscosity : Number
        Dynamic viscosity [Pa s].
    slip_speed : Number
        Speed difference [rad/s].
    outer : Number
        Outer diameter [m].
    inner : Number
        Inner diameter [m].
    gap : Number
        Gap at each face [m].

    Returns
    -------
    Number
        z pi eta omega (r_o^4 - r_i^4)/(2 h) [N m]; Newtonian shear, Cengel and Cimbala, Fluid Mechanics, ch. 2.
    """
    return faces * np.pi * viscosity * slip_speed * ((outer / 2) ** 4 - (inner / 2) ** 4) / (2.0 * gap)


def _along(points: tuple[float, ...], values: tuple[float, ...], at: Number) -> Number:
    """Values of a broken line; beyond its last point it goes on as steeply as it came there."""
    slope = (values[-1] - values[-2]) / (points[-1] - points[-2])
    return np.interp(at, points, values) + slope * np.maximum(at - points[-1], 0.0)


@dataclass(frozen=True, slots=True)
class Oil:
    """The oil between the faces, cold and hot.

    Parameters
    ----------
    cold_viscosity : Number
        Dynamic viscosity at a cold start [Pa s].
    hot_viscosity : Number
        Dynamic viscosity warmed up [Pa s].
    idle_speed : Number
        Engine speed at idle [rad/s].
    """

    cold_viscosity: Number
    hot_viscosity: Number
    idle_speed: Number


@dataclass(frozen=True, slots=True)
class Pack:
    """The friction and steel plates; sums and ratios of what was measured are our own derivation.

    Parameters
    ----------
    faces : Number
        Friction faces [-].
    outer : Number
        Outer diameter of the friction ring [m].
    inner : Number
        Inner diameter [m].
    friction_static : Number
        Friction coefficient before slipping, warm [-].
    friction_sliding : Number
        Friction coefficient while slipping, warm [-].
    hot_factor : Number
        Friction hot over friction warm [-].
    stiffness : Number
        Clamp per squash of the pack [N/m]; not used when a curve is given.
    curve : tuple of (float, float)
        Measured (squash [m], clamp [N]) points from (0, 0), rising; empty for a linear pack. Beyond the last point it
        goes on with its last slope.
    face_gap : Number
        Gap wanted at each face when released [m].
    flatness : Number
        Lift spent on plates that are not flat [m].
    wear_limit : Number
        Thickness lost from new to the limit [m].
    wear : Number
        Thickness lost now [m].
    wear_closes_free_play : bool
        True in the usual push design.
    assist : Number
        Extra clamp of an assist hub under drive, as a share [-].
    friction_radius : str
        ``wear`` (run-in faces) or ``pressure`` (new faces).
    """

    faces: Number
    outer: Number
    inner: Number
    friction_static: Number
    friction_sliding: Number
    hot_factor: Number
    stiffness: Number
    curve: tuple[tuple[float, float], ...]
    face_gap: Number
    flatness: Number
    wear_limit: Number
    wear: Number = 0.0
    wear_closes_free_play: bool = True
    assist: Number = 0.0
    friction_radius: str = "wear"

    @property
    def mean_radius(self) -> Number:
        """Friction radius [m] by the assumption named."""
        model = {"wear": mean_radius_uniform_wear, "pressure": mean_radius_uniform_pressure}[self.friction_radius]
        return model(self.outer, self.inner)

    def capacity(self, clamp: Number, friction: Number) -> Number:
        """Torque capacity under drive [N m] for a clamp [N] and a friction coefficient [-]; see `torque_capacity`."""
        return torque_capacity(
            clamp * (1.0 + self.assist), faces=self.faces, friction=friction, mean_radius=self.mean_radius
        )

    def squash(self, clamp: Number) -> Number:
        """How far the pack is squeezed [m] by a clamp [N]: clamp/stiffness, or the measured curve turned round."""
        if not self.curve:
            return clamp / self.stiffness
        squashes, clamps = zip(*self.curve, strict=True)
        return _along(clamps, squashes, clamp)

    def clamp(self, lift: Number, engaged_clamp: Number) -> Number:
        """Force left on the pack [N] at a lift [m] from a full clamp [N]: the pack springs back by the lift.

        Linear in the lift for a linear pack; own derivation.
        """
        if not self.curve:
            return np.maximum(engaged_clamp - self.stiffness * lift, 0.0)
        squashes, clamps = zip(*self.curve, strict=True)
        return _along(squashes, clamps, self.squash(engaged_clamp) - lift)

    def release_lift(self, engaged_clamp: Number) -> Number:
        """Lift at which each face has its gap [m], from a full clamp [N]: squash + z gap + flatness. Own derivation."""
        return self.squash(engaged_clamp) + self.faces * self.face_gap + self.flatness

    def gap(self, lift: Number, engaged_clamp: Number) -> Number:
        """Gap at each face [m] at a lift [m], from a full clamp [N]; 0 while they touch. Own derivation.

        What `release_lift` counts, turned round: (lift - squash - flatness)/z.
        """
        return np.maximum(lift - self.squash(engaged_clamp) - self.flatness, 0.0) / self.faces
