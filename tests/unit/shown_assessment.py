"""An assessment written by hand, with round numbers, for what shows assessments."""

from __future__ import annotations

from dataclasses import replace

from clutchwright.assess.budgets import Item, Place
from clutchwright.assess.checks import at_least, not_checked
from clutchwright.assess.figures import FIGURES
from clutchwright.assess.verdict import Verdict
from clutchwright.changes import Step
from clutchwright.study.assessment import Assessment, Assumption, Curve, Sampled

NAN = float("nan")


def curve(scale: float = 1.0, full_mm: float = 40.0) -> Curve:
    """Free play to 4 mm, a rise to 12 mm, level to the stop; pull 100 N times the scale, return half of it."""
    travel = tuple(full_mm * step / 100 for step in range(101))
    rise = [min(max((place - 4.0) / 8.0, 0.0), 1.0) for place in travel]
    return Curve(
        travel_mm=travel,
        span_mm=tuple(78.0 - place for place in travel),
        pull_N=tuple(100.0 * scale * part for part in rise),
        return_N=tuple(50.0 * scale * part for part in rise),
        lift_mm=tuple(max(place - 4.0, 0.0) / 30.0 for place in travel),
        clamp_N=tuple(1500.0 * (1.0 - part) for part in rise),
        capacity_Nm=tuple(150.0 * (1.0 - part) for part in rise),
    )


def assessment() -> Assessment:
    """A sound clutch: force 60 + 10 + 25 + 3 + 2 = 100 N, travel 4 + 3 + 8 + 20 + 5 = 40 mm."""
    figures = {figure.key: 1.5 for figure in FIGURES} | {
        "pull_peak_N": 100.0,
        "pull_at_release_N": 100.0,
        "hold_N": 50.0,
        "release_travel_mm": 35.0,
        "release_margin_mm": 0.25,
        "release_margin_finger_mm": 5.0,
        "bite_start_mm": 12.0,
        "bite_creep_mm": 11.0,
        "bite_full_mm": 6.0,
    }
    places = (
        Place("springs", 1600.0, "N", 1.0),
        Place("bearing", 1600.0, "N", 1.0),
        Place("shaft", 8.0, "N m", 0.005),
        Place("arm_end", 250.0, "N", 31.25),
        Place("lever_end", 320.0, "N", 1.0, 1.27, 2.5),
        Place("finger", 100.0, "N", 0.3125),
    )
    force = {"ideal": 60.0, "lift_friction": 10.0, "assist": 0.0, "bend_friction": 25.0, "drag": 3.0}
    travel_mm = {"free_play": 4.0, "stretch": 3.0, "pack": 8.0, "gaps": 20.0, "spare": 5.0}
    return Assessment(
        name="Paper clutch (invented)",
        changes=(),
        figures=figures,
        u={figure.key: 0.1 for figure in FIGURES} | {"pull_peak_N": 6.0},
        deciding="release_margin_mm",
        curve=curve(),
        places=places,
        force=tuple(Item(key, value) for key, value in (force | {"pivot_friction": 2.0}).items()),
        travel=tuple(Item(key, value * 1e-3) for key, value in travel_mm.items()),
        checks=(
            at_least("arm_room", "Room for the arm", 9.0, limit=0.0, tight=2.0, unit="mm", note="common practice"),
            not_checked("bolt_room", "Spring bolts to cover", "clearance.bolt_to_cover_mm"),
        ),
        verdict=Verdict("sound", ("It releases with 0.25 mm of lift to spare.", "New, it carries 1.50 times.")),
        warnings=("Not checked, so not known to be fine: Spring bolts to cover.",),
        assumed=(
            Assumption("pack.flatness_mm", 0.05, 0.03, 0.625, 0.0),
            Assumption("cable.friction", 0.12, 0.03, 0.0, 0.25),
        ),
        sampled=None,
        before=None,
    )


def changed() -> Assessment:
    """The same after a change that took a fifth of the pull, drawn from 400 possible bikes."""
    now = assessment()
    keys = [figure.key for figure in FIGURES]
    sampled = Sampled(
        samples=400,
        seed=1,
        p05=dict.fromkeys(keys, 1.0),
        p50=dict.fromkeys(keys, 1.5),
        p95=dict.fromkeys(keys, 2.0),
        probability={"slips": 0.03, "does_not_release": 0.0, "touches": 0.5},
    )
    return replace(
        now,
        changes=(Step("arm-length", {"length_mm": 40.0}),),
        figures=now.figures | {"pull_peak_N": 80.0},
        curve=curve(0.8),
        force=tuple(Item(item.key, 0.8 * item.value) for item in now.force),
        sampled=sampled,
        before=now,
    )


def short() -> Assessment:
    """The lever meets its stop 2 mm before a clean release: 4 + 3 + 10 + 25 - 2 = 40 mm."""
    travel_mm = {"free_play": 4.0, "stretch": 3.0, "pack": 10.0, "gaps": 25.0, "spare": -2.0}
    now = assessment()
    return replace(
        now,
        figures=now.figures | {"release_travel_mm": 42.0, "release_margin_finger_mm": -2.0},
        travel=tuple(Item(key, value * 1e-3) for key, value in travel_mm.items()),
        verdict=Verdict("unsafe", ("The lever meets its stop before the clutch has released.",)),
    )


def unreachable() -> Assessment:
    """The mechanism cannot get to the release point at all, and the clutch never carries the full torque."""
    now = assessment()
    lost = ("pull_at_release_N", "return_at_release_N", "floor_N", "release_travel_mm", "release_margin_finger_mm")
    return replace(
        now,
        figures=now.figures | dict.fromkeys((*lost, "bite_full_mm"), NAN),
        u=now.u | dict.fromkeys((*lost, "bite_full_mm"), NAN),
        deciding="release_margin_finger_mm",
        places=(),
        force=(),
        travel=(),
        verdict=Verdict("unsafe", ("The lever meets its stop before the clutch has released.",)),
    )


def hydraulic() -> Assessment:
    """The same with a hydraulic line that sets itself, in place of the cable: seals take 10 N, the hose 1 mm."""
    was = assessment()
    ends = {"arm_end": Place("slave", 250.0, "N", 31.25), "lever_end": Place("master", 272.0, "N", 1.0, 1.088)}
    force = {"bend_friction": Item("seal_friction", 10.0), "drag": Item("drag", 0.0)}
    travel = {"stretch": Item("swelling", 1e-3), "spare": Item("spare", 7e-3)}
    return replace(
        was,
        changes=(Step("hydraulic", {}),),
        figures=was.figures | {"pull_at_release_N": 82.0, "free_play_wear_mm": NAN, "free_play_wear_share": NAN},
        u=was.u | {"free_play_wear_mm": NAN, "free_play_wear_share": NAN},
        places=tuple(ends.get(place.key, place) for place in was.places),
        force=tuple(force.get(item.key, item) for item in was.force),
        travel=tuple(travel.get(item.key, item) for item in was.travel),
        before=was,
    )
