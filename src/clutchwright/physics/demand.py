"""What the engine asks of the clutch, and what the driveline puts on it when the clutch is dropped."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from clutchwright.quantity import Number


def clutch_torque(*, engine_torque: Number, primary_ratio: Number, primary_efficiency: Number) -> Number:
    """Torque at a clutch that sits behind the primary drive.

    Parameters
    ----------
    engine_torque : Number
        Peak crank torque [N m].
    primary_ratio : Number
        Crank turns per clutch turn [-].
    primary_efficiency : Number
        Share of the torque that the primary drive passes on [-].

    Returns
    -------
    Number
        T i eta [N m]; own derivation (equal power, less the loss).
    """
    return engine_torque * primary_ratio * primary_efficiency


def drop_torque(*, speed_step: Number, stiffness: Number, driver_inertia: Number, driven_inertia: Number) -> Number:
    """Peak torque in a springy shaft between two inertias that differ in speed.

    Parameters
    ----------
    speed_step : Number
        Speed difference at the drop [rad/s].
    stiffness : Number
        Torsional stiffness [N m/rad].
    driver_inertia : Number
        I1 [kg m²].
    driven_inertia : Number
        I2 [kg m²].

    Returns
    -------
    Number
        dw sqrt(k I1 I2/(I1 + I2)) [N m]; textbook two-mass oscillator (own derivation from its energy).
    """
    return speed_step * np.sqrt(stiffness * driver_inertia * driven_inertia / (driver_inertia + driven_inertia))


def equivalent_inertia(*, mass: Number, wheel_circumference: Number, overall_ratio: Number) -> Number:
    """Inertia of the moving machine, as the clutch feels it.

    Parameters
    ----------
    mass : Number
        Machine and rider [kg].
    wheel_circumference : Number
        Rolling circumference of the driven wheel [m].
    overall_ratio : Number
        Clutch turns per wheel turn [-].

    Returns
    -------
    Number
        m r^2/i^2 [kg m²], r = circumference/(2 pi); own derivation (equal kinetic energy).
    """
    return mass * (wheel_circumference / (2.0 * np.pi) / overall_ratio) ** 2


def tyre_circumference(*, width: Number, aspect_ratio: Number, rim_diameter: Number) -> Number:
    """Circumference of an unloaded tyre from the numbers on its wall.

    Parameters
    ----------
    width : Number
        Section width [m]; 0.160 on a 160/60-17.
    aspect_ratio : Number
        Section height over width [-]; 0.60 on a 160/60-17.
    rim_diameter : Number
        Nominal rim diameter [m]; 17 inches on a 160/60-17.

    Returns
    -------
    Number
        pi (rim + 2 width aspect) [m]; own derivation (geometry). The rolling tyre is a few per cent shorter.
    """
    return np.pi * (rim_diameter + 2.0 * width * aspect_ratio)


@dataclass(frozen=True, slots=True)
class Drive:
    """Engine, primary drive and what hangs behind it.

    Parameters
    ----------
    engine_torque : Number
        Peak crank torque [N m].
    primary_ratio : Number
        Crank turns per clutch turn [-].
    primary_efficiency : Number
        Share of the torque that the primary drive passes on [-].
    start_speed : Number
        Engine speed at which one starts from rest [rad/s].
    drop_speed : Number
        Engine speed of a dropped clutch [rad/s].
    engine_inertia : Number
        Inertia of everything that turns with the crank, at the crank [kg m²].
    first_gear_ratio : Number
        Clutch turns per gearbox output turn in first gear [-].
    final_ratio : Number
        Gearbox output turns per wheel turn [-].
    wheel_circumference : Number
        Rolling circumference of the driven wheel [m].
    mass : Number
        Machine and rider [kg].
    driveline_stiffness : Number | None
        Torsional stiffness between clutch and road, at the clutch [N m/rad]; None when not known.
    creep_torque : Number
        Torque at the clutch at which the machine starts to creep in first gear [N m].
    top_speed : Number | None
        Highest engine speed [rad/s]; None when not known.
    clutch_mass : Number | None
        Mass that turns with the clutch: basket, hub, plates [kg]; None when not known.
    """

    engine_torque: Number
    primary_ratio: Number
    primary_efficiency: Number
    start_speed: Number
    drop_speed: Number
    engine_inertia: Number
    first_gear_ratio: Number
    final_ratio: Number
    wheel_circumference: Number
    mass: Number
    driveline_stiffness: Number | None
    creep_torque: Number
    top_speed: Number | None = None
    clutch_mass: Number | None = None

    @property
    def torque(self) -> Number:
        """Peak torque at the clutch [N m]."""
        return clutch_torque(
            engine_torque=self.engine_torque,
            primary_ratio=self.primary_ratio,
            primary_efficiency=self.primary_efficiency,
        )

    @property
    def driver_inertia(self) -> Number:
        """Engine inertia as the clutch feels it [kg m²]: I i^2, textbook gear pair."""
        return self.engine_inertia * self.primary_ratio**2

    @property
    def driven_inertia(self) -> Number:
        """Machine and rider in first gear as the clutch feels them [kg m²]."""
        return equivalent_inertia(
            mass=self.mass,
            wheel_circumference=self.wheel_circumference,
            overall_ratio=self.first_gear_ratio * self.final_ratio,
        )
