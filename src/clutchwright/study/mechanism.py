"""Where each part of the clutch stands along the stroke, for a drawing that moves."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from clutchwright.assess.figures import bite_travel, release_point
from clutchwright.bike import Bike
from clutchwright.bikefile import MeasuredBike, assemble
from clutchwright.chain import BITE_END, BITE_STEPS, FREE_STEPS, REST_STEPS, TOUCH, respond
from clutchwright.changes import Step, apply
from clutchwright.physics import PULL
from clutchwright.physics.springs import CoilSet
from clutchwright.quantity import Array, Number

# Positions of a response that are kept: the kinks, every 4th of the bite band and of what is beyond it.
_KEPT = (
    0,
    FREE_STEPS,
    *range(TOUCH, BITE_END, BITE_STEPS // 16),
    *range(BITE_END, BITE_END + REST_STEPS + 1, REST_STEPS // 32),
)


@dataclass(frozen=True, slots=True)
class Poses:
    """Positions along the stroke, in the units of the names; arrays of the same length, arm at the same angle in each.

    Parameters
    ----------
    travel_mm, pull_N : Array
        Finger travel and force, pulling in.
    return_travel_mm, return_N : Array
        The same, letting out: with less tension the cable is less stretched.
    lever_deg, cable_mm : Array
        Rotation of the lever and cable drawn at it, pulling in.
    arm_deg : Array
        Rotation of the arm.
    lift_mm, gap_mm : Array
        Lift of the pressure plate, and gap at each face.
    spring_mm : Array
        Length of a coil spring; deflection of a diaphragm spring.
    clamp_N : Array
        Force left on the pack.
    """

    travel_mm: Array
    pull_N: Array
    return_travel_mm: Array
    return_N: Array
    lever_deg: Array
    cable_mm: Array
    arm_deg: Array
    lift_mm: Array
    gap_mm: Array
    spring_mm: Array
    clamp_N: Array


@dataclass(frozen=True, slots=True)
class Places:
    """Finger travel at the places with a name [mm].

    Parameters
    ----------
    free_mm : float
        Where the arm starts to turn.
    bite_full_mm, bite_start_mm : float
        Letting out: full torque carried, and faces touching first; NaN where never.
    release_mm : float
        Clean release, pulling in; beyond the stop, or NaN, where it is not reached.
    stop_mm : float
        Lever's stop.
    """

    free_mm: float
    bite_full_mm: float
    bite_start_mm: float
    release_mm: float
    stop_mm: float

    @property
    def bite_mm(self) -> tuple[float, float] | None:
        """Start and end of the bite band [mm], letting out; None when the faces never part.

        Where the clutch never carries the full torque, the band reaches to the end of the free play.
        """
        full = self.free_mm if math.isnan(self.bite_full_mm) else self.bite_full_mm
        return (full, self.bite_start_mm) if full < min(self.bite_start_mm, self.stop_mm) else None


@dataclass(frozen=True, slots=True)
class Mechanism:
    """One clutch and its poses.

    Parameters
    ----------
    bike : Bike
        The clutch, nominal.
    poses : Poses
        Along the stroke.
    places : Places
        Where things happen.
    """

    bike: Bike
    poses: Poses
    places: Places

    @property
    def shown_mm(self) -> float:
        """Finger travel at which it is best shown standing still [mm]: the release point, or the stop before it."""
        release, stop = self.places.release_mm, self.places.stop_mm
        return stop if math.isnan(release) else min(release, stop)


def mechanisms(measured: MeasuredBike, changes: Sequence[Step] = ()) -> tuple[Mechanism, Mechanism | None]:
    """Mechanism of a bike with its changes, and of the bike as it is where there are any.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.
    changes : sequence of Step
        Changes to make to it, in order.

    Returns
    -------
    tuple
        The changed bike's; the unchanged one's, or None without changes.

    Raises
    ------
    Refusal
        Where a change cannot be done.
    """
    bike = assemble(measured)
    return (mechanism(apply(bike, changes)), mechanism(bike)) if changes else (mechanism(bike), None)


def mechanism(bike: Bike) -> Mechanism:
    """Poses and places of a nominal bike.

    Parameters
    ----------
    bike : Bike
        The clutch, every field a float.

    Returns
    -------
    Mechanism
        See there.
    """
    response = respond(bike)
    kept = list(_KEPT)
    travel, lift = response.travel[kept], response.lift[kept]
    rotation = travel / bike.lever.finger_radius
    poses = Poses(
        travel_mm=travel * 1e3,
        pull_N=response.pull[kept],
        return_travel_mm=response.return_travel[kept] * 1e3,
        return_N=response.returning[kept],
        lever_deg=np.degrees(rotation),
        cable_mm=np.asarray(bike.lever.cable_end.drawn(rotation)) * 1e3,
        arm_deg=np.degrees(bike.lift.rotation(lift * bike.springs.bearing_ratio)),
        lift_mm=lift * 1e3,
        gap_mm=np.asarray(bike.pack.gap(lift, bike.engaged_clamp)) * 1e3,
        spring_mm=_spring_length(bike, lift) * 1e3,
        clamp_N=response.clamp[kept],
    )
    places = Places(
        free_mm=float(response.travel[FREE_STEPS]) * 1e3,
        bite_full_mm=_number(bite_travel(bike, bike.drive.torque)),
        bite_start_mm=_number(bite_travel(bike, 0.0)),
        release_mm=_number(release_point(bike, PULL).travel) * 1e3,
        stop_mm=float(response.travel[-1]) * 1e3,
    )
    return Mechanism(bike, poses, places)


def _spring_length(bike: Bike, lift: Array) -> Array:
    """Length of the first coil spring [m], or deflection of the diaphragm [m], at a lift [m]."""
    springs, wear = bike.springs, bike.pack.wear
    if isinstance(springs, CoilSet):
        first = springs.springs[0]
        return np.asarray(first.installed_length + first.washer + wear - lift)
    return np.asarray(springs.deflection - wear + lift)


def _number(value: Number) -> float:
    return float(np.asarray(value).reshape(-1)[0])
