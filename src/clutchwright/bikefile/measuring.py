"""What it takes to measure each quantity at home: the tool, the minutes, and how well it is known then.

How it is done, and what a plain reading is worth, stand in the table of keys.
"""

from __future__ import annotations

from dataclasses import dataclass

from clutchwright.tomlfile.keys import Key


@dataclass(frozen=True, slots=True)
class Measuring:
    """One measurement. Common practice, no source.

    Parameters
    ----------
    tool : str
        What it is done with.
    minutes : float
        Time it takes on a bike ready to ride, cover off and on again where it must be [min].
    u : float | None
        Standard uncertainty reached [unit of the key], where the best way that the table of keys names is worth more
        than a bare number. Own judgement.
    share : float | None
        The same as a share of the value [-].
    usual : str | None
        What the value is most often from, where that is not the tool; empty where the way to find it names nothing.
    steps : str
        How it is done with the tool, where the table of keys does not say it.
    """

    tool: str
    minutes: float
    u: float | None = None
    share: float | None = None
    usual: str | None = None
    steps: str = ""

    def reachable(self, key: Key, value: float) -> float:
        """Standard uncertainty reached at a value [unit of the key], never more than a bare number's."""
        by_share = abs(value) * self.share if self.share is not None else None
        return min(each for each in (key.bare_u(value), self.u, by_share) if each is not None)


_CABLE_ALONE = (
    "Unhook the cable at the arm and hang a known weight of 2 to 8 kg there, the cable routed as it is. With a luggage "
    "scale at its lever end raise the weight slowly and read, then let it sink slowly and read, twice each. Write both "
    "into a file of readings (weight, cable_pull, cable_return); a fit makes the friction of them."
)
_ARM_ALONE = (
    "Unhook the cable and put the scale on the arm's end, in the line of the cable. Pull slowly and read, let back "
    "slowly and read, at two or three turns of the arm. Write them into a file of readings (arm_turn, arm_pull, "
    "arm_return); a fit makes the friction of them."
)
_AT_THE_CRANK = (
    "DANGER: engine cold or warm, but never able to start: ignition off, spark plugs out; a wrench on a crank that "
    "turns by itself breaks arms. Machine on its wheels in top gear, lever free, somebody on the rear brake. Turn the "
    "crank's nut by the torque wrench, in the direction that tightens it, slowly, until the clutch slips; stop at the "
    "torque that the manual gives for that nut. Write the greatest torque into a file of readings (crank_slip); a fit "
    "makes the friction of it."
)

