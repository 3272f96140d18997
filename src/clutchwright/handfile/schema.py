"""The one table of a hand file's keys: every section, every key."""

from __future__ import annotations

from clutchwright.handfile import sections as parts
from clutchwright.tomlfile.layout import Layout, StandIn
from clutchwright.tomlfile.section import File


class HandFile(File):
    """A whole hand file."""

    rider: parts.Rider = parts.Rider()
    strength: parts.Strength
    size: parts.Size = parts.Size()
    pull: parts.Pull = parts.Pull()
    wrist: parts.Wrist = parts.WristAngle()
    condition: parts.Health = parts.Health()


# Any one of them says how far the hand reaches; the better one is asked for first.
REACH_KEYS = ("size.reach_mm", "size.hand_length_mm", "size.lever_feels_far")

LAYOUT = Layout(
    title="hand file",
    version=1,
    model=HandFile,
    page="docs/reference/hand-file.md",
    start="clutchwright new --hand",
    use="clutchwright assess BIKE --hand",
    form_keys={"strength": "kind", "wrist": "kind"},
    usual_forms={"strength": "norm"},
    stand_ins={
        "size.hand_length_mm": StandIn(REACH_KEYS[:1], "the length of the hand"),
        "size.lever_feels_far": StandIn(REACH_KEYS[:2], "whether the lever feels far away"),
    },
)
