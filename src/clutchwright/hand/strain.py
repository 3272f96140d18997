"""Second opinions from occupational health: revised strain index and hand-activity limit."""

from __future__ import annotations

import numpy as np

from clutchwright.errors import ModelRangeError
from clutchwright.quantity import Number

STRAIN_INDEX_LIMIT = 10.0  # [-] Garg, Moore & Kapellusch (2017), from memory
# own choice: a lever is pulled so seldom that the equation leaves its data (levels 1 to 10)
LEAST_ACTIVITY = 1.0  # [-]

_DEGREE = np.pi / 180.0
_MINUTE, _HOUR = 60.0, 3600.0


def intensity_multiplier(effort: Number) -> Number:
    """Strain multiplier of the effort.

    Parameters
    ----------
    effort : Number
        Effort share I [-], 0 to 1.

    Returns
    -------
    Number
        30 I^3 - 15.6 I^2 + 13 I + 0.4 up to 0.4, then 36 I^3 - 33.3 I^2 + 24.77 I - 1.86 [-].

    Raises
    ------
    ModelRangeError
        For an effort outside 0 to 1.

    References
    ----------
    Garg, Moore & Kapellusch (2017), Ergonomics 60:912.
    """
    share = np.asarray(effort, dtype=float)
    if not np.all((share >= 0.0) & (share <= 1.0)):
        message = f"effort share = {effort}: the strain index is known from 0 to 1; a greater pull cannot be done"
        raise ModelRangeError(message)
    low = 30.0 * share**3 - 15.6 * share**2 + 13.0 * share + 0.4
    high = 36.0 * share**3 - 33.3 * share**2 + 24.77 * share - 1.86
    return np.where(share <= 0.4, low, high)[()]


def frequency_multiplier(rate: Number) -> Number:
    """Strain multiplier of the number of pulls.

    Parameters
    ----------
    rate : Number
        Pulls a second [1/s]; E is pulls a minute.

    Returns
    -------
    Number
        0.10 + 0.25 E up to 90 a minute, then 0.00334 E^1.96 [-].

    References
    ----------
    Garg, Moore & Kapellusch (2017), Ergonomics 60:912.
    """
    per_minute = np.asarray(rate) * _MINUTE
    return np.where(per_minute <= 90.0, 0.10 + 0.25 * per_minute, 0.00334 * per_minute**1.96)[()]


def duration_multiplier(hold: Number) -> Number:
    """Strain multiplier of the time of one pull.

    Parameters
    ----------
    hold : Number
        Time D of one pull [s], above 0.

    Returns
    -------
    Number
        0.45 + 0.31 D up to 60 s, then 19.17 ln D - 59.44 [-].

    References
    ----------
    Garg, Moore & Kapellusch (2017), Ergonomics 60:912.
    """
    seconds = np.asarray(hold)
    return np.where(seconds <= 60.0, 0.45 + 0.31 * seconds, 19.17 * np.log(seconds) - 59.44)[()]


def posture_multiplier(wrist_extension: Number) -> Number:
    """Strain multiplier of the wrist angle.

    Parameters
    ----------
    wrist_extension : Number
        Extension above 0, flexion below [rad].

    Returns
    -------
    Number
        1.2 exp(0.009 P) - 0.2 for P degrees of flexion; 1 up to 30 degrees of extension, then
        1 + 0.00028 (P - 30)^2 [-].

    References
    ----------
    Garg, Moore & Kapellusch (2017), Ergonomics 60:912.
    """
    degrees = np.asarray(wrist_extension) / _DEGREE
    extended = 1.0 + 0.00028 * np.maximum(0.0, degrees - 30.0) ** 2
    return np.where(degrees < 0.0, 1.2 * np.exp(-0.009 * degrees) - 0.2, extended)[()]


def hours_multiplier(time: Number) -> Number:
    """Strain multiplier of the riding time a day.

    Parameters
    ----------
    time : Number
        Riding time [s], above 0; H in hours.

    Returns
    -------
    Number
        0.2 up to 0.05 h, then 0.042 H + 0.090 ln H + 0.477 [-].

    References
    ----------
    Garg, Moore & Kapellusch (2017), Ergonomics 60:912.
    """
    hours = np.asarray(time) / _HOUR
    return np.where(hours <= 0.05, 0.2, 0.042 * hours + 0.090 * np.log(hours) + 0.477)[()]


def revised_strain_index(
    *, effort: Number, rate: Number, hold: Number, wrist_extension: Number, time: Number
) -> Number:
    """Revised strain index of a riding day.

    Parameters
    ----------
    effort : Number
        Effort share while pulling [-], 0 to 1.
    rate : Number
        Pulls a second [1/s].
    hold : Number
        Time of one pull [s].
    wrist_extension : Number
        Extension above 0, flexion below [rad].
    time : Number
        Riding time a day [s].

    Returns
    -------
    Number
        Product of the five multipliers [-]; 10 is the limit.

    Raises
    ------
    ModelRangeError
        For an effort outside 0 to 1.

    References
    ----------
    Garg, Moore & Kapellusch (2017), Ergonomics 60:912; made for work in factories, not for levers.
    """
    return (
        intensity_multiplier(effort)
        * frequency_multiplier(rate)
        * duration_multiplier(hold)
        * posture_multiplier(wrist_extension)
        * hours_multiplier(time)
    )


def hand_activity(rate: Number, duty: Number) -> Number:
    """Hand activity level.

    Parameters
    ----------
    rate : Number
        Pulls a second F [Hz].
    duty : Number
        Share of the time pulled [-]; D in per cent.

    Returns
    -------
    Number
        6.56 ln(D) F^1.31/(1 + 3.18 F^1.31) on a scale of 0 to 10 [-].

    References
    ----------
    Radwin et al. (2015), Ergonomics 58:173.
    """
    speed = np.asarray(rate) ** 1.31
    return 6.56 * np.log(100.0 * np.asarray(duty)) * speed / (1.0 + 3.18 * speed)


def activity_limit(activity: Number) -> Number:
    """Greatest peak force at a hand activity level.

    Parameters
    ----------
    activity : Number
        Hand activity level [-].

    Returns
    -------
    Number
        5.6 - 0.56 HAL on a scale where 10 is the greatest force [-]; for 4 to 8 h a day.

    References
    ----------
    ACGIH (2018), hand activity threshold limit value.
    """
    return 5.6 - 0.56 * activity


def activity_action_limit(activity: Number) -> Number:
    """Peak force from which care is advised at a hand activity level.

    Parameters
    ----------
    activity : Number
        Hand activity level [-].

    Returns
    -------
    Number
        3.6 - 0.56 HAL on a scale where 10 is the greatest force [-]; for 4 to 8 h a day.

    References
    ----------
    ACGIH (2018), hand activity action limit.
    """
    return 3.6 - 0.56 * activity


def peak_force_index(effort: Number, activity: Number) -> Number:
    """Peak force over its limit.

    Parameters
    ----------
    effort : Number
        Effort share while pulling [-].
    activity : Number
        Hand activity level [-]; for a lever use at least `LEAST_ACTIVITY`.

    Returns
    -------
    Number
        10 f/(5.6 - 0.56 HAL) [-]; above 1 is too much.

    References
    ----------
    ACGIH (2018), hand activity threshold limit value.
    """
    return 10.0 * effort / activity_limit(activity)
