"""The figures of one clutch: what each is called everywhere, and how it is worked out.

`FIGURES` is the one table from which the terminal, the page and the JSON take names, units and order.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from clutchwright.assess.heat import all_faces, heat_of_start, power_of_start
from clutchwright.assess.wear import free_play_lift, unadjusted_clamp, wear_until_slip
from clutchwright.bike import Bike
from clutchwright.chain import Point, Response, at_angle, at_lift, path_work, smooth_work
from clutchwright.physics import PULL, RETURN
from clutchwright.physics.demand import drop_torque
from clutchwright.physics.heat import slip_energy, temperature_rise
from clutchwright.physics.pack import oil_drag_torque
from clutchwright.quantity import Array, Number


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure: its key in every output (the unit is the key's ending), its label and its meaning."""

    key: str
    label: str
    meaning: str


FIGURES: tuple[Figure, ...] = (
    Figure("pull_peak_N", "Peak pull", "greatest force at the finger point while pulling in"),
    Figure("pull_at_release_N", "Pull at release", "pull where every face has its gap"),
    Figure("hold_N", "Hold", "least force that keeps the lever at its stop; friction helps"),
    Figure("return_at_release_N", "Return at release", "force at the release point while letting out"),
    Figure("work_pull_J", "Work of a pull", "work of the finger over one full pull"),
    Figure("floor_N", "Floor of leverage", "least constant pull that leverage alone could ever reach"),
    Figure("lift_full_mm", "Full lift", "lift of the pressure plate with the lever at its stop"),
    Figure("lift_needed_mm", "Lift needed", "lift at which every face has its gap"),
    Figure("release_margin_mm", "Release margin", "lift to spare beyond a clean release"),
    Figure("release_margin_finger_mm", "Release margin at the finger", "finger travel to spare beyond a clean release"),
    Figure("release_travel_mm", "Release point", "finger travel at a clean release"),
    Figure("bite_start_mm", "Bite starts", "finger travel, letting out, where the faces first touch"),
    Figure("bite_creep_mm", "Bite, creeping", "finger travel, letting out, where the machine starts to creep"),
    Figure("bite_full_mm", "Bite, full torque", "finger travel, letting out, where the full engine torque is carried"),
    Figure("clamp_new_N", "Clamp, new pack", "force pressing a new pack, lever out"),
    Figure("clamp_worn_N", "Clamp, worn pack", "force pressing the pack at its wear limit, lever out"),
    Figure("slip_margin_new", "Slip margin, new", "torque capacity over torque asked, new pack"),
    Figure("slip_margin_worn", "Slip margin, worn", "the same at the wear limit"),
    Figure("slip_margin_hot", "Slip margin, worn and hot", "the same at the wear limit with hot friction"),
    Figure(
        "regrip_margin", "Margin once it slips, worn and hot", "the same with sliding friction: below 1 a slip goes on"
    ),
    Figure("slip_margin_unadjusted", "Slip margin, worn, never adjusted", "at the wear limit, cable never adjusted"),
    Figure("free_play_wear_mm", "Wear the free play lasts", "pack thickness lost before the rod carries"),
    Figure("free_play_wear_share", "Share of the wear limit", "that wear as a share of the limit"),
    Figure("slip_wear_mm", "Wear until it slips unadjusted", "pack thickness lost before full torque slips it"),
    Figure("demand_Nm", "Torque asked", "peak engine torque at the clutch"),
    Figure("start_energy_J", "Heat of a start", "slip energy of one start from rest"),
    Figure("start_energy_J_per_mm2", "Heat of a start per face area", "the same per area of all faces"),
    Figure("start_power_W_per_mm2", "Greatest power of a start", "full engine torque at starting speed, per face area"),
    Figure("start_warming_K", "Warming by a start", "rise of the steel plates, all heat kept"),
    Figure("drop_torque_Nm", "Torque of a dropped clutch", "greatest torque behind the clutch: it slips above this"),
    Figure("drop_energy_J", "Heat of a dropped clutch", "slip energy, engine at drop speed, machine at rest"),
    Figure("drop_warming_K", "Warming by a dropped clutch", "rise of the steel plates, all heat kept"),
    Figure(
        "drag_cold_Nm",
        "Drag released, cold oil (to compare, not a forecast)",
        "torque the oil carries at idle, lever in",
    ),
    Figure("drag_hot_Nm", "Drag released, hot oil (to compare, not a forecast)", "the same, warmed up"),
)

FloatOrArray = float | Array


