"""What a start from rest does to the faces."""

from __future__ import annotations

from clutchwright.bike import Bike
from clutchwright.physics.heat import face_area, start_energy
from clutchwright.quantity import Number


def start_speed(bike: Bike) -> Number:
    """Speed of the clutch's input at a start [rad/s]."""
    return bike.drive.start_speed / bike.drive.primary_ratio


def heat_of_start(bike: Bike) -> Number:
    """Slip energy of one start from rest [J], engine held at its starting speed; see `start_energy`."""
    return start_energy(driven_inertia=bike.drive.driven_inertia, speed=start_speed(bike))


def power_of_start(bike: Bike) -> Number:
    """Greatest slip power of a start [W]: full engine torque at the starting speed."""
    return bike.drive.torque * start_speed(bike)


def all_faces(bike: Bike) -> Number:
    """Area of all friction faces [m²]."""
    return face_area(faces=bike.pack.faces, outer=bike.pack.outer, inner=bike.pack.inner)
