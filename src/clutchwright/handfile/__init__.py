"""Hand files: the one table of keys, and what reads, checks, writes, asks for and explains them.

`loads` reads the text of a file; `facts` makes of it, for a lever, what the hand model asks for.
"""

from __future__ import annotations

from clutchwright.errors import InputError
from clutchwright.hand.condition import CONDITIONS
from clutchwright.handfile.facts import LeverPlace, check_hand, facts, strength, wrist_extension
from clutchwright.handfile.measured import MeasuredHand, Posture
from clutchwright.handfile.schema import LAYOUT
from clutchwright.tomlfile.interview import Interview
from clutchwright.tomlfile.layout import Layout
from clutchwright.tomlfile.reading import read
from clutchwright.tomlfile.reference import reference
from clutchwright.tomlfile.values import flat
from clutchwright.tomlfile.writing import written

json_schema = LAYOUT.json_schema


def loads(text: str, source: str, layout: Layout = LAYOUT) -> MeasuredHand:
    """Hand as measured, from the text of a hand file.

    Parameters
    ----------
    text : str
        TOML.
    source : str
        What to call it in messages, usually the file's name.
    layout : Layout
        A part of it for a file that has only some of the sections.

    Returns
    -------
    MeasuredHand
        Checked.

    Raises
    ------
    InputError
        One line with file, key, value, allowed range and what to do.
    """
    measured = flat(read(text, source, layout), MeasuredHand)
    try:
        check_hand(measured)
    except InputError as error:
        raise error.at(source) from None
    return measured


interview = Interview(LAYOUT, loads)


def dumps(measured: MeasuredHand) -> str:
    """Text of a hand file that `loads` reads to the same hand; assumed values are left out."""
    return written(LAYOUT, measured.name, {**measured.quantities, **measured.given_choices})


def reference_page() -> str:
    """Reference of hand files, Markdown, for docs/reference/hand-file.md."""
    rows = "".join(
        f"| `{known.key}` | {known.title} | {known.factor.value:.2f} | {known.factor.u:.2f} | {known.factor.source} |\n"
        for known in CONDITIONS
    )
    return reference(LAYOUT) + _CONDITIONS.format(rows=rows)


_CONDITIONS = """
## Published shares by condition

What was found, on average, of the strength expected of a healthy hand, all four fingers pulling. Groups differ widely
inside, so the best way for a hand that hurts is `kind = "painless"` in `[strength]`, which needs none of these.

| kind | condition | share left | u | source |
|---|---|---|---|---|
{rows}
With arthritis at the base of the thumb fewer fingers lose less: 0.65 without the little finger, 0.71 with index and
middle alone (Villafane 2014).

Nothing here is medical advice: pain, numbness or tingling means stop and see a professional.
"""

__all__ = [
    "LAYOUT",
    "LeverPlace",
    "MeasuredHand",
    "Posture",
    "dumps",
    "facts",
    "interview",
    "json_schema",
    "loads",
    "reference_page",
    "strength",
    "wrist_extension",
]
