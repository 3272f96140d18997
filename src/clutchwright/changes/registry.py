"""All kinds of change: each module of `clutchwright.changes.kinds` defines one as CHANGE."""

from __future__ import annotations

import pkgutil
from importlib import import_module

from clutchwright.changes import kinds
from clutchwright.changes.change import Change, nearest
from clutchwright.errors import InputError


def _found() -> dict[str, Change]:
    modules = (import_module(f"{kinds.__name__}.{module.name}") for module in pkgutil.iter_modules(kinds.__path__))
    changes = [module.CHANGE for module in modules]
    return {change.kind: change for change in sorted(changes, key=lambda change: change.kind)}


CHANGES: dict[str, Change] = _found()


def find(kind: str, source: str = "") -> Change:
    """Kind of change by its name.

    Parameters
    ----------
    kind : str
        Such as ``washers``.
    source : str
        Where it was given, for messages.

    Returns
    -------
    Change
        See there.

    Raises
    ------
    InputError
        For a name that is not known.
    """
    if kind not in CHANGES:
        raise InputError("change", kind, f"no such change; {nearest(kind, CHANGES)}", source)
    return CHANGES[kind]
