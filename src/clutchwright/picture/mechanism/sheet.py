"""The sheet: which view stands where, wide for a desk and narrow for a phone, with its labels."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from clutchwright.numbers import decimal_text
from clutchwright.physics.cable import Cable
from clutchwright.picture.look import spread
from clutchwright.picture.mechanism import pack_inset
from clutchwright.picture.mechanism.clutch import ClutchDrawing, clutch_drawing
from clutchwright.picture.mechanism.hand_lever import LeverLayout, layouts, lever_parts
from clutchwright.picture.mechanism.lifting import (
    LiftDrawing,
    arm_end,
    arm_parts,
    lift_drawing,
    shaft_parts,
    sheath_end,
)
from clutchwright.picture.mechanism.parts import Label, Live, Move, Part, box, line
from clutchwright.study.mechanism import Mechanism

VIEWS = ("lever", "engine", "pack")
_MM = "\N{NO-BREAK SPACE}mm"
_GAP = 10.0  # free space round and between views [px]
_SCALE_BAR = 20.0  # [mm]


@dataclass(frozen=True, slots=True)
class Size:
    """What differs between the desk and the phone [px, px/mm].

    Parameters
    ----------
    width : float
        Of the whole sheet [px].
    text : float
        Height of the type [px].
    label_room : float
        To the left of the lever's arc [px].
    lever, engine : float
        Greatest scale of the two views [px/mm].
    """

    width: float
    text: float
    label_room: float
    lever: float
    engine: float


WIDE = Size(1080.0, 13.0, 122.0, 2.75, 2.75)
NARROW = Size(360.0, 12.0, 88.0, 1.4, 2.1)
SIZES = {"wide": WIDE, "narrow": NARROW}


@dataclass(frozen=True, slots=True)
class View:
    """One view on the sheet: its origin and scale, what is drawn in this size alone, and its labels."""

    x: float
    y: float
    scale: float
    extras: list[Part]
    labels: list[Label]

    @property
    def placed(self) -> str:
        """Its transform on the sheet."""
        return f"translate({self.x:.1f} {self.y:.1f}) scale({self.scale:.4f})"


@dataclass(frozen=True)
class Drawing:
    """All parts of a mechanism, and of the one before; the same at every size."""

    now: Mechanism
    before: Mechanism | None

    @cached_property
    def levers(self) -> tuple[LeverLayout, LeverLayout | None]:
        """Layouts of the lever's view."""
        return layouts(self.now, self.before)

    @cached_property
    def glass(self) -> pack_inset.Glass:
        """Layout of the inset."""
        return pack_inset.glass(self.now, self.before, WIDE.engine)

    @cached_property
    def lift(self) -> LiftDrawing:
        """The lift mechanism as it is now."""
        return lift_drawing(self.now)

    @cached_property
    def clutch(self) -> ClutchDrawing:
        """The clutch as it is now."""
        return clutch_drawing(self.now, self.lift.end_x, self.lift.rod_y)

    @cached_property
    def parts(self) -> dict[str, list[Part]]:
        """Parts of the mechanism as it is now by view, the lowest first."""
        axis = line((self.lift.end_x - 6.0, self.lift.rod_y), (self.clutch.end_x + 5.0, self.lift.rod_y))
        lift = [*self.lift.parts, *shaft_parts(), Part("axis", axis)]
        return {
            "lever": lever_parts(self.levers[0]),
            "engine": [*self.clutch.parts, *arm_parts(self.now), *lift],
            "pack": pack_inset.inset_parts(self.now, self.glass),
        }

    @cached_property
    def ghosts(self) -> dict[str, list[Part]]:
        """Outlines of the bike before by view; none that goes with the fingers just as it does now."""
        lever, before = self.levers[1], self.before
        if lever is None or before is None:
            return {view: [] for view in VIEWS}
        old = {
            "lever": lever_parts(lever),
            "engine": arm_parts(before),
            "pack": pack_inset.inset_parts(before, self.glass),
        }
        return {
            view: [part for part in found if part.ghost and not (part in self.parts[view] and _fingers_alone(part))]
            for view, found in old.items()
        }


def _fingers_alone(part: Part) -> bool:
    return all(move[1] == "travel" for move in part.moves)


def sheet(drawing: Drawing, size: Size) -> tuple[dict[str, View], float]:
    """Views of a size.

    Parameters
    ----------
    drawing : Drawing
        What to lay out.
    size : Size
        ``WIDE`` or ``NARROW``.

    Returns
    -------
    tuple
        Views by name, and the height of the sheet [px].
    """
    return _wide(drawing, size) if size is WIDE else _narrow(drawing, size)


