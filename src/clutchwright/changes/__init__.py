"""Changes: pure functions from a bike to a bike, each kind in a module of its own in `clutchwright.changes.kinds`."""

from clutchwright.changes.change import Change, Parameter, Step, Value
from clutchwright.changes.composing import apply
from clutchwright.changes.page import reference_page
from clutchwright.changes.registry import CHANGES, find
from clutchwright.changes.unknown import unknowns, with_unknowns
from clutchwright.changes.writing import from_table, loads, parse

__all__ = [
    "CHANGES",
    "Change",
    "Parameter",
    "Step",
    "Value",
    "apply",
    "find",
    "from_table",
    "loads",
    "parse",
    "reference_page",
    "unknowns",
    "with_unknowns",
]
