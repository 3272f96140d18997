"""The inner loop of the search, compiled. Imported only where it pays: loading the compiler takes a quarter second."""

from __future__ import annotations

import numpy as np
from numba import njit, prange

from clutchwright.study.task import LATE, ROUNDING, Judged, Task

# Possible bikes looked at before the next glance at how many have failed. Measured: shorter blocks cost more than they
# save, longer ones go on with setups that have failed already.
BLOCK = 256


def judge(task: Task) -> Judged:
    """Judge setups; see `clutchwright.study.kernel.judge`."""
    shape = len(task.lines.drawn), len(task.levers.row)
    lever, bound = np.empty(shape, dtype=np.int32), np.empty(shape)
    failed, tally = np.empty(shape, dtype=np.int32), np.zeros((shape[0], 3), dtype=np.int64)
    judge_pairs(*task, lever, bound, failed, tally)
    pairs = np.flatnonzero(tally[:, 0])
    kept = np.arange(shape[1]) < tally[pairs, 0, np.newaxis]
    others = (int(each) for each in np.sum(tally[:, 1:], axis=0))
    return Judged(
        np.repeat(pairs, tally[pairs, 0]),
        lever[pairs][kept].astype(np.intp),
        bound[pairs][kept],
        failed[pairs][kept],
        *others,
    )


@njit(cache=True)
def count_above(one, other, most):  # type: ignore[no-untyped-def]
    """Count elements of one array above those of the other, block by block until they are more than ``most``."""
    count = 0
    for start in range(0, len(one), BLOCK):
        # slices, since the compiler makes vector instructions only where it sees that no index can be negative
        high, low = one[start : start + BLOCK], other[start : start + BLOCK]
        for place in range(len(high)):
            count += high[place] > low[place]
        if count > most:
            break
    return count


@njit(cache=True)
def needed(move, pull, ratio, give):  # type: ignore[no-untyped-def]
    """Cable needed at the lever [m] for a movement [m] and pull [N] at the arm."""
    return ratio * (move + give * pull)


@njit(cache=True)
def least_share(need, one, release):  # type: ignore[no-untyped-def]
    """Share of one lever's draw below which a lever fails in more than ``release`` of the first possible bikes [-]."""
    if len(one) <= release:
        return -np.inf
    return np.partition(need / one, len(one) - 1 - release)[len(one) - 1 - release]


@njit(cache=True)
def judge_pair(  # type: ignore[no-untyped-def]
    move, pull, ratio, give, drawn, tension, levers, ceiling, release, lever_out, bound_out, failed_out, tally
):
    """Fill in what is kept of one arm with one line, and how many are not."""
    head = len(levers.one)
    least = least_share(needed(move[:head], pull[:head], ratio[:head], give[:head]), levers.one, release)
    first = np.searchsorted(levers.widest, least)
    tally[2] = first
    need, known = move, False
    last, highest, kept = -1, 0.0, 0
    for lever in range(first, len(levers.row)):
        while last + 1 < len(drawn) and drawn[last + 1] <= levers.reach[lever]:
            last += 1
            highest = max(highest, tension[last])
        bound = highest * levers.light[lever]
        if last >= 0 and drawn[last] >= LATE * levers.reach[lever]:
            bound = max(bound, tension[last] * levers.light_late[lever])
        bound = bound * (1.0 - ROUNDING) - levers.help[lever]
        if bound > ceiling[levers.kind[lever]]:
            tally[1] += 1
            continue
        if not known:  # seldom more than one setup in some hundreds comes so far
            need, known = needed(move, pull, ratio, give), True
        draw = levers.draw[levers.row[lever]]
        stuck = count_above(need, draw, release)
        if stuck > release:
            tally[2] += 1
            continue
        lever_out[kept], bound_out[kept], failed_out[kept] = lever, bound, stuck
        kept += 1
    tally[0] = kept


@njit(parallel=True, cache=True)
def judge_pairs(  # type: ignore[no-untyped-def]
    move, pull, lines, levers, ceiling, release, lever_out, bound_out, failed_out, tally
):
    """Judge each arm with each line, a pair on a core of its own."""
    for pair in prange(len(lines.drawn)):
        arm, line = pair // len(lines.ratio), pair % len(lines.ratio)
        judge_pair(
            move[arm],
            pull[arm],
            lines.ratio[line],
            lines.give[line],
            lines.drawn[pair],
            lines.tension[pair],
            levers,
            ceiling[pair],
            release,
            lever_out[pair],
            bound_out[pair],
            failed_out[pair],
            tally[pair],
        )
