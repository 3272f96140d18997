"""From TOML to tables, or to one line that says what is wrong."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from typing import Any

from clutchwright.errors import InputError

# The time that a key takes grows with the square of its parts; ours have three at most.
MOST_PARTS = 16
_MANY_PARTS = re.compile(rf"(?:^|(?<=[.,=#\n]))(?:[ \t]*+[^\s.,=#][^.,=#\n]*+\.){{{MOST_PARTS}}}")
_LARGEST_WHOLE = 2**63  # TOML 1.0.0: whole numbers have 64 bits


def parse(text: str, source: str, *, page: str = "") -> dict[str, Any]:
    """Tables of a TOML file.

    Parameters
    ----------
    text : str
        TOML.
    source : str
        What to call it in messages, usually the file's name.
    page : str
        Where the form of such a file is told; empty for nowhere.

    Returns
    -------
    dict
        With whole numbers of at most 64 bits.

    Raises
    ------
    InputError
        Where it is not TOML, nested too deeply, or holds a number or key that is too long.
    """
    see = f"; see {page}" if page else ""
    if found := _MANY_PARTS.search(text):
        line = text.count("\n", 0, found.start()) + 1
        message = (
            f"not TOML of ours: more than {MOST_PARTS} dots in a row at line {line}; no key has so many parts{see}"
        )
        raise InputError("file", None, message, source)
    try:
        table = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        told = isinstance(error, tomllib.TOMLDecodeError)
        reason = str(error) if told else "a number is too long, or lists are nested too deeply"
        raise InputError("file", None, f"not TOML: {reason}{see}", source) from None
    _require_small(table, source)
    return table


def _require_small(table: Mapping[str, Any], source: str) -> None:
    waiting = [*table.items()]
    while waiting:
        key, value = waiting.pop()
        if isinstance(value, Mapping):
            waiting.extend((f"{key}.{name}", part) for name, part in value.items())
        elif isinstance(value, list):
            waiting.extend((key, part) for part in value)
        elif isinstance(value, int) and not -_LARGEST_WHOLE <= value < _LARGEST_WHOLE:
            raise InputError(key, None, f"a whole number of {value.bit_length()} bits, at most 64 are allowed", source)
