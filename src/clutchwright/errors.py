"""Every error this package raises on purpose.

ClutchwrightError
├── InputError       a file, a value or an option cannot be used (also a ValueError)
├── ModelRangeError  a formula or table was asked outside its range (also a ValueError)
└── Refusal          a change cannot or must not be done on this bike
"""

from __future__ import annotations

from clutchwright.plain import escaped


class ClutchwrightError(Exception):
    """Root of all errors meant for the user: one line that says what is wrong and what to do."""


class InputError(ClutchwrightError, ValueError):
    """An input that cannot be used.

    Parameters
    ----------
    key : str
        The field, as it stands in the file or on the command line.
    value : object
        What was given.
    allowed : str
        What is allowed, and what to do.
    source : str
        The file or option it came from; empty when not known yet.
    others : tuple of str
        Fields that this one does not fit; any of them may be the wrong one.
    """

    def __init__(self, key: str, value: object, allowed: str, source: str = "", others: tuple[str, ...] = ()) -> None:
        self.key, self.value, self.allowed, self.source, self.others = key, value, allowed, source, others
        super().__init__(key, value, allowed, source, others)

    def at(self, source: str) -> InputError:
        """The same, with the file or option it came from."""
        return InputError(self.key, self.value, self.allowed, source, self.others)

    def __str__(self) -> str:
        where = f"{self.source}: " if self.source else ""
        given = "" if self.value is None else f" = {_shown(self.value)}"
        return escaped(f"{where}{self.key}{given}: {' '.join(self.allowed.split())}")


class ModelRangeError(ClutchwrightError, ValueError):
    """A formula or table was asked outside the range it is known for."""


class Refusal(ClutchwrightError):
    """A change that cannot or must not be done; the message carries the number that forbids it."""


def _shown(value: object) -> str:
    try:
        shown = repr(value)
    except (ValueError, RecursionError):  # a whole number of thousands of digits; lists in lists in lists
        return "(too long to show)"
    return shown if len(shown) <= 80 else shown[:77] + "..."
