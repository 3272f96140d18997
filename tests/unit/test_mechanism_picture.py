"""The drawing of the mechanism: its parts keep their geometry at each pose, its SVG is plain, its data small."""

import gzip
import json
import math
import re
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings

from clutchwright.bikefile import assemble
from clutchwright.chain import at_lift
from clutchwright.changes import parse
from clutchwright.physics import PULL
from clutchwright.physics.assist import AssistSpring
from clutchwright.physics.cable import Hydraulic
from clutchwright.physics.lift import LiftTable, Ramp, Screw
from clutchwright.physics.springs import CoilSet
from clutchwright.picture.look import DARK, LIGHT
from clutchwright.picture.mechanism import mechanism_caption, mechanism_data, mechanism_svg
from clutchwright.picture.mechanism.looks import LOOKS
from clutchwright.picture.mechanism.parts import Part, circle, link, polygon, posed, turned
from clutchwright.picture.mechanism.pose import pose
from clutchwright.picture.mechanism.sheet import NARROW, WIDE, Drawing, sheet
from clutchwright.study.mechanism import mechanism, mechanisms
from clutchwright.usecases import DEMOS, read_demo
from tests.strategies import LAW, bikes

FEWER = hypothesis_settings(LAW, max_examples=60)
SVG = "{http://www.w3.org/2000/svg}"
BASE = assemble(read_demo())
KINDS = {
    **{demo: assemble(read_demo(demo)) for demo in DEMOS},
    "screw": replace(BASE, lift=Screw(0.024, 0.016, 0.05, 0.26)),
    "table": replace(BASE, lift=LiftTable((0.0, 0.2, 0.4, 1.5), (0.0, 0.0009, 0.0018, 0.006), 0.05)),
    "assist": replace(BASE, arm=replace(BASE.arm, assist=AssistSpring(2000.0, 40.0, 0.015, 0.03, -0.3))),
    "hydraulic": replace(BASE, line=Hydraulic(1.1, 0.02, 1e-6)),
    "no release": replace(BASE, lever=replace(BASE.lever, stop_span=0.055)),
    "four faces": replace(BASE, pack=replace(BASE.pack, faces=4)),
}
CHANGES = (
    "arm-length:length_mm=38",
    "perch-shift:shift_mm=12",
    "cable-radius:radius_mm=24",
    "reach-screw:rest_span_mm=70",
)
each_kind = pytest.mark.parametrize("bike", KINDS.values(), ids=KINDS)


def found(parts, look):
    return next(part for part in parts if part.look == look)


def rope_ends(part, values):
    numbers = [float(n) for n in re.findall(r"-?[\d.]+", posed(part, values)[0])]
    return tuple(numbers[:2]), tuple(numbers[2:])


@each_kind
def test_cable_ends_turn_at_their_radii_and_as_far_as_the_cable_is_drawn(bike):
    """Lever end: the bike's cable radius from the pivot. Arm end: chord 2 L sin(alpha/2) from where it was at rest."""
    now = mechanism(bike)
    parts = Drawing(now, None).parts
    arm = found(parts["engine"], "rope")
    length = bike.arm.length * 1e3
    rest, mouth = rope_ends(arm, pose(now, 0.0))
    assert mouth[1] == pytest.approx(rest[1], abs=0.06)  # level, to the tenth that outlines are written to
    for travel in np.linspace(0.0, now.places.stop_mm, 7):
        values = pose(now, travel)
        end, _ = rope_ends(arm, values)
        assert math.hypot(*end) == pytest.approx(length, abs=0.06)
        assert math.dist(rest, end) == pytest.approx(2 * length * math.sin(math.radians(values["arm"]) / 2), abs=0.12)
        assert rest[0] - end[0] == pytest.approx(bike.arm.movement(math.radians(values["arm"])) * 1e3, abs=0.12)
        if moves := found(parts["lever"], "rope").moves:
            lever_end, _ = rope_ends(found(parts["lever"], "rope"), values)
            assert math.dist(lever_end, moves[0][3:5]) == pytest.approx(bike.lever.cable_end.radius * 1e3, abs=0.06)


