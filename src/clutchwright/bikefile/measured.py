"""A bike as measured: what a bike file says, flat by key, in the units of the keys."""

from __future__ import annotations

from dataclasses import dataclass, replace

from clutchwright.bikefile.fitted import Correlation, correlation_of
from clutchwright.tomlfile.section import File
from clutchwright.tomlfile.values import Measured, flat


@dataclass(frozen=True, slots=True)
class MeasuredBike(Measured):
    """What a bike file says; its curves are ``lift.points``, ``pack.curve`` and the rows of ``[fitted]``."""

    @property
    def correlation(self) -> Correlation:
        """How the fitted quantities hang together; what was typed over since stands for itself."""
        typed_over = {lot(key) for key, quantity in self.quantities.items() if not quantity.origin.startswith("fitted")}
        kept = {lot(key) for key in self.quantities} - typed_over
        return correlation_of(self.curves.get("fitted.correlation", ()), sorted(kept))


def lot(key: str) -> str:
    """Name under which a quantity is drawn: that of the whole set for springs measured one by one.

    Parameters
    ----------
    key : str
        Such as ``springs.each.3.rate_N_per_mm``.

    Returns
    -------
    str
        Such as ``springs.rate_N_per_mm``; most keys stand for themselves.
    """
    section, each, rest = key.partition(".each.")
    return f"{section}.{rest.partition('.')[2]}" if each else key


def flatten(bike: File) -> MeasuredBike:
    """Bike as measured, from a file that has been checked.

    Parameters
    ----------
    bike : File
        The file's content.

    Returns
    -------
    MeasuredBike
        With assumed values in place of missing ones.
    """
    measured = flat(bike, MeasuredBike)
    quantities = dict(measured.quantities)
    if "pack.curve" in measured.curves and quantities["pack.compression_mm"].assumed:
        del quantities["pack.compression_mm"]
    return replace(measured, quantities=quantities)
