"""Pictures: one module per figure, each a function from an assessment to an Altair chart; `render` makes files of them.

Altair is imported where a chart is built, so that whoever only prints does not pay for it.
"""

from clutchwright.picture.force import force_budget
from clutchwright.picture.hand import hand_effort
from clutchwright.picture.look import FORMATS, NARROW, WIDE, render
from clutchwright.picture.overview import overview
from clutchwright.picture.position import lever_trade
from clutchwright.picture.pull import pull_curve
from clutchwright.picture.remaining import remaining_capacity
from clutchwright.picture.travel import travel_budget

__all__ = [
    "FORMATS",
    "NARROW",
    "WIDE",
    "force_budget",
    "hand_effort",
    "lever_trade",
    "overview",
    "pull_curve",
    "remaining_capacity",
    "render",
    "travel_budget",
]
