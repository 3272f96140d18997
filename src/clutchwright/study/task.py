"""What the inner loop of the search is given and gives back, whether compiled or plain."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from clutchwright.quantity import Array

Places = NDArray[np.intp]
Counts = NDArray[np.int32]

# The peak is looked for at some 200 positions of the stroke, so that a pull between two of them may pass it by a
# little; own judgement: a smooth curve of so many points by far less than this.
ROUNDING = 1e-3
LATE = 0.9  # share of the lever's draw from which ``light_late`` counts


class Lines(NamedTuple):
    """Lines: cable drawn at the lever per movement at the arm [-] and stretch per pull [m/N], shape (lines, samples).

    ``drawn`` [m] and ``tension`` [N] at the lever are of the nominal bike, shape (arms x lines, angles), both for
    arm angles that rise; infinite and 0 where the arm cannot turn so far.
    """

    ratio: Array
    give: Array
    drawn: Array
    tension: Array


class Levers(NamedTuple):
    """Levers, by rising ``reach``.

    ``draw`` [m]: cable drawn beyond the free play, shape (all levers, samples); ``row``: where in it each lever stands.
    ``reach`` [m]: the same of the nominal bike. ``light`` and ``light_late`` [-]: least finger force per tension all
    along the stroke, and from ``LATE`` of the draw on, without what an assist spring on the lever takes off, at most
    ``help`` [N]. ``kind``: which column of the ceilings counts.

    ``one`` [m] and ``widest`` [-] tell most setups that do not release at a glance: the draw of one of the levers in
    the first few possible bikes, and the greatest share of it that a lever, or any before it, draws in any of them. All
    up to one with a share of w fail where more possible bikes than may fail need more than w times that draw.
    """

    draw: Array
    row: Places
    reach: Array
    light: Array
    light_late: Array
    help: Array
    kind: Places
    one: Array
    widest: Array


class Task(NamedTuple):
    """Setups of one clutch to be judged: each arm with each line and each lever.

    ``move`` [m] and ``pull`` [N]: cable moved and pull at the arm where the clutch is released, shape (arms, samples).
    ``ceiling`` [N]: pull above which a setup is not wanted, shape (arms x lines, kinds). ``release``: possible bikes
    that may fail to release.
    """

    move: Array
    pull: Array
    lines: Lines
    levers: Levers
    ceiling: Array
    release: int

    @property
    def size(self) -> int:
        """Setups times possible bikes."""
        return len(self.lines.drawn) * len(self.levers.row) * self.levers.draw.shape[1]


class Judged(NamedTuple):
    """Setups that are wanted and in which no more possible bikes fail to release than may, by arm, line and lever.

    ``pair`` (arm x line, rising) and ``lever`` say which; ``bound`` [N] is a lower bound of the peak pull; ``failed``:
    possible bikes that do not release. The others are counted: ``beaten`` by the ceiling, ``stuck`` for not releasing.
    """

    pair: Places
    lever: Places
    bound: Array
    failed: Counts
    beaten: int
    stuck: int
