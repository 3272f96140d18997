"""Drawings of what the hand moves: lever, cable, arm."""

# ruff: noqa: RUF001 - the drawings carry Greek letters

from __future__ import annotations

from dataclasses import replace
from math import cos, pi, radians, sin

import numpy as np

from clutchwright.assess.figures import release_point
from clutchwright.chain import respond
from clutchwright.physics import PULL, RETURN
from clutchwright.physics.lever import CableEnd, CamEnd, FarCable
from docs.drawing.chart import Chart
from docs.drawing.example import BIKE, CABLE, CABLE_END
from docs.drawing.sheet import Sheet, Spot, View

# Where the blade points at rest [rad]: so that the finger point travels straight towards the grip.
REST = pi - float(BIKE.lever.full_travel / BIKE.lever.finger_radius) / 2


def lever() -> Sheet:
    """The lever at rest and at its stop, to scale, and what three kinds of cable end do to the ratio."""
    sheet = Sheet(860, 390, "A clutch lever at rest and pulled, drawn to scale, and its ratio along the stroke")
    view = View((385.0, 150.0), 3500.0)
    radius = float(BIKE.lever.finger_radius)
    rest, stopped = REST, 2 * pi - REST
    finger_rest, finger_stop = (view.polar(radius, angle) for angle in (rest, stopped))
    back = finger_rest[1] + float(BIKE.lever.rest_span) * view.scale
    sheet.rect((20, back - 98), (300, 98), "part-fill grey w1", 14)
    sheet.text((205, back - 50), "grip", "ink")
    _lever_at(sheet, view, stopped, "grey w2 dash")
    _lever_at(sheet, view, rest, "ink w3")
    sheet.circle(view(0, 0), 7, "part-fill ink w2")
    sheet.text((view(0, 0)[0] + 14, view(0, 0)[1] + 22), "pivot")
    sheet.arc(view(0, 0), radius * view.scale, rest, stopped, "travel w3", head=True)
    sheet.arrow((finger_rest[0], finger_rest[1] - 52), (finger_rest[0], finger_rest[1] - 8))
    sheet.text((finger_rest[0] - 10, finger_rest[1] - 32), "pull F", "force bold", "end")
    sheet.text((finger_rest[0] + 14, finger_rest[1] + 74), "travel s = r_{finger} φ", "travel bold")
    for x, spot, words, y in ((40, finger_rest, "rest span", back - 190), (73, finger_stop, "stop span", back - 50)):
        sheet.line((x - 8, spot[1]), (spot[0], spot[1]), "grey w1 dash")
        sheet.arrow((x, spot[1]), (x, back), "grey w1", both=True)
        sheet.lines((x + 7, y), words.split(), "grey small", step=15)
    middle = view.polar(radius / 2, rest)
    sheet.text((middle[0] + 10, middle[1] - 12), "r_{finger}", "ink", "middle")
    _lever_ratios(sheet)
    return sheet


def _lever_at(sheet: Sheet, view: View, angle: float, look: str) -> None:
    """Draw blade, cable end and cable of a lever whose blade points in a direction [rad]."""
    cable_angle = float(CABLE_END.angle) + angle - REST
    end = view.polar(CABLE_END.radius, cable_angle)
    sheet.line(view(0, 0), view.polar(0.098, angle), look)
    sheet.line(view(0, 0), end, look)
    sheet.line(end, (520, end[1]), "travel w2" if "w3" in look else "travel w1 dash")
    sheet.circle(end, 4.5, "ink-fill")
    if "w3" in look:
        sheet.text((520, end[1] - 30), "cable", "travel", "end")
        sheet.text((520, end[1] - 11), "tension T", "travel", "end")
        sheet.text((end[0] + 2, (end[1] + view(0, 0)[1]) / 2 + 6), "r_{cable}")
        sheet.line(end, view.polar(CABLE_END.radius * 1.45, cable_angle), "grey w1 dash")
        sheet.arc(end, 24, 0.0, cable_angle, "grey w1")
        sheet.text((end[0] + 22, end[1] - 22), "ψ_{0}", "grey")


