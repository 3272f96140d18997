"""From the bytes of a file to readings."""

from __future__ import annotations

from clutchwright.errors import InputError
from clutchwright.readings import csvform, tomlform
from clutchwright.readings.blocks import gathered
from clutchwright.readings.reading import Readings
from clutchwright.tomlfile.reading import decode

_FORMS = {".csv": csvform.blocks, ".toml": tomlform.blocks}


def loads(data: bytes, source: str) -> Readings:
    """Readings of a file.

    Parameters
    ----------
    data : bytes
        The file's content; it is only read.
    source : str
        Its name, which ends in ``.csv`` or ``.toml``.

    Returns
    -------
    Readings
        Checked one by one; whether they fit a bike is seen when they are fitted.

    Raises
    ------
    InputError
        One line with file, line, column and what to do.
    """
    form = next((form for ending, form in _FORMS.items() if source.lower().endswith(ending)), None)
    if form is None:
        raise InputError("file", source, f"must end in {' or '.join(_FORMS)}")
    return gathered(form(decode(data, source), source), data, source)
