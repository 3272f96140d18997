"""Readings taken at the bench: what can be read, what reads and checks a file of them, and an empty one to fill in."""

from clutchwright.readings.blocks import BegunError
from clutchwright.readings.instruments import USUAL, Instrument
from clutchwright.readings.kinds import KINDS, PAIRS, POSITIONS, Kind, Position
from clutchwright.readings.loading import loads
from clutchwright.readings.reading import Reading, Readings
from clutchwright.readings.sheet import sheet, template

__all__ = [
    "KINDS",
    "PAIRS",
    "POSITIONS",
    "USUAL",
    "BegunError",
    "Instrument",
    "Kind",
    "Position",
    "Reading",
    "Readings",
    "loads",
    "sheet",
    "template",
]
