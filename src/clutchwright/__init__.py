"""Clutchwright: make a motorcycle's clutch lever light enough for a given hand."""

__version__ = "0.1.0"
