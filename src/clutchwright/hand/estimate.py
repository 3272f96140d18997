"""A number about people: its value, its spread, the range published for it, and how well it is founded."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from clutchwright.quantity import Array

Basis = Literal["found", "memory", "derived", "assumed", "measured"]


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value in SI units with one standard uncertainty and its source.

    Parameters
    ----------
    value : float
        Best estimate [its SI unit].
    u : float
        One standard uncertainty, [same unit]; 0 when nothing is left open.
    source : str
        Where value and range come from.
    basis : Basis
        ``found``: published and seen in a copy; ``memory``: published, recalled; ``derived``: arithmetic on published
        numbers; ``assumed``: ours; ``measured``: the rider's own.
    low : float | None
        Lower end of the published range [same unit], where there is one.
    high : float | None
        Upper end of it [same unit].
    """

    value: float
    u: float
    source: str
    basis: Basis
    low: float | None = None
    high: float | None = None

    @property
    def relative(self) -> float:
        """Standard uncertainty over value [-]."""
        return self.u / self.value

    def scaled(self, factor: float, u_relative: float = 0.0, *, source: str, basis: Basis) -> Estimate:
        """Product with a factor that has its own relative spread, the two taken as independent.

        Parameters
        ----------
        factor : float
            What to multiply by [-].
        u_relative : float
            Relative standard uncertainty of the factor [-].
        source : str
            Where the factor comes from.
        basis : Basis
            How well the result is founded.

        Returns
        -------
        Estimate
            Product, relative uncertainties added by squares; own derivation.
        """
        value = self.value * factor
        return Estimate(value, abs(value) * float(np.hypot(self.relative, u_relative)), source, basis)

    def drawn(self, deviates: Array) -> Array:
        """Samples of this estimate from standard normal deviates.

        Parameters
        ----------
        deviates : Array
            Standard normal deviates, any shape [-].

        Returns
        -------
        Array
            Lognormal: median ``value``, relative spread ``u/value``, never negative [same unit];
            own derivation.
        """
        return self.value * np.exp(np.sqrt(np.log1p(self.relative**2)) * deviates)
