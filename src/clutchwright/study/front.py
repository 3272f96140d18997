"""Best compromises: which of many points no other beats, and how much room a set of them dominates."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from clutchwright.quantity import Array


def best(points: Array) -> NDArray[np.bool_]:
    """Points that no other beats: none is at least as small in everything and smaller in something.

    Parameters
    ----------
    points : Array
        Finite objectives, all to be small, shape (points, objectives); each column in a unit of its own.

    Returns
    -------
    NDArray of bool
        Whether each point is one of the best; equal points are so together.

    Notes
    -----
    In lexicographic order no point is beaten by a later one, and a point that is beaten is beaten by one of the best
    (what beats a beaten point beats what that one beats). So each point needs holding against the best before it only.
    """
    kept = np.zeros(len(points), dtype=np.bool_)
    front = np.empty((len(points), points.shape[1]))
    count = 0
    for place in np.lexsort(points.T[::-1]):
        point = points[place]
        earlier = front[:count]
        not_worse = np.all(earlier <= point, axis=1)
        if not np.any(not_worse & np.any(earlier < point, axis=1)):
            kept[place], front[count] = True, point
            count += 1
    return kept


def hypervolume(points: Array, reference: Array) -> float:
    """Room between a set of points and a reference that all of them beat.

    Parameters
    ----------
    points : Array
        Objectives, all to be small, shape (points, objectives).
    reference : Array
        One value for each objective; what does not beat it does not count.

    Returns
    -------
    float
        Volume of all that some point beats and that beats the reference, in the product of the columns' units.

    References
    ----------
    Own derivation: slices across the last objective, each as high as the step to the next point and as wide as the
    hypervolume of the points below it in the other objectives. Zitzler and Thiele, Multiobjective evolutionary
    algorithms, IEEE Trans. Evolutionary Computation 3 (1999) 257, define the measure.
    """
    inside = points[np.all(points < reference, axis=1)]
    inside = inside[np.argsort(inside[:, -1], kind="stable")]
    if not len(inside):
        return 0.0
    heights = np.diff(np.append(inside[:, -1], reference[-1]))
    if inside.shape[1] == 1:
        return float(np.sum(heights))
    if inside.shape[1] == 2:
        return float(np.sum(heights * (reference[0] - np.minimum.accumulate(inside[:, 0]))))
    slices = np.flatnonzero(heights > 0.0).tolist()
    return float(sum(heights[last] * hypervolume(inside[: last + 1, :-1], reference[:-1]) for last in slices))
