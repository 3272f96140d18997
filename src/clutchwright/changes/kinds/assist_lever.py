"""A tension spring on the hand lever that passes over centre and helps the pull."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter, Usual
from clutchwright.changes.parts import over_centre_spring


def hook_on(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike with an over-centre spring on its hand lever; see `over_centre_spring`.

    Cable and clutch feel nothing of it, so lift and travel stay; the energy that it gives to the pull must be taken
    back on the return. Own derivation, moments.
    """
    return replace(bike, lever=replace(bike.lever, assist=over_centre_spring("lever", bike.lever.assist, values)))


CHANGE = Change(
    kind="assist-lever",
    title="Assist spring on the lever pivot, passing over centre",
    touches="moment on the lever",
    gives="force, most with the lever in",
    takes="return force: the lever must still come back by itself",
    price=(10.0, 60.0),
    hours=2.0,
    reversible=True,
    caution=(
        "The lever must come back by itself from everywhere, cold, dirty and with a worn pack: try it with the engine "
        "off. Guard the spring so that it can neither jam the lever nor catch a finger."
    ),
    apply=hook_on,
    parameters=(
        Parameter("rate_N_per_mm", 0.0, 50.0, "rate of the spring", usual=Usual(0.0, 5.0)),
        Parameter("pretension_N", 1.0, 500.0, "its force with the lever at rest", usual=Usual(1.0, 150.0)),
        Parameter("hook_radius_mm", 3.0, 40.0, "lever pivot to the hook on the lever", usual=Usual(3.0, 25.0)),
        Parameter(
            "post_radius_mm",
            5.0,
            100.0,
            "lever pivot to the fixed post on the perch, on the far side of the hook",
            usual=Usual(10.0, 60.0),
        ),
        Parameter(
            "before_centre_deg",
            0.5,
            30.0,
            "lever rotation from rest to dead centre, where it starts to help",
            usual=Usual(0.5, 20.0),
        ),
    ),
    example={
        "rate_N_per_mm": 1.0,
        "pretension_N": 60.0,
        "hook_radius_mm": 12.0,
        "post_radius_mm": 35.0,
        "before_centre_deg": 10.0,
    },
    last=True,
)