def _left(lever: LeverLayout) -> float:
    return lever.arc_radius - lever.pivot[0]


def _above(lever: LeverLayout) -> float:
    """Highest point of the lever's view over the pivot [mm]: the blade's end at rest, or the pull's arrow."""
    return -min(lever.on_blade(lever.arc_radius)[1], lever.cable_end[1], lever.words[1]) + 2.0


def _engine_left(mechanism: Mechanism) -> float:
    return 17.0 - sheath_end(mechanism)[0]


def _wide(drawing: Drawing, size: Size) -> tuple[dict[str, View], float]:
    """Lever to the left, engine to the right at the height of the cable, the pack under a glass below it."""
    lever, now, clutch = drawing.levers[0], drawing.now, drawing.clutch
    right = lever.adjuster[0] + 24.0
    across = _left(lever) + right + _engine_left(now) + clutch.end_x
    scale = min(size.lever, (size.width - size.label_room - 2.0 * _GAP) / across)
    cable = (
        max(_above(lever) + lever.cable_end[1], arm_end(now)[1] - clutch.top) * scale
        + len(_forces(drawing)) * (size.text + 4.0)
        + 4.0
    )
    x = size.label_room + _GAP + _left(lever) * scale
    y = cable - lever.cable_end[1] * scale
    engine_x = size.width - _GAP - clutch.end_x * scale
    engine_y = cable - arm_end(now)[1] * scale
    inset = scale / WIDE.engine
    pack_y = engine_y + _below(drawing) * scale + 2.0 * _GAP + size.text
    bottom = max(y + (lever.grip_y + 32.0) * scale + 3.0 * _GAP, pack_y + pack_inset.HEIGHT * inset + _GAP)
    return {
        "lever": View(x, y, scale, *_lever_notes(drawing, size, scale)),
        "engine": View(engine_x, engine_y, scale, *_engine_notes(drawing, size, scale)),
        "pack": View(size.width - _GAP - pack_inset.WIDTH * inset, pack_y, inset, *_pack_notes(drawing, inset)),
    }, bottom


def _narrow(drawing: Drawing, size: Size) -> tuple[dict[str, View], float]:
    """One below the other."""
    lever, now, clutch = drawing.levers[0], drawing.now, drawing.clutch
    free = size.width - 2.0 * _GAP
    lever_scale = min(size.lever, (free - size.label_room) / (_left(lever) + lever.adjuster[0] + 22.0))
    scale = min(size.engine, free / (_engine_left(now) + clutch.end_x))
    y = len(_forces(drawing)) * (size.text + 4.0) + 4.0 + _above(lever) * lever_scale
    end = y + (lever.grip_y + 32.0) * lever_scale + 3.0 * _GAP
    engine_y = end + 2.0 * _GAP + size.text - min(clutch.top, arm_end(now)[1] - 14.0) * scale
    pack_y = engine_y + _below(drawing) * scale + 3.0 * _GAP + size.text
    inset = scale / WIDE.engine
    return {
        "lever": View(
            size.label_room + _GAP + _left(lever) * lever_scale,
            y,
            lever_scale,
            *_lever_notes(drawing, size, lever_scale),
        ),
        "engine": View(_GAP + _engine_left(now) * scale, engine_y, scale, *_engine_notes(drawing, size, scale)),
        "pack": View((size.width - pack_inset.WIDTH * inset) / 2.0, pack_y, inset, *_pack_notes(drawing, inset)),
    }, pack_y + pack_inset.HEIGHT * inset + 2.0 * _GAP


def _below(drawing: Drawing) -> float:
    """Lowest point of the engine's view under the shaft [mm]."""
    lift = drawing.lift
    assist = drawing.now.bike.arm.assist
    return max(lift.rod_y + 12.0, 0.0 if assist is None else float(assist.hook_radius) * 1e3 + 5.0)


