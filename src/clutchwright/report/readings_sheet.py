"""The sheet for readings, to print and fill in by hand: PDF."""

from __future__ import annotations

import json
from importlib import resources

from clutchwright.bikefile import MeasuredBike
from clutchwright.plain import printable
from clutchwright.readings import sheet


def readings_pdf(bike: MeasuredBike) -> bytes:
    """Sheet for the readings of a bike.

    Parameters
    ----------
    bike : MeasuredBike
        Decides what is asked for, and where.

    Returns
    -------
    bytes
        PDF, A4.
    """
    import typst

    source = resources.files("clutchwright.report").joinpath("templates", "readings.typ").read_bytes()
    data = sheet(bike) | {"name": printable(bike.name)}
    found = typst.compile(source, format="pdf", sys_inputs={"data": json.dumps(data)})
    return bytes(found)
