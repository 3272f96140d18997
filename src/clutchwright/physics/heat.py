"""Heat in the clutch: slip energy of a start and of a drop, and how warm the steel plates get."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from clutchwright.quantity import Number

# Specific heat of plain steel near room temperature; Incropera et al., Fundamentals of Heat and Mass Transfer,
# table A.1, AISI 1010: 434 J/(kg K) at 300 K, 487 at 400 K; the value for a warm clutch between them (from memory).
STEEL_SPECIFIC_HEAT = 460.0


@dataclass(frozen=True, slots=True)
class HeatLimits:
    """Steel mass that takes up the heat, and the user's own limits (guide values only).

    Parameters
    ----------
    steel_mass : Number
        Mass of all steel plates [kg].
    energy_limit : Number
        Slip energy per face area in one go [J/m²].
    power_limit : Number
        Slip power per face area [W/m²].
    """

    steel_mass: Number
    energy_limit: Number
    power_limit: Number


def slip_energy(*, driver_inertia: Number, driven_inertia: Number, speed_step: Number) -> Number:
    """Energy turned into heat when two free inertias are brought to one speed.

    Parameters
    ----------
    driver_inertia : Number
        I1 [kg m²].
    driven_inertia : Number
        I2 [kg m²].
    speed_step : Number
        Speed difference at the start [rad/s].

    Returns
    -------
    Number
        I1 I2 dw^2/(2 (I1 + I2)) [J], whatever the torque; Shigley, Mechanical Engineering Design, ch. 16, energy
        considerations.
    """
    return driver_inertia * driven_inertia * speed_step**2 / (2.0 * (driver_inertia + driven_inertia))


def slip_time(*, driver_inertia: Number, driven_inertia: Number, speed_step: Number, torque: Number) -> Number:
    """Time until two inertias run together under a constant clutch torque.

    Parameters
    ----------
    driver_inertia : Number
        I1 [kg m²].
    driven_inertia : Number
        I2 [kg m²].
    speed_step : Number
        Speed difference at the start [rad/s].
    torque : Number
        Torque of the slipping clutch [N m].

    Returns
    -------
    Number
        I1 I2 dw/(T (I1 + I2)) [s]; Shigley, Mechanical Engineering Design, ch. 16.
    """
    return driver_inertia * driven_inertia * speed_step / (torque * (driver_inertia + driven_inertia))


def start_energy(*, driven_inertia: Number, speed: Number) -> Number:
    """Heat of a start from rest with the engine held at one speed.

    Parameters
    ----------
    driven_inertia : Number
        Machine and rider as the clutch feels them [kg m²].
    speed : Number
        Clutch input speed, held [rad/s].

    Returns
    -------
    Number
        I w^2/2 [J], as much as the machine gains; constant-torque spin-up (Bhandari, ex. 11.11).
    """
    return 0.5 * driven_inertia * speed**2


def temperature_rise(energy: Number, *, mass: Number, specific_heat: float = STEEL_SPECIFIC_HEAT) -> Number:
    """Temperature rise of a mass that keeps all the heat.

    Parameters
    ----------
    energy : Number
        Heat [J].
    mass : Number
        Mass [kg].
    specific_heat : float
        Specific heat [J/(kg K)].

    Returns
    -------
    Number
        E/(m c) [K]; Shigley, Mechanical Engineering Design, ch. 16, temperature rise.
    """
    return energy / (mass * specific_heat)


def face_area(*, faces: Number, outer: Number, inner: Number) -> Number:
    """Area of all friction faces.

    Parameters
    ----------
    faces : Number
        Friction faces [-].
    outer : Number
        Outer diameter [m].
    inner : Number
        Inner diameter [m].

    Returns
    -------
    Number
        z pi (D^2 - d^2)/4 [m²]; own derivation (area of a ring).
    """
    return faces * np.pi * (outer**2 - inner**2) / 4.0
