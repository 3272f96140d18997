"""From the text of a bike file to a bike as measured, or to one line that says what is wrong with it."""

from __future__ import annotations

from clutchwright.bikefile.geometry import check_geometry
from clutchwright.bikefile.measured import MeasuredBike, flatten
from clutchwright.bikefile.schema import LAYOUT
from clutchwright.errors import InputError
from clutchwright.tomlfile.layout import Layout
from clutchwright.tomlfile.reading import read


def loads(text: str, source: str, layout: Layout = LAYOUT) -> MeasuredBike:
    """Bike as measured, from the text of a bike file.

    Parameters
    ----------
    text : str
        TOML.
    source : str
        What to call it in messages, usually the file's name.
    layout : Layout
        A part of it for a file that has only some of the sections.

    Returns
    -------
    MeasuredBike
        Checked: each value in its range, and the geometry possible.

    Raises
    ------
    InputError
        One line with file, key, value, allowed range and what to do.
    """
    measured = flatten(read(text, source, layout))
    try:
        check_geometry(measured)
    except InputError as error:
        raise error.at(source) from None
    return measured
