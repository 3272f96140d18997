"""Static unbalance of what turns with the clutch: springs left out, and what a balance grade allows.

No grade is published for motorcycle clutch baskets; ISO 21940-11 gives G 6.3 for flywheels.
"""

from __future__ import annotations

import numpy as np

from clutchwright.quantity import Array, Number


def static_unbalance(masses: Array, *, x: Array, y: Array) -> Number:
    """Unbalance of masses on a rotor, or of masses missing from it.

    Parameters
    ----------
    masses : Array
        Masses, on the last axis [kg].
    x : Array
        Places, the rotor's axis at the origin [m].
    y : Array
        Places [m].

    Returns
    -------
    Number
        Length of sum(m r) [kg m]; own derivation (vector sum), 1 kg m = 1e6 g mm.
    """
    return np.hypot(np.sum(masses * x, axis=-1), np.sum(masses * y, axis=-1))


def permissible_eccentricity(*, grade: Number, speed: Number) -> Number:
    """Distance from the axis at which a grade allows the centre of mass.

    Parameters
    ----------
    grade : Number
        Balance quality grade G, for instance 6.3e-3 [m/s].
    speed : Number
        Highest service speed [rad/s].

    Returns
    -------
    Number
        e_per = G/w [m]; ISO 21940-11 (formerly ISO 1940-1).
    """
    return grade / speed


def permissible_unbalance(*, grade: Number, mass: Number, speed: Number) -> Number:
    """Unbalance that a grade allows.

    Parameters
    ----------
    grade : Number
        Balance quality grade G [m/s].
    mass : Number
        Rotor [kg].
    speed : Number
        Highest service speed [rad/s].

    Returns
    -------
    Number
        U_per = G m/w [kg m]; ISO 21940-11 (formerly ISO 1940-1), 9549 G m/n in g mm, mm/s, kg, 1/min.
    """
    return permissible_eccentricity(grade=grade, speed=speed) * mass


def rotating_force(unbalance: Number, speed: Number) -> Number:
    """Force that an unbalance drives round.

    Parameters
    ----------
    unbalance : Number
        Unbalance [kg m].
    speed : Number
        Speed of the rotor [rad/s].

    Returns
    -------
    Number
        U w² [N]; Bevan, The Theory of Machines, ch. 14.
    """
    return unbalance * speed**2
