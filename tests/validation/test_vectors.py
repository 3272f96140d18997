"""Each formula of the physics gives for arrays what it gives for their elements one by one."""

import inspect

import numpy as np
import pytest

from clutchwright.physics import PULL, RETURN, arm, assist, cable, demand, diaphragm, lever, lift, pack, springs
from tests.validation.rows import CONSTANT, formulas, resolve

ENDS = {"radius": (0.02, 0.03), "angle": (1.2, 1.8)}
NEAR = {**ENDS, "distance": (0.05, 0.1)}
LEVER = {
    **ENDS,
    "finger_radius": (0.06, 0.1),
    "rest_span": (0.07, 0.09),
    "stop_span": (0.03, 0.04),
    "free_play": (0.0, 0.004),
    "pivot_friction": (0.0, 0.1),
}
ASSIST = {
    "rate": (500.0, 2e3),
    "pretension": (10.0, 40.0),
    "hook_radius": (0.01, 0.02),
    "post_radius": (0.03, 0.04),
    "start_angle": (-0.5, 0.0),
}
ARM = {"length": (0.03, 0.04), "cable_angle": (1.3, 1.8)}
CABLE = {"bend": (0.0, 4.0), "friction": (0.0, 0.2), "drag": (0.0, 5.0), "compliance": (0.0, 8e-6), "ratio": (1.0, 1.4)}
HYDRAULIC = {"area_ratio": (1.0, 8.0), "seal_loss": (0.0, 0.08), "expansion": (0.0, 5e-6)}
RACK = {"pinion_radius": (3e-3, 6e-3), "kappa": (0.0, 0.2)}
SCREW = {
    "lead": (0.02, 0.04),
    "thread_diameter": (0.01, 0.02),
    "thread_friction": (0.0, 0.12),
    "flank_angle": (0.0, 0.5),
}
RAMP = {"ramp_radius": (0.01, 0.02), "ramp_angle": (0.2, 0.4), "rolling_friction": (0.0, 0.02)}
CAM = {"eccentricity": (4e-3, 7e-3), "start_angle": (-0.5, 0.0), "kappa": (0.0, 0.2)}
SPRING = {
    "rate": (10e3, 35e3),
    "free_length": (0.04, 0.045),
    "installed_length": (0.03, 0.034),
    "washer": (0.0, 1e-3),
}
WIRE = {"diameter": (2e-3, 3e-3), "outer_diameter": (0.015, 0.02), "total_turns": (6.0, 9.0)}
DISC = {
    "outer": (0.11, 0.13),
    "inner": (0.08, 0.1),
    "thickness": (1.5e-3, 2e-3),
    "cone_height": (2e-3, 3e-3),
    "deflection": (1e-3, 2e-3),
    "plate_radius": (0.055, 0.06),
    "pivot_radius": (0.045, 0.05),
    "tip_radius": (0.02, 0.03),
    "modulus": (200e9, 210e9),
}
RING = {"outer": (0.12, 0.14), "inner": (0.09, 0.11)}
PACK = {**RING, "faces": (8.0, 18.0), "stiffness": (4e6, 8e6), "assist": (0.0, 0.3)}
DRIVE = {
    "engine_torque": (20.0, 70.0),
    "primary_ratio": (1.5, 3.5),
    "primary_efficiency": (0.95, 1.0),
    "engine_inertia": (0.005, 0.03),
    "first_gear_ratio": (2.0, 3.0),
    "final_ratio": (2.0, 3.5),
    "wheel_circumference": (1.8, 2.1),
    "mass": (180.0, 350.0),
}
ROTATION, TRAVEL, DRAWN = {"rotation": (0.0, 0.5)}, {"travel": (0.0, 1.5e-3)}, {"drawn": (0.0, 0.01)}
TENSION, MOVED = {"tension": (0.0, 400.0)}, {"movement": (0.0, 0.01)}
LIFTED, WORN, CLAMP = {"lift": (0.0, 2e-3)}, {"wear": (0.0, 1e-3)}, {"clamp": (500.0, 1500.0)}
PAIR = {"driver_inertia": (0.01, 0.1), "driven_inertia": (0.2, 1.0), "speed_step": (50.0, 200.0)}


