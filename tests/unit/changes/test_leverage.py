"""Leverage only trades: whatever it does to the pull, the work to lift the plate stays the same."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from clutchwright import chain
from clutchwright.changes import Step, apply
from clutchwright.physics import PULL
from clutchwright.physics.cable import Cable
from tests.strategies import LAW, between, bikes, coil_sets, frictionless, rigid, stopped_at

SIMPLE = (
    between(1.0, 30.0).map(lambda value: Step("perch-shift", {"shift_mm": value})),
    between(15.0, 30.0).map(lambda value: Step("cable-radius", {"radius_mm": value})),
    between(1.0, 1.6).map(lambda value: Step("inline-unit", {"ratio": value, "drag_N": 0.0})),
    between(1.0, 1.6).map(
        lambda value: Step("hydraulic", {"area_ratio": value, "seal_loss": 0.0, "expansion_mm_per_N": 0.0})
    ),
    st.just(Step("lever-turn")),
)


def leverage(bike):
    arm, play = bike.arm.length * 1e3, bike.lever.free_play * 1e3
    longer = between(arm, min(2.0 * arm, 100.0)).map(lambda value: Step("arm-length", {"length_mm": value}))
    less = (
        between(0.5, play).map(lambda value: Step("free-play", {"free_play_mm": value})) if play > 0.5 else st.nothing()
    )
    return st.one_of(*SIMPLE, longer, less)


BIKES_AND_LEVERAGE = bikes(smooth=True, springs=coil_sets()).flatmap(
    lambda bike: st.tuples(st.just(bike), leverage(bike))
)


def work_to(bike, lift):
    """Work at the finger from rest to a lift [J]."""
    stopped = stopped_at(bike, float(chain.at_lift(bike, lift, PULL).travel))
    response = chain.respond(stopped)
    return float(chain.path_work(response.pull, response.travel))


def stored(bike, lift):
    """Energy put into the coil springs less what the pack gave back [J]: k x²/2 of each."""
    squeezed = [(s.rate, s.free_length - s.installed_length - bike.pack.wear) for s in bike.springs.springs]
    clamp = sum(rate * travel for rate, travel in squeezed)
    squash = clamp / bike.pack.stiffness
    in_springs = sum(0.5 * rate * ((travel + lift) ** 2 - travel**2) for rate, travel in squeezed)
    return in_springs - 0.5 * bike.pack.stiffness * (squash**2 - max(squash - lift, 0.0) ** 2)


@LAW
@given(BIKES_AND_LEVERAGE)
def test_without_friction_and_stretch_leverage_leaves_the_work_to_a_lift(case):
    bike, step = case
    assume(isinstance(bike.line, Cable) or step.kind not in ("inline-unit", "hydraulic"))
    before = rigid(frictionless(bike))
    after = apply(before, [step])
    lift = 0.8 * min(float(chain.respond(either).lift[-1]) for either in (before, after))
    assume(lift > 0.05e-3)
    assert work_to(before, lift) == pytest.approx(stored(before, lift), rel=1e-7)
    assert work_to(after, lift) == pytest.approx(stored(before, lift), rel=1e-7)


@LAW
@given(bikes(smooth=True), between(1.0, 30.0))
def test_a_perch_shift_leaves_the_lift_and_the_wear_the_free_play_lasts(bike, shift_mm):
    after = apply(bike, [Step("perch-shift", {"shift_mm": shift_mm})])
    assert chain.full_angle(after) == pytest.approx(chain.full_angle(bike), rel=1e-9)
    assert after.lever.free_draw == pytest.approx(bike.lever.free_draw, rel=1e-9, abs=1e-15)
    ratio = bike.lever.finger_radius / after.lever.finger_radius
    pulls = [chain.respond(either).pull for either in (bike, after)]
    assert np.allclose(pulls[1], pulls[0] * ratio, rtol=1e-9, atol=1e-9)
