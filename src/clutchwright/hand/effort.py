"""What a lever asks of a hand: effort share along the stroke, reach, and the pull that fits an effort."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from clutchwright.hand.hand import Hand, capacity
from clutchwright.hand.span import stop_span
from clutchwright.quantity import Array, Number


@dataclass(frozen=True, slots=True)
class Effort:
    """Effort share along the stroke: pull over what this hand can do at that span; 1 is all it has.

    Parameters
    ----------
    capacity : Array
        Greatest pull at each position [N].
    pulling : Array
        Share while pulling in, at each position [-].
    holding : Array
        Share while holding or letting out, at each position [-]; friction helps.
    peak : Number
        Greatest share while pulling [-].
    hold : Number
        Share while holding at the position held [-], between this and the pull share there.
    hold_before_slip : Number
        Share while holding without friction's help [-].
    """

    capacity: Array
    pulling: Array
    holding: Array
    peak: Number
    hold: Number
    hold_before_slip: Number


def effort(hand: Hand, *, span: Number, pull: Number, release: Number, held: int = -1) -> Effort:
    """Effort share of a hand on a lever.

    Parameters
    ----------
    hand : Hand
        The hand, nominal or sampled.
    span : Number
        Span at each position [m].
    pull : Number
        Force at the finger point while pulling in [N].
    release : Number
        Force at the finger point while letting out [N]; the least that holds the lever.
    held : int
        Index of the position where the lever is held; the last is the stop.

    Returns
    -------
    Effort
        Shares [-] on the last axis.

    References
    ----------
    Own derivation; the capacity is an assumed product, see `clutchwright.hand.hand.capacity`.
    """
    able = np.asarray(capacity(hand, span), dtype=float)
    pulling, holding = np.asarray(pull) / able, np.asarray(release) / able
    return Effort(
        capacity=able,
        pulling=pulling,
        holding=holding,
        peak=pulling.max(axis=-1),
        hold=holding[..., held],
        hold_before_slip=pulling[..., held],
    )


def target_pull(today: Effort, *, pull: Number, share: Number) -> Number:
    """Peak pull that brings today's peak effort to a wanted share.

    Parameters
    ----------
    today : Effort
        Effort of the lever as it is.
    pull : Number
        Force at the finger point while pulling in, at each position [N].
    share : Number
        Wanted peak effort share [-].

    Returns
    -------
    Number
        Peak of today's pull curve, scaled as a whole [N]; own derivation (effort is proportional to pull).
    """
    return np.max(pull, axis=-1) * share / today.peak


@dataclass(frozen=True, slots=True)
class Reach:
    """Whether a hand reaches the lever and can release the clutch with it; above 0 is good.

    Parameters
    ----------
    to_rest : Number
        Comfortable reach minus the span at rest [m].
    to_release : Number
        Comfortable reach minus the span at the release point [m].
    stop_span : Number
        Span at which the lever stops, fingers left on the grip counted [m].
    after_release : Number
        Span at the release point minus that stop [m]; below 0 the fingers on the grip are squeezed before release.
    """

    to_rest: Number
    to_release: Number
    stop_span: Number
    after_release: Number

    @property
    def reaches(self) -> NDArray[np.bool_]:
        """Whether the lever at rest lies inside the comfortable reach [-]."""
        return np.asarray(self.to_rest) >= 0.0

    @property
    def releases(self) -> NDArray[np.bool_]:
        """Whether the release point lies inside the reach and clear of what stops the lever [-]."""
        return (np.asarray(self.to_release) >= 0.0) & (np.asarray(self.after_release) >= 0.0)


def reach(hand: Hand, *, rest_span: Number, release_span: Number, bare_stop: Number) -> Reach:
    """Reach of a hand to a lever.

    Parameters
    ----------
    hand : Hand
        The hand, nominal or sampled.
    rest_span : Number
        Span with the lever at rest [m].
    release_span : Number
        Span at which the clutch is fully released [m].
    bare_stop : Number
        Span at which the lever meets the bare grip [m].

    Returns
    -------
    Reach
        Margins [m]; own derivation.
    """
    stop = stop_span(bare_stop, hand.finger_thickness, hand.pulling)
    return Reach(
        to_rest=hand.reach - rest_span,
        to_release=hand.reach - release_span,
        stop_span=stop,
        after_release=release_span - stop,
    )
