"""What can be wrong with a clutch, each fault as another bike file: what it makes likely in place of what is filed.

The severities are own judgement, common practice without a source. A fault comes in one form or in several that are
as likely as each other; a form says which quantities it changes, and which readings it makes stray.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from clutchwright.bikefile import MeasuredBike, find_key
from clutchwright.quantity import Quantity
from clutchwright.readings import Reading

ORIGIN = "fault"
# Keys that say how much a lift loses, by kind of lift; a bike has one of them, or none.
_LIFT_FRICTION = ("lift.friction", "lift.thread_friction", "lift.rolling_friction")
_RETURNS = ("return", "hook_return")


@dataclass(frozen=True, slots=True)
class Form:
    """One form of a fault.

    Parameters
    ----------
    quantities : mapping of str to Quantity
        What it makes likely, by key of the bike file [unit of the key].
    strays : mapping of (str, int) to float
        By kind of reading and by spring, 0 for any, how far it strays on top, as a share of the mean of its kind [-].
    """

    quantities: Mapping[str, Quantity] = field(default_factory=dict)
    strays: Mapping[tuple[str, int], float] = field(default_factory=dict)

    def bike(self, measured: MeasuredBike) -> MeasuredBike:
        """The bike file with the fault in it."""
        return replace(measured, quantities={**measured.quantities, **self.quantities})

    def readings(self, readings: Sequence[Reading]) -> tuple[Reading, ...]:
        """The same readings, some of which stray."""
        return tuple(
            replace(each, stray=share * _mean(readings, each.name)) if (share := self._share(each)) else each
            for each in readings
        )

    def _share(self, reading: Reading) -> float:
        """How far a reading strays, as a share of the mean of its kind [-]."""
        return self.strays.get((reading.name, 0), self.strays.get((reading.name, reading.spring), 0.0))

    def together(self, other: Form) -> Form | None:
        """Both at once; None where both change the same thing."""
        if self.quantities.keys() & other.quantities.keys() or self.strays.keys() & other.strays.keys():
            return None
        return Form({**self.quantities, **other.quantities}, {**self.strays, **other.strays})


def _mean(readings: Sequence[Reading], name: str) -> float:
    """Mean of all readings of a kind [SI]."""
    values = [each.value for each in readings if each.name == name]
    return math.fsum(values) / len(values)


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that can be wrong.

    Parameters
    ----------
    key, label : str
        What programs and people call it.
    free : bool
        Whether it can be put right without a part.
    check : str
        What confirms it.
    remedy : str
        What puts it right.
    make : callable
        From the bike file to its forms; none where such a bike cannot have it.
    """

    key: str
    label: str
    free: bool
    check: str
    remedy: str
    make: Callable[[MeasuredBike], Sequence[Form]]


def _number(measured: MeasuredBike, key: str, value: float, u: float) -> Form:
    """A form that changes one quantity, kept two standard uncertainties within the range of its key where it can be."""
    low, high = find_key(key, measured.choices).limits
    u = min(u, 0.2 * (high - low))
    return Form({key: Quantity(min(max(value, low), high - 2.0 * u), u, ORIGIN)})


def _dry_cable(measured: MeasuredBike) -> Sequence[Form]:
    friction, drag = (measured.quantities[key].value for key in ("cable.friction", "cable.drag_N"))
    dry = max(2.5 * friction, 0.15)
    return (
        _number(measured, "cable.friction", dry, 0.3 * dry),
        _number(measured, "cable.drag_N", drag + 12.0, 5.0),
    )


def _binding_pivot(measured: MeasuredBike) -> Sequence[Form]:
    return (_number(measured, "lever.pivot_friction", 0.17, 0.06),)


def _dry_shaft(measured: MeasuredBike) -> Sequence[Form]:
    keys = [key for key in _LIFT_FRICTION if key in measured.quantities]
    return [_number(measured, key, measured.quantities[key].value + 0.2, 0.08) for key in keys]


def _worn_serration(measured: MeasuredBike) -> Sequence[Form]:
    return (_number(measured, "arm.play_deg", 5.0, 2.0),)


def _wrong_angle(measured: MeasuredBike) -> Sequence[Form]:
    angle = measured.quantities["arm.cable_angle_deg"].value
    return tuple(_number(measured, "arm.cable_angle_deg", angle + off, 8.0) for off in (-28.0, 28.0))


def _sagged(measured: MeasuredBike) -> Sequence[Form]:
    if "springs.free_length_mm" not in measured.quantities or any(
        key.startswith("springs.each.") and key.endswith("free_length_mm") for key in measured.quantities
    ):
        return ()
    free, installed = (measured.quantities[f"springs.{name}_length_mm"].value for name in ("free", "installed"))
    sag = 0.18 * (free - installed)
    return (_number(measured, "springs.free_length_mm", free - sag, 0.4 * sag),)


