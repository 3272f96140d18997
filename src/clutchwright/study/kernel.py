"""The inner loop of the search: how many possible bikes fail, for each setup of one clutch.

To stand where the clutch is released, the arm of a possible bike has moved the cable by m against a pull p, so the
lever has drawn ratio (m + give p) beyond its free play. It does not release where that is more than the lever draws. So
each setup and possible bike takes one comparison, and all that stands behind it is worked out once for each arm and
line. That it touches where the lever draws more than it takes until parts meet is found in the same way, for the few
setups that are left.

The bound. On the way to the stop the arm of the nominal bike passes each angle for which less cable is drawn than the
lever can draw, and the peak pull is at least the pull at any angle on the way. The pull is the tension at the lever
times the lever's moment arm over its finger radius. That moment arm rises to one greatest value and falls (a pin), or
stays (a cam), so between two positions of the lever it is never below the lesser of its values at both. Hence, with
``light`` that lesser value, tension x light is at most the pull, and so at most the peak; an assist spring on the lever
takes off at most ``help``.
"""

from __future__ import annotations

import numpy as np

from clutchwright.quantity import Array
from clutchwright.study.task import LATE, ROUNDING, Judged, Levers, Task

SMALL = 50_000_000  # setups times possible bikes for which plain numpy takes less time than loading the compiled loop


def judge(task: Task) -> Judged:
    """Judge setups.

    Parameters
    ----------
    task : Task
        See there.

    Returns
    -------
    Judged
        See there. Of a setup that is both beaten and failing it is not settled which of the two counts.

    Notes
    -----
    The compiled loop and plain numpy keep the same setups; the first is loaded where it pays, and where it can be.
    """
    if task.size > SMALL:
        try:
            from clutchwright.study.compiled import judge as judge_compiled
        except ImportError:
            pass
        else:
            return judge_compiled(task)
    return judge_plainly(task)


def judge_plainly(task: Task) -> Judged:
    """The same by numpy alone; see `judge`."""
    lines, levers = task.lines, task.levers
    bound = np.empty((len(lines.drawn), len(levers.row)))
    failed = np.zeros(bound.shape, dtype=np.int32)
    for place in range(len(bound)):
        arm, line = divmod(place, len(lines.ratio))
        bound[place] = _bounds(lines.drawn[place], lines.tension[place], levers)
        wanted = np.flatnonzero(bound[place] <= task.ceiling[place, levers.kind])
        need = lines.ratio[line] * (task.move[arm] + lines.give[line] * task.pull[arm])
        failed[place, wanted] = np.count_nonzero(need > levers.draw[levers.row[wanted]], axis=1)
    beaten = bound > task.ceiling[:, levers.kind]
    stuck = ~beaten & (failed > task.release)
    pair, lever = np.nonzero(~beaten & ~stuck)
    others = [int(np.count_nonzero(each)) for each in (beaten, stuck)]
    return Judged(pair, lever, bound[pair, lever], failed[pair, lever], *others)


def _bounds(drawn: Array, tension: Array, levers: Levers) -> Array:
    """Lower bounds of the peak pull with one arm and line, for each lever."""
    last = np.searchsorted(drawn, levers.reach, side="right") - 1
    late = np.where(drawn[last] >= LATE * levers.reach, tension[last] * levers.light_late, 0.0)
    anywhere = np.maximum.accumulate(tension)[last] * levers.light
    return np.where(last >= 0, np.maximum(late, anywhere), 0.0) * (1.0 - ROUNDING) - levers.help
