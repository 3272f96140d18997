"""The demo bikes are invented, differ in kind, and behave as such machines do."""

from pathlib import Path

import numpy as np
import pytest

from clutchwright import bikefile, chain
from clutchwright.physics import PULL
from clutchwright.physics.diaphragm import Diaphragm
from clutchwright.physics.springs import CoilSet

PATHS = {path.stem: path for path in sorted(Path(bikefile.__file__).parents[1].glob("demo/*.toml"))}
demos = pytest.mark.parametrize("name", PATHS)


def measured(name: str) -> bikefile.MeasuredBike:
    return bikefile.loads(PATHS[name].read_text("utf-8"), name)


def test_they_differ_in_kind():
    kinds = [(bike.choices["springs.kind"], bike.choices["lift.kind"]) for bike in map(measured, PATHS)]
    assert kinds == [("diaphragm", "cam"), ("coil", "ramp"), ("coil", "rack")]
    ends = {bike.choices["lever.cable_end"] for bike in map(measured, PATHS)}
    assert ends == {"far", "near", "cam"}


@demos
def test_they_are_marked_invented(name):
    text = PATHS[name].read_text("utf-8")
    assert text.startswith("# An invented bike")
    assert "(invented)" in measured(name).name


@demos
def test_they_are_measured_by_a_person(name):
    """Most values have a tool and an uncertainty, and some are left to the assumptions."""
    quantities = measured(name).quantities
    assert sum(quantity.origin.startswith("measured: ") for quantity in quantities.values()) >= 10
    assert measured(name).assumed
    assert all(quantity.u > 0.0 for quantity in quantities.values() if not quantity.assumed)


@demos
def test_they_pull_like_a_real_lever(name):
    """Peak pull of such levers: 60 to 130 N (common practice, no source)."""
    response = chain.respond(bikefile.assemble(measured(name)))
    assert 60.0 < response.pull.max() < 130.0
    assert np.all(response.returning[chain.BITE_END :] > 0.0)


@demos
def test_they_release_with_margin_and_do_not_slip_when_new(name):
    bike = bikefile.assemble(measured(name))
    response = chain.respond(bike)
    release = chain.at_lift(bike, bike.pack.release_lift(bike.engaged_clamp), PULL)
    assert response.travel[-1] - release.travel > 5e-3
    margin = bike.pack.capacity(bike.engaged_clamp, bike.pack.friction_static) / bike.drive.torque
    assert 1.2 < margin < 1.7


def test_the_diaphragms_load_falls_with_the_lift():
    bike = bikefile.assemble(measured("diaphragm-cam"))
    assert isinstance(bike.springs, Diaphragm)
    assert np.all(np.diff(chain.respond(bike).spring_load[chain.TOUCH :]) < 0.0)


def test_the_coil_springs_stay_clear_of_binding():
    for name in ("six-spring-rack", "four-spring-ramp"):
        bike = bikefile.assemble(measured(name))
        assert isinstance(bike.springs, CoilSet)
        spring = bike.springs.springs[0]
        assert spring.installed_length - chain.respond(bike).lift[-1] - spring.solid_length > 1e-3
