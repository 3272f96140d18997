"""Many bikes, or parts of bikes, as one whose numbers are arrays, and the other way round."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import fields, is_dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray


def rows(part: Any, wanted: slice | NDArray[np.intp]) -> Any:
    """The same bike, or part of it, with some of its samples only.

    Parameters
    ----------
    part : Any
        A bike, a stage, a tuple of stages or a number.
    wanted : slice or array of int
        Which samples.

    Returns
    -------
    Any
        The same kind of thing; numbers that all samples share stay as they are.
    """
    return _rows(part, wanted, {})


def _rows(part: Any, wanted: slice | NDArray[np.intp], taken: dict[int, Any]) -> Any:
    """The same, with what was taken so far by identity: parts that share their numbers go on sharing them."""
    if isinstance(part, np.ndarray):
        if not part.ndim or len(part) <= 1:
            return part
        if id(part) not in taken:
            taken[id(part)] = part[wanted]
        return taken[id(part)]
    if isinstance(part, tuple):
        return tuple(_rows(item, wanted, taken) for item in part)
    if is_dataclass(part) and not isinstance(part, type):
        whole = {field.name: getattr(part, field.name) for field in fields(part)}
        some = {name: _rows(value, wanted, taken) for name, value in whole.items()}
        return replace(part, **{name: value for name, value in some.items() if value is not whole[name]})
    return part


def form(part: Any) -> Hashable:
    """What two things must share to be stacked: kinds all the way down, and all that is no number."""
    if isinstance(part, float | np.ndarray):
        return float
    if isinstance(part, tuple):
        return tuple(map(form, part))
    if is_dataclass(part) and not isinstance(part, type):
        return (type(part), *(form(getattr(part, field.name)) for field in fields(part)))
    return part


def stacked(parts: Sequence[Any]) -> Any:
    """Many things of one form as one.

    Parameters
    ----------
    parts : sequence
        Nominal stages of one `form`, at least one.

    Returns
    -------
    Any
        The same kind of thing; its numbers are arrays of shape (n, 1).
    """
    first = parts[0]
    if isinstance(first, float):
        return np.array(parts, dtype=np.float64)[:, np.newaxis]
    if isinstance(first, tuple):
        return tuple(stacked(items) for items in zip(*parts, strict=True))
    if is_dataclass(first) and not isinstance(first, type):
        columns = {field.name: stacked([getattr(part, field.name) for part in parts]) for field in fields(first)}
        return replace(first, **columns)
    return first


def beside(parts: Sequence[Any]) -> Any:
    """Many sampled things of one form as one.

    Parameters
    ----------
    parts : sequence
        Stages of one `form`, at least one; their numbers are floats or of shape (samples, 1).

    Returns
    -------
    Any
        The same kind of thing; its numbers are of shape (samples, n), but for those that all share, which stay.
    """
    first = parts[0]
    if all(part is first for part in parts):
        return first
    if isinstance(first, float | np.ndarray):
        columns = np.broadcast_arrays(*(np.reshape(np.asarray(part, dtype=np.float64), (-1, 1)) for part in parts))
        return np.concatenate(columns, axis=1)
    if is_dataclass(first) and not isinstance(first, type):
        whole = {field.name: beside([getattr(part, field.name) for part in parts]) for field in fields(first)}
        return replace(first, **whole)
    return first


class Stack:
    """Nominal stages of one part, stacked form by form.

    Parameters
    ----------
    stages : sequence
        Such as all levers of a study.
    """

    def __init__(self, stages: Sequence[Any]) -> None:
        groups: dict[Hashable, list[int]] = {}
        for place, stage in enumerate(stages):
            groups.setdefault(form(stage), []).append(place)
        self.stacks = [stacked([stages[place] for place in places]) for places in groups.values()]
        self.forms = np.empty(len(stages), dtype=np.intp)
        self.places = np.empty(len(stages), dtype=np.intp)
        for number, places in enumerate(groups.values()):
            self.forms[places] = number
            self.places[places] = np.arange(len(places))

    def take(self, which: NDArray[np.intp]) -> Any:
        """Some of the stages, all of one form, as one whose numbers are arrays of shape (n, 1)."""
        return rows(self.stacks[self.forms[which[0]]], self.places[which])
