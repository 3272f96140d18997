"""Drawings of the pack and what is round it: pack, room to move, patterns of springs."""

# ruff: noqa: RUF001 - the drawings carry Greek letters and signs

from __future__ import annotations

from math import cos, isinf, pi, sin

import numpy as np

from clutchwright.chain import respond
from clutchwright.physics.plate_tilt import Pattern, patterns
from docs.drawing.chart import Chart
from docs.drawing.example import BIKE, PACK, SPRINGS
from docs.drawing.sheet import Sheet, Spot


def pack() -> Sheet:
    """Plates pressed together and parted, and how the lift moves the load from the pack to the rod."""
    sheet = Sheet(860, 430, "A plate pack engaged and released, and clamp and rod force against lift")
    _plates(sheet, 60, "engaged: clamp F, no gap", 0)
    _plates(sheet, 230, "released: a gap at each face", 6)
    clamp = float(BIKE.engaged_clamp)
    squash, release = float(PACK.squash(clamp)), float(PACK.release_lift(clamp))
    full = float(respond(BIKE).lift[-1])
    lifts = np.sort(np.append(np.linspace(0, full, 120), squash))
    load, left = SPRINGS.load(lifts, 0.0), PACK.clamp(lifts, clamp)
    chart = Chart(sheet, (440, 90), (390, 260), (0, 1.8), (0, 2000))
    chart.area((0, squash * 1e3), (2000, 2000), "grey-shade")
    chart.axes("lift of the pressure plate in mm", "force in N", (0, 0.5, 1, 1.5), (0, 500, 1000, 1500, 2000))
    chart.curve(lifts * 1e3, load, "spring w3")
    chart.curve(lifts * 1e3, left, "travel w3")
    chart.curve(lifts * 1e3, load - left, "force w2 dash")
    chart.words(0.6, 1650, "springs", "spring")
    chart.words(0.27, 180, "clamp on the pack", "travel")
    sheet.lines(chart.spot(0.31, 1330), ("on the rod:", "springs less clamp"), "force")
    sheet.lines(chart.spot(squash * 500, 1830), ("bite", "band"), "grey small", "middle", step=15)
    for x, words, anchor in ((release, "released", "middle"), (full, "full lift", "end")):
        chart.upright(x * 1e3)
        chart.words(x * 1e3, 2000, words, "grey small", anchor=anchor, shift=(0, -6))
    x1, x2 = chart.spot(release * 1e3, 750), chart.spot(full * 1e3, 750)
    sheet.dimension(x1, x2, "release margin", (0, -8))
    return sheet


def _plates(sheet: Sheet, y: float, words: str, gap: float) -> None:
    """Draw plates seen from the edge, the pressure plate on the right."""
    sheet.text((30, y - 16), words, "ink")
    x = 50.0
    for index in range(9):
        friction = index % 2 == 1
        height = 100 if friction else 90
        sheet.rect((x, y + (100 - height) / 2), (16, height), "spring-fill ink w1" if friction else "part-fill ink w1")
        x += 16 + gap
    sheet.rect((x, y + 8), (26, 84), "grey-fill ink w1")
    if gap:
        sheet.arrow((x + 30, y + 50), (x + 80, y + 50), "travel w3")
        sheet.text((x + 42, y + 38), "lift h", "travel")
        sheet.text((50, y + 124), "steel", "grey small")
        sheet.text((94, y + 124), "friction plate", "spring small")
        sheet.text((x + 30, y + 124), "pressure plate", "grey small", "middle")
    else:
        sheet.arrow((x + 92, y + 50), (x + 32, y + 50))
        sheet.text((x + 60, y + 38), "F", "force bold", "middle")


