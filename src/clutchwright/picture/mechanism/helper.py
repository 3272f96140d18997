"""An assist spring between a hook on a part that turns and a fixed post, wherever one is fitted."""

from __future__ import annotations

import math

from clutchwright.physics.assist import AssistSpring
from clutchwright.picture.mechanism.parts import Move, Part, Point, circle, line, turned


def hook(spring: AssistSpring, centre: Point, degrees: float) -> Point:
    """Hook of a spring, at an angle round the centre that its part turns on, at rest."""
    return turned((centre[0] + float(spring.hook_radius) * 1e3, centre[1]), centre, degrees)


def spring_parts(spring: AssistSpring, centre: Point, degrees: float, turn: Move) -> list[Part]:
    """Spring and post, hook at an angle round the centre at rest; ``turn`` is what the part does."""
    post_degrees = degrees + 180.0 - math.degrees(float(spring.start_angle))
    post = turned((centre[0] + float(spring.post_radius) * 1e3, centre[1]), centre, post_degrees)
    end = hook(spring, centre, degrees)
    return [Part("assist", line(end, post), (("rope", *turn[1:], *end, *post),)), Part("point", circle(post, 2.0))]
