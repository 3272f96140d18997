"""Signs: a few plain sums of readings that people look at, held against what the bike file lets expect of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from clutchwright.calibrate.bench import Bench
from clutchwright.quantity import Array
from clutchwright.readings import PAIRS

_SELDOM = 0.05  # chance that any sign of a healthy bike stands out; own judgement, as is usual


@dataclass(frozen=True, slots=True)
class Sign:
    """A sum of readings.

    Parameters
    ----------
    label : str
        What it is.
    ending : str
        Ending of its unit, or the key of the bike file that was read.
    read, expected, u : float
        As read, as the bike file lets expect, and the standard uncertainty of the difference [SI].
    """

    label: str
    ending: str
    read: float
    expected: float
    u: float

    @property
    def distance(self) -> float:
        """How far off, in standard uncertainties [-]."""
        return (self.read - self.expected) / self.u


def look_closer(count: int) -> float:
    """From how far off a sign stands out.

    Parameters
    ----------
    count : int
        How many signs are looked at.

    Returns
    -------
    float
        Standard uncertainties [-]: of so many signs of a healthy bike, one or more lies farther off on at most one bike
        in 20. Bonferroni's bound, textbook.
    """
    from scipy.special import ndtri

    return -float(ndtri(_SELDOM / (2.0 * max(count, 1))))


def signs(about: Bench) -> tuple[Sign, ...]:
    """What stands out in readings, as one sees it without any fit.

    Parameters
    ----------
    about : Bench
        The healthy bike and its readings.

    Returns
    -------
    tuple of Sign
        The area between pull and return, and the mean of each kind of reading that stands for itself or for springs.
    """
    start = np.zeros(about.size)
    expected, slopes, noise = about.predict(start[np.newaxis])[0], about.slopes(start), about.noise(start)
    found = []
    for label, ending, weights in (*_areas(about), *_means(about)):
        variance = float(np.sum((weights @ slopes) ** 2) + np.sum((weights * noise) ** 2))
        found.append(
            Sign(label, ending, float(weights @ about.values), float(weights @ expected), float(np.sqrt(variance)))
        )
    return tuple(found)


def _areas(about: Bench) -> Iterator[tuple[str, str, Array]]:
    """Work lost between pull and return, by the trapezoid rule over the travels where both were read."""
    for pull, back in PAIRS.items():
        rows = [
            {
                each.at: place
                for place, each in enumerate(about.readings)
                if (each.name, each.position) == (name, "travel")
            }
            for name in (pull, back)
        ]
        travels = np.array(sorted(rows[0].keys() & rows[1].keys()))
        if len(travels) < 3:
            continue
        steps = np.diff(travels)
        spans = 0.5 * (np.append(steps, 0.0) + np.append(0.0, steps)) * _to_finger(about, pull)
        weights = np.zeros(len(about.readings))
        for travel, span in zip(travels, spans, strict=True):
            weights[rows[0][travel]] += span
            weights[rows[1][travel]] -= span
        yield "Work lost between pull and return", "_J", weights


def _to_finger(about: Bench, name: str) -> float:
    """Force at the finger point per force read [-], at the filed radii."""
    if not name.startswith("hook_"):
        return 1.0
    hook, finger = (about.measured.quantities[f"lever.{part}_radius_mm"].value for part in ("hook", "finger"))
    return hook / finger


def _means(about: Bench) -> Iterator[tuple[str, str, Array]]:
    groups: dict[str, list[int]] = {}
    for place, reading in enumerate(about.readings):
        if reading.position in ("", "weight") or reading.name == "spring_load":
            groups.setdefault(reading.name, []).append(place)
    for rows in groups.values():
        weights = np.zeros(len(about.readings))
        weights[rows] = 1.0 / len(rows)
        reading = about.readings[rows[0]]
        yield reading.label if len(rows) == 1 else f"{reading.label}, mean of {len(rows)}", reading.ending, weights
