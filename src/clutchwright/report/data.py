"""The assessment as data for programs: strictly valid JSON, NaN and infinity as null."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from clutchwright import __version__
from clutchwright.assess.budgets import FORCE_LABELS, PLACE_LABELS, TRAVEL_LABELS
from clutchwright.changes import Change
from clutchwright.report.answer import rests_on
from clutchwright.report.hand import hand_data
from clutchwright.study.assessment import Assessment

SCHEMA = 1
_RATIO_UNITS = {"shaft": "m", "arm_end": "1/m", "slave": "1/m"}


def to_json(assessment: Assessment) -> dict[str, Any]:
    """An assessment as data.

    Parameters
    ----------
    assessment : Assessment
        What was found.

    Returns
    -------
    dict
        Every figure by its key at the top level; numbers as worked out, not rounded; None for what is not reached.
    """
    found = _plain(assessment)
    if assessment.before is not None:
        found["before"] = _plain(assessment.before)
    return finite(found)


def _plain(assessment: Assessment) -> dict[str, Any]:
    found: dict[str, Any] = {
        "schema": SCHEMA,
        "tool": {"name": "clutchwright", "version": __version__},
        "name": assessment.name,
        "changes": [
            {"kind": step.kind, "parameters": dict(step.parameters), "text": str(step)} for step in assessment.changes
        ],
        "verdict": assessment.verdict.word,
        "reasons": list(assessment.verdict.reasons),
        "deciding": assessment.deciding,
        "rests_on": list(rests_on(assessment)),
        "warnings": list(assessment.warnings),
        **assessment.figures,
        "u": dict(assessment.u),
        "force_budget": [
            {"key": item.key, "label": FORCE_LABELS[item.key], "value_N": item.value} for item in assessment.force
        ],
        "travel_budget": [
            {"key": item.key, "label": TRAVEL_LABELS[item.key], "value_mm": item.value * 1e3}
            for item in assessment.travel
        ],
        "places": [
            asdict(place) | {"label": PLACE_LABELS[place.key], "ratio_unit": _RATIO_UNITS.get(place.key, "")}
            for place in assessment.places
        ],
        "checks": [asdict(check) for check in assessment.checks],
        "assumed": [asdict(row) for row in assessment.assumed],
        "curve": asdict(assessment.curve),
    }
    if assessment.hand is not None:
        found["hand"] = hand_data(assessment.hand)
    return found | (asdict(assessment.sampled) if assessment.sampled is not None else {})


def changes_to_json(changes: Iterable[Change]) -> list[dict[str, Any]]:
    """All kinds of change as data.

    Parameters
    ----------
    changes : iterable of Change
        The kinds.

    Returns
    -------
    list of dict
        What each says of itself, and its parameters.
    """
    return [
        {
            "kind": change.kind,
            "title": change.title,
            "touches": change.touches,
            "gives": change.gives,
            "takes": change.takes,
            "price": list(change.price),
            "hours": change.hours,
            "reversible": change.reversible,
            "caution": change.caution,
            "parameters": [asdict(parameter) for parameter in change.parameters],
        }
        for change in changes
    ]


def finite(found: Any) -> Any:
    """The same with lists for tuples and None for every number that JSON has no word for."""
    if isinstance(found, dict):
        return {key: finite(value) for key, value in found.items()}
    if isinstance(found, list | tuple):
        return [finite(value) for value in found]
    return None if isinstance(found, float) and not math.isfinite(found) else found
