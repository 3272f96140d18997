"""What readings can tell apart, on benches where that is known."""

from __future__ import annotations

import numpy as np
import pytest

from clutchwright.calibrate import fit
from clutchwright.calibrate.separation import listed, separation
from tests.bench_simulation import PLAN, as_file
from tests.unit.calibrate.benches import FORCES, bench, exact, fitted


def told(plan, *uncertain, **u):
    bike = exact(*uncertain, **u)
    return separation(fit(bike, [as_file(bench(1, plan, bike)[1])]))


def test_friction_and_bend_of_a_cable_are_one_product():
    # capstan law: only mu theta goes into any force
    found = told(FORCES, "cable.friction", "cable.bend_deg")
    (group,) = found.together
    assert (group.keys, group.combinations) == (("cable.friction", "cable.bend_deg"), 1)
    assert group.words == "cable.friction and cable.bend_deg only as a product"
    # relative uncertainties 0.03/0.12 and 20/140: in scores the direction is as these
    assert group.powers[1] == pytest.approx((20.0 / 140.0) / (0.03 / 0.12), rel=0.05)


def test_friction_of_cable_and_lift_are_one_product_at_the_lever():
    (group,) = told(FORCES[10:], cable__friction=0.02, lift__friction=0.04).together
    assert group.words == "cable.friction and lift.friction only as a product"


def test_a_weight_on_the_cable_tells_them_apart():
    plan = (*FORCES[10:], *((name, "weight", 100.0, 0) for name in ("cable_pull", "cable_return")))
    found = told(plan, cable__friction=0.02, lift__friction=0.04)
    assert found.alone == ("cable.friction", "lift.friction")
    assert not found.together


def test_arm_and_lever_radius_are_a_ratio():
    # a longer arm and a longer cable radius cancel out in the force
    found = told(FORCES[12:], "arm.length_mm", "lever.cable_radius_mm")
    words = [group.words for group in found.together]
    assert words in (
        ["arm.length_mm and lever.cable_radius_mm only as a ratio"],
        ["lever.cable_radius_mm and arm.length_mm only as a ratio"],
    )


def test_what_no_reading_sees_is_named():
    assert "lever.pivot_friction" in separation(fitted()).unseen


def test_every_unknown_is_named_once():
    found = separation(fitted())
    names = [*found.alone, *found.unseen, *(key for group in found.together for key in group.keys)]
    assert sorted(names) == sorted(fitted().bench.names)


def test_the_curvature_is_the_readings_alone():
    found = separation(fitted()).curvature
    eigenvalues = np.linalg.eigvalsh(found)
    assert np.all(eigenvalues > -1e-9)
    # with the prior's unit matrix added, and the instruments taken out, it is the inverse covariance of the bike's part
    count = len(found)
    marginal = np.linalg.inv(fitted().covariance[:count, :count])
    assert found + np.eye(count) == pytest.approx(marginal, abs=0.05 * np.max(eigenvalues))


def test_words_in_a_row():
    assert [listed(words) for words in (["a"], ["a", "b"], ["a", "b", "c"])] == ["a", "a and b", "a, b and c"]
    assert len(PLAN) == 40
