"""Drawings of the whole: the chain, the floor, the budgets, what is not known for sure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from scipy.special import ndtri

from clutchwright.assess.budgets import FORCE_LABELS, TRAVEL_LABELS, Item, force_budget, force_places, travel_budget
from clutchwright.assess.figures import leverage_floor, release_point
from clutchwright.assess.wear import unadjusted_clamp
from clutchwright.chain import respond
from clutchwright.physics import PULL
from clutchwright.quantity import Array, Quantity
from clutchwright.study.tolerance import draw
from docs.drawing.chart import Chart
from docs.drawing.example import BIKE, PACK
from docs.drawing.sheet import Sheet


def chain() -> Sheet:
    """The chain from the hand to the road, with the force and the travel at each place."""
    sheet = Sheet(860, 270, "The chain from hand to road, with force and travel at the release point")
    force = {place.key: place.value for place in force_places(BIKE)}
    point = release_point(BIKE, PULL)
    capacity = float(PACK.capacity(BIKE.engaged_clamp, PACK.friction_static))
    cable, arm_move = float(point.drawn) * 1e3, float(BIKE.arm.movement(point.arm_angle)) * 1e3
    stages = (
        ("hand", "", ""),
        ("lever", f"{force['finger']:.0f} N", f"{float(point.travel) * 1e3:.0f} mm"),
        ("cable", f"{force['lever_end']:.0f} N", f"{cable:.1f} mm"),
        ("arm", f"{force['arm_end']:.0f} N", f"{arm_move:.1f} mm"),
        ("lift", f"{force['shaft']:.1f} N m", f"{np.degrees(float(point.arm_angle)):.0f}°"),
        ("springs", f"{force['springs']:.0f} N", f"{float(point.lift) * 1e3:.2f} mm"),
        ("pack", f"{float(BIKE.engaged_clamp):.0f} N", "lever out"),
        ("torque", f"{capacity:.0f} N m", ""),
        ("road", "", ""),
    )
    for index, (name, forces, travel) in enumerate(stages):
        x = 16 + 93.5 * index
        look = "grid-fill grey w1" if name in ("hand", "torque", "road") else "part-fill ink w1"
        sheet.rect((x, 110), (66, 44), look, 8)
        sheet.text((x + 33, 137), name, "ink bold", "middle")
        if index:
            sheet.arrow((x - 25, 132), (x - 3, 132), "ink w2")
            sheet.text((x - 14, 92), forces, "force", "middle")
            sheet.text((x - 14, 184), travel, "travel", "middle")
    sheet.text((16, 40), "Force between the stages, lever at the release point (at the pack: lever out)", "force")
    sheet.text((16, 236), "Movement between the stages: what force gains towards the springs, travel loses", "travel")
    return sheet


def floor() -> Sheet:
    """The pull along the stroke, and the least constant pull that leverage alone could reach."""
    sheet = Sheet(860, 420, "Pull against finger travel, and the floor: the same work spread over the whole stroke")
    response = respond(BIKE)
    lowest = float(np.asarray(leverage_floor(BIKE)).ravel()[0])
    release = float(release_point(BIKE, PULL).travel) * 1e3
    travel, pull = response.travel * 1e3, response.pull
    chart = Chart(sheet, (70, 60), (520, 280), (0, 48), (0, 120))
    chart.axes(
        "finger travel in mm", "pull at the finger point in N", (0, 10, 20, 30, 40), (0, 20, 40, 60, 80, 100, 120)
    )
    upto = travel <= release
    chart.area([*travel[upto], release], [*pull[upto], float(release_point(BIKE, PULL).force)], "force-shade")
    chart.curve(travel, pull, "force w3")
    free, full = float(BIKE.lever.free_play) * 1e3, float(BIKE.lever.full_travel) * 1e3
    chart.area((free, full), (lowest, lowest), "travel-shade")
    chart.curve((free, free, full, full), (0, lowest, lowest, 0), "travel w3")
    chart.upright(release)
    chart.words(release, 120, "released", "grey small", anchor="middle", shift=(0, -6))
    chart.words(14, 106, "pull today", "force bold", anchor="end", shift=(-20, 0))
    chart.words(full, lowest, "floor", "travel bold", anchor="end", shift=(-6, -9))
    peak = float(pull.max())
    sheet.text((620, 110), f"peak today {peak:.0f} N", "force bold")
    sheet.text((620, 140), f"floor {lowest:.0f} N", "travel bold")
    words = (
        "Vermilion area: work to reach",
        "release. Blue area: the work that",
        "must be done, spread evenly over",
        "all the travel there is.",
    )
    sheet.lines((620, 180), words, "grey small", step=19)
    sheet.lines(
        (620, 276), ("Drag and stretch are left out of", "the floor, so nothing lies below."), "grey small", step=19
    )
    return sheet


def budgets() -> Sheet:
    """Where the force goes and where the travel goes, each row starting where the one before ends."""
    sheet = Sheet(860, 470, "Two budgets at the release point: where the pull and where the finger travel go")
    _steps(sheet, 50, "Where the force goes, in N at the finger", FORCE_LABELS, force_budget(BIKE), (1.0, "N", "force"))
    _steps(
        sheet,
        274,
        "Where the travel goes, in mm at the finger",
        TRAVEL_LABELS,
        travel_budget(BIKE),
        (1e3, "mm", "travel"),
    )
    return sheet


def _steps(
    sheet: Sheet, top: float, title: str, labels: dict[str, str], items: Sequence[Item], unit: tuple[float, str, str]
) -> None:
    factor, symbol, colour = unit
    rows = [item for item in items if item.value]
    total = sum(item.value for item in rows)
    left, scale = 300.0, 430.0 / total
    sheet.text((24, top - 16), title, f"{colour} bold")
    done = 0.0
    for index, item in enumerate(rows):
        y = top + 27 * index
        sheet.rect((left + done * scale, y), (max(item.value * scale, 2), 20), f"{colour}-fill")
        sheet.text((left - 14, y + 15), labels[item.key], "ink", "end")
        done += item.value
        sheet.text((left + done * scale + 8, y + 15), f"{item.value * factor:.1f} {symbol}", "ink")
        sheet.line((left + done * scale, y + 20), (left + done * scale, y + 47), "grey w1 dash")
    y = top + 27 * len(rows)
    sheet.rect((left, y), (total * scale, 20), "grey-fill")
    sheet.text((left - 14, y + 15), "together", "ink bold", "end")
    sheet.text((left + total * scale + 8, y + 15), f"{total * factor:.1f} {symbol}", "ink bold")


FREE_PLAY = Quantity(3.5, 1.0, "measured: ruler")


def uncertainty() -> Sheet:
    """How the doubt about one input becomes doubt about a figure, by a straight line and by sampling."""
    sheet = Sheet(860, 460, "Doubt about the free play becomes doubt about the clamp, by a tangent and by sampling")
    chart = Chart(sheet, (280, 60), (540, 230), (0, 7), (0, 1600))
    chart.axes(
        "free play at the finger, new, in mm",
        "clamp in N, pack worn 0.2 mm and never adjusted",
        (0, 1, 2, 3, 4, 5, 6, 7),
        (0, 400, 800, 1200, 1600),
    )
    plays = np.linspace(0, 7, 281)
    chart.curve(plays, _clamp(plays), "ink w3")
    chart.words(1.0, float(_clamp(np.array([1.0]))[0]), "the model", "ink", shift=(14, 14))
    samples = draw(FREE_PLAY, "lever.free_play_mm", ndtri((np.arange(4000) + 0.5) / 4000))
    clamps = _clamp(samples)
    high, low = _clamp(draw(FREE_PLAY, "lever.free_play_mm", np.array([1.0, -1.0])))
    middle, u = float(_clamp(np.array([FREE_PLAY.value]))[0]), float(high - low) / 2
    straight = middle + u / FREE_PLAY.u * (plays - FREE_PLAY.value)
    inside = (straight >= 0) & (straight <= 1600)
    chart.curve(plays[inside], straight[inside], "travel w2 dash")
    chart.words(4.6, 1530, "first order: a straight line", "travel", anchor="end", shift=(-8, -4))
    chart.dot(FREE_PLAY.value, middle)
    _beside(sheet, chart, clamps, middle, u)
    counts, edges = np.histogram(samples, bins=28, range=(0, 7))
    for count, edge in zip(counts, edges[:-1], strict=True):
        x, _ = chart.spot(float(edge), 0)
        height = 60 * count / counts.max()
        sheet.rect((x + 1, 430 - height), (17, height), "grey-fill")
    sheet.text(
        (280, 448), f"what is known of the free play: {FREE_PLAY.value} mm, u = {FREE_PLAY.u:g} mm", "grey small"
    )
    return sheet


def _clamp(free_play_mm: Array) -> Array:
    """Clamp [N] at 0.2 mm of wear for values of the free play [mm]."""
    bike = replace(BIKE, lever=replace(BIKE.lever, free_play=free_play_mm * 1e-3))
    return np.asarray(unadjusted_clamp(bike, 0.2e-3))


def _beside(sheet: Sheet, chart: Chart, clamps: Array, middle: float, u: float) -> None:
    """Draw the spread of the clamp left of the chart: bars as sampled, a dashed bell as the first order has it."""
    counts, edges = np.histogram(clamps, bins=32, range=(0, 1600))
    for count, edge in zip(counts, edges[:-1], strict=True):
        _, y = chart.spot(0, float(edge))
        width = min(190 * count / 900, 190.0)
        if count:
            sheet.rect((225 - width, y - 6.5), (width, 6), "force-fill")
    levels = np.linspace(0, 1600, 120)
    expected = len(clamps) * 50 / (u * np.sqrt(2 * np.pi)) * np.exp(-0.5 * ((levels - middle) / u) ** 2)
    spots = [
        (225 - 190 * float(n) / 900, chart.spot(0, float(level))[1]) for n, level in zip(expected, levels, strict=True)
    ]
    sheet.polyline(spots, "travel w2 dash")
    sheet.line((225, 60), (225, 290), "grey w1")
    sheet.text((225, 312), "sampled", "force small", "end")
    sheet.text((150, 312), "first order", "travel small", "end")
