"""Bike files that cannot be used, each with what the one line about it must say."""

from __future__ import annotations

GOOD = """\
schema = 1
name = "A bike made up for tests"

[lever]
finger_radius_mm = 82
cable_radius_mm = 26
cable_angle_deg = 80
rest_span_mm = 78
stop_span_mm = 32
free_play_mm = 3

[cable]
friction = 0.12

[arm]
length_mm = 32
cable_angle_deg = 80

[lift]
kind = "rack"
pinion_radius_mm = 4.5

[springs]
kind = "coil"
count = 6
rate_N_per_mm = 27.0
free_length_mm = 41.0
installed_length_mm = 32.0
solid_length_mm = 26.0

[pack]
faces = 14
outer_mm = 122
inner_mm = 98

[drive]
engine_torque_Nm = 32
primary_ratio = 2.9
"""

RACK = 'kind = "rack"\npinion_radius_mm = 4.5'
COIL = GOOD[GOOD.index('kind = "coil"') : GOOD.index("\n\n[pack]")]
DIAPHRAGM = """\
kind = "diaphragm"
outer_mm = 126
inner_mm = 98
thickness_mm = 1.6
cone_height_mm = 2.75
deflection_mm = 1.8
plate_radius_mm = 62
pivot_radius_mm = 50
tip_radius_mm = 25"""
SCREW = 'kind = "screw"\nlead_mm = 25\nthread_diameter_mm = 16'
RAMP = 'kind = "ramp"\nramp_radius_mm = 14.5\nramp_angle_deg = 15.5'
CAM = 'kind = "cam"\neccentricity_mm = 5.5'
TABLE = 'kind = "table"\npoints = [[0, 0], [10, 0.8], [20, 1.6], [30, 2.3]]'


def edited(*edits: tuple[str, str], text: str = GOOD) -> str:
    """The good file with some of its text exchanged; each piece must be in it."""
    for old, new in edits:
        if old not in text:
            message = f"{old!r} is not in the file"
            raise ValueError(message)
        text = text.replace(old, new, 1)
    return text


def _finger(new: str) -> str:
    return edited(("finger_radius_mm = 82", f"finger_radius_mm = {new}"))


def _springs(*edits: tuple[str, str]) -> str:
    return edited((COIL, edited(*edits, text=DIAPHRAGM)))


def _each(tables: str) -> str:
    return edited(("[pack]", f"{tables}\n[pack]"))


_RANGE = "from 30 to 200 mm"