def _lever_ratios(sheet: Sheet) -> None:
    chart = Chart(sheet, (590, 60), (240, 260), (0, 46), (2.8, 4.0))
    chart.axes("finger travel in mm", "ratio: finger travel per cable drawn", (0, 15, 30, 45), (3.0, 3.4, 3.8))
    ends: tuple[tuple[str, CableEnd, str, tuple[float, Spot]], ...] = (
        ("pin, ψ_{0} = 60°", FarCable(26e-3, radians(60)), "travel w3", (7, (10, -8))),
        ("pin, ψ_{0} = 100°", FarCable(26e-3, radians(100)), "force w3", (9, (0, -17))),
        ("round cam", CamEnd(26e-3), "spring w3", (2, (4, 22))),
    )
    travel = np.linspace(0, 46e-3, 60)
    for words, end, look, (at, shift) in ends:
        stage = replace(BIKE.lever, cable_end=end)
        ratio = stage.ratio(end.drawn(travel / stage.finger_radius))
        chart.curve(travel * 1e3, ratio, look)
        here = float(np.interp(at, travel * 1e3, ratio))
        chart.words(at, here, words, look.split()[0], shift=shift)


def cable() -> Sheet:
    """Where a cable's bends take their share, pulling and letting out."""
    sheet = Sheet(860, 400, "A cable with two bends, and its tension along the bends on the pull and on the return")
    _routing(sheet)
    chart = Chart(sheet, (480, 70), (340, 250), (0, 140), (0, 350))
    chart.axes("bend passed so far, from the arm, in degrees", "tension in N", (0, 60, 140), (0, 100, 200, 300))
    bent = np.linspace(0.0, CABLE.bend, 60)
    at_arm = {PULL: release_point(BIKE, PULL).tension, RETURN: release_point(BIKE, RETURN).tension}
    for direction, look, words, shift in ((PULL, "force", "pulling in", -14), (RETURN, "travel", "letting out", 26)):
        along = np.asarray(at_arm[direction] * replace(CABLE, bend=bent, drag=0.0).bend_gain(direction))
        chart.curve(np.degrees(bent), along, f"{look} w3")
        chart.words(70, float(along[30]), words, f"{look} bold", anchor="middle", shift=(0, shift))
        chart.words(0, float(along[0]), f"{along[0]:.0f} N", look, shift=(6, -8 if direction == PULL else 20))
        chart.words(
            140, float(along[-1]), f"{along[-1]:.0f} N", look, anchor="end", shift=(0, -9 if direction == PULL else 20)
        )
    sheet.text((480, 378), "at the arm", "grey small")
    sheet.text((820, 378), "at the lever", "grey small", "end")
    return sheet


def _routing(sheet: Sheet) -> None:
    """Draw a cable from the arm (bottom) to the lever (top), 60 and 80 degrees of bend."""
    spots: list[Spot] = [(62.0, 300.0), (140.0, 300.0)]
    for centre, radius, start, turn in (((140.0, 210.0), 90.0, -pi / 2, pi / 3), (None, 110.0, None, -80 * pi / 180)):
        if centre is None or start is None:
            heading = pi / 3
            x, y = spots[-1]
            x, y = x + 40 * cos(heading), y - 40 * sin(heading)
            spots.append((x, y))
            start = heading + pi / 2
            centre = (x - radius * cos(start), y + radius * sin(start))
        angles = np.linspace(start, start + turn, 30)
        spots += [(centre[0] + radius * cos(a), centre[1] - radius * sin(a)) for a in angles]
    end_heading = pi / 3 - 80 * pi / 180
    spots.append((spots[-1][0] + 30 * cos(end_heading), spots[-1][1] - 30 * sin(end_heading)))
    sheet.polyline(spots[1:-1], "part w9")
    sheet.polyline(spots, "ink w2")
    sheet.arrow(spots[-1], (spots[-1][0] + 45 * cos(end_heading), spots[-1][1] - 45 * sin(end_heading)))
    sheet.arrow(spots[0], (spots[0][0] - 30, spots[0][1]), "travel w3")
    sheet.text((40, 330), "to the arm", "travel")
    sheet.text((spots[-1][0] + 20, spots[-1][1] + 40), "to the lever", "force", "middle")
    sheet.text((222, 292), "bend 60°", "grey")
    sheet.text((262, 138), "bend 80°", "grey")
    sheet.text((40, 50), "All bends add up: θ = 60° + 80° = 140°.", "ink")
    sheet.text((40, 72), "Where they lie makes no difference.", "grey")


