"""What wrist, forearm, side and glove leave of the grip; each factor with its source, range and spread."""

from __future__ import annotations

import numpy as np

from clutchwright.errors import ModelRangeError
from clutchwright.hand.estimate import Estimate
from clutchwright.hand.norms import Sex
from clutchwright.hand.span import typical

_DEGREE = np.pi / 180.0

# Share of the best grip against wrist angle. Between 0 and 35 degrees of extension the published curves disagree
# (O'Driscoll 1992, Li 2002, Fong & Ng 2001, Pryce 1980, Kattel 1996), so it is flat there with a wide spread.
# Outside: design table of Putz-Anderson (1988) after Terrell & Purswell (1976), from memory.
_EXTENSION = np.array([-65.0, -45.0, 0.0, 35.0, 45.0, 65.0]) * _DEGREE  # [rad], flexion below 0
_EXTENSION_FACTOR = np.array([0.45, 0.60, 1.0, 1.0, 0.75, 0.63])
_DEVIATION = np.array([-25.0, 0.0, 15.0, 40.0]) * _DEGREE  # [rad], towards the thumb below 0
_DEVIATION_FACTOR = np.array([0.80, 1.0, 1.0, 0.75])
_DISAGREE = 35.0 * _DEGREE  # [rad]
WRIST_SPREAD = 0.15  # [-], relative
_WRIST_SOURCE = (
    "flat from 0 to 35 degrees of extension, where O'Driscoll 1992, Li 2002, Fong & Ng 2001 and Pryce 1980 disagree; "
    "outside Putz-Anderson 1988 after Terrell & Purswell 1976; spread assumed"
)

PRONATED: dict[Sex, Estimate] = {
    "man": Estimate(40.1 / 51.4, 0.05, "Fan 2018, J Hand Microsurg 11:88, n = 30; spread assumed", "found"),
    "woman": Estimate(22.3 / 27.4, 0.05, "Fan 2018, J Hand Microsurg 11:88, n = 30; spread assumed", "found"),
}  # [-] hand flat on a handlebar against neutral forearm, non-dominant hand

OTHER_HAND: dict[Sex, Estimate] = {
    "man": Estimate(0.965, 0.05, "Massy-Westropp 2011, BMC Res Notes 4:127, six age groups; spread assumed", "derived"),
    "woman": Estimate(
        0.945, 0.05, "Massy-Westropp 2011, BMC Res Notes 4:127, six age groups; spread assumed", "derived"
    ),
}  # [-] non-dominant against dominant

GLOVE = Estimate(0.85, 0.05, "loss of 10 to 20 % often quoted, from memory; no source was found", "memory", 0.80, 0.90)


def wrist_factor(extension: float, deviation: float = 0.0, u_angle: float = 0.0) -> Estimate:
    """Share of the grip left at a wrist angle.

    Parameters
    ----------
    extension : float
        Back of the hand towards the forearm above 0, flexion below [rad]; -65 to 65 degrees.
    deviation : float
        Towards the little finger above 0, towards the thumb below [rad]; -25 to 40 degrees.
    u_angle : float
        Standard uncertainty of each angle [rad].

    Returns
    -------
    Estimate
        Factor [-], the two angles' losses multiplied (assumed); relative spread 15 %, and what the uncertain angles
        add to it (half the change over one standard uncertainty both ways, the table's ends standing beyond it).

    Raises
    ------
    ModelRangeError
        Outside the table; nothing is extrapolated.

    References
    ----------
    Putz-Anderson (1988), Cumulative Trauma Disorders, after Terrell & Purswell (1976), from memory; flat part: see
    O'Driscoll (1992), J Hand Surg Am 17:169, and the others named in the source of the result.
    """
    for name, angle, table in (("extension", extension, _EXTENSION), ("deviation", deviation, _DEVIATION)):
        if not table[0] <= angle <= table[-1]:
            low, high = table[0] / _DEGREE, table[-1] / _DEGREE
            message = (
                f"wrist {name} = {angle / _DEGREE:.0f}°: known from {low:.0f} to {high:.0f}°; "
                "turn the lever or the bar so that the wrist comes into this range, or check the angle"
            )
            raise ModelRangeError(message)
    way = np.array([0.0, u_angle, -u_angle])
    bent = np.interp(extension + way, _EXTENSION, _EXTENSION_FACTOR)
    turned = np.interp(deviation + way, _DEVIATION, _DEVIATION_FACTOR)
    by_angles = np.hypot((bent[1] - bent[2]) / (2.0 * bent[0]), (turned[1] - turned[2]) / (2.0 * turned[0]))
    value = float(bent[0] * turned[0])
    return Estimate(value, float(np.hypot(WRIST_SPREAD, by_angles)) * value, _WRIST_SOURCE, "memory", 0.66, 1.0)


def wrist_change(extension: float, trial: float, deviation: float = 0.0, u_angle: float = 0.0) -> Estimate:
    """Grip at a wrist angle over the grip at another one, for a strength that was measured in place.

    Parameters
    ----------
    extension : float
        Extension now [rad]; -65 to 65 degrees.
    trial : float
        Extension while the strength was measured [rad]; the same range.
    deviation : float
        Towards the little finger above 0, both times [rad].
    u_angle : float
        Standard uncertainty of each angle [rad].

    Returns
    -------
    Estimate
        Ratio of the two factors [-]. Its spread is none where the angles are the same, and grows to that of a factor
        over the 35 degrees in which the published curves disagree (assumed).

    Raises
    ------
    ModelRangeError
        Outside the table.

    References
    ----------
    See `wrist_factor`.
    """
    now, then = wrist_factor(extension, deviation, u_angle), wrist_factor(trial, deviation, u_angle)
    apart = min(1.0, abs(extension - trial) / _DISAGREE)
    value = now.value / then.value
    return Estimate(value, apart * now.relative * value, _WRIST_SOURCE, "memory")


def forearm_factor(sex: Sex | None, pronated: bool = True) -> Estimate:
    """Share of the grip left with the forearm as on a handlebar.

    Parameters
    ----------
    sex : Sex | None
        None: the mean of both.
    pronated : bool
        Palm down, as on a handlebar; otherwise neutral, as the norms are measured.

    Returns
    -------
    Estimate
        Factor [-].

    References
    ----------
    Fan et al. (2018), J Hand Microsurg 11:88; pronation weakest also in Richards (1996) and De Smet (1998).
    """
    if not pronated:
        return Estimate(1.0, 0.0, "neutral forearm, as the norms are measured", "found")
    return typical(PRONATED, sex)


def side_factor(sex: Sex | None, dominant: bool = False) -> Estimate:
    """What the pulling hand has of the better hand's grip.

    Parameters
    ----------
    sex : Sex | None
        None: the mean of both.
    dominant : bool
        Whether the pulling hand is the dominant one.

    Returns
    -------
    Estimate
        Factor [-].

    References
    ----------
    Massy-Westropp et al. (2011), BMC Res Notes 4:127.
    """
    if dominant:
        return Estimate(1.0, 0.0, "dominant hand", "found")
    return typical(OTHER_HAND, sex)


def glove_factor(gloved: bool) -> Estimate:
    """What a riding glove leaves of the grip.

    Parameters
    ----------
    gloved : bool
        Whether one is worn.

    Returns
    -------
    Estimate
        Factor [-].

    References
    ----------
    A loss of 10 to 20 % is often quoted, from memory; no source was found.
    """
    return GLOVE if gloved else Estimate(1.0, 0.0, "bare hand", "found")
