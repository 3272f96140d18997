"""Kinds of riding as pulls and hold time; one of them can be cited, the others are assumptions."""

from __future__ import annotations

import math
from dataclasses import dataclass

from clutchwright.errors import InputError
from clutchwright.hand.estimate import Basis

_HOUR = 3600.0
_OWN = "own:pulls_per_hour=..,hold_s=.."

# UN/ECE urban driving cycle, one round: 195 s, 1.013 km; gear changing 8 s, declutched deceleration 9 s, idle 60 s;
# pulls: 4 changes, 3 declutched stops, 3 starts. Derived from the times and steps of R83/R40, Table 1, not measured.
CYCLE_TIME = 195.0  # [s]
CYCLE_DISTANCE = 1013.0  # [m]
CYCLE_PULLS = 4 + 3 + 3
_CHANGING, _DECLUTCHED, _IDLE = 8.0, 9.0, 60.0  # [s]
_IN_GEAR_BEFORE_START = 5.0  # [s] before each of the three starts; from memory
_CYCLE_SOURCE = "derived from the UN/ECE urban driving cycle, R83/R40, Table 1: "


@dataclass(frozen=True, slots=True)
class Riding:
    """A kind of riding.

    Parameters
    ----------
    key : str
        Name in files and options.
    rate : float
        Pulls a second [1/s], above 0.
    hold : float
        Mean time a pull lasts [s], above 0.
    source : str
        Where the numbers come from.
    basis : Basis
        How well they are founded.
    standing : bool
        Whether it is ridden standing on the footrests too, so that standing counts beside sitting. Of the kinds in the
        table our own judgement, no source; true where nothing is known.

    Raises
    ------
    InputError
        For a rate or hold that is not above 0, or pulls that overlap.
    """

    key: str
    rate: float
    hold: float
    source: str
    basis: Basis
    standing: bool = True

    def __post_init__(self) -> None:
        for name, value in (("pulls an hour", self.rate * _HOUR), ("hold time", self.hold)):
            if not value > 0.0:
                raise InputError(name, value, "must be above 0")
        if self.duty > 1.0:
            field, allowed = "hold time", f"{self.rate * _HOUR:g} pulls an hour leave {1.0 / self.rate:.2g} s for each"
            raise InputError(field, self.hold, allowed)

    @property
    def duty(self) -> float:
        """Duty cycle: share of the riding time the lever is held [-]."""
        return self.rate * self.hold

    @property
    def assumed(self) -> bool:
        """Whether nobody counted these pulls."""
        return self.basis == "assumed"


def own_riding(pulls_per_hour: float, hold: float) -> Riding:
    """The rider's own count.

    Parameters
    ----------
    pulls_per_hour : float
        Pulls an hour [1/h].
    hold : float
        Mean time a pull lasts [s].

    Returns
    -------
    Riding
        Named ``own``.

    Raises
    ------
    InputError
        For a count or hold that is not above 0, or pulls that overlap.

    References
    ----------
    The rider's own count.
    """
    return Riding("own", pulls_per_hour / _HOUR, hold, "own count", "measured")


def _urban(key: str, loaded: float, source: str) -> Riding:
    return Riding(
        key, CYCLE_PULLS / CYCLE_TIME, loaded / CYCLE_PULLS, _CYCLE_SOURCE + source, "derived", standing=False
    )


def _assumed(key: str, pulls_per_hour: float, hold: float, *, standing: bool) -> Riding:
    return Riding(key, pulls_per_hour / _HOUR, hold, "assumed: no count was found", "assumed", standing)


RIDINGS = {
    riding.key: riding
    for riding in (
        _urban("town", _CHANGING + _DECLUTCHED + 3 * _IN_GEAR_BEFORE_START, "5 s in gear before each start"),
        _urban("town_neutral", _CHANGING + _DECLUTCHED, "neutral at stops"),
        _urban("town_held", _CHANGING + _DECLUTCHED + _IDLE, "lever held through every stop"),
        _assumed("trail", 150.0, 1.5, standing=True),
        _assumed("technical", 400.0, 2.0, standing=True),
        _assumed("closed_course", 200.0, 0.7, standing=True),
        _assumed("highway", 15.0, 1.5, standing=False),
    )
}


def riding_by_key(key: str) -> Riding:
    """Riding of the table.

    Parameters
    ----------
    key : str
        Key of `RIDINGS`.

    Returns
    -------
    Riding
        The entry.

    Raises
    ------
    InputError
        For an unknown key.

    References
    ----------
    Each entry carries its own.
    """
    if key not in RIDINGS:
        field, known = "riding", "known: " + ", ".join(RIDINGS) + f"; or {_OWN}"
        raise InputError(field, key, known)
    return RIDINGS[key]


def parse_riding(text: str) -> Riding:
    """Riding from a command line.

    Parameters
    ----------
    text : str
        A key of `RIDINGS`, or the rider's own count such as ``own:pulls_per_hour=120,hold_s=2.5``.

    Returns
    -------
    Riding
        The entry of the table, or one named ``own``.

    Raises
    ------
    InputError
        For an unknown key, or a count that is no pair of numbers above 0.

    References
    ----------
    See `RIDINGS`.
    """
    kind, colon, rest = text.partition(":")
    if not colon and kind != "own":
        return riding_by_key(kind)
    parts = [part.partition("=") for part in rest.split(",")]
    pairs = {name.strip(): value for name, _, value in parts}
    field, allowed = "riding", f"give one of {', '.join(RIDINGS)}, or {_OWN} with two numbers"
    if kind != "own" or len(parts) != len(pairs) or set(pairs) != {"pulls_per_hour", "hold_s"}:
        raise InputError(field, text, allowed)
    try:
        pulls, hold = float(pairs["pulls_per_hour"]), float(pairs["hold_s"])
    except ValueError:
        raise InputError(field, text, allowed) from None
    if not (math.isfinite(pulls) and math.isfinite(hold)):
        raise InputError(field, text, allowed)
    return own_riding(pulls, hold)