def arm() -> Sheet:
    """The release arm at rest and at full lever, and its moment arm along the way."""
    sheet = Sheet(860, 400, "The release arm at rest and at full lever, drawn to scale, and its moment arm")
    view = View((150.0, 330.0), 7200.0)
    full = float(respond(BIKE).full_angle[0])
    inner = float(BIKE.arm.cable_angle)
    for angle, look in ((inner + full, "grey w2 dash"), (inner, "ink w3")):
        outward = pi - angle
        end = view.polar(BIKE.arm.length, outward)
        sheet.line(view(0, 0), end, look)
        sheet.circle(end, 4.5, "ink-fill")
    rest_end = view.polar(BIKE.arm.length, pi - inner)
    sheet.line(rest_end, (430, rest_end[1]), "travel w2")
    sheet.circle(view(0, 0), 13, "part-fill ink w2")
    sheet.text((view(0, 0)[0] - 24, view(0, 0)[1] + 5), "shaft", "ink", "end")
    sheet.arc(rest_end, 34, 0.0, -inner, "grey w1")
    sheet.text((rest_end[0] + 34, rest_end[1] + 34), "χ_{0}", "grey")
    sheet.text((rest_end[0] + 90, rest_end[1] - 12), "cable, towards the lever", "travel")
    sheet.arrow((380, rest_end[1]), (436, rest_end[1]), "travel w3")
    sheet.arc(view(0, 0), 95, pi - inner, pi - inner - full, "travel w2", head=True)
    sheet.text((view.polar(95e-3 / 7.2, pi - inner - full / 2)[0] - 4, view(0, 0)[1] - 106), "α", "travel bold")
    middle = view.polar(BIKE.arm.length * 0.62, pi - inner)
    sheet.text((middle[0] - 12, middle[1]), "r_{arm}", "ink", "end")
    sheet.text((40, 40), "at rest: line; at full lever: dashed", "grey small")
    _moment_arms(sheet, full)
    return sheet


def _moment_arms(sheet: Sheet, full: float) -> None:
    chart = Chart(sheet, (540, 70), (290, 250), (0, 40), (22, 33))
    chart.axes("arm angle α in degrees", "moment arm in mm", (0, 10, 20, 30, 40), (22, 24, 26, 28, 30, 32))
    angles = np.linspace(0, np.radians(40), 60)
    looks = ((55, "travel w3", 5, (10, 18)), (75, "force w3", 8, (0, -14)), (95, "spring w3", 30, (8, 0)))
    for start, look, at, shift in looks:
        arm_ = replace(BIKE.arm, cable_angle=np.radians(start))
        chart.curve(np.degrees(angles), arm_.moment_arm(angles) * 1e3, look)
        chart.words(
            at, float(arm_.moment_arm(np.radians(at))) * 1e3, f"χ_{{0}} = {start}°", look.split()[0], shift=shift
        )
    chart.upright(np.degrees(full))
    chart.words(np.degrees(full), 22, "full lever", "grey small", shift=(6, -8))
