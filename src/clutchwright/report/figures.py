"""All figures as tables, by what they are about."""

from __future__ import annotations

import math

from clutchwright.assess.figures import FIGURES, Figure
from clutchwright.numbers import NOT_REACHED, plain_text, quantity_text, rounded, with_unit
from clutchwright.quantity import unit_of
from clutchwright.report.table import Column, Row, Table
from clutchwright.study.assessment import Assessment

GROUPS: dict[str, tuple[str, ...]] = {
    "At the finger": (
        "pull_peak_N",
        "pull_at_release_N",
        "hold_N",
        "return_at_release_N",
        "work_pull_J",
        "floor_N",
    ),
    "Release": (
        "lift_full_mm",
        "lift_needed_mm",
        "release_margin_mm",
        "release_margin_finger_mm",
        "release_travel_mm",
    ),
    "Bite": ("bite_start_mm", "bite_creep_mm", "bite_full_mm"),
    "Slip": (
        "slip_margin_new",
        "slip_margin_worn",
        "slip_margin_hot",
        "regrip_margin",
        "slip_margin_unadjusted",
        "demand_Nm",
        "clamp_new_N",
        "clamp_worn_N",
    ),
    "Wear": ("free_play_wear_mm", "free_play_wear_share", "slip_wear_mm"),
    "Heat of a start": ("start_energy_J", "start_energy_J_per_mm2", "start_power_W_per_mm2", "start_warming_K"),
    "A dropped clutch": ("drop_torque_Nm", "drop_energy_J", "drop_warming_K"),
    "Drag of the oil": ("drag_cold_Nm", "drag_hot_Nm"),
}
_OTHERS = "More figures"
DECIDING = (
    "pull_peak_N",
    "hold_N",
    "release_margin_mm",
    "release_margin_finger_mm",
    "slip_margin_new",
    "slip_margin_hot",
)
DOES_NOT_APPLY = "does not apply"
BEYOND_THE_STOP = "beyond the stop"
# What happens to a cable that nobody adjusts: without meaning where no wear closes the free play.
_UNADJUSTED = ("slip_margin_unadjusted", "free_play_wear_mm", "free_play_wear_share", "slip_wear_mm")


def shown(assessment: Assessment, key: str) -> str:
    """One figure with its uncertainty and unit, or why there is none.

    Parameters
    ----------
    assessment : Assessment
        What was found.
    key : str
        Key of the figure.

    Returns
    -------
    str
        For instance ``98.1 ± 5.6 N``.
    """
    if math.isnan(assessment.figures[key]) or not _applies(assessment, key):
        return absent(key)
    return quantity_text(key, assessment.figures[key], assessment.u[key])


def absent(key: str) -> str:
    """Why there is no such figure, by its key."""
    return DOES_NOT_APPLY if key in _UNADJUSTED else NOT_REACHED


def _applies(assessment: Assessment, key: str) -> bool:
    return key not in _UNADJUSTED or not math.isnan(assessment.figures["free_play_wear_mm"])


def figure_tables(assessment: Assessment) -> tuple[Table, ...]:
    """Every figure with its uncertainty, before and now, with quantiles where they were asked for.

    Parameters
    ----------
    assessment : Assessment
        What was found.

    Returns
    -------
    tuple of Table
        One for each group; figures that no group names come last.
    """
    named = {key for keys in GROUPS.values() for key in keys}
    groups = {**GROUPS, _OTHERS: tuple(figure.key for figure in FIGURES if figure.key not in named)}
    return tuple(_table(assessment, title, keys) for title, keys in groups.items() if keys)


def deciding_table(assessment: Assessment) -> Table:
    """The few figures that decide, with their uncertainty, before and now, with quantiles where they were asked for."""
    return _table(assessment, "The figures that decide", DECIDING)


def _table(assessment: Assessment, title: str, keys: tuple[str, ...]) -> Table:
    by_key = {figure.key: figure for figure in FIGURES}
    columns = (
        Column("Figure"),
        *((Column("Before", number=True),) if assessment.before else ()),
        Column("Now" if assessment.before else "Value", number=True),
        *((Column("5 % to 95 %", number=True),) if assessment.sampled else ()),
    )
    return Table(title, columns, tuple(_row(assessment, by_key[key]) for key in keys))


def _row(assessment: Assessment, figure: Figure) -> Row:
    cells = [figure.label]
    if assessment.before is not None:
        cells.append(shown(assessment.before, figure.key))
    cells.append(shown(assessment, figure.key))
    if assessment.sampled is not None:
        cells.append(_span(assessment, figure.key))
    return Row(tuple(cells), note=figure.meaning)


def _span(assessment: Assessment, key: str) -> str:
    """From the 5 % to the 95 % quantile, rounded like the figure itself."""
    if assessment.sampled is None or not _applies(assessment, key):
        return ""
    low, high, u = assessment.sampled.p05[key], assessment.sampled.p95[key], assessment.u[key]
    if math.isnan(low) or math.isnan(high):
        return NOT_REACHED
    doubt, unit = u if u > 0.0 else high - low, unit_of(key)
    first, last = (rounded(end, doubt)[0] if doubt > 0.0 else plain_text(end) for end in (low, high))
    stop = assessment.curve.travel_mm[-1] if key == "release_travel_mm" else math.inf
    if low > stop:
        return BEYOND_THE_STOP
    span = f"{first} to {last}" if high <= stop else f"{with_unit(first, unit)} to {BEYOND_THE_STOP}"
    return (with_unit(span, unit) if high <= stop else span).replace(" ", "\N{NO-BREAK SPACE}")
