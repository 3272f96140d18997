"""The drawing as data for a page that moves it; its script is web/static/mechanism.js."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from clutchwright.picture.mechanism.parts import Label, Part
from clutchwright.picture.mechanism.sheet import SIZES, Drawing, Size, sheet
from clutchwright.study.mechanism import Mechanism


def mechanism_data(now: Mechanism, before: Mechanism | None = None) -> dict[str, Any]:
    """What the page's script needs to move the drawing: parts, poses, layouts.

    Parameters
    ----------
    now : Mechanism
        What to draw.
    before : Mechanism | None
        The bike without the changes.

    Returns
    -------
    dict
        Plain lists, numbers and texts.
    """
    drawing = Drawing(now, before)
    return {
        "now": _one(now, drawing.parts, every=True),
        "before": _one(before, drawing.ghosts, every=False) if before else None,
        "sizes": {name: _size(drawing, size) for name, size in SIZES.items()},
    }


def _one(mechanism: Mechanism, parts: Mapping[str, list[Part]], *, every: bool) -> dict[str, Any]:
    places, poses = mechanism.places, mechanism.poses
    columns = {
        "travel": (poses.travel_mm, 2),
        "pull": (poses.pull_N, 1),
        "back": (poses.return_travel_mm, 2),
        "arm": (poses.arm_deg, 2),
        "lift": (poses.lift_mm, 4),
    }
    if every:
        columns |= {
            "return": (poses.return_N, 1),
            "gap": (poses.gap_mm, 4),
            "clamp": (poses.clamp_N, 0),
            "cable": (poses.cable_mm, 2),
        }
    release = places.release_mm if places.release_mm <= places.stop_mm else None
    named = {"bite": places.bite_mm, "release": release, "stop": places.stop_mm}
    return {
        "poses": {name: np.round(values, decimals).tolist() for name, (values, decimals) in columns.items()},
        "faces": round(float(mechanism.bike.pack.faces)),
        "places": _short(named, 2),
        "parts": {view: [_part_data(part) for part in found] for view, found in parts.items()},
    }


def _short(value: Any, decimals: int) -> Any:
    """The same tree with its numbers rounded, whole ones as integers."""
    if isinstance(value, dict):
        return {key: _short(item, decimals) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_short(item, decimals) for item in value]
    if not isinstance(value, float):
        return value
    rounded = round(value, decimals)
    return int(rounded) if rounded.is_integer() else rounded


def _part_data(part: Part) -> list[Any]:
    """Look, path, moves, ghost, width; without what is missing at the end."""
    data = [part.look, part.path, _short(part.moves, 4), int(part.ghost), _short(part.width, 1)]
    while not data[-1]:
        data.pop()
    return data


def _size(drawing: Drawing, size: Size) -> dict[str, Any]:
    views, height = sheet(drawing, size)
    return {
        "box": f"0 0 {size.width:.0f} {height:.0f}",
        "views": {
            name: {
                "at": view.placed,
                "text": round(size.text / view.scale, 2),
                "extras": [_part_data(part) for part in view.extras],
                "labels": [_label_data(label) for label in view.labels],
            }
            for name, view in views.items()
        },
    }


def _label_data(label: Label) -> list[Any]:
    """Look, place, anchor, text, live, moves; without what is missing at the end."""
    data = [label.look, *_short((label.x, label.y), 1), label.anchor, label.text, label.live, _short(label.moves, 4)]
    while not data[-1]:
        data.pop()
    return data
