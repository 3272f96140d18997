"""Each key of a bike file arrives in its field of the bike, in SI; expected numbers are unit conversions by hand."""

from dataclasses import asdict
from math import pi, radians

import numpy as np
import pytest

from clutchwright import bikefile
from clutchwright.errors import InputError
from clutchwright.physics.lever import CamEnd, FarCable, NearCable
from clutchwright.physics.lift import Cam, LiftTable, Rack, Ramp, Screw
from tests.broken_bikes import CAM, COIL, DIAPHRAGM, RACK, RAMP, SCREW, TABLE, edited

WIRE = 'wire_mm = 2.6\nouter_mm = 17.6\ntotal_turns = 7\nends = "squared ground"\nmaterial = "oil tempered"'


def measured(*edits: tuple[str, str]) -> bikefile.MeasuredBike:
    return bikefile.loads(edited(*edits), "test.toml")


def bike(*edits: tuple[str, str]):
    return bikefile.assemble(measured(*edits))


def close(stage: object) -> object:
    """The stage's fields, to be compared to rounding."""
    return pytest.approx(asdict(stage), rel=1e-12, nan_ok=False)


def test_the_lever():
    lever = bike(
        ("[lever]", "[lever]\nblade_length_mm = 130\nlevel_angle_deg = 25\npivot_friction = 0.03"),
    ).lever
    assert lever.cable_end == FarCable(pytest.approx(0.026), pytest.approx(radians(80)))
    assert (lever.finger_radius, lever.rest_span, lever.stop_span) == pytest.approx((0.082, 0.078, 0.032))
    assert (lever.free_play, lever.pivot_friction) == pytest.approx((0.003, 0.03))
    assert (lever.blade_length, lever.level_angle) == pytest.approx((0.130, radians(25)))


def test_the_other_cable_ends():
    near = bike(("[lever]", '[lever]\ncable_end = "near"\nadjuster_distance_mm = 38'))
    assert near.lever.cable_end == NearCable(*map(pytest.approx, (0.026, radians(80), 0.038)))
    cam = bike(("[lever]", '[lever]\ncable_end = "cam"'), ("cable_angle_deg = 80\nrest", "rest"))
    assert cam.lever.cable_end == CamEnd(pytest.approx(0.026))


def test_the_cable_and_the_arm():
    line = bike(("friction = 0.12", "bend_deg = 90\nfriction = 0.2\ndrag_N = 3\ncompliance_mm_per_N = 0.005")).line
    assert (line.bend, line.friction, line.drag, line.compliance) == pytest.approx((pi / 2, 0.2, 3.0, 5e-6))
    arm = bike().arm
    assert (arm.length, arm.cable_angle) == pytest.approx((0.032, radians(80)))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (RACK + "\nfriction = 0.05", Rack(0.0045, 0.05)),
        (SCREW + "\nthread_friction = 0.1\nflank_deg = 15", Screw(0.025, 0.016, 0.1, radians(15))),
        (RAMP + "\nrolling_friction = 0.01", Ramp(0.0145, radians(15.5), 0.01)),
        (CAM + "\nstart_angle_deg = -10\nfriction = 0.08", Cam(0.0055, radians(-10), 0.08)),
    ],
    ids=["rack", "screw", "ramp", "cam"],
)
def test_the_kinds_of_lift(text, expected):
    lift = bike((RACK, text)).lift
    assert type(lift) is type(expected)
    assert asdict(lift) == close(expected)


def test_a_lift_measured_point_by_point():
    lift = bike((RACK, TABLE + "\nfriction = 0.1")).lift
    assert isinstance(lift, LiftTable)
    assert lift.rotations == pytest.approx((0.0, radians(10), radians(20), radians(30)))
    assert lift.travels == pytest.approx((0.0, 0.0008, 0.0016, 0.0023))
    assert lift.kappa == 0.1


def test_coil_springs_by_rate():
    springs = bike(("count = 6", "count = 6\ncircle_radius_mm = 42\nmass_g = 31")).springs
    assert (springs.bosses, len(springs.springs), springs.wire) == (6, 6, None)
    assert (springs.circle_radius, springs.mass) == pytest.approx((0.042, 0.031))
    assert [spring.position for spring in springs.springs] == [0, 1, 2, 3, 4, 5]
    one = springs.springs[0]
    assert (one.rate, one.free_length, one.installed_length, one.solid_length) == pytest.approx(
        (27e3, 0.041, 0.032, 0.026)
    )


