"""Hand files that cannot be used, each with what the one line about it must say."""

from __future__ import annotations

GOOD = """\
schema = 1
name = "A hand made up for tests"

[rider]
sex = "woman"
age_years = 62
dominant_hand = "right"

[strength]
kind = "norm"
percentile = 30

[size]
hand_length_mm = 175
hand_span_mm = 176

[pull]
fingers = "index+middle"
glove = true

[wrist]
seated_extension_deg = 20

[condition]
kind = "none"
"""

NORM = 'kind = "norm"\npercentile = 30'
DYNAMOMETER = 'kind = "dynamometer"\ngrip_kgf = 26'
PAINLESS = 'kind = "painless"\ngrip_kgf = 12'
LEVER_SCALE = 'kind = "lever_scale"\nscale_kgf = 20\nhook_radius_mm = 100\nfinger_radius_mm = 80\nspan_mm = 70'
BATHROOM = 'kind = "bathroom_scale"\nscale_kgf = 30\nhands = 2'


def edited(*edits: tuple[str, str], text: str = GOOD) -> str:
    """The good file with some of its text exchanged; each piece must be in it."""
    for old, new in edits:
        if old not in text:
            message = f"{old!r} is not in the file"
            raise ValueError(message)
        text = text.replace(old, new, 1)
    return text


def _strength(new: str) -> str:
    return edited((NORM, new))


