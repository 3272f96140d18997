"""Text that came from outside, made fit to be shown."""

from __future__ import annotations

import unicodedata


def printable(text: str) -> str:
    """Text without the characters that steer a terminal, break a line, turn the reading direction or are none."""
    return "".join("\N{REPLACEMENT CHARACTER}" if unicodedata.category(sign)[0] == "C" else sign for sign in text)


def escaped(text: str) -> str:
    r"""Text on one line, such a character written out as in ``\x1b``: for names that must be told apart."""
    return "".join(sign if sign.isprintable() else sign.encode("unicode_escape").decode() for sign in text)