def clearance() -> Sheet:
    """A spring bolt with its washer in section, and the room it needs."""
    sheet = Sheet(860, 380, "A spring bolt with a washer in section: room to the cover and thread in the boss")
    axis = 190.0
    sheet.rect((50, 36), (300, 16), "part-fill ink w1")
    sheet.text((362, 50), "clutch cover", "grey")
    sheet.rect((axis - 48, 106), (96, 24), "part-fill ink w2", 3)
    sheet.rect((axis - 13, 130), (26, 122), "part-fill ink w1")
    for index in range(5):
        for side in (-1, 1):
            sheet.circle((axis + side * 36, 140 + index * 24 + (0 if side < 0 else 9)), 6, "spring-fill ink w1")
    sheet.rect((axis - 28, 262), (56, 88), "grid-fill ink w1")
    sheet.rect((axis - 9, 262), (18, 66), "part-fill ink w1")
    sheet.rect((axis - 24, 252), (48, 10), "force-fill ink w1")
    for x, width in ((50, axis - 84), (axis + 34, 126)):
        sheet.rect((x, 256), (width, 18), "part-fill ink w1")
    sheet.dimension((110, 54), (110, 104), "room", (-28, 4), "travel")
    sheet.line((axis + 24, 257), (axis + 66, 232), "force w1")
    sheet.text((axis + 72, 234), "washer, t", "force")
    sheet.arrow((346, 252), (346, 200), "travel w3")
    sheet.text((358, 222), "lift h", "travel")
    sheet.text((362, 270), "pressure plate", "grey")
    sheet.dimension((axis + 44, 264), (axis + 44, 328), "", (0, 0))
    sheet.text((axis + 54, 322), "thread in the boss", "ink")
    sheet.text((axis + 60, 122), "spring bolt", "ink")
    facts = (
        ("bold", "A washer under the bolt's shoulder"),
        ("", "lifts the head by t, pulls the thread out by t"),
        ("bold", "Bolt head to cover"),
        ("", "room − t − h is at least 1.0 mm"),
        ("bold", "Thread"),
        ("", "engagement − t is at least 1.5 d in aluminium"),
        ("bold", "Washer"),
        ("", "wider than the bolt, narrower than the spring"),
    )
    for index, (weight, words) in enumerate(facts):
        sheet.text((505, 96 + 24 * index + 12 * (index // 2)), words, f"ink {weight}".strip())
    return sheet


def spring_patterns() -> Sheet:
    """Ways of leaving two of six springs out, up to rotation and reflection, best first."""
    sheet = Sheet(860, 330, "Three ways of leaving two of six springs out, from balanced to unbalanced")
    for index, found in enumerate(patterns(6, 2)):
        _pattern(sheet, (150.0 + 280 * index, 150.0), found)
    return sheet


def _pattern(sheet: Sheet, centre: Spot, found: Pattern) -> None:
    circle = 80.0
    sheet.circle(centre, 108, "grid-fill grey w1")

    def place(position: float, radius: float) -> Spot:
        angle = pi / 2 - 2 * pi * position / 6
        return centre[0] + radius * cos(angle), centre[1] - radius * sin(angle)

    for position in range(6):
        fitted = position not in found.left_out
        sheet.circle(place(position, circle), 17, "spring-fill ink w1" if fitted else "paper grey w2 dash")
    sheet.circle(centre, 4, "ink-fill")
    if found.unbalance > 1e-9:
        empty = [place(position, 1.0) for position in found.left_out]
        x = sum(spot[0] - centre[0] for spot in empty)
        y = sum(spot[1] - centre[1] for spot in empty)
        # what is missing on one side pulls to the other
        length = 30.0
        sheet.arrow(centre, (centre[0] - length * x, centre[1] - length * y), "force w3")
    name = "balanced" if found.unbalance < 1e-9 else f"unbalance {found.unbalance:.2f} springs"
    sheet.text((centre[0], 286), name, "ink bold" if found.unbalance < 1e-9 else "force bold", "middle")
    softer = "holds no tilt" if isinf(found.softness) else f"tilts {found.softness:.1f} times as easily as six"
    sheet.text((centre[0], 308), softer, "grey small", "middle")
