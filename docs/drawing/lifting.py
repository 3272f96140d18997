"""Drawings of what lifts and what presses: lift mechanisms, coil springs, diaphragm spring."""

# ruff: noqa: RUF001 - the drawings carry Greek letters and signs

from __future__ import annotations

from math import cos, degrees, pi, radians, sin, tan

import numpy as np

from clutchwright.chain import respond
from clutchwright.physics.diaphragm import Diaphragm
from clutchwright.physics.lift import Cam, Lift, LiftTable, Rack, Ramp, Screw
from docs.drawing.chart import Chart
from docs.drawing.example import BIKE, DIAPHRAGM, SPRINGS
from docs.drawing.sheet import Sheet, Spot, View

RACK = Rack(4.5e-3, 0.06)
SCREW = Screw(lead=30e-3, thread_diameter=16e-3, thread_friction=0.08, flank_angle=0.0)
RAMP = Ramp(ramp_radius=15e-3, ramp_angle=radians(16), rolling_friction=0.01)
CAM = Cam(eccentricity=6e-3, start_angle=radians(-15), kappa=0.06)
TABLE = LiftTable(
    tuple(radians(angle) for angle in (0, 8, 16, 24, 32, 40)), (0, 0.5e-3, 1.1e-3, 1.6e-3, 1.9e-3, 2.05e-3), 0.08
)
TURN = radians(25)


def lift() -> Sheet:
    """Five ways of turning an arm's rotation into lift."""
    sheet = Sheet(860, 500, "Five lift mechanisms, each in true proportion, and the travel each gives")
    panels = (
        ("rack and pinion", _rack, 88.0, 9000.0),
        ("screw", _screw, 268.0, 7000.0),
        ("balls on ramps", _ramp, 420.0, 7500.0),
        ("cam", _cam, 560.0, 6500.0),
        ("measured table", _table, 770.0, 1.0),
    )
    for name, draw, x, scale in panels:
        draw(sheet, View((x, 140.0), scale))
        sheet.text((x + (30 if draw is _cam else 0), 30), name, "ink bold", "middle")
    chart = Chart(sheet, (70, 270), (560, 170), (0, 40), (0, 4))
    chart.axes("arm angle α in degrees", "travel of the release bearing in mm", (0, 10, 20, 30, 40), (0, 1, 2, 3, 4))
    angles = np.linspace(0, radians(40), 80)
    kinds: tuple[tuple[str, Lift, str], ...] = (
        ("cam: slope changes", CAM, "force w3"),
        ("screw", SCREW, "ink w2"),
        ("rack and pinion", RACK, "travel w3"),
        ("balls on ramps", RAMP, "spring w3"),
        ("table: as measured", TABLE, "grey w2 dash"),
    )
    ends = sorted(
        ((float(kind.travel(angles[-1])), name, kind, look) for name, kind, look in kinds), key=lambda e: -e[0]
    )
    previous = -99.0
    for _, name, kind, look in ends:
        chart.curve(np.degrees(angles), np.asarray(kind.travel(angles)) * 1e3, look)
        x, y = chart.spot(40, float(kind.travel(angles[-1])) * 1e3)
        previous = max(y, previous + 19)
        sheet.text((x + 12, previous + 5), name, look.split()[0])
    return sheet


