"""Small things about text that every report needs."""

from __future__ import annotations

import unicodedata


def printable(text: str) -> str:
    """Text without the characters that steer a terminal, break a line or turn the reading direction."""
    return "".join("\N{REPLACEMENT CHARACTER}" if unicodedata.category(sign)[0] == "C" else sign for sign in text)


def share(part: float) -> str:
    """A share as per cent, such as ``12 %``; ``under 1 %`` rather than 0 where something is left."""
    if 0.0 < part < 0.005:
        return "under\N{NO-BREAK SPACE}1\N{NO-BREAK SPACE}%"
    return f"{part * 100.0:.0f}\N{NO-BREAK SPACE}%"