def drive(**given):
    rest = {"start_speed": 200.0, "drop_speed": 300.0, "driveline_stiffness": None, "creep_torque": 2.0}
    return demand.Drive(**given, **rest)


def plates(**given):
    rest = {"friction_static": 0.13, "friction_sliding": 0.11, "hot_factor": 0.9, "curve": (), "face_gap": 5e-5}
    return pack.Pack(**given, **rest, flatness=1e-4, wear_limit=1e-3)


def coil_set(**given):
    spring = springs.CoilSpring(**given, solid_length=None, position=0)
    return springs.CoilSet((spring, springs.CoilSpring(20e3, 0.044, 0.033, None, 1)), 2, 0.04)


def whole_lever(radius, angle, **given):
    spring = assist.AssistSpring(**{name: given.pop(name) for name in ASSIST})
    return lever.Lever(lever.FarCable(radius, angle), **given, assist=spring)


def wire(**given):
    return springs.Wire(**given, ends="squared ground", material="chrome silicon")


def coil_spring(**given):
    return springs.CoilSpring(**given, solid_length=None, position=0)


def helped_arm(length, cable_angle, **given):
    return arm.Arm(length, cable_angle, assist.AssistSpring(**given))


def lift_table(kappa):
    return lift.LiftTable((0.0, 0.2, 0.5, 1.0), (0.0, 1e-3, 2e-3, 5e-3), kappa)


PUSH_PULL = [{"direction": PULL}, {"direction": RETURN}]

