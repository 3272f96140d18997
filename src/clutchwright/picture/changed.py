"""Which changes a picture shows, in words."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from clutchwright.changes import Step, find
from clutchwright.changes.change import Value
from clutchwright.quantity import bare_name, unit_of


def changes_text(steps: Sequence[Step]) -> str:
    """Changes in words, such as ``Longer release arm (length 38 mm); Cable cleaned``; empty for none."""
    return "; ".join(_step_text(step) for step in steps)


def changed_lines(steps: Sequence[Step], width: int) -> list[str]:
    """The same as lines under a picture's title [width: px]; none without changes."""
    text = changes_text(steps)
    return textwrap.wrap(f"changed: {text}", width // 7) if text else []


def _step_text(step: Step) -> str:
    title = find(step.kind).title
    values = ", ".join(f"{_name(name)} {_value(name, value)}" for name, value in step.parameters.items())
    return f"{title} ({values})" if values else title


def _name(name: str) -> str:
    return bare_name(name).replace("_", " ")


def _value(name: str, value: Value) -> str:
    if isinstance(value, tuple):
        return "+".join(map(str, value))
    return f"{value:g} {unit_of(name)}".rstrip()
