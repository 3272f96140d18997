"""A tension spring on the arm that passes over centre and helps the pull."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from clutchwright.bike import Bike
from clutchwright.changes.change import Change, Parameter, Usual
from clutchwright.changes.parts import over_centre_spring


def hook_on(bike: Bike, values: Mapping[str, Any]) -> Bike:
    """Bike with an over-centre spring on its arm; see `over_centre_spring`.

    The energy that it gives to the pull must be taken back on the return: own derivation, moments.
    """
    return replace(bike, arm=replace(bike.arm, assist=over_centre_spring("arm", bike.arm.assist, values)))


CHANGE = Change(
    kind="assist-spring",
    title="Assist spring on the arm, passing over centre",
    touches="moment on the arm",
    gives="force, most at full lift",
    takes="return force: the lever must still come back by itself",
    price=(10.0, 60.0),
    hours=3.0,
    reversible=True,
    caution=(
        "The lever must come back by itself from everywhere, cold, dirty and with a worn pack: try it with the engine "
        "off. Guard the spring so that it cannot jam the arm when it breaks."
    ),
    apply=hook_on,
    parameters=(
        Parameter("rate_N_per_mm", 0.0, 50.0, "rate of the spring", usual=Usual(0.0, 5.0)),
        Parameter("pretension_N", 1.0, 1000.0, "its force with the arm at rest", usual=Usual(1.0, 120.0)),
        Parameter("hook_radius_mm", 3.0, 60.0, "arm shaft to the hook on the arm", usual=Usual(3.0, 40.0)),
        Parameter(
            "post_radius_mm",
            5.0,
            150.0,
            "arm shaft to the fixed post, on the far side of the hook",
            usual=Usual(10.0, 100.0),
        ),
        Parameter(
            "before_centre_deg",
            0.5,
            45.0,
            "arm rotation from rest to dead centre, where it starts to help",
            usual=Usual(0.5, 20.0),
        ),
    ),
    example={
        "rate_N_per_mm": 1.0,
        "pretension_N": 20.0,
        "hook_radius_mm": 12.0,
        "post_radius_mm": 60.0,
        "before_centre_deg": 5.0,
    },
    last=True,
)