def _lever_notes(drawing: Drawing, size: Size, scale: float) -> tuple[list[Part], list[Label]]:
    lever, pixel = drawing.levers[0], 1.0 / scale
    leaders, labels = _place_labels(drawing, size, pixel)
    foot = lever.words
    carry: tuple[Move, ...] = (("carry", "travel", lever.degrees_per_mm, *lever.pivot, *foot),)
    for place, (look, text, live) in enumerate(_forces(drawing)):
        y = foot[1] - place * (size.text + 4.0) * pixel
        labels.append(Label(look, foot[0], y, "middle", text, live, carry))
    end = lever.cable_end
    labels.append(
        Label(
            "text",
            lever.adjuster[0] + 22.0,
            end[1] - 11.0,
            "end",
            "cable" if isinstance(drawing.now.bike.line, Cable) else "piston",
            ("now", "cable", 1, "mm"),
        )
    )
    bottom = lever.grip_y + 32.0 + 18.0 * pixel
    start = -lever.blade
    bar = line(
        (start, bottom - 4.0 * pixel),
        (start, bottom),
        (start + _SCALE_BAR, bottom),
        (start + _SCALE_BAR, bottom - 4.0 * pixel),
    )
    labels.append(
        Label(
            "quiet-text",
            start + _SCALE_BAR + 8.0 * pixel,
            bottom + 3.0 * pixel,
            "start",
            f"{_SCALE_BAR:.0f}{_MM}, seen from above",
        )
    )
    return [*leaders, Part("scale", bar)], labels


def _forces(drawing: Drawing) -> list[tuple[str, str, Live]]:
    """What stands over the finger's arrow, the lowest line first."""
    rows: list[tuple[str, str, Live]] = [
        ("return-text", "letting out", ("now", "return", 0, "N")),
        ("pull-text", "pull", ("now", "pull", 0, "N")),
    ]
    if drawing.before is not None:
        rows.append(("before-text", "before", ("before", "pull", 0, "N")))
    return rows


def _place_labels(drawing: Drawing, size: Size, pixel: float) -> tuple[list[Part], list[Label]]:
    """Names of the places along the lever's arc, with a line to each."""
    lever, places = drawing.levers[0], drawing.now.places
    marks = [(places.free_mm, f"free play {decimal_text(places.free_mm, 1)}")]
    if bite := places.bite_mm:
        text = f"bite {decimal_text(bite[0], 1)}\N{EN DASH}{decimal_text(bite[1], 1)}"
        marks.append(((bite[0] + min(bite[1], places.stop_mm)) / 2.0, text))
    if not math.isnan(places.release_mm):
        name = "clean release" if size is WIDE else "release"
        marks.append((places.release_mm, f"{name} {decimal_text(places.release_mm, 1)}"))
    marks.append((places.stop_mm, f"stop {decimal_text(places.stop_mm, 1)}{_MM}"))
    points = [lever.on_blade(lever.arc_radius + 8.0 * pixel, mm) for mm, _ in marks]
    heights = spread([point[1] / pixel for point in points], gap=size.text + 4.0)
    leaders, labels = [], []
    for (_, text), point, height in zip(marks, points, heights, strict=True):
        y = height * pixel
        beside = max((lever.arc_radius + 8.0 * pixel) ** 2 - y**2, 0.0) ** 0.5
        x = min(lever.pivot[0] - beside, point[0]) - 10.0 * pixel
        leaders.append(Part("leader", line(point, (x, y))))
        look = "strong-text" if "release" in text else "text"
        labels.append(Label(look, x - 4.0 * pixel, y + 0.36 * size.text * pixel, "end", text))
    return leaders, labels


def _engine_notes(drawing: Drawing, size: Size, scale: float) -> tuple[list[Part], list[Label]]:
    now, pixel = drawing.now, 1.0 / scale
    left, top, right, bottom = drawing.clutch.window
    end, mouth = arm_end(now), sheath_end(now)
    x = mouth[0] - 12.0
    lift = drawing.lift
    extras = [
        Part("window", box(left, top, right, bottom)),
        Part(
            "break",
            line((x - 1.0, mouth[1] + 4.0), (x + 1.0, mouth[1] - 4.0))
            + line((x - 3.5, mouth[1] + 4.0), (x - 1.5, mouth[1] - 4.0)),
        ),
    ]
    labels = [
        Label(
            "text",
            min(lift.end_x + 4.0, end[0] + 16.0),
            end[1] - 5.0 - 8.0 * pixel,
            "end",
            "arm",
            ("now", "arm", 1, "°"),
        ),
        Label(
            "quiet-text", drawing.clutch.end_x, lift.rod_y + (size.text + 6.0) * pixel, "end", "clutch, cut to its axis"
        ),
    ]
    return extras, labels


def _pack_notes(drawing: Drawing, scale: float) -> tuple[list[Part], list[Label]]:
    glass, pixel = drawing.glass, 1.0 / scale
    labels = pack_inset.inset_labels(drawing.now, glass, pixel)
    title = f"dashed window, lift and gaps {glass.times}\N{NO-BREAK SPACE}\N{MULTIPLICATION SIGN} as large"
    anchor = "start" if glass.outward else "end"
    labels.append(Label("quiet-text", pack_inset.fixed_end(drawing.now, glass), -8.0 * pixel, anchor, title))
    return [], labels