def _rack(sheet: Sheet, view: View) -> None:
    radius, teeth, top, root = float(RACK.pinion_radius), 9, 0.5e-3, -0.6e-3
    rim = [
        view.polar(radius + (top if step % 4 in (1, 2) else root), 2 * pi * step / (4 * teeth))
        for step in range(4 * teeth)
    ]
    sheet.polygon(rim, "part-fill ink w1")
    sheet.circle(view(0, 0), radius * view.scale, "grey w1 dash")
    pitch = 2 * pi * radius / teeth
    edge = [(radius - (root if step % 4 in (1, 2) else top), (step - 12) * pitch / 4) for step in range(25)]
    back = radius + 2.6e-3
    sheet.polygon([*(view(x, y) for x, y in edge), view(back, edge[-1][1]), view(back, edge[0][1])])
    sheet.arrow(view(8.4e-3, -2e-3), view(8.4e-3, 4e-3), "travel w3")
    sheet.text(view(9.2e-3, 0.6e-3), "h", "travel bold")
    sheet.arc(view(0, 0), 58, radians(120), radians(120) + 2 * TURN, "force w2", head=True)
    sheet.text(view(-5.9e-3, 4.4e-3), "α", "force bold", "end")
    sheet.line(view(0, 0), view(0, -radius), "ink w1")
    sheet.text(view(0.5e-3, -2.6e-3), "r", "ink")


def _screw(sheet: Sheet, view: View) -> None:
    radius, lead = float(SCREW.thread_diameter) / 2, float(SCREW.lead)
    low, high, starts = -8e-3, 7e-3, 4
    sheet.polygon([view(-radius, low), view(radius, low), view(radius, high), view(-radius, high)])
    for start in range(-2, starts):
        # the visible half of a turn climbs half a lead from left to right
        foot = low + start * lead / starts
        climb = [(x, foot + lead / 2 * (x + radius) / (2 * radius)) for x in np.linspace(-radius, radius, 81)]
        inside = [view(x, y) for x, y in climb if low <= y <= high]
        if len(inside) > 1:
            sheet.line(inside[0], inside[-1], "ink w1")
    sheet.arrow(view(0, high), view(0, high + 4e-3), "travel w3")
    sheet.text(view(1e-3, high + 1.2e-3), "h", "travel bold")
    sheet.arrow(view(5.5e-3, low - 2e-3), view(0.5e-3, low - 2e-3), "force w2")
    sheet.text(view(-0.6e-3, low - 2.6e-3), "α", "force bold", "end")


def _ramp(sheet: Sheet, view: View) -> None:
    slope, ball, width = tan(RAMP.ramp_angle), 2.3e-3, 7.5e-3
    clear = ball / cos(RAMP.ramp_angle)
    for side in (-1, 1):
        track = [view(x, x * slope + side * clear) for x in (-width, width)]
        sheet.polygon([*track, view(width, side * 7e-3), view(-width, side * 7e-3)])
    sheet.circle(view(0, 0), ball * view.scale, "paper ink w2")
    corner = view(-width, -width * slope - clear)
    sheet.line(corner, (corner[0] + 56, corner[1]), "grey w1 dash")
    sheet.text((corner[0] + 60, corner[1] + 1), "λ", "ink")
    sheet.arrow(view(0, 7e-3), view(0, 10.7e-3), "travel w3")
    sheet.text(view(0.9e-3, 8.1e-3), "h", "travel bold")
    sheet.arrow(view(2e-3, -9.2e-3), view(-3e-3, -9.2e-3), "force w2")
    sheet.text(view(2.8e-3, -9.8e-3), "r α", "force bold")


def _cam(sheet: Sheet, view: View) -> None:
    size, e = 8e-3, float(CAM.eccentricity)
    angles = (float(CAM.start_angle), float(CAM.start_angle) + TURN)
    for angle, look in zip(angles, ("grey w1 dash", "ink w2"), strict=True):
        centre = (e * cos(angle), e * sin(angle))
        sheet.circle(view(*centre), size * view.scale, look)
        sheet.line(view(0, centre[1] + size), view(e * 2, centre[1] + size), look)
        sheet.line(view(0, 0), view(*centre), look)
    top = e * sin(angles[1]) + size
    sheet.rect(view(e - 1.6e-3, top + 4.6e-3), (3.2e-3 * view.scale, 4.6e-3 * view.scale))
    sheet.circle(view(0, 0), 8, "part-fill ink w2")
    sheet.arc(view(0, 0), 64, angles[0], angles[1] + 0.1, "force w2", head=True)
    sheet.text(view(9.4e-3, -4.6e-3), "α", "force bold", "middle")
    sheet.arrow(view(e + 3.2e-3, top + 0.4e-3), view(e + 3.2e-3, top + 4.4e-3), "travel w3")
    sheet.text(view(e + 4.4e-3, top + 1.6e-3), "h", "travel bold")
    sheet.text(view(2.2e-3, 1.6e-3), "e", "ink")


