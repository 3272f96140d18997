"""The reference page of all changes, written from what each says of itself."""

from __future__ import annotations

from clutchwright.changes.change import Change, Parameter, Step
from clutchwright.changes.limits import LIMITS
from clutchwright.changes.registry import CHANGES
from clutchwright.quantity import unit_of

_OPENING = """\
# Changes

Each change is one modification of the bike. Write it on the command line as `--with kind:name=value,name=value`, once
for each change, or in a TOML file as

    [[change]]
    kind = "washers"
    thickness_mm = 1
    positions = [1, 4]

On the command line, positions are joined by +: `--with washers:thickness_mm=1,positions=1+4`. Positions are the spring
bosses, counted round the circle from 1. Changes are made in the order given, but reach screw and free play are set
after all that would move them, and assist springs are hooked on last. After each, the free play at the finger is set to
what it was, unless the change says otherwise.

Prices are in units of money and, like the hours, rough assumptions without a source.
"""
_LIMITS = """\
## What is refused, whatever the change

A change is refused, with the number that forbids it, when it breaches one of these limits or makes a breach worse:

"""
_ALWAYS = """\
* The lift runs back by itself.
* Nothing gets worse than it is: no shorter arm, no more bends, no more free play, no more friction or drag.
"""
_RETURN = """\
The fifth that an assist spring must leave is of the force that brought the arm back before. The check of a bike as it
stands, changed or not, takes the share of the force that pulls the arm without such a spring, and is laxer: tight below
20 %, failed, and so unsafe, below 5 %. [What the words of checks mean](../words.md).
"""


def reference_page() -> str:
    """Reference of all kinds of change.

    Returns
    -------
    str
        Markdown, for docs/reference/changes.md.
    """
    index = "\n".join(f"* [`{change.kind}`](#{change.kind}): {change.title}" for change in CHANGES.values())
    limits = "\n".join(f"* {(limit.__doc__ or '').strip()}" for limit in LIMITS)
    sections = "\n".join(_section(change) for change in CHANGES.values())
    return f"{_OPENING}\n{index}\n\n{_LIMITS}{limits}\n{_ALWAYS}\n{_RETURN}\n{sections}"


def _section(change: Change) -> str:
    low, high = change.price
    price = "free" if change.free else f"{low:g} to {high:g} units of money"
    undone = "can be undone" if change.reversible else "cannot be undone"
    lines = [
        f"## {change.kind}\n",
        f"{change.title}.\n",
        f"* Touches: {change.touches}",
        f"* Gives: {change.gives}",
        f"* Takes: {change.takes}",
        f"* Costs: {price}, {change.hours:g} h, {undone}",
        f"* Caution: {change.caution}",
        f"* For instance: `--with {Step(change.kind, change.example)}`\n",
        *(["| value | from | to | if not given | meaning |", "|---|---|---|---|---|"] if change.parameters else []),
        *(_row(parameter) for parameter in change.parameters),
    ]
    return "\n".join(lines) + "\n"


def _row(parameter: Parameter) -> str:
    unit = unit_of(parameter.name)
    low, high = (f"{bound:g} {unit}".rstrip() for bound in (parameter.low, parameter.high))
    return f"| `{parameter.name}` | {low} | {high} | {_default(parameter)} | {parameter.meaning} |"


def _default(parameter: Parameter) -> str:
    if parameter.default is None:
        return "must be given"
    if isinstance(parameter.default, tuple):
        return "+".join(map(str, parameter.default)) or "all"
    return f"{parameter.default:g} {unit_of(parameter.name)}".rstrip()
