"""From the text of a bike file to a bike as measured, or to one line that says what is wrong with it."""

from __future__ import annotations

from clutchwright.bikefile.geometry import check_geometry
from clutchwright.bikefile.measured import MeasuredBike, flatten
from clutchwright.bikefile.schema import LAYOUT
from clutchwright.errors import InputError
from clutchwright.tomlfile.reading import read


def loads(text: str, source: str) -> MeasuredBike:
    """Bike as measured, from the text of a bike file.

    Parameters
    ----------
    text : str
        TOML.
    source : str
        What to call it in messages, usually the file's name.

    Returns
    -------
    MeasuredBike
        Checked: each value in its range, and the geometry possible.

    Raises
    ------
    InputError
        One line with file, key, value, allowed range and what to do.
    """
    measured = flatten(read(text, source, LAYOUT))
    try:
        check_geometry(measured)
    except InputError as error:
        raise InputError(error.key, error.value, error.allowed, source) from None
    return measured
