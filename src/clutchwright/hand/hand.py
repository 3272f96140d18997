"""A hand as the model sees it, and the pull it can do along the stroke."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from clutchwright.hand.condition import condition_factor
from clutchwright.hand.estimate import Estimate
from clutchwright.hand.fingers import FINGERS, Finger, fingers_factor
from clutchwright.hand.norms import Sex
from clutchwright.hand.posture import forearm_factor, glove_factor, side_factor, wrist_change, wrist_factor
from clutchwright.hand.span import (
    FINGER_THICKNESSES,
    HAND_LENGTHS,
    SPAN_SLOPE,
    optimum_span,
    reach_from_length,
    span_factor,
    typical,
)
from clutchwright.hand.strength import Strength
from clutchwright.quantity import Array, Number

CAPACITY_ASSUMPTION = (
    "strength x span x fingers x wrist x forearm x side x glove x condition: no published study multiplies all of "
    "these, so the product, and the independence of its factors, is an assumption"
)

FACTORS = ("fingers", "wrist", "forearm", "side", "glove", "condition")


@dataclass(frozen=True, slots=True)
class Hand:
    """The pulling hand; each number a float, or an array of samples of shape (samples, 1).

    Parameters
    ----------
    strength : Number
        Grip strength at the best span [N].
    optimum_span : Number
        Best span [m].
    span_slope : Number
        Loss of grip per span beyond the best [1/m].
    fingers : Number
        Share of the grip that the pulling fingers leave [-].
    wrist : Number
        Share that the wrist angle leaves [-].
    forearm : Number
        Share that the forearm's turn leaves [-].
    side : Number
        Share that this hand has of the better one [-].
    glove : Number
        Share that the glove leaves [-].
    condition : Number
        Share that a condition of the hand leaves [-].
    reach : Number
        Farthest span taken comfortably [m].
    finger_thickness : Number
        Depth of a finger lying round the grip [m].
    pulling : tuple[Finger, ...]
        Fingers on the lever.
    """

    strength: Number
    optimum_span: Number
    span_slope: Number
    fingers: Number
    wrist: Number
    forearm: Number
    side: Number
    glove: Number
    condition: Number
    reach: Number
    finger_thickness: Number
    pulling: tuple[Finger, ...] = FINGERS


def capacity(hand: Hand, span: Number) -> Number:
    """Greatest pull this hand can do at a span.

    Parameters
    ----------
    hand : Hand
        The hand, nominal or sampled.
    span : Number
        Span at the finger point [m], positions on the last axis.

    Returns
    -------
    Number
        Product of strength, span factor and all other factors [N].

    Raises
    ------
    ModelRangeError
        For a span beyond 125 mm.

    References
    ----------
    Assumed product, see `CAPACITY_ASSUMPTION`; each factor has its own source.
    """
    still = hand.fingers * hand.wrist * hand.forearm * hand.side * hand.glove * hand.condition
    return hand.strength * still * span_factor(span, hand.optimum_span, hand.span_slope)


@dataclass(frozen=True, slots=True)
class HandFacts:
    """What is known of a rider's hand before any model.

    Parameters
    ----------
    strength : Strength
        From a reading or from norms.
    sex : Sex | None
        None: not told.
    hand_span : Estimate | None
        Thumb tip to little finger tip, hand wide open [m]; None: typical.
    reach : Estimate | None
        Farthest comfortable span [m]; None: from a typical hand length.
    finger_thickness : Estimate | None
        Depth of a finger lying round the grip [m]; None: typical.
    pulling : tuple[Finger, ...]
        Fingers on the lever.
    dominant : bool
        Whether the pulling hand is the dominant one.
    pronated : bool
        Palm down, as on a handlebar.
    wrist_extension : float
        In this riding posture [rad], flexion below 0.
    wrist_deviation : float
        Towards the little finger above 0, towards the thumb below [rad].
    wrist_uncertainty : float
        Standard uncertainty of each wrist angle [rad].
    trial_extension : float | None
        Extension while a strength that contains the wrist was measured [rad]; None: as now.
    gloved : bool
        Whether a riding glove is worn.
    condition : Estimate | str
        A key of the table of conditions, or the rider's own share of the expected grip [-].
    """

    strength: Strength
    sex: Sex | None = None
    hand_span: Estimate | None = None
    reach: Estimate | None = None
    finger_thickness: Estimate | None = None
    pulling: tuple[Finger, ...] = FINGERS
    dominant: bool = False
    pronated: bool = True
    wrist_extension: float = 0.0
    wrist_deviation: float = 0.0
    wrist_uncertainty: float = 0.0
    trial_extension: float | None = None
    gloved: bool = True
    condition: Estimate | str = "none"


@dataclass(frozen=True, slots=True)
class EstimatedHand:
    """All numbers of a `Hand` with spread and source.

    Parameters
    ----------
    parts : Mapping[str, Estimate]
        One estimate for each numeric field of `Hand`, SI units.
    pulling : tuple[Finger, ...]
        Fingers on the lever.
    """

    parts: Mapping[str, Estimate]
    pulling: tuple[Finger, ...]

    def nominal(self) -> Hand:
        """The hand at its best estimates."""
        return Hand(**{name: part.value for name, part in self.parts.items()}, pulling=self.pulling)

    def drawn(self, deviates: Mapping[str, Array]) -> Hand:
        """A sampled hand.

        Parameters
        ----------
        deviates : Mapping[str, Array]
            Standard normal deviates [-] of shape (samples, 1) by field; fields that are left out stay nominal.

        Returns
        -------
        Hand
            With arrays where deviates were given; see `Estimate.drawn`.
        """
        values: dict[str, Number] = {
            name: part.drawn(deviates[name]) if name in deviates else part.value for name, part in self.parts.items()
        }
        return Hand(**values, pulling=self.pulling)

    def relative_spread(self, span: Number) -> Number:
        """Relative standard uncertainty of the capacity at a span.

        Parameters
        ----------
        span : Number
            Span [m].

        Returns
        -------
        Number
            u(capacity)/capacity [-], first order, all parts independent (assumed); own derivation.
        """
        scale = [self.parts[name].relative for name in ("strength", *FACTORS)]
        optimum, slope = self.parts["optimum_span"], self.parts["span_slope"]
        left = span_factor(span, optimum.value, slope.value)
        beyond = np.maximum(0.0, np.asarray(span) - optimum.value)
        by_slope = beyond * slope.u / left
        by_optimum = np.where(beyond > 0.0, slope.value * optimum.u / left, 0.0)
        return np.sqrt(sum(part**2 for part in scale) + by_slope**2 + by_optimum**2)[()]

    def assumed(self) -> tuple[str, ...]:
        """Names of the parts that nobody measured or published."""
        return tuple(name for name, part in self.parts.items() if part.basis == "assumed")


def estimate_hand(facts: HandFacts) -> EstimatedHand:
    """All numbers of a hand from what is known of it.

    Parameters
    ----------
    facts : HandFacts
        The rider's answers.

    Returns
    -------
    EstimatedHand
        Factors that the strength reading already contains are 1 with no spread; its wrist angle counts as a change.

    Raises
    ------
    ModelRangeError
        For a wrist angle outside the table.
    InputError
        For an unknown condition.

    References
    ----------
    Each part carries its own source.
    """
    condition = facts.condition
    parts = {
        "strength": facts.strength.grip,
        "optimum_span": optimum_span(facts.sex, facts.hand_span),
        "span_slope": SPAN_SLOPE,
        "fingers": fingers_factor(facts.pulling),
        "wrist": wrist_factor(facts.wrist_extension, facts.wrist_deviation, facts.wrist_uncertainty),
        "forearm": forearm_factor(facts.sex, facts.pronated),
        "side": side_factor(facts.sex, facts.dominant),
        "glove": glove_factor(facts.gloved),
        "condition": condition_factor(condition, facts.pulling) if isinstance(condition, str) else condition,
        "reach": facts.reach or reach_from_length(typical(HAND_LENGTHS, facts.sex)),
        "finger_thickness": facts.finger_thickness or typical(FINGER_THICKNESSES, facts.sex),
    }
    contained = Estimate(1.0, 0.0, f"contained in the strength: {facts.strength.grip.source}", "measured")
    parts |= dict.fromkeys(facts.strength.covers, contained)
    trial = facts.trial_extension
    if "wrist" in facts.strength.covers and trial is not None and trial != facts.wrist_extension:
        parts["wrist"] = wrist_change(facts.wrist_extension, trial, facts.wrist_deviation, facts.wrist_uncertainty)
    return EstimatedHand(MappingProxyType(parts), facts.pulling)
