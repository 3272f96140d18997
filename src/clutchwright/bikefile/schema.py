"""The one table of a bike file's keys: every section, every key."""

from __future__ import annotations

from clutchwright.bikefile import actuation, clutch, lifting, road
from clutchwright.bikefile.fitted import Fitted
from clutchwright.tomlfile.layout import Layout, StandIn
from clutchwright.tomlfile.section import File

VERSION = 1


class BikeFile(File):
    """A whole bike file."""

    lever: actuation.Lever
    cable: actuation.Cable = actuation.Cable()
    arm: actuation.Arm
    lift: lifting.Lift
    springs: clutch.Springs
    pack: clutch.Pack
    drive: road.Drive
    clearance: road.Clearance = road.Clearance()
    oil: road.Oil = road.Oil()
    heat: road.Heat = road.Heat()
    fitted: Fitted = Fitted()


# Asked for only when the rate of the springs is not known, and needed then.
_WIRE = tuple(f"springs.{name}" for name in ("wire_mm", "outer_mm", "total_turns", "ends", "material"))

LAYOUT = Layout(
    title="bike file",
    version=VERSION,
    model=BikeFile,
    page="docs/reference/bike-file.md",
    start="clutchwright new",
    use="clutchwright assess",
    form_keys={"lever": "cable_end", "lift": "kind", "springs": "kind"},
    lists={"springs": clutch.OneSpring},
    stand_ins=dict.fromkeys(
        _WIRE, StandIn(("springs.rate_N_per_mm",), "the wire, from which it is worked out", needed=True)
    ),
)

sections = LAYOUT.sections
form_of = LAYOUT.form_of
find_key = LAYOUT.find_key
json_schema = LAYOUT.json_schema