def _table(sheet: Sheet, view: View) -> None:
    chart = Chart(sheet, (view.origin[0] - 60, view.origin[1] - 60), (120, 110), (0, 42), (0, 2.3))
    sheet.line(chart.spot(0, 0), chart.spot(42, 0), "grey w1")
    sheet.line(chart.spot(0, 0), chart.spot(0, 2.3), "grey w1")
    angles = np.linspace(0, TABLE.rotations[-1], 60)
    chart.curve(np.degrees(angles), np.asarray(TABLE.travel(angles)) * 1e3, "grey w2 dash")
    for angle, travel in zip(TABLE.rotations, TABLE.travels, strict=True):
        chart.dot(degrees(angle), travel * 1e3)
    sheet.text((chart.corner[0] + 120, chart.corner[1] + 128), "α", "force bold", "end")
    sheet.text((chart.corner[0] + 8, chart.corner[1] + 10), "h", "travel bold")


def springs() -> Sheet:
    """One coil spring from free to solid, to scale, and its load on the way."""
    sheet = Sheet(860, 430, "One coil spring free, fitted, worn or with a washer, lifted and solid, and its load")
    view = View((0.0, 350.0), 6300.0)
    one = SPRINGS.springs[0]
    full = float(respond(BIKE).lift[-1])
    states = (
        ("free", float(one.free_length), "ink"),
        ("worn 0.9 mm", float(one.installed_length) + 0.9e-3, "travel"),
        ("fitted, new", float(one.installed_length), "spring"),
        ("full lift", float(one.installed_length) - full, "force"),
        ("solid", float(one.solid_length or 0.0), "grey"),
    )
    for index, (name, length, look) in enumerate(states):
        x = 62 + 92 * index
        _coil(sheet, (x, view.origin[1]), length * view.scale, f"{look} w3")
        sheet.text((x, 380), name, f"{look} small", "middle")
        sheet.text((x, 398), f"{length * 1e3:.1f} mm", f"{look} small", "middle")
    sheet.line((20, 350), (480, 350), "grey w1")
    sheet.text(
        (20, 28), "lengths to scale; a washer of 0.9 mm under the bolt does the same as 0.9 mm of wear", "grey small"
    )
    chart = Chart(sheet, (570, 60), (260, 290), (0, 16), (0, 430))
    chart.axes("squeezed from free, mm", "load of one spring in N", (0, 5, 10, 15), (0, 100, 200, 300, 400))
    rate = float(one.rate)
    chart.curve((0, 15), (0, rate * 15e-3), "ink w2")
    for name, length, look in states[1:]:
        squeezed = float(one.free_length) - length
        chart.dot(squeezed * 1e3, rate * squeezed, f"{look}-fill")
        shift = (-10, -2) if name != "full lift" else (-10, -8)
        chart.words(squeezed * 1e3, rate * squeezed, name, f"{look} small", anchor="end", shift=shift)
    return sheet


def _coil(sheet: Sheet, foot: Spot, height: float, look: str) -> None:
    """Draw a coil spring standing on a spot, as its turns seen from the side."""
    turns, half = 6, 26
    wire = 8.0
    steps = [
        (-half if step % 2 else half, (height - wire) * step / (2 * turns) + wire / 2) for step in range(2 * turns + 1)
    ]
    spots = [(foot[0] + x, foot[1] - y) for x, y in steps]
    sheet.polyline([(foot[0] - half, spots[0][1]), *spots, (foot[0] + half, spots[-1][1])], look)
    sheet.line((foot[0] - half - 8, foot[1] - height), (foot[0] + half + 8, foot[1] - height), "grey w2")


