"""Drawing of an assist spring: where it stands before and after dead centre, and what it gives."""

# ruff: noqa: RUF001 - the drawings carry Greek letters

from __future__ import annotations

from math import pi, radians

import numpy as np

from clutchwright.physics.assist import AssistSpring
from docs.drawing.chart import Chart
from docs.drawing.sheet import Sheet, View

# an invented spring: no common one, but one that shows both sides of dead centre
SPRING = AssistSpring(rate=1e3, pretension=60.0, hook_radius=18e-3, post_radius=40e-3, start_angle=-radians(20))
TURNED = radians(55)


def assist() -> Sheet:
    """An assist spring at rest and with its part turned, to scale, and its moment along the way."""
    sheet = Sheet(860, 400, "An assist spring before and after dead centre, drawn to scale, and its moment")
    view = View((170.0, 190.0), 5600.0)
    post = view.polar(SPRING.post_radius, 0.0)
    sheet.line(view.polar(0.0265, pi), (post[0] + 60, post[1]), "grey w1 dash")
    sheet.text((post[0] + 60, post[1] + 22), "dead centre", "grey small", "end")
    for turned, look, spring in ((TURNED, "grey w2 dash", "spring w2 dash"), (0.0, "ink w3", "spring w3")):
        hook = view.polar(SPRING.hook_radius, pi - SPRING.start_angle - turned)
        sheet.line(view(0, 0), hook, look)
        sheet.line(hook, post, spring)
        sheet.circle(hook, 4.5, "ink-fill")
    sheet.circle(view(0, 0), 10, "part-fill ink w2")
    sheet.circle(post, 7, "part-fill ink w2")
    sheet.text((post[0], post[1] - 18), "fixed post", "ink", "middle")
    sheet.text((view(0, 0)[0] + 16, view(0, 0)[1] + 62), "centre of shaft or pivot", "ink")
    sheet.line((view(0, 0)[0] + 14, view(0, 0)[1] + 48), (view(0, 0)[0] + 3, view(0, 0)[1] + 14), "grey w1")
    _hooks(sheet, view)
    sheet.text((40, 40), "at rest: lines; turned, past dead centre: dashed", "grey small")
    sheet.text((40, 350), "before dead centre it holds back, past it it helps", "spring")
    _moments(sheet)
    return sheet


def _hooks(sheet: Sheet, view: View) -> None:
    start = pi - SPRING.start_angle
    sheet.arc(view(0, 0), 125, start, start - TURNED, "travel w2", head=True)
    x, y = view.polar(0.0225, start - 0.75 * TURNED)
    sheet.text((x - 10, y + 2), "α", "travel bold", "end")
    x, y = view.polar(SPRING.hook_radius, start)
    sheet.text((x - 2, y + 24), "hook", "ink", "middle")


def _moments(sheet: Sheet) -> None:
    chart = Chart(sheet, (540, 70), (290, 250), (0, 60), (-0.4, 0.8))
    chart.axes("rotation α in degrees", "moment in N m", (0, 20, 40, 60), (-0.4, 0.0, 0.4, 0.8))
    angles = np.linspace(0, np.radians(60), 80)
    moment = np.asarray(SPRING.moment(angles))
    chart.area(np.degrees(angles), moment, "spring-shade")
    chart.curve(np.degrees(angles), moment, "spring w3")
    chart.upright(20)
    chart.words(20, -0.4, "dead centre", "grey small", shift=(6, -8))
    chart.words(1, 0.0, "holds back", "spring", shift=(0, -10))
    chart.words(55, 0.0, "helps", "spring bold", anchor="end", shift=(0, -14))