# By key without its spring's place. A key that is not here cannot be measured at home.
MEASURING: dict[str, Measuring] = {
    "lever.finger_radius_mm": Measuring("ruler", 3),
    "lever.cable_radius_mm": Measuring("calliper", 15),
    "lever.rest_span_mm": Measuring("ruler", 2),
    "lever.stop_span_mm": Measuring("ruler", 2),
    "lever.free_play_mm": Measuring("ruler", 3),
    "lever.pivot_friction": Measuring("luggage scale", 15, usual=""),
    "lever.hook_radius_mm": Measuring("ruler", 2),
    "lever.blade_length_mm": Measuring("ruler", 2),
    "lever.level_angle_deg": Measuring("phone", 5),
    "lever.cable_angle_deg": Measuring("phone and protractor", 10),
    "lever.adjuster_distance_mm": Measuring("ruler", 3),
    "cable.bend_deg": Measuring("protractor", 10),
    "cable.friction": Measuring("luggage scale", 15, u=0.015, steps=_CABLE_ALONE),
    "cable.drag_N": Measuring("kitchen scale", 20),
    "cable.compliance_mm_per_N": Measuring("luggage scale and ruler", 20),
    "arm.length_mm": Measuring("calliper", 10),
    "arm.cable_angle_deg": Measuring("phone and protractor", 10),
    "arm.play_deg": Measuring("protractor", 10),
    "lift.friction": Measuring("luggage scale", 20, steps=_ARM_ALONE),
    "lift.pinion_radius_mm": Measuring("protractor and calliper", 30),
    "lift.lead_mm": Measuring("protractor and calliper", 30),
    "lift.thread_diameter_mm": Measuring("calliper", 40),
    "lift.thread_friction": Measuring("luggage scale", 20, u=0.02, usual="", steps=_ARM_ALONE),
    "lift.flank_deg": Measuring("protractor", 40),
    "lift.ramp_radius_mm": Measuring("calliper", 40),
    "lift.ramp_angle_deg": Measuring("protractor and calliper", 30),
    "lift.rolling_friction": Measuring("luggage scale", 20, usual="", steps=_ARM_ALONE),
    "lift.eccentricity_mm": Measuring("calliper", 40),
    "lift.start_angle_deg": Measuring("phone and protractor", 20),
    "springs.rate_N_per_mm": Measuring("bathroom scales and vice", 50),
    "springs.free_length_mm": Measuring("calliper", 40),
    "springs.installed_length_mm": Measuring("calliper", 40),
    "springs.solid_length_mm": Measuring("vice and calliper", 45),
    "springs.circle_radius_mm": Measuring("calliper", 35),
    "springs.inner_mm": Measuring("calliper", 40),
    "springs.mass_g": Measuring("kitchen scale", 40),
    "springs.wire_mm": Measuring("calliper", 40),
    "springs.outer_mm": Measuring("calliper", 40),
    "springs.total_turns": Measuring("marker", 40),
    "springs.thickness_mm": Measuring("calliper", 60),
    "springs.cone_height_mm": Measuring("glass and calliper", 60),
    "springs.deflection_mm": Measuring("calliper", 60),
    "springs.plate_radius_mm": Measuring("calliper", 60),
    "springs.pivot_radius_mm": Measuring("calliper", 60),
    "springs.tip_radius_mm": Measuring("calliper", 60),
    "pack.outer_mm": Measuring("calliper", 50),
    "pack.inner_mm": Measuring("calliper", 50),
    "pack.friction_static": Measuring(
        "torque wrench on the crank, in gear", 60, share=0.07, usual="lining maker's data", steps=_AT_THE_CRANK
    ),
    "pack.friction_sliding": Measuring("lining maker's data", 20),
    "pack.compression_mm": Measuring("dial gauge", 50),
    "pack.flatness_mm": Measuring("glass and feeler gauge", 60),
    "pack.wear_limit_mm": Measuring("workshop manual", 10),
    "pack.stack_mm": Measuring("workshop manual", 10),
    "pack.wear_mm": Measuring("calliper", 50),
    "drive.engine_torque_Nm": Measuring("power run at the wheel", 60, share=0.03, usual="workshop manual"),
    "drive.primary_ratio": Measuring("workshop manual", 5),
    "drive.start_rpm": Measuring("tachometer", 5),
    "drive.first_gear_ratio": Measuring("workshop manual", 5),
    "drive.final_ratio": Measuring("teeth counted", 5),
    "drive.wheel_circumference_mm": Measuring("chalk and tape measure", 5),
    "drive.mass_kg": Measuring("bathroom scales", 15),
    "drive.top_rpm": Measuring("workshop manual", 5),
    "drive.clutch_mass_kg": Measuring("kitchen scale", 90),
    "drive.creep_torque_Nm": Measuring("luggage scale", 10),
    "oil.cold_viscosity_mPas": Measuring("oil's data sheet", 10),
    "oil.hot_viscosity_mPas": Measuring("oil's data sheet", 10),
    "oil.idle_rpm": Measuring("tachometer", 2),
    "heat.steel_mass_kg": Measuring("kitchen scale", 50),
    "heat.energy_limit_J_per_mm2": Measuring("lining maker's data", 20),
    "heat.power_limit_W_per_mm2": Measuring("lining maker's data", 20),
    "clearance.bolt_to_cover_mm": Measuring("modelling clay and calliper", 45),
    "clearance.thread_engagement_mm": Measuring("turns counted", 35),
    "clearance.bolt_diameter_mm": Measuring("calliper", 35),
    "clearance.arm_room_mm": Measuring("ruler", 10),
}

# Wished for, of a material, or for a laboratory: nobody measures these at home.
NOT_AT_HOME = frozenset(
    {
        "cable.service_share",
        "springs.modulus_GPa",
        "pack.hot_factor",
        "pack.face_gap_mm",
        "pack.assist",
        "drive.primary_efficiency",
        "drive.drop_rpm",
        "drive.engine_inertia_kgm2",
        "drive.driveline_stiffness_Nm_per_rad",
        "clearance.arm_past_square_deg",
    }
)
