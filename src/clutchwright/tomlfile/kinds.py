"""What a file seems to be, by its ending and the tables in it."""

from __future__ import annotations

from typing import Literal

from clutchwright.errors import InputError
from clutchwright.tomlfile.parsing import parse

Kind = Literal["bike", "hand", "readings", "catalogue", "changes", "unknown"]
# The table that a file of each kind has, in the order in which they are looked for.
_SIGNS: dict[str, Kind] = {
    "lever": "bike", "strength": "hand", "option": "catalogue", "block": "readings", "change": "changes",
}  # fmt: skip
CALLED: dict[Kind, str] = {
    "bike": "a bike file",
    "hand": "a hand file",
    "readings": "a file of readings",
    "catalogue": "a catalogue",
    "changes": "a list of changes",
}


def kind_of(name: str, content: bytes) -> Kind:
    """What a file seems to be, by its ending and the tables in it."""
    if name.endswith(".csv"):
        return "readings"
    try:
        found = parse(content.decode(), name)
    except (UnicodeDecodeError, InputError):
        return "unknown"
    return next((kind for sign, kind in _SIGNS.items() if sign in found), "unknown")


def require_kind(wanted: Kind, name: str, content: bytes) -> None:
    """Refuse a file of another kind than the one wanted; raises `InputError` that says which it is."""
    found = kind_of(name, content)
    if found not in (wanted, "unknown"):
        raise InputError("file", None, f"this is {CALLED[found]}, not {CALLED[wanted]}; name another", name)
