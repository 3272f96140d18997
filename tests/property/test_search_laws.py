"""What the search builds on, on any bike."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from clutchwright.assess.gaps import measured_gaps
from clutchwright.bike import Bike
from clutchwright.bikefile import assemble
from clutchwright.chain import respond
from clutchwright.changes import CHANGES, Step
from clutchwright.errors import Refusal
from clutchwright.physics.clearance import Clearance
from clutchwright.study.catalogue import Catalogue
from clutchwright.study.components import bound_columns, components, levers_of, margins
from clutchwright.study.kernel import judge_plainly
from clutchwright.study.task import Lines, Task
from clutchwright.study.variants import PARTS, Menu, make
from clutchwright.usecases import DEMOS, read_demo
from tests.strategies import LAW, between, bikes

ROOM = st.builds(
    Clearance,
    bolt_to_cover=st.one_of(st.none(), between(-0.1e-3, 3e-3)),
    plate_moves=st.sampled_from(["outward", "inward"]),
    thread_engagement=st.none(),
    bolt_diameter=st.none(),
    boss=st.none(),
    spring_inner=st.none(),
    arm_room=st.one_of(st.none(), between(0.0, 0.03)),
    arm_past_square=st.just(0.3),
)


def part_of(bike: Bike, part: str) -> tuple[object, ...]:
    return tuple(getattr(bike, stage) for stage in PARTS[part])


@LAW
@given(bikes(), bikes(), st.sampled_from(sorted(CHANGES)))
def test_what_a_change_makes_of_a_part_depends_on_that_part_alone(bike, other, kind):
    step = Step(kind, CHANGES[kind].example)
    for part, stages in PARTS.items():
        mixed = replace(other, **{stage: getattr(bike, stage) for stage in stages})
        try:
            changed, mixed_changed = make(bike, step), make(mixed, step)
        except Refusal:
            continue
        assert part_of(changed, part) == part_of(mixed_changed, part)


@LAW
@given(bikes(), ROOM)
def test_a_bike_releases_and_touches_where_its_whole_stroke_says_so(bike, room):
    bike = replace(bike, clearance=room)
    response = respond(bike)
    full_lift, full_angle = float(response.lift[-1]), float(response.full_angle[0])
    spare = full_lift - float(bike.pack.release_lift(bike.engaged_clamp))
    gaps = [float(np.min(gap)) for gap in measured_gaps(bike, full_lift=full_lift, full_angle=full_angle).values()]
    # within a rounding of the limit either may be right
    assume(abs(spare) > 1e-12 and all(abs(gap) > 1e-12 for gap in gaps))
    left = {name: float(values[0]) for name, values in margins(bike, 1).items()}
    assert (left["does_not_release"] >= 0.0) == (spare >= 0.0)
    assert (left["touches"] >= 0.0) == (min(gaps, default=1.0) >= 0.0)


def bound(bike: Bike) -> float:
    parts = components(Menu(Catalogue("", ()), bike, bike), 1)
    levers, _ = levers_of(parts, [0], 1)
    lines = Lines(parts.ratio, parts.give, *bound_columns(parts, bike, [0], [0]))
    none = np.zeros((1, 1))
    return float(judge_plainly(Task(none, none, lines, levers, np.full((1, 1), np.inf), 1)).bound[0])


@LAW
@given(bikes())
def test_the_bound_is_below_the_peak_pull(bike):
    assert bound(bike) <= np.max(respond(bike).pull)


@pytest.mark.parametrize("name", DEMOS)
def test_the_bound_is_close_to_the_peak_pull_on_the_demo_bikes(name):
    """Close enough that few setups must be worked out in full; nothing but time hangs on it."""
    bike = assemble(read_demo(name))
    assert bound(bike) > 0.99 * np.max(respond(bike).pull)