# name: (file, what the line must say, as a regular expression)
_TEXTS: dict[str, tuple[str, str]] = {
    "empty": ("", "file: empty"),
    "only a comment": ("# nothing here\n", "file: empty"),
    "not TOML": ("this is no bike file", "not TOML: .* line 1"),
    "JSON": ('{"schema": 1}', "not TOML"),
    "duplicate key": (edited(("[arm]", "[arm]\nlength_mm = 32")), "not TOML: .*overwrite"),
    "duplicate section": (GOOD + "[arm]\nlength_mm = 30\n", r"not TOML: .*twice"),
    "unclosed text": (edited(('made up for tests"', "made up for tests")), "not TOML: .*line 2"),
    "decimal comma": (_finger("82,5"), "not TOML"),
    "nested too deeply": ("schema = 1\nx = " + "[" * 20_000, "not TOML: a number is too long, or lists"),
    "whole number of 5000 digits": (_finger("9" * 5000), "not TOML: a number is too long"),
    "future schema": (edited(("schema = 1", "schema = 2")), "schema = 2: made by a newer version .* update"),
    "schema 0": (edited(("schema = 1", "schema = 0")), "schema = 0: must be 1"),
    "schema in quotes": (edited(("schema = 1", 'schema = "1"')), "schema = '1': must be 1"),
    "schema true": (edited(("schema = 1", "schema = true")), "schema = True: must be 1"),
    "no schema": (edited(("schema = 1\n", "")), "schema: must be 1; write schema = 1"),
    "huge schema": (
        edited(("schema = 1", "schema = 0x1" + "0" * 5000)),
        "schema: a whole number of 20001 bits, at most 64",
    ),
    "no name": (edited(('name = "A bike made up for tests"', "")), "name: missing; give this bike a name"),
    "empty name": (edited(("A bike made up for tests", "")), "name = '': must be a text of 1 to 100 characters"),
    "name is a number": (edited(('"A bike made up for tests"', "7")), "name = 7: must be a text"),
    "name on two lines": (
        edited(("made up", "made\\nup")),
        r"name = 'A bike made\\nup for tests': must .* on one line",
    ),
    "missing section": (edited(("[arm]\nlength_mm = 32\ncable_angle_deg = 80\n", "")), "arm: missing; the file needs"),
    "missing key": (edited(("stop_span_mm = 32\n", "")), "lever.stop_span_mm: missing; give a number from 5 to 120 mm"),
    "missing count": (edited(("count = 6\n", "")), "springs.count: missing; give it. Count the spring bolts"),
    "missing kind of lift": (
        edited(('kind = "rack"\n', "")),
        "lift.kind: must be one of rack, screw, ramp, cam, table",
    ),
    "unknown section": (GOOD + "[clearence]\n", r"clearence: unknown section; did you mean clearance\?"),
    "unknown section like none": (GOOD + "[gearbox]\n", "gearbox: unknown section"),
    "unknown key": (
        edited(("finger_radius_mm", "finger_radus_mm")),
        r"lever.finger_radus_mm: unknown key; did you mean finger_radius_mm\?",
    ),
    "unknown key like none": (
        edited(("[arm]", "[arm]\nqqq = 1")),
        "arm.qqq: unknown key; known are length_mm, cable_angle_deg",
    ),
    "wrong unit in the key": (
        edited(("rest_span_mm = 78", "rest_span_cm = 7.8")),
        r"lever.rest_span_cm: unknown key; did you mean rest_span_mm\?",
    ),
    "key outside its section": (
        edited(("[lever]", "faces = 14\n[lever]")),
        r"faces: unknown; it belongs in \[pack\]",
    ),
    "key in a wrong section": (
        edited(("[arm]", "[arm]\npinion_radius_mm = 4.5")),
        r"arm.pinion_radius_mm: unknown key; it belongs in \[lift\]",
    ),
    "key of another kind": (
        edited((RACK, RACK + "\nlead_mm = 20")),
        "lift.lead_mm: unknown with kind = 'rack'; it goes with 'screw'",
    ),
    "key with an escape sequence": (GOOD + '"\\u001b[31m" = 1\n', r"drive.\\x1b\[31m"),
    "section is a number": (edited(("[lever]", "lever = 3\n[spare]")), "spare: unknown section"),
    "section is an array": (edited(("[arm]", "[[arm]]")), r"arm = .*: must be a table, written \[arm\]"),
    "kind is an array": (edited(("[lift]", "[[lift]]")), r"lift = .*: must be a table, written \[lift\]"),
    "unknown kind": (edited(('"rack"', '"wrack"')), r"lift.kind = 'wrack': must be one of .*; did you mean rack\?"),
    "kind is a number": (edited(('"rack"', "5")), "lift.kind = 5: must be one of rack, screw"),
    "kind is a list": (edited(('"coil"', '["coil"]')), "springs.kind = .*: must be one of coil, diaphragm"),
    "unknown cable end": (
        edited(("[lever]", '[lever]\ncable_end = "close"')),
        "lever.cable_end = 'close': must be one of far, near, cam",
    ),
    "unknown word": (
        GOOD + '[clearance]\nboss = "wood"\n',
        "clearance.boss = 'wood': must be 'aluminium' or 'steel'",
    ),
    "negative": (_finger("-82"), f"lever.finger_radius_mm = -82: must be {_RANGE}; measure again"),
    "zero": (_finger("0"), f"lever.finger_radius_mm = 0: must be {_RANGE}"),
    "metres": (_finger("0.082"), f"lever.finger_radius_mm = 0.082: must be {_RANGE}; .* check that it is in mm"),
    "just too large": (_finger("200.0001"), _RANGE),
    "not a number": (_finger("nan"), f"lever.finger_radius_mm = nan: must be a number {_RANGE}"),
    "infinite": (_finger("inf"), f"lever.finger_radius_mm = inf: must be a number {_RANGE}"),
    "minus infinite": (_finger("-inf"), "must be a number"),
    "overflows": (_finger("1e999"), "lever.finger_radius_mm = inf: must be a number"),
    "huge whole number": (_finger("0x1" + "0" * 5000), "lever.finger_radius_mm: a whole number of 20001 bits"),
    "huge whole number in a list": (_finger("[0x1" + "0" * 5000 + "]"), "lever.finger_radius_mm: a whole number of"),
    "more dots than any key has": (GOOD + "a." * 60_000 + "a = 1\n", "more than 16 dots in a row at line"),
    "more dots with blanks": (GOOD + "a . " * 60_000 + "a = 1\n", "more than 16 dots in a row at line"),
    "text": (_finger('"long"'), f"lever.finger_radius_mm = 'long': must be a number {_RANGE}"),
    "unit in the value": (_finger('"82 mm"'), "write 82 without quotes or unit, the key names the unit"),
    "true": (_finger("true"), "lever.finger_radius_mm = True: must be a number"),
    "date": (_finger("2024-05-01"), "must be a number"),
    "list": (_finger("[82, 83]"), r"lever.finger_radius_mm = \[82, 83\]: must be a number"),
    "empty table": (_finger("{}"), "lever.finger_radius_mm.value: value is missing"),
    "no value": (_finger("{ u = 1 }"), "lever.finger_radius_mm.value: value is missing"),
    "value out of range": (_finger("{ value = 5, u = 1 }"), f"lever.finger_radius_mm.value = 5: must be {_RANGE}"),
    "negative u": (
        _finger("{ value = 82, u = -1 }"),
        "lever.finger_radius_mm.u = -1: must be a number from 0 to 170 mm",
    ),
    "infinite u": (_finger("{ value = 82, u = inf }"), "lever.finger_radius_mm.u = inf: must be"),
    "u is not a number": (_finger("{ value = 82, u = nan }"), "lever.finger_radius_mm.u = nan: must be"),
    "u in quotes": (
        _finger('{ value = 82, u = "1" }'),
        "lever.finger_radius_mm.u = '1': must be a number from 0 .*; write 1 without",
    ),
    "u wider than the range": (
        _finger("{ value = 82, u = 500 }"),
        "lever.finger_radius_mm.u = 500: must be a number from 0",
    ),
    "unknown part": (
        _finger("{ value = 82, error = 1 }"),
        "lever.finger_radius_mm.error = 1: unknown key; a quantity has value, u and origin",
    ),
    "unknown origin": (_finger('{ value = 82, origin = "guess" }'), 'origin = .guess.: must be one of "measured"'),
    "origin is a number": (_finger("{ value = 82, origin = 3 }"), "lever.finger_radius_mm.origin = 3: must be one of"),
    "part of a number": (edited(("count = 6", "count = 6.5")), "springs.count = 6.5: must be a whole number"),
    "count true": (edited(("count = 6", "count = true")), "springs.count = True: must be a whole number"),
    "one spring": (edited(("count = 6", "count = 1")), "springs.count = 1: must be a whole number from 3 to 12"),
    "flag in quotes": (
        edited(("faces = 14", 'faces = 14\nwear_closes_free_play = "yes"')),
        "pack.wear_closes_free_play = 'yes': must be true or false",
    ),
    "neither rate nor wire": (
        edited(("rate_N_per_mm = 27.0\n", "")),
        "springs.rate_N_per_mm: missing; measure it, or give the wire",
    ),
    "half a wire": (
        edited(("rate_N_per_mm = 27.0", "wire_mm = 2.6\ntotal_turns = 7")),
        "springs.outer_mm: missing; the wire needs all of",
    ),
    "springs not in tables": (edited(("count = 6", "count = 6\neach = 3")), r"each = 3: must be a list of tables"),
    "spring without position": (_each("[[springs.each]]\nfitted = false"), r"springs.each.1.position: missing"),
    "position beyond the count": (
        _each("[[springs.each]]\nposition = 7"),
        "springs.each.position = 7: must be from 1 to 6",
    ),
    "position 0": (_each("[[springs.each]]\nposition = 0"), "springs.each.1.position = 0: must be a whole number"),
    "position twice": (
        _each("[[springs.each]]\nposition = 2\n[[springs.each]]\nposition = 2"),
        "springs.each.position = 2: given twice",
    ),
    "unknown key of a spring": (
        _each("[[springs.each]]\nposition = 2\nrate = 20"),
        r"springs.each.1.rate: unknown key; did you mean",
    ),
    "all but one left out": (
        _each("".join(f"[[springs.each]]\nposition = {place}\nfitted = false\n" for place in range(1, 6))),
        "springs.each.fitted = False: at least 3 springs must be fitted",
    ),
    "curve and compression": (
        edited(("faces = 14", "faces = 14\ncompression_mm = 0.2\ncurve = [[0, 0], [0.1, 800], [0.2, 2000]]")),
        "pack.compression_mm = 0.2: given beside curve",
    ),
    "curve falls": (
        edited(("faces = 14", "faces = 14\ncurve = [[0, 0], [0.2, 800], [0.1, 2000]]")),
        r"pack.curve = \[0.1, 2000.0\]: must rise",
    ),
    "curve too short": (edited(("faces = 14", "faces = 14\ncurve = [[0, 0]]")), "pack.curve = .*: .* at least 3 pairs"),
    "lift table falls": (
        edited((RACK, TABLE.replace("1.6", "0.7"))),
        r"lift.points = \[20.0, 0.7\]: must rise from pair to pair",
    ),
    "lift table starts late": (
        edited((RACK, TABLE.replace("[0, 0]", "[5, 0]"))),
        r"lift.points = \[5, 0\]: .* the first \[0, 0\]",
    ),
    "lift table of threes": (
        edited((RACK, TABLE.replace("[10, 0.8]", "[10, 0.8, 1]"))),
        r"lift.points = \[10, 0.8, 1\]: must be a list",
    ),
    "lift table with text": (
        edited((RACK, TABLE.replace("[10, 0.8]", '[10, "0.8"]'))),
        r"lift.points = \[10, '0.8'\]: must be a list",
    ),
    "lift table not a number": (edited((RACK, TABLE.replace("0.8", "nan"))), r"lift.points = \[10, nan\]: must be"),
    "lever cannot close": (
        edited(("stop_span_mm = 32", "stop_span_mm = 78")),
        "lever.stop_span_mm = 78.0: must be below lever.rest_span_mm = 78",
    ),
    "free play eats the travel": (
        edited(("stop_span_mm = 32\nfree_play_mm = 3", "stop_span_mm = 60\nfree_play_mm = 18")),
        "lever.free_play_mm = 18.0: must be below the lever's full travel, 18 mm",
    ),
    "fingers beyond the blade": (
        edited(("[lever]", "[lever]\nblade_length_mm = 80")),
        "lever.finger_radius_mm = 82.0: must be below lever.blade_length_mm = 80",
    ),
    "lever passes its dead point": (
        edited(("cable_angle_deg = 80", "cable_angle_deg = 150")),
        "lever.cable_angle_deg = 150.0: the lever would pass its dead point .* turns by 32°",
    ),
    "arm passes its dead point": (
        edited(("length_mm = 32\ncable_angle_deg = 80", "length_mm = 32\ncable_angle_deg = 155"), ("4.5", "1.6")),
        "arm.cable_angle_deg = 155.0: the arm would pass its dead point at 25° of turn",
    ),
    "cam lifts too little": (
        edited((RACK, 'kind = "cam"\neccentricity_mm = 1\nstart_angle_deg = 60')),
        "lift = 'cam': lifts the plate by 0.13 mm at most, less than the pack's squash",
    ),
    "screw would not run back": (
        edited((RACK, SCREW.replace("25", "4"))),
        "lift.thread_friction = 0.13: friction takes .* of the returning moment",
    ),
    "ramp would not run back": (
        edited((RACK, RAMP.replace("15.5", "2\nrolling_friction = 0.05"))),
        "lift.rolling_friction = 0.05: friction takes .* of the returning moment",
    ),
    "coils touch": (
        edited(("solid_length_mm = 26.0", "solid_length_mm = 32.0")),
        "springs.solid_length_mm = 32.0: must be below springs.installed_length_mm = 32",
    ),
    "springs loose": (
        edited(("installed_length_mm = 32.0", "installed_length_mm = 41.0")),
        "springs.installed_length_mm = 41.0: must be below springs.free_length_mm = 41",
    ),
    "one spring loose": (
        _each("[[springs.each]]\nposition = 3\nfree_length_mm = 31"),
        "springs.installed_length_mm = 32.0: must be below springs.each.3.free_length_mm = 31",
    ),
    "spring inside wider than outside": (
        edited(("count = 6", "count = 6\ninner_mm = 20\nouter_mm = 18")),
        "springs.inner_mm = 20.0: must be below springs.outer_mm = 18",
    ),
    "springs loose by wear": (
        edited(("faces = 14", "faces = 14\nwear_mm = 9.5")),
        "springs = 'coil': would press with -81 N",
    ),
    "pack inside wider than outside": (
        edited(("inner_mm = 98", "inner_mm = 122")),
        "pack.inner_mm = 122.0: must be below pack.outer_mm = 122",
    ),
    "diaphragm inside wider than outside": (
        _springs(("inner_mm = 98", "inner_mm = 130")),
        "springs.inner_mm = 130.0: must be below springs.outer_mm = 126",
    ),
    "tips outside the pivot": (
        _springs(("tip_radius_mm = 25", "tip_radius_mm = 51")),
        "springs.tip_radius_mm = 51.0: must be below springs.pivot_radius_mm = 50",
    ),
    "pivot outside the plate's ring": (
        _springs(("plate_radius_mm = 62", "plate_radius_mm = 49.5")),
        "springs.pivot_radius_mm = 50.0: must be below springs.plate_radius_mm = 49.5",
    ),
    "plate's ring outside the spring": (
        _springs(("plate_radius_mm = 62", "plate_radius_mm = 64")),
        "springs.plate_radius_mm = 64.0: must be below springs.outer_mm x 0.5 = 63",
    ),
    "pivot inside the closed ring": (
        _springs(("pivot_radius_mm = 50", "pivot_radius_mm = 48")),
        "springs.pivot_radius_mm = 48.0: must be at least springs.inner_mm / 2 = 49",
    ),
    "diaphragm snapped through": (
        _springs(("cone_height_mm = 2.75", "cone_height_mm = 5"), ("deflection_mm = 1.8", "deflection_mm = 6.5")),
        "springs = 'diaphragm': would press with -.* N",
    ),
}

_BYTES: dict[str, tuple[bytes, str]] = {
    "not UTF-8": (GOOD.replace("bike", "b\u00efke").encode("latin-1"), "file: not UTF-8 text at byte 22"),
    "UTF-16": (GOOD.encode("utf-16"), "file: not UTF-8 text at byte 0"),
    "a picture": (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "file: not UTF-8 text at byte 0"),
    "zero bytes": (bytes(100), "not TOML"),
    "50 MB": (bytes(50_000_000), "must be at most 1000000 bytes"),
}

_ALL = {name: (text.encode(), says) for name, (text, says) in _TEXTS.items()} | _BYTES

BROKEN: dict[str, bytes] = {name: data for name, (data, _) in _ALL.items()}
SAYS: dict[str, str] = {name: says for name, (_, says) in _ALL.items()}
