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
    failed, tally = np.empty((*shape, 2), dtype=np.int32), np.zeros((shape[0], 4), dtype=np.int64)
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
def least_share(need, one, release):  # type: ignore[no-untyped-def]
    """Share of one lever's draw below which a lever fails in more than ``release`` of the first possible bikes [-]."""
    if len(one) <= release:
        return -np.inf
    shares = need[: len(one)] / one
    return np.partition(shares, len(one) - 1 - release)[len(one) - 1 - release]


@njit(cache=True)
def judge_pair(  # type: ignore[no-untyped-def]
    need, drawn, tension, levers, least, ceiling, release, touch, lever_out, bound_out, failed_out, tally
):
    """Fill in what is kept of one arm with one line, and how many are not."""
    last, highest, kept = -1, 0.0, 0
    for lever in range(len(levers.row)):
        if levers.widest[lever] < least:
            tally[2] += 1
            continue
        while last + 1 < len(drawn) and drawn[last + 1] <= levers.reach[lever]:
            last += 1
            highest = max(highest, tension[last])
        bound = highest * levers.light[lever]
        if last >= 0 and drawn[last] >= LATE * levers.reach[lever]:
            bound = max(bound, tension[last] * levers.light_late[lever])
        bound *= 1.0 - ROUNDING
        if bound > ceiling[levers.kind[lever]]:
            tally[1] += 1
            continue
        draw = levers.draw[levers.row[lever]]
        stuck = count_above(need[0], draw, release)
        if stuck > release:
            tally[2] += 1
            continue
        touching = count_above(draw, need[1], touch) if len(need) > 1 else 0
        if touching > touch:
            tally[3] += 1
            continue
        lever_out[kept], bound_out[kept] = lever, bound
        failed_out[kept, 0], failed_out[kept, 1] = stuck, touching
        kept += 1
    tally[0] = kept


@njit(parallel=True, cache=True)
def judge_pairs(  # type: ignore[no-untyped-def]
    move, pull, lines, levers, ceiling, release, touch, lever_out, bound_out, failed_out, tally
):
    """Judge each arm with each line, a pair on a core of its own."""
    for pair in prange(len(lines.drawn)):
        arm, line = pair // len(lines.ratio), pair % len(lines.ratio)
        need = lines.ratio[line] * (move[arm] + lines.give[line] * pull[arm])
        least = least_share(need[0], levers.one, release)
        judge_pair(
            need,
            lines.drawn[pair],
            lines.tension[pair],
            levers,
            least,
            ceiling[pair],
            release,
            touch,
            lever_out[pair],
            bound_out[pair],
            failed_out[pair],
            tally[pair],
        )
