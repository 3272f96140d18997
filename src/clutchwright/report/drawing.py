"""The pull curve drawn in characters."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from clutchwright.picture.pull import bite_band, free_play
from clutchwright.study.assessment import Assessment

ROWS = 12
_NARROWEST = 8  # columns below which a curve says nothing [characters]
_MARGIN = 6  # for the numbers of the force axis [characters]


@dataclass(frozen=True, slots=True)
class Signs:
    """Characters to draw with."""

    pull: str
    back: str
    before: str
    upright: str
    corner: str
    level: str


UNICODE = Signs("●", "○", "·", "│", "└", "─")
ASCII = Signs("#", "o", ".", "|", "+", "-")


def drawing(assessment: Assessment, width: int, signs: Signs) -> list[str]:
    """Force over finger travel, pulling and letting out, and what lies where.

    Parameters
    ----------
    assessment : Assessment
        Its curve, and the pull of ``before`` where there is one.
    width : int
        Whole width [characters].
    signs : Signs
        Characters to draw with.

    Returns
    -------
    list of str
        Lines of at most that width; none where there is no room for them, or no curve.
    """
    columns = width - _MARGIN - 1
    if columns < _NARROWEST or not _whole(assessment):
        return []
    before = assessment.before
    release = assessment.figures["release_travel_mm"]
    ends = [assessment.curve.travel_mm[-1], *([release] if release > 0.0 else [])]
    forces = [*assessment.curve.pull_N]
    if before is not None:
        ends.append(before.curve.travel_mm[-1])
        forces += before.curve.pull_N
    end, top = max(ends), max(*forces, 1.0)
    grid = [[" "] * columns for _ in range(ROWS)]
    lines = [(assessment.curve.travel_mm, assessment.curve.return_N, signs.back)]
    lines.append((assessment.curve.travel_mm, assessment.curve.pull_N, signs.pull))
    if before is not None:
        lines.insert(0, (before.curve.travel_mm, before.curve.pull_N, signs.before))
    for travel, force, sign in lines:
        _draw(grid, np.asarray(travel) / end, np.asarray(force) / top, sign)
    labels = _ticks(top)
    body = [f"{labels.get(row, ''):>{_MARGIN}}{signs.upright}{''.join(line)}" for row, line in enumerate(grid)]
    legend = f"{signs.pull} pull  {signs.back} return" + (f"  {signs.before} pull before" if before else "")
    return [
        *(line.rstrip() for line in body),
        " " * _MARGIN + signs.corner + signs.level * columns,
        " " * (_MARGIN + 1) + _scale(end, columns),
        " " * (_MARGIN + 1) + _places(assessment, end, columns),
        " " * (_MARGIN + 1) + legend,
        " " * (_MARGIN + 1) + "f free play  b bite band  R clean release  S lever's stop",
    ]


def _whole(assessment: Assessment) -> bool:
    """Whether every point of the curves is a number."""
    curves = [assessment.curve, *([assessment.before.curve] if assessment.before else [])]
    values = [value for curve in curves for line in (curve.travel_mm, curve.pull_N, curve.return_N) for value in line]
    return bool(np.all(np.isfinite(values)))


def _ticks(top: float) -> dict[int, str]:
    """Text of the force axis by row: at most three round numbers up to the highest force [N], and 0."""
    decade = 10.0 ** math.floor(math.log10(top))
    step = next(size for size in (0.5 * decade, decade, 2.0 * decade, 5.0 * decade) if top / size < 4.0)
    count = int(top / step)
    texts = {round((ROWS - 1) * (1.0 - step * tick / top)): f"{step * tick:g}" for tick in range(count + 1)}
    highest = min(texts)
    return texts | {highest: f"{texts[highest]} N"}


def _draw(grid: list[list[str]], travel: np.ndarray, force: np.ndarray, sign: str) -> None:
    """Draw a line, travel and force from 0 to 1, its steep parts joined."""
    rows, columns = len(grid), len(grid[0])
    places = (np.arange(columns) + 0.5) / columns
    heights = np.interp(places, travel, force)
    steps = [
        round((rows - 1) * (1.0 - height)) for height, place in zip(heights, places, strict=True) if place <= travel[-1]
    ]
    for column, row in enumerate(steps):
        last = steps[column - 1] if column else row
        joined = range(row, last) if row < last else range(last + 1, row + 1) if row > last else (row,)
        for step in joined:
            grid[step][column] = sign


def _column(place: float, end: float, columns: int) -> int:
    return min(max(int(place / end * columns), 0), columns - 1)


def _scale(end: float, columns: int) -> str:
    """Numbers under the axis, every ten millimetres."""
    line = [" "] * columns
    for place in range(0, int(end) + 1, 10):
        text = str(place)
        start = min(_column(place, end, columns), columns - len(text))
        line[start : start + len(text)] = text
    unit = " mm"
    free = "".join(line).rstrip()
    return free + unit if len(free) + len(unit) <= columns else free


def _places(assessment: Assessment, end: float, columns: int) -> str:
    """Free play, bite band, release and stop, each by its letter."""
    line = [" "] * columns
    free = free_play(assessment)
    full, band = assessment.curve.travel_mm[-1], bite_band(assessment)
    spans = [("f", 0.0, free)] if free > 0.0 else []
    if band is not None and band[0] < full:
        spans.append(("b", band[0], min(band[1], full)))
    for letter, start, stop in spans:
        first, last = _column(start, end, columns), _column(stop, end, columns)
        line[first : last + 1] = letter * (last + 1 - first)
    release = assessment.figures["release_travel_mm"]
    line[_column(full, end, columns)] = "S"
    if not math.isnan(release):
        line[_column(release, end, columns)] = "R"
    return "".join(line).rstrip()