def test_coil_springs_by_wire():
    given = bike(("rate_N_per_mm = 27.0", WIRE), ("solid_length_mm = 26.0\n", ""))
    # G d^4/(8 D^3 n) with G = 77.2 GPa, d = 2.6 mm, D = 15 mm, n = 5 (first principles)
    assert given.springs.springs[0].rate == pytest.approx(77.2e9 * 0.0026**4 / (8 * 0.015**3 * 5), rel=1e-12)
    assert given.springs.springs[0].solid_length == pytest.approx(7 * 0.0026)
    assert given.clearance.spring_inner == pytest.approx(0.0124)


def test_a_measured_rate_and_length_stand_before_those_of_the_wire():
    given = bike(("count = 6", f"count = 6\ninner_mm = 12.2\n{WIRE}"))
    assert given.springs.springs[0].rate == pytest.approx(27e3)
    assert given.springs.springs[0].solid_length == pytest.approx(0.026)
    assert given.springs.wire is not None
    assert given.clearance.spring_inner == pytest.approx(0.0122)


def test_springs_that_differ():
    tables = (
        "[[springs.each]]\nposition = 2\nrate_N_per_mm = 20\n"
        "[[springs.each]]\nposition = 4\nfitted = false\n"
        "[[springs.each]]\nposition = 6\nfree_length_mm = 40\n"
    )
    springs = bike(("[pack]", f"{tables}[pack]")).springs
    assert springs.bosses == 6
    assert [spring.position for spring in springs.springs] == [0, 1, 2, 4, 5]
    assert [spring.rate for spring in springs.springs] == pytest.approx([27e3, 20e3, 27e3, 27e3, 27e3])
    assert [spring.free_length for spring in springs.springs] == pytest.approx([0.041] * 4 + [0.040])


def test_a_spring_of_its_own_rate_among_springs_of_wire():
    table = "[[springs.each]]\nposition = 1\nrate_N_per_mm = 20\n"
    first, second, *_ = bike(("rate_N_per_mm = 27.0", WIRE), ("[pack]", f"{table}[pack]")).springs.springs
    assert first.rate == pytest.approx(20e3)
    assert second.rate == pytest.approx(77.2e9 * 0.0026**4 / (8 * 0.015**3 * 5), rel=1e-12)


def test_a_diaphragm():
    given = bike((COIL, DIAPHRAGM + "\nmodulus_GPa = 205"))
    spring = given.springs
    lengths = (spring.outer, spring.inner, spring.thickness, spring.cone_height, spring.deflection)
    assert lengths == pytest.approx((0.126, 0.098, 0.0016, 0.00275, 0.0018))
    assert (spring.plate_radius, spring.pivot_radius, spring.tip_radius) == pytest.approx((0.062, 0.050, 0.025))
    assert spring.modulus == pytest.approx(205e9)
    assert given.clearance.spring_inner is None


def test_the_pack():
    extra = (
        "friction_static = 0.14\nfriction_sliding = 0.1\nhot_factor = 0.8\ncompression_mm = 0.25\nface_gap_mm = 0.05\n"
        "flatness_mm = 0.04\nwear_limit_mm = 0.9\nwear_mm = 0.2\nwear_closes_free_play = false\nassist = 0.3\n"
        'friction_radius = "pressure"\n'
    )
    pack = bike(("faces = 14", f"{extra}faces = 14")).pack
    assert (pack.faces, pack.outer, pack.inner) == pytest.approx((14, 0.122, 0.098))
    assert (pack.friction_static, pack.friction_sliding, pack.hot_factor) == (0.14, 0.1, 0.8)
    assert (pack.face_gap, pack.flatness, pack.wear_limit, pack.wear) == pytest.approx((5e-5, 4e-5, 9e-4, 2e-4))
    assert (pack.wear_closes_free_play, pack.assist, pack.friction_radius) == (False, 0.3, "pressure")
    # 6 x 27 N/mm x 9 mm on 0.25 mm, pack new
    assert pack.stiffness == pytest.approx(6 * 27.0 * 9.0 / 0.25e-3, rel=1e-12)


