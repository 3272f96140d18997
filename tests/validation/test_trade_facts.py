"""What the trade says of these changes, held against the whole chain. Every figure here: common practice, no source.

The bare ratios hold for a chain of constant ratios without drag and stretch. Where the whole chain differs, the test
says why and by how much it may.
"""

from math import radians

import pytest

from clutchwright import chain, changes
from clutchwright.bike import Bike
from clutchwright.physics.cable import Cable
from tests.unit.changes.bikes import full_lift, pull_at, six_springs, usual_bike

POINT = 0.01


def changed(bike: Bike, text: str) -> Bike:
    return changes.apply(bike, [changes.parse(text)])


def less(before: float, after: float) -> float:
    return 1.0 - after / before


def at_release(bike: Bike, other: Bike) -> tuple[float, float]:
    """Pull of both at the lift at which the first releases."""
    lift = bike.pack.release_lift(bike.engaged_clamp)
    return pull_at(bike, lift), pull_at(other, lift)


def capacity(bike: Bike) -> float:
    return float(bike.pack.capacity(bike.engaged_clamp, bike.pack.friction_static))


def test_two_of_six_equal_springs_out_take_a_third_of_pull_and_capacity():
    """Common practice, no source. The cable's drag of 1 N stays, so the pull falls by a little less than a third."""
    bike = usual_bike()
    four = changed(bike, "springs-fewer:left_out=1+4")
    assert less(capacity(bike), capacity(four)) == pytest.approx(1 / 3, rel=1e-12)
    assert less(*at_release(bike, four)) == pytest.approx(1 / 3, abs=POINT / 2)


def test_an_arm_from_30_to_38_mm_takes_21_percent_of_pull_and_lift():
    """Common practice, no source; the bare ratio is 8/38 = 21.05 %.

    At one lift the arm stands at the same angle, but the lever further in, where its cable end has turned past square
    and the pull gains a little more. At full lever the cable gives less under the smaller tension and leaves a little
    more lift.
    """
    bike = usual_bike()
    longer = changed(bike, "arm-length:length_mm=38")
    assert less(*at_release(bike, longer)) == pytest.approx(8 / 38, abs=POINT)
    assert less(full_lift(bike), full_lift(longer)) == pytest.approx(8 / 38, abs=POINT)


def test_the_arm_takes_more_of_the_peak_than_of_the_pull_because_the_springs_are_lifted_less():
    bike = usual_bike()
    longer = changed(bike, "arm-length:length_mm=38")
    peaks = [float(chain.respond(either).pull.max()) for either in (bike, longer)]
    assert less(*peaks) > 8 / 38 + 3 * POINT


@pytest.mark.parametrize("preload_mm", [6.0, 7.0, 8.0, 9.0])
def test_washers_of_1_mm_take_a_tenth_to_a_seventh_of_pull_and_more_of_clamp(preload_mm):
    """Common practice, no source, for a usual preload of 6 to 9 mm and a release near 0.9 mm of lift."""
    bike = usual_bike(springs=six_springs(27e3, preload_mm * 1e-3))
    loose = changed(bike, "washers:thickness_mm=1")
    pull_loss = less(*at_release(bike, loose))
    clamp_loss = less(float(bike.engaged_clamp), float(loose.engaged_clamp))
    assert 1 / 10 - POINT / 2 < pull_loss < 1 / 7 + POINT / 2
    assert clamp_loss == pytest.approx(1.0 / preload_mm, rel=1e-9)
    assert clamp_loss > pull_loss


@pytest.mark.parametrize("friction", [0.04, 0.06, 0.08])
def test_hydraulics_in_place_of_a_good_cable_take_a_tenth_at_best(friction):
    """Common practice, no source; good cables by their liner, PTFE 0.04 to 0.12, from memory."""
    bike = changed(usual_bike(), f"cable-service:friction={friction}")
    assert less(*at_release(bike, changed(bike, "hydraulic"))) < 0.1


def test_hydraulics_in_place_of_a_dry_cable_take_more_but_so_does_oil():
    """Common practice, no source; dry steel on steel 0.15 to 0.30, from memory."""
    dry = usual_bike(line=Cable(bend=radians(140.0), friction=0.20, drag=4.0, compliance=2e-6))
    hydraulic, served = (at_release(dry, changed(dry, kind))[1] for kind in ("hydraulic", "cable-service"))
    start = at_release(dry, dry)[0]
    assert less(start, hydraulic) > 0.25
    assert less(start, served) > 0.7 * less(start, hydraulic)