# name: (file, what the line must say, as a regular expression)
BROKEN: dict[str, tuple[str, str]] = {
    "empty": ("", "file: empty; start one with: clutchwright new --hand"),
    "not TOML": ("a strong hand", "not TOML: .* line 1.*docs/reference/hand-file.md"),
    "unclosed text": (edited(('tests"', "tests")), "not TOML"),
    "a bike file": (
        'schema = 1\nname = "x"\n[lever]\nrest_span_mm = 78\n',
        "lever: unknown section; known are rider, strength, size, pull, wrist, condition",
    ),
    "future schema": (edited(("schema = 1", "schema = 7")), "schema = 7: made by a newer version"),
    "no schema": (edited(("schema = 1\n", "")), "schema: must be 1"),
    "no name": (edited(('name = "A hand made up for tests"', "")), "name: missing; give this hand a name"),
    "no strength": (edited((f"[strength]\n{NORM}\n", "")), "strength: missing; the file needs this section"),
    "no kind of strength": (
        edited(('kind = "norm"\n', "")),
        "strength.kind: must be one of dynamometer, painless, lever_scale, bathroom_scale, norm",
    ),
    "unknown kind of strength": (_strength('kind = "dynamo"'), r"kind = 'dynamo': .*; did you mean dynamometer\?"),
    "two strengths": (
        _strength(f"{NORM}\ngrip_kgf = 26"),
        "strength.grip_kgf: unknown with kind = 'norm'; it goes with 'dynamometer' or 'painless'",
    ),
    "dynamometer without reading": (
        _strength('kind = "dynamometer"'),
        "strength.grip_kgf: missing; give a number from 1 to 100 kgf",
    ),
    "reading in newton": (_strength('kind = "dynamometer"\ngrip_kgf = 255'), "must be from 1 to 100 kgf; .* in kgf"),
    "reading with its unit": (
        _strength('kind = "dynamometer"\ngrip_kgf = "26 kgf"'),
        "write 26 without quotes or unit",
    ),
    "negative reading": (_strength('kind = "painless"\ngrip_kgf = -3'), "strength.grip_kgf = -3: must be from 1"),
    "u below nought": (
        _strength('kind = "painless"\ngrip_kgf = { value = 12, u = -1 }'),
        "strength.grip_kgf.u = -1: must be a number from 0 to 99 kgf",
    ),
    "unit of another key": (
        _strength('kind = "dynamometer"\ngrip_N = 255'),
        r"strength.grip_N: unknown key; did you mean grip_kgf\?",
    ),
    "scale without its hook": (
        edited((NORM, LEVER_SCALE), ("hook_radius_mm = 100\n", "")),
        "strength.hook_radius_mm: missing; give a number from 30 to 250 mm",
    ),
    "scale at a span beyond the table": (
        edited((NORM, LEVER_SCALE), ("span_mm = 70", "span_mm = 140")),
        "strength.span_mm = 140: must be from 25 to 125 mm",
    ),
    "three hands": (
        edited((NORM, BATHROOM), ("hands = 2", "hands = 3")),
        "strength.hands = 3: must be a whole number from 1 to 2",
    ),
    "percentile beyond the table": (_strength('kind = "norm"\npercentile = 99'), "whole number from 5 to 95"),
    "percentile as a share": (_strength('kind = "norm"\npercentile = 0.3'), "percentile = 0.3: must be a whole number"),
    "too young for the norms": (
        edited(("age_years = 62", "age_years = 16")),
        "rider.age_years = 16: the norms cover 20 to 84 years; give a reading of your own",
    ),
    "too old for the norms": (edited(("age_years = 62", "age_years = 91")), "rider.age_years = 91: the norms cover"),
    "no such age": (edited(("age_years = 62", "age_years = 620")), "age_years = 620: must be a whole number from 8"),
    "age in quotes": (edited(("age_years = 62", 'age_years = "62"')), "age_years = '62': must be a whole number"),
    "unknown sex": (edited(('"woman"', '"female"')), "rider.sex = 'female': must be 'man' or 'woman'"),
    "unknown hand": (
        edited(("dominant_hand", "dominant_side")),
        r"rider.dominant_side: unknown key; did you mean dominant_hand\?",
    ),
    "reach told twice": (
        edited(("hand_length_mm = 175", "hand_length_mm = 175\nreach_mm = 80")),
        "size.hand_length_mm: stands beside reach_mm, and both say how far the hand reaches; give one",
    ),
    "reach told and felt": (
        edited(("hand_length_mm = 175", "hand_length_mm = 175\nlever_feels_far = true")),
        "size.lever_feels_far: stands beside hand_length_mm",
    ),
    "felt in quotes": (
        edited(("hand_length_mm = 175", 'lever_feels_far = "yes"')),
        "size.lever_feels_far = 'yes': must be true or false, without quotes",
    ),
    "hand in centimetres": (edited(("= 175", "= 17.5")), "size.hand_length_mm = 17.5: must be from 110 to 250 mm"),
    "fingers apart": (edited(("index+middle", "index+ring")), "pull.fingers = 'index.ring': must be 'all', 'index'"),
    "fingers as a list": (edited(('"index+middle"', '["index", "middle"]')), r"pull.fingers = \[.*must be 'all'"),
    "wrist beyond the table": (
        edited(("seated_extension_deg = 20", "seated_extension_deg = 80")),
        "wrist.seated_extension_deg = 80: must be from -65 to 65 °",
    ),
    "too unsure a wrist": (
        edited(("seated_extension_deg = 20", "seated_extension_deg = { value = 64, u = 30 }")),
        "wrist.seated_extension_deg.u = 30: must be a number from 0 to 6 °, .* 64 ° would reach out of .* -65 to 65 °",
    ),
    "wrist as unsure as the table is wide": (
        edited(("seated_extension_deg = 20", "seated_extension_deg = { value = 0, u = 130 }")),
        "wrist.seated_extension_deg.u = 130: must be a number from 0 to 70 °",
    ),
    "too unsure a forearm": (
        edited(("seated_extension_deg = 20", 'kind = "forearm"\nseated_forearm_deg = { value = -30, u = 6 }')),
        "wrist.seated_forearm_deg.u = 6: must be a number from 0 to 5 °",
    ),
    "two kinds of wrist": (
        edited(("seated_extension_deg = 20", "seated_extension_deg = 20\nseated_forearm_deg = 40")),
        "wrist.seated_forearm_deg: unknown with kind = 'angle'; it goes with 'forearm'",
    ),
    "unknown condition": (edited(('kind = "none"', 'kind = "sore"')), "condition.kind = 'sore': must be 'none'"),
    "condition worth more than health": (
        edited(('kind = "none"', "factor = 1.2")),
        "condition.factor = 1.2: must be from 0.05 to 1; check it",
    ),
    "key in a wrong section": (
        edited(("[pull]", "[pull]\nhand_span_mm = 180")),
        r"pull.hand_span_mm: unknown key; it belongs in \[size\]",
    ),
    "unknown section": (edited(("[wrist]", "[wrists]")), r"wrists: unknown section; did you mean wrist\?"),
}