def measure(bike: Bike, response: Response) -> dict[str, FloatOrArray]:
    """Work out every figure.

    Parameters
    ----------
    bike : Bike
        The clutch; nominal, or with sampled fields of shape (samples, 1).
    response : Response
        What `respond` gave for it.

    Returns
    -------
    dict of str to float or Array
        Value by key of ``FIGURES``, in the unit of the key; arrays of shape (samples,) for a sampled bike. NaN where
        the bike has no such point (a release it never reaches, a torque it never carries).
    """
    values = {
        **_lever_figures(bike, response),
        **_bite_figures(bike),
        **_torque_figures(bike),
        **_heat_figures(bike),
    }
    return {figure.key: _last(values[figure.key]) for figure in FIGURES}


def release_point(bike: Bike, direction: float) -> Point:
    """The chain where every face has its gap, direction PULL or RETURN [-]."""
    return at_lift(bike, bike.pack.release_lift(bike.engaged_clamp), direction)


def leverage_floor(bike: Bike) -> Number:
    """Least constant pull that leverage alone could ever reach.

    Parameters
    ----------
    bike : Bike
        The clutch.

    Returns
    -------
    Number
        Work to reach release over the travel there is for it [N], at least 1-D; NaN where free play eats it all, and
        where a spring that snaps through does the work itself.

    Notes
    -----
    Own derivation. Levers, cams and linkages trade force for travel; none does work. Up to release the arm needs
    W = integral of tension over movement, friction of the lift included; bends and pivot multiply it whatever the
    ratios, and an assist spring on the lever gives its energy E. Drag and stretch are left out, as leverage could make
    them small, so this is a true lower bound: (W x bend gain x (1 + kappa_pivot) - E)/(full travel - free play).
    """
    lift = bike.pack.release_lift(bike.engaged_clamp)
    squash = np.minimum(bike.pack.squash(bike.engaged_clamp), lift)
    ratio = bike.springs.bearing_ratio
    end, kink = bike.lift.rotation(lift * ratio), bike.lift.rotation(squash * ratio)
    work: Number = 0.0
    for start, stop in ((0.0, kink), (kink, end)):
        angles = np.atleast_1d(start + (stop - start) * np.linspace(0.0, 1.0, 33))
        tension = np.asarray(at_angle(bike, angles, PULL).tension + 0.0 * angles)
        movement = np.asarray(bike.arm.movement(angles) + 0.0 * angles)
        work = work + smooth_work(tension, movement)[..., np.newaxis]
    lost = bike.line.bend_gain(PULL) * (1.0 + bike.lever.pivot_friction)
    work = np.asarray(work * lost - _given_by_lever(bike), dtype=np.float64)
    usable = np.asarray(bike.lever.full_travel - bike.lever.free_play, dtype=np.float64)
    some = (usable > 0.0) & (work > 0.0)
    return np.where(some, work / np.where(some, usable, 1.0), np.nan)


def _given_by_lever(bike: Bike) -> Number:
    """Energy that an assist spring on the lever gives from the end of the free play on, at the most [J].

    It falls up to dead centre and rises from there, so it is greatest at one of the ends.
    """
    lever = bike.lever
    if lever.assist is None:
        return 0.0
    free, full = (lever.assist.energy(travel / lever.finger_radius) for travel in (lever.free_play, lever.full_travel))
    return np.maximum(full - free, 0.0)


def _last(value: Number) -> FloatOrArray:
    """Drop the axis that positions stand on: (samples, 1) to (samples,), a nominal value to a float."""
    array = np.asarray(value, dtype=np.float64)
    array = array[..., 0] if array.ndim else array
    return array if array.ndim else float(array)


def _lever_figures(bike: Bike, response: Response) -> dict[str, Number]:
    released, let_out = release_point(bike, PULL), release_point(bike, RETURN)
    needed = bike.pack.release_lift(bike.engaged_clamp)
    full_lift = response.lift[..., -1:]
    return {
        "pull_peak_N": np.max(response.pull, axis=-1, keepdims=True),
        "pull_at_release_N": released.force,
        "hold_N": np.minimum(response.returning[..., -1:], response.pull[..., -1:]),
        "return_at_release_N": let_out.force,
        "work_pull_J": path_work(response.pull, response.travel)[..., np.newaxis],
        "floor_N": leverage_floor(bike),
        "lift_full_mm": full_lift * 1e3,
        "lift_needed_mm": needed * 1e3,
        "release_margin_mm": (full_lift - needed) * 1e3,
        "release_margin_finger_mm": (bike.lever.full_travel - released.travel) * 1e3,
        "release_travel_mm": released.travel * 1e3,
    }


