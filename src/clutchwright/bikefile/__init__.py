"""Bike files: the one table of keys, and what reads, checks, writes, asks for and explains them.

`loads` reads the text of a file, `assemble` makes a `Bike` of it, `dumps` and `set_value` write.
"""

from clutchwright.bikefile.assembling import assemble
from clutchwright.bikefile.measured import MeasuredBike
from clutchwright.bikefile.reading import LARGEST, decode, loads
from clutchwright.bikefile.reference import reference_page
from clutchwright.bikefile.schema import find_key, json_schema
from clutchwright.bikefile.writing import dumps, set_value

__all__ = [
    "LARGEST",
    "MeasuredBike",
    "assemble",
    "decode",
    "dumps",
    "find_key",
    "json_schema",
    "loads",
    "reference_page",
    "set_value",
]
