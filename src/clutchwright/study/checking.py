"""What to check and to measure again after a step of a plan, by what the step has touched."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields

from clutchwright.assess.verdict import RULES
from clutchwright.bike import Bike

_RULES = {rule.key: rule for rule in RULES}

# What a change of a stage's field makes worth measuring again, by key of the bike file.
REMEASURED: dict[tuple[str, str], tuple[str, ...]] = {
    ("lever", "finger_radius"): ("lever.finger_radius_mm", "lever.rest_span_mm"),
    ("lever", "rest_span"): ("lever.rest_span_mm",),
    ("lever", "cable_end"): ("lever.cable_radius_mm", "lever.cable_angle_deg"),
    ("lever", "level_angle"): ("lever.level_angle_deg",),
    ("line", "friction"): ("cable.friction", "cable.drag_N"),
    ("line", "bend"): ("cable.bend_deg",),
    ("line", "compliance"): ("cable.compliance_mm_per_N",),
    ("line", "ratio"): ("cable.drag_N",),
    ("arm", "length"): ("arm.length_mm", "arm.cable_angle_deg", "clearance.arm_room_mm"),
    ("springs", "springs"): ("springs.installed_length_mm", "clearance.bolt_to_cover_mm"),
    ("springs", "wire"): ("springs.solid_length_mm",),
    ("pack", "faces"): ("pack.faces", "pack.compression_mm"),
    ("pack", "friction_static"): ("pack.friction_static",),
}
STAGES = ("lever", "line", "arm", "lift", "springs", "pack")


def changed_fields(before: Bike, after: Bike) -> frozenset[tuple[str, str]]:
    """Stage and field of everything a change touched; all fields of a stage that was replaced by another kind."""
    found = set()
    for stage in STAGES:
        old, new = getattr(before, stage), getattr(after, stage)
        for field in fields(new):
            same_kind = type(old) is type(new)
            if not same_kind or getattr(old, field.name) != getattr(new, field.name):
                found.add((stage, field.name))
    return frozenset(found)


def remeasured(changed: frozenset[tuple[str, str]], known: Mapping[str, object]) -> Iterator[str]:
    """Keys to measure again, in the order of the table; free play always, since every reading stands on it."""
    yield "lever.free_play_mm"
    for place, keys in REMEASURED.items():
        if place in changed:
            yield from (key for key in keys if key in known)


def checks_after(
    bike: Bike, changed: frozenset[tuple[str, str]], before: Mapping[str, float], after: Mapping[str, float]
) -> Iterator[str]:
    """What to check after a step, from the least trouble to the most: lever, free play, release, springs, slip."""
    stages = {stage for stage, _ in changed}
    if stages & {"lever", "line", "arm", "lift", "springs"}:
        yield "Engine off: does the lever come back by itself from everywhere, with the bar at both locks?"
    yield f"Set the free play to {float(bike.lever.free_play) * 1e3:.1f} mm at the finger, then read the pull."
    if stages - {"lever"} or abs(after["release_margin_finger_mm"] - before["release_margin_finger_mm"]) > 0.05:
        yield _release(after)
    if "springs" in stages:
        yield "Does the plate part evenly? Feel the gap on opposite sides with the lever in; each spring sits straight."
    if after["slip_margin_hot"] < before["slip_margin_hot"] * (1.0 - 1e-9):
        yield _slip(after)


def _release(after: Mapping[str, float]) -> str:
    margin = after["release_margin_finger_mm"]
    return (
        "Engine off, in gear, lever in: does the machine roll freely, and from which place of the lever on? Expected "
        f"{margin:.0f} mm before its stop; less than {_RULES['release_margin_finger_mm'].comfort:g} mm: undo the step."
    )


def _slip(after: Mapping[str, float]) -> str:
    return (
        "Warm, in a high gear, full throttle on a closed or legal, empty, dry road: does the engine run away from the "
        f"road speed? Worn and hot the clutch should carry {after['slip_margin_hot']:.2f} times the torque asked; if "
        "it slips, undo the step."
    )
