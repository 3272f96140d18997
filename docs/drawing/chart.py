"""A plain chart on a sheet: two axes, curves, shaded areas, marks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from docs.drawing.sheet import Sheet, Spot


@dataclass(frozen=True, slots=True)
class Chart:
    """Axes in a box of a sheet.

    Parameters
    ----------
    sheet : Sheet
        Where it is drawn.
    corner, size : tuple of float
        Upper left corner and size of the space inside the axes [px].
    x_range, y_range : tuple of float
        Values at the ends of the axes.
    """

    sheet: Sheet
    corner: Spot
    size: Spot
    x_range: tuple[float, float]
    y_range: tuple[float, float]

    def spot(self, x: float, y: float) -> Spot:
        """Spot on the sheet for a pair of values."""
        across = (x - self.x_range[0]) / (self.x_range[1] - self.x_range[0])
        up = (y - self.y_range[0]) / (self.y_range[1] - self.y_range[0])
        return self.corner[0] + across * self.size[0], self.corner[1] + (1.0 - up) * self.size[1]

    def axes(self, x_words: str, y_words: str, x_ticks: Sequence[float], y_ticks: Sequence[float]) -> None:
        """Draw grid, ticks and what each axis shows: below the box, and above its left end."""
        left, bottom = self.corner[0], self.corner[1] + self.size[1]
        for y in y_ticks:
            _, py = self.spot(self.x_range[0], y)
            self.sheet.line((left, py), (left + self.size[0], py), "grid w1")
            self.sheet.text((left - 7, py + 4.5), f"{y:g}", "grey small", "end")
        for x in x_ticks:
            px, _ = self.spot(x, self.y_range[0])
            self.sheet.line((px, bottom), (px, bottom + 5), "grey w1")
            self.sheet.text((px, bottom + 19), f"{x:g}", "grey small", "middle")
        self.sheet.line((left, bottom), (left + self.size[0], bottom), "grey w1")
        self.sheet.text((left + self.size[0], bottom + 38), x_words, "grey small", "end")
        self.sheet.text((left - 30, self.corner[1] - 12), y_words, "grey small")

    def curve(self, xs: ArrayLike, ys: ArrayLike, look: str = "force w3") -> None:
        """Draw a curve; what is NaN is left out."""
        self.sheet.polyline(self._spots(xs, ys), look)

    def area(self, xs: ArrayLike, ys: ArrayLike, look: str = "force-shade", *, down_to: ArrayLike = 0.0) -> None:
        """Shade the area between a curve and another, or a level."""
        x, y = np.broadcast_arrays(np.asarray(xs, dtype=float), np.asarray(ys, dtype=float))
        floor = np.broadcast_to(np.asarray(down_to, dtype=float), x.shape)
        self.sheet.polygon([*self._spots(x, y), *reversed(list(self._spots(x, floor)))], look)

    def upright(self, x: float, y: float | None = None, look: str = "grey w1 dash") -> None:
        """Draw an upright line at x, up to y or to the top."""
        self.sheet.line(self.spot(x, self.y_range[0]), self.spot(x, self.y_range[1] if y is None else y), look)

    def level(self, y: float, look: str = "grey w1 dash") -> None:
        """Draw a level line at y."""
        self.sheet.line(self.spot(self.x_range[0], y), self.spot(self.x_range[1], y), look)

    def dot(self, x: float, y: float, look: str = "ink-fill") -> None:
        """Mark a point."""
        self.sheet.circle(self.spot(x, y), 4.5, look)

    def words(
        self, x: float, y: float, words: str, look: str = "ink", *, anchor: str = "start", shift: Spot = (0, 0)
    ) -> None:
        """Write beside a point, moved by so many px."""
        px, py = self.spot(x, y)
        self.sheet.text((px + shift[0], py + shift[1]), words, look, anchor)

    def _spots(self, xs: ArrayLike, ys: ArrayLike) -> Iterable[Spot]:
        x, y = np.broadcast_arrays(np.asarray(xs, dtype=float), np.asarray(ys, dtype=float))
        return [self.spot(float(a), float(b)) for a, b in zip(x, y, strict=True) if not np.isnan(a + b)]
