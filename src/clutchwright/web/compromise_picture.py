"""The picture of the compromises: every setup that keeps the limits as a dot, pull against price, its size by work."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from clutchwright.numbers import decimal_text
from clutchwright.picture.front import stairs
from clutchwright.study.limits import Budget
from clutchwright.study.search import Setup

# Hours up to which a dot has a size, and its diameter and that of a mark [px].
SIZES = ((1.0, 4.0, 9.0), (3.0, 6.5, 13.0), (math.inf, 9.5, 17.0))
WIDE, NARROW = (720, 430), (340, 380)  # of the picture [px]
_LEFT, _RIGHT, _TOP, _BOTTOM = 40, 16, 14, 44  # room around the plot [px]
_ROOM = 0.06  # of the range, left free at each end
_NEXT = 1.0 + 1e-9


@dataclass(frozen=True, slots=True)
class Axis:
    """From a quantity to places on the picture.

    Parameters
    ----------
    low, high : float
        Its range, in its unit.
    start, end : float
        Where these lie [px].
    """

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Place of a value [px]."""
        place = self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)
        return round(place, 1)

    def ticks(self) -> tuple[tuple[float, str], ...]:
        """Places [px] and words of round values."""
        about = (self.high - self.low) / max(abs(self.end - self.start) / 70.0, 2.0)
        power = 10.0 ** math.floor(math.log10(about))
        step = next(size * power for size in (1.0, 2.0, 5.0, 10.0) if size * power * _NEXT >= about)
        values = [step * count for count in range(math.ceil(self.low / step), math.floor(self.high / step) + 1)]
        decimals = max(-math.floor(math.log10(step * _NEXT)), 0)
        return tuple((self.at(value), decimal_text(value, decimals)) for value in values)


@dataclass(frozen=True, slots=True)
class Mark:
    """One of the best setups.

    Parameters
    ----------
    place : int
        In the front.
    x, y, size : float
        Its middle and its diameter [px].
    first : bool
        Whether no other beats it in pull and price alone.
    """

    place: int
    x: float
    y: float
    size: float
    first: bool


@dataclass(frozen=True, slots=True)
class Picture:
    """Everything that the template draws.

    Parameters
    ----------
    name : str
        ``wide`` or ``narrow``.
    width, height : int
        Whole [px].
    x, y : Axis
        Price, and pull [N].
    dots : tuple of (float, str)
        Diameter [px] and path of the dots of one size.
    fallen : str
        Path of the setups that cost more than may be spent.
    marks : tuple of Mark
        The best.
    joined : str
        Path that joins those that no other beats in pull and price alone.
    today : tuple of (float, float)
        Where the bike as filed lies [px].
    target : float | None
        Where the pull wanted lies [px].
    """

    name: str
    width: int
    height: int
    x: Axis
    y: Axis
    dots: tuple[tuple[float, str], ...]
    fallen: str
    marks: tuple[Mark, ...]
    joined: str
    today: tuple[float, float]
    target: float | None


def pictures(
    setups: Mapping[str, Any], front: Sequence[Setup], budget: Budget, target_N: float | None
) -> tuple[Picture, Picture]:
    """The picture for a desk and for a phone.

    Parameters
    ----------
    setups : mapping
        See `setups_to_json`.
    front : sequence of Setup
        The best within the budget, to be marked.
    budget : Budget
        What may be spent.
    target_N : float | None
        Pull wanted [N].

    Returns
    -------
    tuple of Picture
        Wide and narrow.
    """
    wide, narrow = (
        _picture(name, size, setups, front, budget, target_N) for name, size in (("wide", WIDE), ("narrow", NARROW))
    )
    return wide, narrow


def _picture(
    name: str,
    size: tuple[int, int],
    setups: Mapping[str, Any],
    front: Sequence[Setup],
    budget: Budget,
    target_N: float | None,
) -> Picture:
    width, height = size
    rows, best = setups["setups"], setups["front"]
    today = setups["today_N"]
    prices = [0.0, *rows["price"], *(each["price"] for each in best)]
    pulls = [today, *rows["pull_peak_N"], *(each["pull_peak_N"] for each in best)]
    x = Axis(*_padded(prices), _LEFT, width - _RIGHT)
    y = Axis(*_padded([*pulls, *([] if target_N is None else [target_N])]), height - _BOTTOM, _TOP)
    order = stairs(front)
    steps = [(x.at(front[place].price), y.at(front[place].pull_peak_N)) for place in order]
    dots, fallen = _dots(rows, x, y, budget)
    return Picture(
        name=name,
        width=width,
        height=height,
        x=x,
        y=y,
        dots=dots,
        fallen=fallen,
        marks=tuple(
            Mark(place, x.at(setup.price), y.at(setup.pull_peak_N), _size(setup.hours)[1], place in order)
            for place, setup in enumerate(front)
        ),
        joined="".join(f"M{px} {py}" if not count else f"H{px}V{py}" for count, (px, py) in enumerate(steps)),
        today=(x.at(0.0), y.at(today)),
        target=None if target_N is None else y.at(target_N),
    )


def _dots(rows: Mapping[str, Any], x: Axis, y: Axis, budget: Budget) -> tuple[tuple[tuple[float, str], ...], str]:
    """Paths of the dots by size, and of those that fall to the budget."""
    paths: dict[float, list[str]] = {dot: [] for _, dot, _ in SIZES}
    fallen: list[str] = []
    for price, pull, hours in zip(rows["price"], rows["pull_peak_N"], rows["hours"], strict=True):
        path = paths[_size(hours)[0]] if budget.keeps(price, hours) else fallen
        path.append(f"M{x.at(price)} {y.at(pull)}h0")
    return tuple((dot, "".join(path)) for dot, path in paths.items()), "".join(fallen)


def _size(hours: float) -> tuple[float, float]:
    """Diameter of a dot and of a mark [px]."""
    return next((dot, mark) for most, dot, mark in SIZES if hours <= most)


def _padded(values: Sequence[float]) -> tuple[float, float]:
    low, high = min(values), max(values)
    room = _ROOM * (high - low) or 1.0
    return low - room, high + room
