"""What must be said wherever a result is shown: whole on pages, in brief in the terminal."""

from __future__ import annotations

CAUTIONS: tuple[str, ...] = (
    "These results are estimates from measurements, never a release to ride.",
    "After any work on the clutch check it brakes off and engine off first: does the machine roll freely in gear with "
    "the lever in, does the lever come back by itself, is it clear of the grip at release?",
    "A clutch that slips can strand you or overheat; one that drags or does not release can throw you; a lever that "
    "touches the grip before release is a crash.",
    "Full-throttle tests belong on a closed or legal, empty, dry road, with protective gear, and are your own "
    "decision.",
    "Follow the workshop manual and local law; when in doubt a licensed mechanic decides.",
    "Nothing here is medical advice: pain or numbness in the hand means stop and see a professional.",
)
BRIEF: tuple[str, ...] = (
    "Estimates, never a release to ride. What else to mind: on every --page.",
    "After any work, brakes off and engine off first: does the machine roll freely in gear with the lever in, does the "
    "lever come back by itself, is it clear of the grip at release?",
    "Full-throttle tests only on a closed or legal, empty, dry road, with protective gear. In doubt a licensed "
    "mechanic decides; pain in the hand means stop.",
)