def bite_travel(bike: Bike, torque: Number) -> Number:
    """Finger travel [mm], letting out, where a torque [N m] is carried; NaN where it never is."""
    engaged = bike.engaged_clamp
    share = torque / bike.pack.capacity(engaged, bike.pack.friction_static)
    lift = bike.pack.squash(engaged) - bike.pack.squash(engaged * share)
    return np.where(share <= 1.0, at_lift(bike, np.maximum(lift, 0.0), RETURN).travel * 1e3, np.nan)


def _bite_figures(bike: Bike) -> dict[str, Number]:
    return {
        "bite_start_mm": bite_travel(bike, 0.0),
        "bite_creep_mm": bite_travel(bike, bike.drive.creep_torque),
        "bite_full_mm": bite_travel(bike, bike.drive.torque),
    }


def worn_hot_margin(bike: Bike) -> Number:
    """Torque capacity over torque asked, pack at its wear limit, friction hot [-]."""
    hot = bike.pack.friction_static * bike.pack.hot_factor
    return bike.pack.capacity(worn_clamp(bike), hot) / bike.drive.torque


def worn_clamp(bike: Bike) -> Number:
    """Clamp at the wear limit [N]; 0 where the springs have come loose by then."""
    return np.maximum(bike.springs.load_engaged(bike.pack.wear_limit), 0.0)


def _torque_figures(bike: Bike) -> dict[str, Number]:
    pack, demand = bike.pack, bike.drive.torque
    new, worn = bike.springs.load_engaged(0.0), worn_clamp(bike)
    unadjusted = unadjusted_clamp(bike, pack.wear_limit)
    lasts = free_play_lift(bike)
    hot = pack.hot_factor
    return {
        "clamp_new_N": new,
        "clamp_worn_N": worn,
        "slip_margin_new": pack.capacity(new, pack.friction_static) / demand,
        "slip_margin_worn": pack.capacity(worn, pack.friction_static) / demand,
        "slip_margin_hot": worn_hot_margin(bike),
        "regrip_margin": pack.capacity(worn, pack.friction_sliding * hot) / demand,
        "slip_margin_unadjusted": pack.capacity(unadjusted, pack.friction_static) / demand,
        "free_play_wear_mm": lasts * 1e3,
        "free_play_wear_share": lasts / pack.wear_limit,
        "slip_wear_mm": wear_until_slip(bike) * 1e3,
        "demand_Nm": demand,
    }


def _heat_figures(bike: Bike) -> dict[str, Number]:
    pack, drive, mass = bike.pack, bike.drive, bike.heat.steel_mass
    start, area = heat_of_start(bike), all_faces(bike)
    drop_speed = drive.drop_speed / drive.primary_ratio
    dropped = slip_energy(
        driver_inertia=drive.driver_inertia, driven_inertia=drive.driven_inertia, speed_step=drop_speed
    )
    capacity = pack.capacity(bike.springs.load_engaged(0.0), pack.friction_static)
    idle = bike.oil.idle_speed / drive.primary_ratio
    drag_per_viscosity = oil_drag_torque(
        faces=pack.faces, viscosity=1.0, slip_speed=idle, outer=pack.outer, inner=pack.inner, gap=pack.face_gap
    )
    return {
        "start_energy_J": start,
        "start_energy_J_per_mm2": start / area * 1e-6,
        "start_power_W_per_mm2": power_of_start(bike) / area * 1e-6,
        "start_warming_K": temperature_rise(start, mass=mass),
        "drop_torque_Nm": _drop_torque(bike, capacity, drop_speed),
        "drop_energy_J": dropped,
        "drop_warming_K": temperature_rise(dropped, mass=mass),
        "drag_cold_Nm": drag_per_viscosity * bike.oil.cold_viscosity,
        "drag_hot_Nm": drag_per_viscosity * bike.oil.hot_viscosity,
    }


def _drop_torque(bike: Bike, capacity: Number, drop_speed: Number) -> Number:
    """Torque of a drop [N m]: the static capacity, or less where the driveline is known to be soft enough."""
    drive = bike.drive
    if drive.driveline_stiffness is None:
        return capacity
    elastic = drop_torque(
        speed_step=drop_speed,
        stiffness=drive.driveline_stiffness,
        driver_inertia=drive.driver_inertia,
        driven_inertia=drive.driven_inertia,
    )
    return np.minimum(capacity, elastic)
