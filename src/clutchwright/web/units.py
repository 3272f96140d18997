"""Pages in other units: each force and length that a page says, converted where it stands.

What is worked out, filed and drawn is in newton and millimetre. The text of a page names the unit after each number, so
this is the one place that knows about others; charts and what is typed in stay as they are.
"""

from __future__ import annotations

import math
import re

from clutchwright.quantity import other_units

FORCES = ("N", *other_units("_N"))
LENGTHS = ("mm", *other_units("_mm"))
_MINUS = "\N{MINUS SIGN}"
_NUMBER = rf"{_MINUS}?\d+(?:\.\d+)?"
_SPACE = r"[ \N{NO-BREAK SPACE}]"
# "107 ± 11 N", "91 to 129 N", "3.0 mm"; not "91 N m", "0.8 J/mm²" or "27 N/mm"
_SAID = re.compile(
    rf"(?<![\w.,])(?:({_NUMBER})({_SPACE}(?:to|±){_SPACE}))?({_NUMBER})({_SPACE})(N|mm)(?![\w/²])(?!{_SPACE}m\b)"
)
# What is not running text: pictures, what was typed, code, data, and the tags themselves.
_LEFT_ALONE = re.compile(r"(<(svg|textarea|code|script|option)\b.*?</\2>|<[^>]*>)", re.DOTALL)


def page_in_units(html: str, *, force: str, length: str) -> str:
    """A page with its forces and lengths in other units.

    Parameters
    ----------
    html : str
        As drawn up, in N and mm.
    force, length : str
        One of ``FORCES``, one of ``LENGTHS``.

    Returns
    -------
    str
        The same page.
    """
    if (force, length) == ("N", "mm"):
        return html
    parts: list[str] = []
    end = 0
    for tag in _LEFT_ALONE.finditer(html):
        parts += [
            _text(html[end : tag.start()], force, length, heading=bool(parts) and parts[-1][:3] == "<th"),
            tag.group(),
        ]
        end = tag.end()
    return "".join([*parts, in_units(html[end:], force=force, length=length)])


def in_units(text: str, *, force: str, length: str) -> str:
    """The same for plain text."""
    return text if (force, length) == ("N", "mm") else _SAID.sub(lambda said: _converted(said, force, length), text)


def _text(text: str, force: str, length: str, *, heading: bool) -> str:
    if heading and text in ("N", "mm"):  # a column's heading that is a unit alone
        return force if text == "N" else length
    return in_units(text, force=force, length=length)


def _converted(said: re.Match[str], force: str, length: str) -> str:
    first, between, number, space, unit = said.groups()
    ending, wanted = ("_N", force) if unit == "N" else ("_mm", length)
    if wanted == unit:
        return said.group()
    worth = float(other_units(ending)[wanted])

    def one(text: str) -> str:
        # about as many significant digits as before
        decimals = len(text.partition(".")[2]) + math.ceil(math.log10(worth))
        return f"{float(text.replace(_MINUS, '-')) / worth:.{decimals}f}".replace("-", _MINUS)

    return f"{one(first) + between if first else ''}{one(number)}{space}{wanted}"
