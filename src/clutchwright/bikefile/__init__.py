"""Bike files: the one table of keys, and what reads, checks, writes, asks for and explains them.

`loads` reads the text of a file, `assemble` makes a `Bike` of it, `dumps` and `set_value` write.
"""

from clutchwright.bikefile.assembling import assemble
from clutchwright.bikefile.measured import MeasuredBike
from clutchwright.bikefile.reading import loads
from clutchwright.bikefile.schema import LAYOUT, find_key, json_schema
from clutchwright.bikefile.writing import dumps, set_name, set_value
from clutchwright.tomlfile.interview import Interview
from clutchwright.tomlfile.reading import LARGEST, decode
from clutchwright.tomlfile.reference import reference

interview = Interview(LAYOUT, loads)


def reference_page() -> str:
    """Reference of bike files, Markdown, for docs/reference/bike-file.md."""
    return reference(LAYOUT)


__all__ = [
    "LARGEST",
    "LAYOUT",
    "MeasuredBike",
    "assemble",
    "decode",
    "dumps",
    "find_key",
    "interview",
    "json_schema",
    "loads",
    "reference_page",
    "set_name",
    "set_value",
]
