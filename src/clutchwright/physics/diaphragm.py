"""The diaphragm spring: a disc spring with fingers, after Almen and Laszlo (1936).

Its load can fall while the clutch is lifted, which is what makes it feel light when held.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from clutchwright.quantity import Number

POISSON = 0.3


def disc_shape_factor(diameter_ratio: Number) -> Number:
    """Shape factor K1 of a disc spring.

    Parameters
    ----------
    diameter_ratio : Number
        delta = De/Di [-].

    Returns
    -------
    Number
        K1 = (1/pi) ((delta - 1)/delta)^2/((delta + 1)/(delta - 1) - 2/ln delta) [-]; EN 16984 (DIN 2092) eq. for K1.
    """
    delta = diameter_ratio
    return ((delta - 1.0) / delta) ** 2 / ((delta + 1.0) / (delta - 1.0) - 2.0 / np.log(delta)) / np.pi


def disc_shape_factor_almen_laszlo(diameter_ratio: Number) -> Number:
    """Shape constant M of the 1936 paper, the rival of K1.

    Parameters
    ----------
    diameter_ratio : Number
        De/Di [-].

    Returns
    -------
    Number
        M = 6/(pi ln delta) ((delta - 1)/delta)^2 [-]; Almen and Laszlo, The uniform-section disk spring, Trans. ASME 58
        (1936) 305 (from memory).
    """
    delta = diameter_ratio
    return 6.0 / (np.pi * np.log(delta)) * ((delta - 1.0) / delta) ** 2


def disc_load(
    deflection: Number,
    *,
    outer: Number,
    inner: Number,
    thickness: Number,
    cone_height: Number,
    modulus: Number,
    shape_factor: Number | None = None,
) -> Number:
    """Load of a disc spring pressed at its edges.

    Parameters
    ----------
    deflection : Number
        Axial deflection s from free [m].
    outer : Number
        De [m].
    inner : Number
        Di, the inner edge of the closed ring [m].
    thickness : Number
        t [m].
    cone_height : Number
        h0, free height of the cone above flat [m].
    modulus : Number
        E [Pa].
    shape_factor : Number | None
        K1 [-]; from `disc_shape_factor` when None.

    Returns
    -------
    Number
        F = 4E/(1 - mu^2) t^4/(K1 De^2) (s/t) [(h0/t - s/t)(h0/t - s/(2t)) + 1] [N].

    References
    ----------
    EN 16984 (DIN 2092), load of a single disc without contact flats (K4 = 1); Almen and Laszlo, Trans. ASME 58 (1936)
    305. Pressed between flats the load rises above this beyond s = 0.75 h0; between rings, as in a clutch, it does not.
    """
    k1 = disc_shape_factor(outer / inner) if shape_factor is None else shape_factor
    h, s = cone_height / thickness, deflection / thickness
    scale = 4.0 * modulus / (1.0 - POISSON**2) * thickness**4 / (k1 * outer**2)
    return scale * s * ((h - s) * (h - 0.5 * s) + 1.0)


def disc_stress(deflection: Number, *, outer: Number, inner: Number, thickness: Number, modulus: Number) -> Number:
    """Reference stress at the middle of the section (point OM).

    Parameters
    ----------
    deflection : Number
        Axial deflection s from free [m].
    outer : Number
        De [m].
    inner : Number
        Di [m].
    thickness : Number
        t [m].
    modulus : Number
        E [Pa].

    Returns
    -------
    Number
        -4E/(1 - mu^2) t^2/(K1 De^2) (s/t)(3/pi) [Pa], compression negative; EN 16984 (DIN 2092).
    """
    scale = 4.0 * modulus / (1.0 - POISSON**2) * thickness**2 / (disc_shape_factor(outer / inner) * outer**2)
    return -scale * (deflection / thickness) * 3.0 / np.pi


@dataclass(frozen=True, slots=True)
class Diaphragm:
    """A diaphragm spring, rocking on a ring between the pressure plate's ring and the finger tips.

    Parameters
    ----------
    outer : Number
        Outer diameter of the closed ring [m].
    inner : Number
        Inner diameter of the closed ring, where the slots end [m].
    thickness : Number
        Thickness [m].
    cone_height : Number
        Free cone height of the closed ring [m].
    deflection : Number
        Deflection between the rings with the clutch engaged, new pack [m].
    plate_radius : Number
        Axis to the ring on the pressure plate [m].
    pivot_radius : Number
        Axis to the ring it rocks on [m].
    tip_radius : Number
        Axis to the finger tips on the release bearing [m].
    modulus : Number
        E [Pa].
    load_scale : Number
        Load of the fitted spring over this geometry's [-]; 1 for the spring as measured.
    """

    outer: Number
    inner: Number
    thickness: Number
    cone_height: Number
    deflection: Number
    plate_radius: Number
    pivot_radius: Number
    tip_radius: Number
    modulus: Number
    load_scale: Number = 1.0

    @property
    def _edge_gain(self) -> Number:
        """(De - Di)/(De' - Di'): load gain and travel loss of rings inside the edges (EN 16984, from memory)."""
        return (self.outer - self.inner) / (2.0 * (self.plate_radius - self.pivot_radius))

    def load(self, lift: Number, wear: Number) -> Number:
        """Load on the pressure plate [N] at a lift [m] with a pack worn by [m]; EN 16984 with rings inside the edges.

        Wear relaxes the spring towards its free cone; the lift flattens it further.
        """
        deflection = self.deflection - wear + lift
        force = disc_load(
            deflection * self._edge_gain,
            outer=self.outer,
            inner=self.inner,
            thickness=self.thickness,
            cone_height=self.cone_height,
            modulus=self.modulus,
        )
        return force * self._edge_gain * self.load_scale

    def load_engaged(self, wear: Number) -> Number:
        """Load with the clutch engaged [N] for a pack worn by [m]."""
        return self.load(0.0, wear)

    def loosest(self, wear: Number) -> Number:
        """Deflection left with the clutch engaged [m] for a pack worn by [m]; below 0 it is loose."""
        return self.deflection - wear

    @property
    def bearing_ratio(self) -> Number:
        """Bearing travel per plate lift, which is plate force per bearing force [-].

        (r_pivot - r_tip)/(r_plate - r_pivot); own derivation, moments about the pivot ring, fingers taken as stiff.
        """
        return (self.pivot_radius - self.tip_radius) / (self.plate_radius - self.pivot_radius)


def reference_stress(spring: Diaphragm, deflection: Number) -> Number:
    """Stress of a fitted spring at point OM.

    Parameters
    ----------
    spring : Diaphragm
        The spring.
    deflection : Number
        Deflection between the rings [m].

    Returns
    -------
    Number
        Stress [Pa], compression negative; see `disc_stress` (EN 16984).
    """
    edge_deflection = deflection * (spring.outer - spring.inner) / (2.0 * (spring.plate_radius - spring.pivot_radius))
    return disc_stress(
        edge_deflection,
        outer=spring.outer,
        inner=spring.inner,
        thickness=spring.thickness,
        modulus=spring.modulus,
    )