def _mixed(measured: MeasuredBike) -> Sequence[Form]:
    if measured.choices["springs.kind"] != "coil":
        return ()
    count = int(measured.choices["springs.count"])
    return (
        Form(strays={("spring_load", 0): 0.12, ("spring_free", 0): 0.005}),
        Form(strays={("spring_load", 0): 0.12, ("spring_free", 0): 0.02}),
        *(Form(strays={("spring_load", odd): 0.15, ("spring_free", odd): 0.01}) for odd in range(1, count + 1)),
    )


def _worn_pack(measured: MeasuredBike) -> Sequence[Form]:
    limit = measured.quantities["pack.wear_limit_mm"].value
    filed = measured.quantities["pack.wear_mm"].value
    return (_number(measured, "pack.wear_mm", filed + 0.75 * limit, 0.2 * limit),)


def _grooved(_measured: MeasuredBike) -> Sequence[Form]:
    return tuple(Form(strays={(name, 0): share for name in _RETURNS}) for share in (0.15, 0.4))


def _excess_play(measured: MeasuredBike) -> Sequence[Form]:
    return (_number(measured, "lever.free_play_mm", measured.quantities["lever.free_play_mm"].value + 5.5, 1.7),)


def _missing_play(measured: MeasuredBike) -> Sequence[Form]:
    return (_number(measured, "lever.free_play_mm", 0.15 * measured.quantities["lever.free_play_mm"].value, 0.25),)


FAULTS: tuple[Fault, ...] = (
    Fault(
        "missing-play", "missing free play", True,
        "Pull with one finger until the arm at the engine just moves; ruler at the finger point.",
        "Slacken the adjuster until the manual's free play is there: without it the pack wears the clutch into slip.",
        _missing_play,
    ),
    Fault(
        "excess-play", "excess free play", True,
        "Pull with one finger until the arm at the engine just moves; ruler at the finger point.",
        "Take it up at the adjuster, down to the manual's free play: it gives lift back.", _excess_play,
    ),
    Fault(
        "dry-cable", "dry, dirty or kinked cable", True,
        "Unhook it at the arm and move the inner wire by hand: it must slide smoothly at every handlebar position; "
        "look for a kink, a flattened conduit, a broken strand.",
        "Clean and oil it, or ease its routing; renew it where it is kinked or frayed.", _dry_cable,
    ),
    Fault(
        "binding-pivot", "binding lever pivot", True,
        "Unhook the cable: the lever must fall by itself. Look at the bolt, the bush and the pinch of the perch.",
        "Take the bolt out, clean and grease it, and do not pinch the lever with its nut.", _binding_pivot,
    ),
    Fault(
        "dry-shaft", "dry release mechanism", True,
        "Cable unhooked, turn the arm by hand through its free part: it must turn smoothly, without grit or rust.",
        "Clean and grease the shaft and the lift mechanism.", _dry_shaft,
    ),
    Fault(
        "wrong-angle", "wrong cable angle at the arm", True,
        "Photograph the arm along its shaft, at rest and with the lever in; lay a protractor on the pictures.",
        "Set the arm back on its serration so that the cable is square to it near the release point.", _wrong_angle,
    ),
    Fault(
        "worn-serration", "arm loose on its worn serration", False,
        "Mark arm and shaft across with a pen; pull the lever: the two halves of the mark must stay together.",
        "Tighten the pinch bolt; where the teeth are worn, renew the arm, and the shaft if need be.", _worn_serration,
    ),
    Fault(
        "sagged-springs", "sagged springs", False,
        "Measure the free length of all springs against the manual's limit.",
        "Renew all springs as a set: it gives clamp back, and costs pull.", _sagged,
    ),
    Fault(
        "mixed-springs", "mixed springs", False,
        "Measure free length, wire diameter and turns of every spring, each on its own; press each to one length.",
        "Fit one set of like springs, or place them in a balanced pattern.", _mixed,
    ),
    Fault(
        "worn-pack", "worn pack", False,
        "Measure the friction plates with a calliper against the manual's limit; look for glaze and blue steel plates.",
        "Renew the friction plates, and the steel plates where they are blue or warped.", _worn_pack,
    ),
    Fault(
        "grooved-basket", "grooved basket or hub", False,
        "Cover off, plates out: feel the fingers of the basket and the splines of the hub for notches.",
        "File shallow notches flat and even, so that plates slide freely; renew a basket with deep ones.", _grooved,
    ),
)  # fmt: skip