def outlines(part, values):
    """Left and right edge of a box part at a pose."""
    left, right = (float(n) for n in re.match(r"M(\S+) \S+?H([-\d.]+)V", part.path).groups())
    path, transform = posed(part, values)
    assert path == part.path
    for name, numbers in reversed(re.findall(r"(\w+)\(([^)]*)\)", transform)):
        first = float(numbers.split()[0])
        left, right = (left * first, right * first) if name == "scale" else (left + first, right + first)
    return left, right


@FEWER
@given(bike=bikes())
def test_plates_under_the_glass_part_as_far_as_the_model_says(bike):
    """No two overlap; between lining and steel lies the gap, drawn as many times larger as the sheet says."""
    now = mechanism(bike)
    drawing = Drawing(now, None)
    plates = [
        part
        for part in drawing.parts["pack"]
        if part.look in ("fixed", "lining", "plate", "pressure") and "H" in part.path
    ]
    for index in (0, 10, 20, 35, -1):
        values = pose(now, float(now.poses.travel_mm[index]))
        edges = sorted(outlines(part, values) for part in plates)
        gaps = [b[0] - a[1] for a, b in pairwise(edges)]
        expected = values["gap"] * drawing.glass.per_mm
        np.testing.assert_allclose(gaps, expected, atol=0.25)  # sides are written to a tenth of a unit
        whole = edges[-1][1] - edges[0][0]
        rest = sorted(outlines(part, pose(now, 0.0)) for part in plates)
        moved = whole - (rest[-1][1] - rest[0][0])
        assert moved == pytest.approx(values["lift"] * drawing.glass.per_mm, abs=0.1)


@each_kind
@pytest.mark.parametrize("size", ["wide", "narrow"])
def test_svg_is_plain_and_speaks(bike, size):
    text = mechanism_svg(mechanism(bike), size=size)
    root = ElementTree.fromstring(text)  # noqa: S314
    assert root.get("role") == "img"
    assert root.find(f"{SVG}title").text
    assert "pull" in root.find(f"{SVG}desc").text
    assert {element.tag.removeprefix(SVG) for element in root.iter()} == {
        "svg",
        "title",
        "desc",
        "defs",
        "g",
        "path",
        "text",
    }
    names = {name for element in root.iter() for name in element.attrib}
    assert "style" not in names
    assert not [name for name in names if name.startswith("on") or name == "href"]
    assert "nan" not in text
    assert "inf" not in text


def test_colours_are_those_of_the_page():
    used = set(re.findall(r"var\(--(\w+), (#\w+)\)", json.dumps(LOOKS)))
    assert used
    assert all(LIGHT[name] == colour and name in DARK for name, colour in used)


def test_still_says_what_the_chain_says_at_the_release():
    bike = read_demo()
    now, before = mechanisms(bike, [parse("arm-length:length_mm=38")])
    texts = [t.text for t in ElementTree.fromstring(mechanism_svg(now, before)).iter(f"{SVG}text")]  # noqa: S314
    needed = now.bike.pack.release_lift(now.bike.engaged_clamp)
    point = at_lift(now.bike, needed, PULL)
    assert f"pull {point.force:.0f}\N{NO-BREAK SPACE}N" in texts
    assert f"lift {needed * 1e3:.2f}\N{NO-BREAK SPACE}mm" in texts
    assert f"each gap {now.bike.pack.face_gap * 1e3:.2f}\N{NO-BREAK SPACE}mm" in texts
    assert f"clean release {point.travel * 1e3:.1f}" in texts


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize("change", CHANGES)
def test_data_is_small_and_plain(demo, change):
    now, before = mechanisms(read_demo(demo), [parse(change)])
    text = json.dumps(mechanism_data(now, before), separators=(",", ":"), allow_nan=False).encode()
    assert len(text) < 16_000
    assert len(gzip.compress(text)) < 6_000


def test_the_hand_stays_where_it_was():
    """Perch 12 mm inboard: the pivot moves by 12 mm, the finger point at the stop does not."""
    now, before = mechanisms(read_demo(), [parse("perch-shift:shift_mm=12")])
    lever, old = Drawing(now, before).levers
    assert lever.pivot[0] - old.pivot[0] == pytest.approx(12.0)
    assert lever.on_blade(lever.finger_radius, now.places.stop_mm) == pytest.approx(
        old.on_blade(old.finger_radius, before.places.stop_mm)
    )


