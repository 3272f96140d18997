"""What is said beside the drawing, and in its place to those who do not see it."""

from __future__ import annotations

from clutchwright.physics.cable import Cable
from clutchwright.picture.mechanism.pose import pose, value_text
from clutchwright.study.mechanism import Mechanism


def mechanism_caption(now: Mechanism, before: Mechanism | None = None) -> str:
    """What must be said beside the drawing: what is to scale, and what was made up to draw it."""
    blade = "" if now.bike.lever.blade_length is not None else " the blade's length,"
    line = now.bike.line
    between = "cable" if isinstance(line, Cable) else "hydraulic line"
    unit = " The in-line unit is left out." if isinstance(line, Cable) and line.ratio != 1.0 else ""
    ghost = " Dashed: the bike without the changes, at the same finger travel." if before else ""
    return (
        "To scale, from the same numbers as the model; the bite band is that of letting out. Not in the bike file and "
        f"so made up:{blade} where perch and engine stand (the {between} is drawn shortened), outlines, and the "
        f"thickness of plates.{unit}{ghost}"
    )


def described(now: Mechanism, before: Mechanism | None) -> str:
    """The drawing standing still, in words."""
    values, places = pose(now, now.shown_mm), now.places
    at = (
        "At the clean release"
        if places.release_mm <= places.stop_mm
        else "At the lever's stop, short of a clean release"
    )
    text = (
        f"{at}, finger travel {value_text(values['travel'], 1, 'mm')}: pull {value_text(values['pull'], 0, 'N')}, "
        f"letting out {value_text(values['return'], 0, 'N')}, arm turned {value_text(values['arm'], 1, '°')}, "
        f"lift {value_text(values['lift'], 2, 'mm')}, gap at each face {value_text(values['gap'], 2, 'mm')}."
    )
    if before is None:
        return text
    return f"{text} Without the changes the pull there is {value_text(pose(before, now.shown_mm)['pull'], 0, 'N')}."