# Per kind of stage: how it is built, from what, and its methods with their own arguments, in order.
STAGES = {
    "lever.FarCable": (lever.FarCable, ENDS, {"drawn": ROTATION, "moment_arm": ROTATION, "rotation": DRAWN}),
    "lever.NearCable": (lever.NearCable, NEAR, {"drawn": ROTATION, "moment_arm": ROTATION, "rotation": DRAWN}),
    "lever.CamEnd": (
        lever.CamEnd,
        {"radius": ENDS["radius"]},
        {"drawn": ROTATION, "moment_arm": ROTATION, "rotation": DRAWN},
    ),
    "lever.Lever": (
        whole_lever,
        {**LEVER, **ASSIST},
        {
            "full_travel": {},
            "full_draw": {},
            "free_draw": {},
            "travel": DRAWN,
            "ratio": {"travel": (0.0, 0.04)},
            "help": {"travel": (0.0, 0.04)},
            "finger_force": {**TENSION, "travel": (0.0, 0.04), "direction": PUSH_PULL},
        },
    ),
    "assist.AssistSpring": (assist.AssistSpring, ASSIST, {"force": ROTATION, "moment": ROTATION, "energy": ROTATION}),
    "arm.Arm": (
        helped_arm,
        {**ARM, **ASSIST},
        {
            "movement": ROTATION,
            "moment_arm": ROTATION,
            "rotation": MOVED,
            "tension": {"moment": (0.0, 8.0), **ROTATION},
            "dead_rotation": {},
        },
    ),
    **{
        f"cable.{kind.__name__}": (
            kind,
            fields,
            {
                "bend_gain": {"direction": PUSH_PULL},
                "lever_tension": {**TENSION, "direction": PUSH_PULL},
                "stretch": {**TENSION, "direction": PUSH_PULL},
                "drawn": {**MOVED, **TENSION, "direction": PUSH_PULL},
                **more,
            },
        )
        for kind, fields, more in (
            (cable.Cable, CABLE, {"mean_gain": {"direction": PUSH_PULL}}),
            (cable.Hydraulic, HYDRAULIC, {"ratio": {}}),
        )
    },
    **{
        f"lift.{name}": (
            kind,
            fields,
            {"travel": ROTATION, "slope": ROTATION, "rotation": TRAVEL, "friction": {"direction": PUSH_PULL}, **more},
        )
        for name, kind, fields, more in (
            ("Rack", lift.Rack, RACK, {}),
            ("Screw", lift.Screw, SCREW, {}),
            ("Ramp", lift.Ramp, RAMP, {}),
            ("Cam", lift.Cam, CAM, {"dead_rotation": {}}),
            ("LiftTable", lift_table, {"kappa": (0.0, 0.2)}, {}),
        )
    },
    "springs.Wire": (
        wire,
        WIRE,
        {
            "mean_diameter": {},
            "inner_diameter": {},
            "active_turns": {},
            "rate": {},
            "solid_length": {},
            "least_gap_sum": {},
        },
    ),
    "springs.CoilSpring": (coil_spring, SPRING, {"preload_travel": WORN, "load": {**LIFTED, **WORN}}),
    "springs.CoilSet": (
        coil_set,
        SPRING,
        {"load": {**LIFTED, **WORN}, "load_engaged": WORN, "stiffness": {}, "loosest": WORN},
    ),
    "diaphragm.Diaphragm": (
        diaphragm.Diaphragm,
        DISC,
        {"load": {**LIFTED, **WORN}, "load_engaged": WORN, "loosest": WORN, "bearing_ratio": {}},
    ),
    "pack.Pack": (
        plates,
        PACK,
        {
            "mean_radius": {},
            "capacity": {**CLAMP, "friction": (0.1, 0.2)},
            "squash": CLAMP,
            "clamp": {**LIFTED, "engaged_clamp": (500.0, 1500.0)},
            "release_lift": CLAMP,
            "gap": {**LIFTED, "engaged_clamp": (500.0, 1500.0)},
        },
    ),
    "demand.Drive": (drive, DRIVE, {"torque": {}, "driver_inertia": {}, "driven_inertia": {}}),
}
FUNCTIONS = {
    "lever.finger_force_from_hook": {
        "hook_force": (20.0, 90.0),
        "hook_radius": (0.05, 0.1),
        "finger_radius": (0.06, 0.1),
    },
    "lift.screw_friction": {"lead_angle": (0.2, 0.5), "friction_angle": (0.0, 0.1), "direction": PUSH_PULL},
    "lift.thread_friction_angle": {"friction": (0.0, 0.2), "flank_angle": (0.0, 0.5)},
    "springs.spring_rate": {
        "wire": (2e-3, 3e-3),
        "mean_diameter": (0.014, 0.02),
        "active_turns": (4.0, 7.0),
        "shear_modulus": (77e9, 82e9),
    },
    "springs.bergstraesser_factor": {"index": (4.0, 12.0)},
    "springs.wahl_factor": {"index": (4.0, 12.0)},
    "springs.shear_stress": {"force": (0.0, 300.0), "wire": (2e-3, 3e-3), "mean_diameter": (0.014, 0.02)},
    "springs.tensile_strength": {"material": [{"material": name} for name in springs.MATERIALS], "wire": (1e-3, 5e-3)},
    "springs.least_gap_sum": {"wire": (2e-3, 3e-3), "mean_diameter": (0.014, 0.02), "active_turns": (4.0, 7.0)},
    "diaphragm.disc_shape_factor": {"diameter_ratio": (1.1, 2.5)},
    "diaphragm.disc_shape_factor_almen_laszlo": {"diameter_ratio": (1.1, 2.5)},
    "diaphragm.disc_load": {name: DISC[name] for name in [*list(DISC)[:5], "modulus"]},
    "diaphragm.disc_stress": {name: DISC[name] for name in ("deflection", "outer", "inner", "thickness", "modulus")},
    "pack.mean_radius_uniform_wear": RING,
    "pack.mean_radius_uniform_pressure": RING,
    "pack.torque_capacity": {**CLAMP, "faces": (8.0, 18.0), "friction": (0.1, 0.2), "mean_radius": (0.04, 0.07)},
    "pack.oil_drag_torque": {
        **RING,
        "faces": (8.0, 18.0),
        "viscosity": (0.01, 0.3),
        "slip_speed": (50.0, 200.0),
        "gap": (5e-5, 2e-4),
    },
    "demand.clutch_torque": {name: DRIVE[name] for name in ("engine_torque", "primary_ratio", "primary_efficiency")},
    "demand.drop_torque": {**PAIR, "stiffness": (500.0, 5e3)},
    "demand.equivalent_inertia": {
        "mass": (180.0, 350.0),
        "wheel_circumference": (1.8, 2.1),
        "overall_ratio": (5.0, 10.0),
    },
    "demand.tyre_circumference": {"width": (0.1, 0.2), "aspect_ratio": (0.5, 0.9), "rim_diameter": (0.4, 0.45)},
    "heat.slip_energy": PAIR,
    "heat.slip_time": {**PAIR, "torque": (50.0, 200.0)},
    "heat.start_energy": {"driven_inertia": (0.2, 1.0), "speed": (50.0, 200.0)},
    "heat.temperature_rise": {"energy": (1e3, 1e4), "mass": (0.4, 0.8)},
    "heat.face_area": {"faces": (8.0, 18.0), **RING},
    "balance.permissible_eccentricity": {"grade": (2.5, 40.0), "speed": (100.0, 1000.0)},
    "balance.permissible_unbalance": {"grade": (2.5, 40.0), "mass": (1.0, 4.0), "speed": (100.0, 1000.0)},
    "balance.rotating_force": {"unbalance": (1e-6, 1e-3), "speed": (100.0, 1000.0)},
}


