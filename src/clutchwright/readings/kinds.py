"""What can be read at the bench: the one table of kinds of reading, their units, and how each is taken."""

from __future__ import annotations

from dataclasses import dataclass

from clutchwright.quantity import bare_name, si_factor, unit_of

# Endings of column names by dimension; the first is the one that people are shown. A scale that shows kilograms shows
# kilograms of weight.
ENDINGS: dict[str, tuple[str, ...]] = {
    "force": ("_N", "_kgf", "_kg"),
    "length": ("_mm",),
    "angle": ("_deg",),
    "torque": ("_Nm",),
}


def factor(ending: str, dimension: str) -> float:
    """What one unit of a column is worth in SI [SI per unit]; a kilogram of a force is its weight."""
    return si_factor("_kgf" if (ending, dimension) == ("_kg", "force") else ending)


@dataclass(frozen=True, slots=True)
class Position:
    """Where something is read.

    Parameters
    ----------
    name : str
        Column without its unit.
    dimension : str
        A key of ``ENDINGS``.
    label : str
        What it is.
    tool : str
        Usual instrument.
    high : float
        The largest that makes sense [shown unit].
    """

    name: str
    dimension: str
    label: str
    tool: str
    high: float


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of reading.

    Parameters
    ----------
    name : str
        Column without its unit.
    dimension : str
        A key of ``ENDINGS``.
    at : str
        Name of the `Position` it is read at; empty for none.
    label : str
        What it is.
    how : str
        How to take it.
    tool : str
        Usual instrument.
    high : float
        The largest that makes sense [shown unit].
    spring : bool
        Whether a column ``spring`` may say which spring it was.
    between : float
        Standard deviation between parts of one set, which a reading of one of them has on top [SI].
    """

    name: str
    dimension: str
    at: str
    label: str
    how: str
    tool: str
    high: float
    spring: bool = False
    between: float = 0.0


POSITIONS: dict[str, Position] = {
    position.name: position
    for position in (
        Position("travel", "length", "Finger travel from rest, at the finger point", "ruler", 150.0),
        Position("arm_turn", "angle", "Arm turned from rest", "protractor", 170.0),
        Position("lift", "length", "Lift of the pressure plate", "dial gauge", 30.0),
        Position("length", "length", "Length the spring is pressed to", "calliper", 150.0),
        Position("weight", "force", "Weight hung on the arm end of the cable, arm unhooked", "kitchen scale", 500.0),
        Position("tension", "force", "Pull on the inner wire at the lever end, arm blocked", "luggage scale", 1000.0),
    )
}

_LEVER = "Pull slowly, always the same way, and read while it moves"
_ALL = (
    Kind(
        "pull", "force", "travel", "Pull at the finger point", f"{_LEVER}; scale square to the lever.", "luggage scale",
        1000.0,
    ),
    Kind(
        "return", "force", "travel", "Return at the finger point",
        "Pull well past the place, then let out slowly to it and read while it moves.", "luggage scale", 1000.0,
    ),
    Kind(
        "hook_pull", "force", "travel", "Pull at the hook",
        f"{_LEVER}; scale hooked at lever.hook_radius_mm, square to the lever. Travel is that of the finger point.",
        "luggage scale", 1000.0,
    ),
    Kind(
        "hook_return", "force", "travel", "Return at the hook",
        "Pull well past the place, then let out slowly to it and read while it moves.", "luggage scale", 1000.0,
    ),
    Kind(
        "drawn", "length", "travel", "Cable drawn at the lever", "Calliper from the adjuster to the cable's end.",
        "calliper", 100.0,
    ),
    Kind(
        "arm_travel", "length", "travel", "Cable drawn at the arm", "Calliper from the cable's stop to its end.",
        "calliper", 100.0,
    ),
    Kind("arm_turn", "angle", "travel", "Arm turned from rest", "Protractor on the arm's shaft.", "protractor", 170.0),
    Kind(
        "lift", "length", "travel", "Lift of the pressure plate",
        "Cover off; dial gauge on the plate, or feeler gauges under it.", "dial gauge", 30.0,
    ),
    Kind(
        "lift", "length", "arm_turn", "Lift of the pressure plate, by the arm's turn",
        "Cover off, cable unhooked; turn the arm by hand or spanner.", "dial gauge", 30.0,
    ),
    Kind(
        "arm_pull", "force", "arm_turn", "Pull in the cable's line at the arm",
        "Cable unhooked; scale on the arm's end, in the line of the cable, pulled slowly.", "luggage scale", 3000.0,
    ),
    Kind(
        "arm_return", "force", "arm_turn", "Return in the cable's line at the arm",
        "Pull well past the place, then let back slowly to it.", "luggage scale", 3000.0,
    ),
    Kind(
        "bearing", "force", "lift", "Force on the release bearing",
        "Cover off; press the bearing in with a drill press on scales, dial gauge on the plate.", "bathroom scales",
        10000.0,
    ),
    Kind(
        "spring_load", "force", "length", "Load of one spring",
        "Press it on scales in a drill press; calliper beside it.", "bathroom scales", 3000.0, spring=True,
        between=4.0,  # common practice, no source; so is the other one
    ),
    Kind(
        "cable_pull", "force", "weight", "Force that raises the weight, at the lever end",
        "Cable as routed; scale on the inner wire, pulled slowly.", "luggage scale", 1000.0,
    ),
    Kind(
        "cable_return", "force", "weight", "Force at the lever end as the weight sinks",
        "Raise the weight, then let it down slowly.", "luggage scale", 1000.0,
    ),
    Kind(
        "stretch", "length", "tension", "Movement of the inner wire at the lever end",
        "Block the arm; pull the inner wire with a scale, calliper from the adjuster to the cable's end.", "calliper",
        30.0,
    ),
    Kind(
        "spring_free", "length", "", "Length of one spring unloaded", "Calliper along it, at three places.", "calliper",
        150.0, spring=True, between=1.5e-4,
    ),
    Kind(
        "hub_slip", "torque", "", "Torque that breaks the engaged clutch away, at its hub",
        "Basket held, torque wrench on the hub, slowly.", "torque wrench", 3000.0,
    ),
    Kind(
        "crank_slip", "torque", "", "Torque that breaks the engaged clutch away, at the crank",
        "In gear, rear wheel held, plugs out; torque wrench on the crank, slowly.", "torque wrench", 1000.0,
    ),
    Kind(
        "bite_start", "length", "", "Finger travel, letting out, where the faces first touch",
        "In gear on a stand, engine off: let out until the wheel can no longer be turned by a finger.", "ruler", 150.0,
    ),
    Kind(
        "bite_creep", "length", "", "Finger travel, letting out, where the machine starts to creep",
        "On the flat in first gear, engine idling, very slowly.", "ruler", 150.0,
    ),
    Kind(
        "stack", "length", "", "Thickness of the pack now", "All plates stacked and pressed by hand; calliper.",
        "calliper", 150.0,
    ),
)  # fmt: skip

# By name and position.
KINDS: dict[tuple[str, str], Kind] = {(kind.name, kind.at): kind for kind in _ALL}

# Readings in pairs: friction makes the first the greater.
PAIRS: dict[str, str] = {
    "pull": "return", "hook_pull": "hook_return", "arm_pull": "arm_return", "cable_pull": "cable_return",
}  # fmt: skip


def dimension_of(key: str) -> str:
    """Dimension of a bike file's key, a name of ``ENDINGS``; empty for another."""
    ending = key.removeprefix(bare_name(key))
    return next((dimension for dimension, endings in ENDINGS.items() if endings[0] == ending), "")


def shown_ending(dimension: str) -> str:
    """Ending of the unit that people are shown; empty for a plain number."""
    return ENDINGS[dimension][0] if dimension else ""


def shown_unit(dimension: str) -> str:
    """The same as written."""
    return unit_of(shown_ending(dimension))