def diaphragm() -> Sheet:
    """A diaphragm spring in section, engaged and lifted, and its load beside that of coil springs."""
    sheet = Sheet(860, 420, "Half a diaphragm spring in section, engaged and lifted, and its load against lift")
    view = View((20.0, 190.0), 6200.0)
    for lift_, look in ((1.3e-3, "grey w2 dash"), (0.0, "ink w3")):
        _section(sheet, view, DIAPHRAGM, lift_, look)
    pivot = view(float(DIAPHRAGM.pivot_radius), 0)
    sheet.circle((pivot[0], pivot[1] - 9), 6, "part-fill ink w1")
    sheet.circle((pivot[0], pivot[1] + 9), 6, "part-fill ink w1")
    sheet.text((pivot[0], pivot[1] + 42), "pivot ring", "ink", "middle")
    edge = float(DIAPHRAGM.plate_radius)
    sheet.text((view(edge, 0)[0] + 60, 106), "clamp, on plate and pack", "spring", "end")
    tip = view(float(DIAPHRAGM.tip_radius), 0)
    sheet.text((tip[0] + 14, tip[1] + 68), "release bearing, on the finger tips", "force")
    sheet.text((20, 34), "engaged: line; lifted 1.3 mm: dashed; heights drawn five times as large", "grey small")
    for words, radius, y in (
        ("r_{tip}", DIAPHRAGM.tip_radius, 310),
        ("r_{pivot}", DIAPHRAGM.pivot_radius, 338),
        ("r_{plate}", DIAPHRAGM.plate_radius, 366),
    ):
        sheet.dimension((view.origin[0], y), (view(float(radius), 0)[0], y), words, (0, -6))
    sheet.line((view.origin[0], 60), (view.origin[0], 384), "grey w1 dash")
    sheet.text((view.origin[0] + 6, 398), "clutch axis", "grey small")
    _diaphragm_loads(sheet)
    return sheet


def _diaphragm_loads(sheet: Sheet) -> None:
    lifts = np.linspace(0, 2e-3, 80)
    chart = Chart(sheet, (530, 60), (300, 280), (0, 2), (0, 2500))
    ticks = (0, 500, 1000, 1500, 2000, 2500)
    chart.axes("lift of the pressure plate in mm", "load on the pressure plate in N", (0, 0.5, 1, 1.5, 2), ticks)
    chart.curve(lifts * 1e3, SPRINGS.load(lifts, 0.0), "spring w3")
    chart.words(1.1, 1430, "six coil springs", "spring")
    chart.curve(lifts * 1e3, DIAPHRAGM.load(lifts, 0.9e-3), "travel w2 dash")
    chart.words(0.8, 2290, "diaphragm, worn 0.9 mm", "travel")
    chart.curve(lifts * 1e3, DIAPHRAGM.load(lifts, 0.0), "force w3")
    chart.words(0.04, 2290, "new", "force")


def _section(sheet: Sheet, view: View, spring: Diaphragm, lift_: float, look: str) -> None:
    """Draw half a section, the pivot ring at height 0; heights are drawn five times as large."""
    larger = 5.0
    plate, pivot, tip = (float(r) for r in (spring.plate_radius, spring.pivot_radius, spring.tip_radius))
    cone = float(spring.cone_height) * (plate - pivot) * 2 / float(spring.outer - spring.inner)
    slope = (cone - float(spring.deflection) - lift_) / (plate - pivot) * larger
    outside = view(plate, (plate - pivot) * slope)
    inside = view(tip, (tip - pivot) * slope)
    sheet.line(inside, outside, look)
    if "w3" in look:
        sheet.arrow((inside[0], inside[1] + 52), (inside[0], inside[1] + 6), "force w3")
        sheet.arrow((outside[0], outside[1] - 6), (outside[0], outside[1] - 55), "spring w3")