def method_case(build, fields, name, arguments):
    def call(given):
        stage = build(**{field: given[f"of stage {field}"] for field in fields})
        found = getattr(stage, name)
        return found(*(given[key] for key in arguments)) if callable(found) else found

    return call, {**{f"of stage {field}": limits for field, limits in fields.items()}, **arguments}


def function_case(name, arguments):
    function = resolve(f"clutchwright.physics.{name}")
    by_name = {key for key, part in inspect.signature(function).parameters.items() if part.kind is part.KEYWORD_ONLY}

    def call(given):
        plain = [given[key] for key in arguments if key not in by_name]
        return function(*plain, **{key: given[key] for key in by_name & given.keys()})

    return call, arguments


CASES = {
    **{
        f"{stage}.{name}": method_case(build, fields, name, arguments)
        for stage, (build, fields, methods) in STAGES.items()
        for name, arguments in methods.items()
    },
    **{name: function_case(name, arguments) for name, arguments in FUNCTIONS.items()},
    "diaphragm.reference_stress": (
        lambda given: diaphragm.reference_stress(diaphragm.Diaphragm(**given), given["deflection"]),
        DISC,
    ),
}


def inputs(arguments):
    """Random arrays for the ranges, once for each of the named choices."""
    rng = np.random.default_rng(5)
    arrays = {key: rng.uniform(*limits, 7) for key, limits in arguments.items() if isinstance(limits, tuple)}
    choices = [choice for limits in arguments.values() if isinstance(limits, list) for choice in limits]
    return [{**arrays, **choice} for choice in choices or [{}]]


@pytest.mark.parametrize("name", CASES)
def test_arrays_as_one_by_one(name):
    call, arguments = CASES[name]
    for given in inputs(arguments):
        together = call(given)
        single = [
            call({key: float(value[i]) if isinstance(value, np.ndarray) else value for key, value in given.items()})
            for i in range(7)
        ]
        assert np.all(np.isfinite(single))
        # array and scalar code of the elementary functions may differ in the last digits
        assert np.broadcast_to(together, 7) == pytest.approx(np.array(single), rel=1e-12, abs=1e-15)


def takes_arrays_only(function):
    return any(part.annotation == "Array" for part in inspect.signature(function).parameters.values())


def test_no_formula_is_forgotten():
    # those that take the springs of a plate as an array have no scalar form
    together = {name for name in formulas("physics") if "plate_tilt" in name or takes_arrays_only(resolve(name))}
    cases = {f"clutchwright.physics.{name}" for name in CASES}
    assert formulas("physics").keys() - together - CONSTANT == cases
