"""Drawings of what the clutch has to carry: demand, heat, wear."""

# ruff: noqa: RUF001 - the drawings carry Greek letters and signs

from __future__ import annotations

import numpy as np

from clutchwright.assess.figures import measure
from clutchwright.assess.wear import free_play_lift, unadjusted_clamp, wear_until_slip
from clutchwright.chain import respond
from clutchwright.physics.heat import slip_energy, slip_time, start_energy
from docs.drawing.chart import Chart
from docs.drawing.example import BIKE, DRIVE, PACK, PER_RPM
from docs.drawing.sheet import Sheet


def demand() -> Sheet:
    """What the pack can carry in its good and bad hours, against what the engine asks."""
    sheet = Sheet(860, 330, "Torque the clutch can carry in four cases, against the torque asked")
    figures = measure(BIKE, respond(BIKE))
    asked = float(DRIVE.torque)
    cases = (
        ("new pack", "slip_margin_new"),
        ("worn to the limit", "slip_margin_worn"),
        ("worn and hot", "slip_margin_hot"),
        ("worn, hot and already slipping", "regrip_margin"),
    )
    left, scale = 250.0, 2.9
    for index, (words, key) in enumerate(cases):
        y, margin = 70 + 50 * index, float(figures[key])
        sheet.rect((left, y), (margin * asked * scale, 30), "spring-fill" if margin >= 1 else "force-fill")
        sheet.text((left - 14, y + 20), words, "ink", "end")
        sheet.text((694, y + 20), f"{margin * asked:.0f} N m, margin {margin:.2f}", "ink")
    x = left + asked * scale
    sheet.line((x, 52), (x, 268), "ink w2 dash")
    sheet.text((x, 40), f"asked: {asked:.0f} N m", "ink bold", "middle")
    sheet.text((left, 300), "capacity T = z μ r F; slip margin = capacity / asked; below 1 it slips", "grey")
    return sheet


def heat() -> Sheet:
    """Speeds in a start from rest and after a dropped clutch; the shaded area times the torque is heat."""
    sheet = Sheet(860, 370, "Speeds in a start from rest and after a dropped clutch; the area between them is heat")
    torque = 0.6 * float(DRIVE.torque)
    speed = float(DRIVE.start_speed / DRIVE.primary_ratio)
    duration = float(DRIVE.driven_inertia) * speed / torque
    start = Chart(sheet, (70, 60), (330, 220), (0, 1.0), (0, 2000))
    start.axes("time in s", "clutch speeds in 1/min: a start", (0, 0.5, 1), (0, 500, 1000, 1500, 2000))
    _speeds(start, duration, (speed, speed), float(start_energy(driven_inertia=DRIVE.driven_inertia, speed=speed)))
    start.words(0.5, speed / PER_RPM, "engine, held", "force", anchor="middle", shift=(0, -10))
    start.words(0.62, 400, "machine", "travel")
    driver, driven = float(DRIVE.driver_inertia), float(DRIVE.driven_inertia)
    step = float(DRIVE.drop_speed / DRIVE.primary_ratio)
    common = {"driver_inertia": driver, "driven_inertia": driven, "speed_step": step}
    capacity = float(PACK.capacity(BIKE.engaged_clamp, PACK.friction_sliding))
    together = step * driver / (driver + driven)
    drop = Chart(sheet, (500, 60), (330, 220), (0, 0.2), (0, 2000))
    drop.axes("time in s", "the same after a dropped clutch, throttle shut", (0, 0.1, 0.2), (0, 500, 1000, 1500, 2000))
    _speeds(drop, float(slip_time(torque=capacity, **common)), (step, together), float(slip_energy(**common)))
    drop.words(0.03, 1560, "engine", "force", shift=(12, 0))
    drop.words(0.06, 60, "machine", "travel")
    sheet.text((70, 350), "Shaded area × torque = heat. The machine gains as much as a start turns into heat.", "grey")
    return sheet


def _speeds(chart: Chart, duration: float, engine: tuple[float, float], energy: float) -> None:
    times, end = np.array([0.0, duration]), chart.x_range[1]
    driver, driven = np.array(engine) / PER_RPM, np.array([0.0, engine[1]]) / PER_RPM
    chart.area(times, driver, "force-shade", down_to=driven)
    chart.curve((*times, end), (*driver, driver[1]), "force w3")
    chart.curve((*times, end), (*driven, driven[1]), "travel w3")
    chart.upright(duration, float(driver[1]))
    level = 0.75 if engine[0] == engine[1] else 0.32
    chart.words(0.0, level * float(driver[0]), f"heat {energy:.0f} J", "ink bold", shift=(7, 0))


def wear() -> Sheet:
    """Slip margin against wear, for one who adjusts the free play and one who never does."""
    sheet = Sheet(860, 370, "Slip margin against pack wear, with the free play adjusted and never adjusted")
    limit = float(PACK.wear_limit)
    worn = np.linspace(0, limit, 181)
    chart = Chart(sheet, (80, 56), (740, 250), (0, 0.9), (0, 1.8))
    chart.axes(
        "pack thickness lost in mm; the wear limit is 0.9 mm",
        "slip margin: torque carried / asked",
        (0, 0.3, 0.6, 0.9),
        (0, 0.5, 1, 1.5),
    )

    def margin(clamp: object) -> np.ndarray:
        return np.asarray(PACK.capacity(np.asarray(clamp), PACK.friction_static) / DRIVE.torque)

    adjusted, neglected = margin(BIKE.springs.load_engaged(worn)), margin(unadjusted_clamp(BIKE, worn))
    lasts, slips = float(free_play_lift(BIKE)), float(wear_until_slip(BIKE)[0])
    chart.level(1.0, "ink w1 dash")
    chart.words(0.89, 1.0, "below this line it slips", "ink", anchor="end", shift=(0, 18))
    chart.curve(worn * 1e3, adjusted, "spring w3")
    chart.words(0.62, 1.56, "free play adjusted as it wears", "spring bold", anchor="middle")
    chart.curve(worn * 1e3, neglected, "force w3")
    chart.words(0.4, 0.42, "never adjusted", "force bold")
    chart.upright(lasts * 1e3, float(margin(unadjusted_clamp(BIKE, lasts))), "grey w1 dash")
    chart.words(lasts * 1e3, 0.1, f"free play gone: {lasts * 1e3:.2f} mm", "grey small", shift=(6, 0))
    chart.dot(slips * 1e3, 1.0, "force-fill")
    chart.words(slips * 1e3, 1.0, f"slips from {slips * 1e3:.2f} mm on", "force", shift=(12, -10))
    return sheet