def test_a_measured_pack_curve():
    pack = bike(("faces = 14", "faces = 14\ncurve = [[0, 0], [0.1, 700], [0.2, 1600]]")).pack
    assert np.array(pack.curve) == pytest.approx(np.array([[0, 0], [1e-4, 700], [2e-4, 1600]]))


def test_oil_drive_heat_and_clearance():
    given = bike(
        ("primary_ratio = 2.9", "primary_ratio = 2.9\nstart_rpm = 3000\ndrop_rpm = 6000\nprimary_efficiency = 0.97"),
        ("[drive]", "[oil]\ncold_viscosity_mPas = 250\nhot_viscosity_mPas = 11\nidle_rpm = 1200\n[drive]"),
        ("[drive]", "[heat]\nsteel_mass_kg = 0.7\nenergy_limit_J_per_mm2 = 0.9\npower_limit_W_per_mm2 = 1.2\n[drive]"),
        ("engine_torque_Nm", "engine_inertia_kgm2 = 0.011\ndriveline_stiffness_Nm_per_rad = 900\nengine_torque_Nm"),
        (
            "engine_torque_Nm",
            "first_gear_ratio = 2.5\nfinal_ratio = 3\nwheel_circumference_mm = 1900\nengine_torque_Nm",
        ),
        ("engine_torque_Nm", "mass_kg = 260\ncreep_torque_Nm = 3\nengine_torque_Nm"),
    )
    rpm = 2 * pi / 60
    assert (given.oil.cold_viscosity, given.oil.hot_viscosity, given.oil.idle_speed) == pytest.approx(
        (0.25, 0.011, 1200 * rpm)
    )
    assert (given.heat.steel_mass, given.heat.energy_limit, given.heat.power_limit) == pytest.approx((0.7, 9e5, 1.2e6))
    drive = given.drive
    assert (drive.engine_torque, drive.primary_ratio, drive.primary_efficiency) == (32.0, 2.9, 0.97)
    assert (drive.start_speed, drive.drop_speed, drive.engine_inertia) == pytest.approx((3000 * rpm, 6000 * rpm, 0.011))
    assert (drive.first_gear_ratio, drive.final_ratio, drive.wheel_circumference) == pytest.approx((2.5, 3.0, 1.9))
    assert (drive.mass, drive.driveline_stiffness, drive.creep_torque) == (260.0, 900.0, 3.0)


def test_clearance():
    room = (
        '[clearance]\nbolt_to_cover_mm = 3\nplate_moves = "inward"\nthread_engagement_mm = 10\nbolt_diameter_mm = 6\n'
        'boss = "steel"\narm_room_mm = 22\narm_past_square_deg = 15\n'
    )
    given = bike(("[drive]", f"{room}[drive]")).clearance
    assert (given.bolt_to_cover, given.thread_engagement, given.bolt_diameter) == pytest.approx((0.003, 0.01, 0.006))
    assert (given.plate_moves, given.boss) == ("inward", "steel")
    assert (given.arm_room, given.arm_past_square) == pytest.approx((0.022, radians(15)))


def test_what_was_not_measured_is_none():
    given = bike()
    room = given.clearance
    assert (room.bolt_to_cover, room.thread_engagement, room.bolt_diameter, room.boss) == (None,) * 4
    assert (room.spring_inner, room.arm_room, given.springs.mass, given.drive.driveline_stiffness) == (None,) * 4


def test_values_replace_quantities_for_many_bikes_at_once():
    rates, squashes = np.array([[26.0], [27.0], [28.0]]), np.array([[0.2], [0.25], [0.3]])
    sampled = bikefile.assemble(measured(), {"springs.rate_N_per_mm": rates, "pack.compression_mm": squashes})
    assert sampled.springs.springs[0].rate == pytest.approx(rates * 1e3)
    assert sampled.pack.stiffness == pytest.approx(6 * 9.0 * rates / squashes * 1e3)
    for row in range(3):
        values = {"springs.rate_N_per_mm": rates[row, 0], "pack.compression_mm": squashes[row, 0]}
        assert bikefile.assemble(measured(), values).pack.stiffness == pytest.approx(sampled.pack.stiffness[row, 0])


def test_a_value_for_a_key_the_bike_does_not_have_is_refused():
    with pytest.raises(
        InputError, match=r"lift\.lead_mm: no such quantity in 'A bike made up for tests'; it has lever"
    ):
        bikefile.assemble(measured(), {"lift.lead_mm": 20.0})
