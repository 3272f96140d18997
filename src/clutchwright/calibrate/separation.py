"""What the readings can tell apart, and what they see only together: from the curvature of their misfit alone.

In scores, where the file's own knowledge counts as 1 in every direction, the curvature's eigenvalues say how many times
more the readings know than the file. Directions with more than 1 are seen. How much of one quantity lies in them, and
which others share its place there, does not depend on how the seen directions are turned among themselves, so it can
be put in words.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from clutchwright.calibrate.fitted import Fit
from clutchwright.quantity import Array, unit_of

# Share of a quantity's own direction that is seen, from which it counts as known by itself, or below which as unseen;
# and share of two in common from which they count as seen together. Own judgement.
ALONE, UNSEEN, SHARED = 0.8, 0.05, 0.15


@dataclass(frozen=True, slots=True)
class Together:
    """Quantities that the readings see only in combination.

    Parameters
    ----------
    keys : tuple of str
        Lots, the one that is seen most first.
    combinations : int
        How many combinations of them are seen [-].
    powers : tuple of float
        For one combination, its direction in scores, the greatest 1 [-]; empty for more.
    words : str
        The same in words.
    """

    keys: tuple[str, ...]
    combinations: int
    powers: tuple[float, ...]
    words: str


@dataclass(frozen=True, slots=True)
class Separation:
    """What the readings can tell apart.

    Parameters
    ----------
    alone : tuple of str
        Lots known each by itself.
    together : tuple of Together
        Lots known only in combination.
    unseen : tuple of str
        Lots that the readings say nothing of.
    curvature : Array
        Curvature of the readings' misfit by the lots' scores [-], zeros and gains of the instruments taken out.
    """

    alone: tuple[str, ...]
    together: tuple[Together, ...]
    unseen: tuple[str, ...]
    curvature: Array


def separation(found: Fit) -> Separation:
    """What the readings of a fit can tell apart.

    Parameters
    ----------
    found : Fit
        The fit.

    Returns
    -------
    Separation
        See there; the prior of the bike's quantities does not go into it.
    """
    curvature = _curvature(found)
    names = found.bench.names
    eigenvalues, directions = np.linalg.eigh(curvature)
    seen = directions[:, eigenvalues > 1.0]
    shared = seen @ seen.T
    own = np.diag(shared)
    between = [place for place in range(len(names)) if UNSEEN <= own[place] < ALONE]
    return Separation(
        alone=tuple(name for name, share in zip(names, own, strict=True) if share >= ALONE),
        together=tuple(_together(found, shared, group) for group in _groups(shared, between)),
        unseen=tuple(name for name, share in zip(names, own, strict=True) if share < UNSEEN),
        curvature=curvature,
    )


def _curvature(found: Fit) -> Array:
    """J^T W J by the scores of lots, the instruments' terms, with their prior, eliminated (Schur complement)."""
    bench, count = found.bench, len(found.bench.names)
    slopes = found.slopes * np.sqrt(1.0 - found.mistake_chances)[:, np.newaxis]
    bike = slopes[:, :count] @ np.linalg.inv(bench.mixing)
    tools = slopes[:, count:]
    cross = bike.T @ tools
    inner = tools.T @ tools + np.eye(tools.shape[-1])
    return np.asarray(bike.T @ bike - cross @ np.linalg.solve(inner, cross.T))


def _groups(shared: Array, places: list[int]) -> list[list[int]]:
    """Places that hang together, directly or by way of others."""
    left, groups = list(places), []
    while left:
        group, edge = [left[0]], [left.pop(0)]
        while edge:
            at = edge.pop()
            near = [place for place in left if abs(shared[at, place]) >= SHARED]
            left = [place for place in left if place not in near]
            group += near
            edge += near
        groups.append(sorted(group, key=lambda place: -shared[place, place]))
    return groups


def _together(found: Fit, shared: Array, group: list[int]) -> Together:
    keys = tuple(found.bench.names[place] for place in group)
    block = shared[np.ix_(group, group)]
    combinations = max(1, round(float(np.trace(block))))
    if len(keys) == 1:
        near = np.argsort(-np.abs(shared[group[0]]))
        others = [found.bench.names[place] for place in near if place != group[0]][:2]
        return Together(keys, 1, (), f"{keys[0]} hardly, and only together with much else, {listed(others)} above all")
    if combinations > 1:
        words = f"{listed(keys)}: only {combinations} combinations of these {len(keys)}"
        return Together(keys, combinations, (), words)
    direction = np.linalg.eigh(block)[1][:, -1]
    powers = direction / direction[np.argmax(np.abs(direction))]
    alike = bool(np.all(powers > 0.0))
    angles = all(unit_of(key) == "°" for key in keys)
    kind = ("sum" if alike else "difference") if angles else ("product" if alike else "ratio")
    return Together(keys, 1, tuple(powers.tolist()), f"{listed(keys)} only as a {kind}")


def listed(words: Sequence[str]) -> str:
    """Words as one reads them: ``a, b and c``."""
    return " and ".join(part for part in (", ".join(words[:-1]), words[-1]) if part)
