"""Formulas that other programs compute by their own means."""

from tests.validation.rows import Compared

PHYSICS = "clutchwright.physics"

COMPARED = [
    Compared(
        formulas=(
            *(
                f"{PHYSICS}.lever.{end}.{name}"
                for end in ("FarCable", "NearCable", "CamEnd")
                for name in ("drawn", "moment_arm", "rotation")
            ),
            *(
                f"{PHYSICS}.lever.Lever.{name}"
                for name in ("free_draw", "full_draw", "travel", "ratio", "finger_force")
            ),
            *(f"{PHYSICS}.arm.Arm.{name}" for name in ("movement", "moment_arm", "rotation", "tension")),
            *(f"{PHYSICS}.assist.AssistSpring.{name}" for name in ("force", "moment")),
            *(f"{PHYSICS}.cable.Cable.{name}" for name in ("stretch", "drawn")),
            *(f"{PHYSICS}.lift.{kind}.{name}" for kind in ("Rack", "Cam") for name in ("travel", "slope")),
            *(f"{PHYSICS}.springs.CoilSet.{name}" for name in ("load", "load_engaged")),
            *(f"{PHYSICS}.pack.Pack.{name}" for name in ("squash", "clamp")),
            "clutchwright.chain.at_angle",
            "clutchwright.chain.full_angle",
            "clutchwright.chain.respond",
        ),
        tool="MuJoCo, rigid bodies: 24 random bikes with a rack and 24 with a cam, without friction, 8 stations each",
        test="tests/independent/test_mujoco.py",
        agreement="pull, lift and travel within 0.1 %",
    ),
    Compared(
        formulas=(f"{PHYSICS}.springs.spring_rate",),
        tool="Pynite, 3-D beams along a helix, D/d 6 to 12",
        test="tests/independent/test_beam_spring.py",
        agreement="within 3 %; 0.6 % when polygon and lead angle are left in, 0.4 % without",
    ),
    Compared(
        formulas=("clutchwright.chain.increasing_root", "clutchwright.chain.full_angle"),
        tool="scipy, Brent's root finder",
        test="tests/independent/test_numerics.py",
        agreement="1e-11 of the bracket; full angle 1e-10",
    ),
    Compared(
        formulas=("clutchwright.chain.path_work",),
        tool="scipy, adaptive quadrature over finger travel",
        test="tests/independent/test_numerics.py",
        agreement="1e-8; 1e-5 on the return with drag, which has a kink between positions",
    ),
    Compared(
        formulas=(
            f"{PHYSICS}.demand.drop_torque",
            f"{PHYSICS}.heat.slip_energy",
            f"{PHYSICS}.heat.slip_time",
            f"{PHYSICS}.heat.start_energy",
        ),
        tool="scipy, the equations of motion integrated in time",
        test="tests/independent/test_numerics.py",
        agreement="drop 1e-5, slip 1e-7",
    ),
]
