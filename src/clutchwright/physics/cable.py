"""What carries the pull from the lever to the arm: a sheathed cable, or a hydraulic line in its place.

Sheathed cable: the capstan law T_in = T_out exp(mu theta), theta the sum of all bends wherever they lie
[Euler 1769; Beer et al., Vector Mechanics for Engineers: Statics, belt friction].
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from clutchwright.quantity import Number


@dataclass(frozen=True, slots=True)
class Cable:
    """A sheathed cable, with an in-line leverage unit where one is fitted.

    Parameters
    ----------
    bend : Number
        Sum of all bends [rad].
    friction : Number
        Friction coefficient of inner wire on liner [-].
    drag : Number
        Constant drag of seals, boots and a sticky adjuster, felt at the lever end [N].
    compliance : Number
        Lever-end movement lost per newton of mean tension, inner wire and conduit together [m/N].
    ratio : Number
        Cable drawn at the lever per cable moved at the arm [-]; 1 without an in-line unit.
    service_share : Number
        Friction and drag that a service would leave it with, per what is expected of one [-].
    """

    bend: Number
    friction: Number
    drag: Number
    compliance: Number
    ratio: Number = 1.0
    service_share: Number = 1.0

    def bend_gain(self, direction: Number) -> Number:
        """Tension at the lever end per tension at the arm end, bends alone [-].

        Parameters
        ----------
        direction : Number
            PULL or RETURN [-].

        Returns
        -------
        Number
            exp(s mu theta) [-]; capstan law, Beer et al., Vector Mechanics: Statics, belt friction.
        """
        return np.exp(direction * self.friction * self.bend)

    def mean_gain(self, direction: Number) -> Number:
        """Mean tension along the cable per tension at the arm end [-].

        Parameters
        ----------
        direction : Number
            PULL or RETURN [-].

        Returns
        -------
        Number
            (exp(a) - 1)/a with a = s mu theta [-]; own derivation, the mean of the capstan profile.
        """
        exponent = np.asarray(direction * self.friction * self.bend, dtype=np.float64)
        straight = exponent == 0.0
        # expm1 keeps the digits that exp(a) - 1 loses for a nearly straight or slippery cable
        mean = np.expm1(exponent) / np.where(straight, 1.0, exponent)
        return np.where(straight, 1.0, mean)[()]

    def lever_tension(self, arm_tension: Number, direction: Number) -> Number:
        """Tension at the lever.

        Parameters
        ----------
        arm_tension : Number
            Tension at the arm [N].
        direction : Number
            PULL or RETURN [-].

        Returns
        -------
        Number
            T exp(s mu theta)/ratio + s drag, never below 0 [N]; capstan law, Beer et al., with a constant drag.
        """
        moved = arm_tension * (self.bend_gain(direction) / self.ratio)
        return np.maximum(moved + direction * self.drag, 0.0)

    def stretch(self, arm_tension: Number, direction: Number) -> Number:
        """Movement lost at the arm end to stretch of the wire and squash of the conduit.

        Parameters
        ----------
        arm_tension : Number
            Tension at the arm [N].
        direction : Number
            PULL or RETURN [-].

        Returns
        -------
        Number
            compliance x mean tension [m]; own derivation. Drag sits at the lever end and stretches nothing.
        """
        return arm_tension * (self.compliance * self.mean_gain(direction))

    def drawn(self, arm_movement: Number, arm_tension: Number, direction: Number) -> Number:
        """Cable drawn at the lever [m] for a movement [m] and tension [N] at the arm, direction [-]; own derivation.

        Movements add, stretch among them; an in-line unit multiplies them.
        """
        return (arm_movement + self.stretch(arm_tension, direction)) * self.ratio


@dataclass(frozen=True, slots=True)
class Hydraulic:
    """A master and a slave cylinder in the cable's place; the slave pulls the same arm.

    Parameters
    ----------
    area_ratio : Number
        Slave piston area / master piston area [-].
    seal_loss : Number
        Share of the force lost at one seal; there are two [-].
    expansion : Number
        Master travel lost per newton at the slave: hose swelling and trapped air [m/N].
    """

    area_ratio: Number
    seal_loss: Number
    expansion: Number

    @property
    def ratio(self) -> Number:
        """Master travel per slave travel [-]: the area ratio (incompressible oil, Pascal's law)."""
        return self.area_ratio

    @property
    def drag(self) -> float:
        """No constant drag is modelled [N]."""
        return 0.0

    def bend_gain(self, direction: Number) -> Number:
        """Force at the master per ideal force [-] for a direction [-]: each seal costs its share. Own derivation."""
        return (1.0 - self.seal_loss) ** (-2.0 * direction)

    def lever_tension(self, arm_tension: Number, direction: Number) -> Number:
        """Force at the lever [N] for a force at the arm [N], direction PULL or RETURN [-]; Pascal's law with losses."""
        return arm_tension * (self.bend_gain(direction) / self.area_ratio)

    def stretch(self, arm_tension: Number, direction: Number) -> Number:
        """Slave movement lost to swelling [m] at a force at the arm [N], in either direction [-]; own derivation.

        The pressure is the slave's, so the direction does not matter.
        """
        del direction
        return arm_tension * self.expansion

    def drawn(self, arm_movement: Number, arm_tension: Number, direction: Number) -> Number:
        """Master travel [m] for a movement [m] and force [N] at the arm, direction [-]; own derivation."""
        return (arm_movement + self.stretch(arm_tension, direction)) * self.area_ratio


Line = Cable | Hydraulic