def test_only_what_moves_otherwise_than_before_leaves_a_ghost():
    now, before = mechanisms(read_demo(), [parse("arm-length:length_mm=38")])
    ghosts = Drawing(now, before).ghosts
    assert [part.look for part in ghosts["lever"]] == ["release"]
    assert "arm" in [part.look for part in ghosts["engine"]]
    assert "pressure" in [part.look for part in ghosts["pack"]]
    assert not any(Drawing(now, None).ghosts.values())


def test_magnification_is_the_same_on_desk_and_phone():
    drawing = Drawing(mechanism(BASE), None)
    for size in (WIDE, NARROW):
        views, _ = sheet(drawing, size)
        share = views["pack"].scale * drawing.glass.per_mm / views["engine"].scale
        assert share == pytest.approx(drawing.glass.times)


def test_type_is_large_enough_to_read():
    """At 928 px, where the wide sheet begins to be shown, and at 358 px, a phone of 390 px with its margins."""
    assert WIDE.text * 928 / WIDE.width >= 11.0
    assert NARROW.text * 358 / NARROW.width >= 11.0


def test_caption_says_what_was_made_up():
    named = mechanism_caption(mechanism(KINDS["four-spring-ramp"]))
    assert "the blade's length" in named
    assert "blade" not in mechanism_caption(mechanism(BASE))
    assert "hydraulic line is drawn shortened" in mechanism_caption(mechanism(KINDS["hydraulic"]))


def test_outlines_by_hand():
    assert turned((1.0, 0.0), (0.0, 0.0), 90.0) == pytest.approx((0.0, -1.0))  # up, as seen
    assert polygon([(0.0, 0.0), (0.0, 1.0), (1.0, 1.0)]) == "M1 1L0 1L0 0Z"
    assert circle((0.0, 0.0), 2.0) == "M-2 0A2 2 0 0 1 2 0A2 2 0 0 1 -2 0Z"
    assert link((0.0, 0.0), 1.0, (5.0, 0.0), 1.0) == "M0 -1L5 -1A1 1 0 0 1 5 1L0 1A1 1 0 0 1 0 -1Z"


def test_of_a_bar_with_one_end_inside_the_other_only_the_larger_is_seen():
    assert link((0.0, 0.0), 1.0, (3.0, 0.0), 5.0) == circle((3.0, 0.0), 5.0)
    assert link((0.0, 0.0), 5.0, (0.0, 0.0), 5.0) == circle((0.0, 0.0), 5.0)
    assist = AssistSpring(1000.0, 20.0, 0.003, 0.06, -0.1)  # its hook lies within the arm's boss
    assert mechanism_svg(mechanism(replace(BASE, arm=replace(BASE.arm, assist=assist))))


@pytest.mark.parametrize(
    ("move", "expected"),
    [
        (("turn", "v", 2.0, 3.0, 4.0), ("M0 0", "rotate(-20 3 4)")),
        (("slide", "v", 0.5, -1.0), ("M0 0", "translate(5 -10)")),
        (("wide", "v", 0.5, 4.0, 20.0), ("M0 0", "translate(-1 0) scale(1.25000 1)")),
        (("carry", "v", 9.0, 0.0, 0.0, 2.0, 0.0), ("M0 0", "translate(-2 -2)")),
        (("rope", "v", 9.0, 0.0, 0.0, 2.0, 0.0, 7.0, 8.0), ("M0 -2L7 8", "")),
        (("reach", "v", 0.5, 1.0, 2.0, 0.0, -1.0), ("M1 2L1 -3", "")),
    ],
)
def test_moves_by_hand(move, expected):
    assert posed(Part("pin", "M0 0", (move,)), {"v": 10.0}) == expected


def test_lifts_of_all_kinds_are_drawn():
    kinds = {type(bike.lift) for bike in KINDS.values()}
    assert {Screw, Ramp, LiftTable} < kinds
    assert len(kinds) == 5
    assert {isinstance(bike.springs, CoilSet) for bike in KINDS.values()} == {True, False}
