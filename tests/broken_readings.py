"""Files of readings that a person might hand in, each wrong in one way, with words that its message must hold."""

HEAD = "note,travel_mm,pull_N,return_N\n"
GOOD = HEAD + "resolution,1,0.5,0.5\n,10,80,50\n,20,92,57\n,30,95,59\n"


def edited(old: str, new: str, text: str = GOOD) -> bytes:
    """The good file with one thing changed."""
    assert text.count(old) == 1, old
    return text.replace(old, new).encode()


# Name of the file's ending, content, what the message must say.
BROKEN: dict[str, tuple[str, bytes, tuple[str, ...]]] = {
    "decimal comma, comma between": (".csv", edited(",20,92,57", ",20,92,5,57"), ("line 4", "decimal comma")),
    "decimal comma, semicolon between": (
        ".csv",
        b"travel_mm;pull_N\n10;80,5\n20;92,1\n30;95,0\n",
        ("line 2", "pull_N", "decimal point: 80.5"),
    ),
    "decimal comma in quotes": (".csv", edited(",20,92,57", ',20,"92,5",57'), ("line 4", "decimal point: 92.5")),
    "unit in the cell": (".csv", edited(",92,", ",92 N,"), ("line 4", "write 92 alone", "header names the unit")),
    "word in the cell": (".csv", edited(",92,", ",much,"), ("line 4", "pull_N", "must be a number")),
    "no unit in the header": (".csv", edited("pull_N", "pull"), ("line 1", "pull", "pull_N or pull_kgf or pull_kg")),
    "unknown unit in the header": (".csv", edited("pull_N", "pull_lb"), ("pull_lb", "must end in its unit")),
    "misspelt column": (".csv", edited("return_N", "retrun_N"), ("retrun_N", "did you mean return_N")),
    "column twice": (".csv", edited("return_N", "pull_N"), ("pull_N", "stands twice")),
    "pull below return": (
        ".csv",
        edited(",92,57", ",57,92"),
        ("line 4", "57 is below return = 92", "20 mm", "swapped"),
    ),
    "columns of pull and return swapped": (
        ".csv",
        edited("pull_N,return_N", "return_N,pull_N"),
        ("line 3", "friction only adds", "swapped"),
    ),
    "negative": (".csv", edited(",92,", ",-92,"), ("line 4", "pull_N = -92.0", "from 0 to 1000")),
    "far too much": (".csv", edited(",92,", ",92000,"), ("line 4", "from 0 to 1000", "unit")),
    "metres of travel as millimetres": (".csv", edited(",20,92", ",2000,92"), ("travel_mm", "from 0 to 150")),
    "no place": (".csv", edited(",20,92", ",,92"), ("line 4", "travel_mm", "missing in this row")),
    "place only": (".csv", b"travel_mm\n10\n20\n", ("travel_mm", "nothing was read")),
    "place for what has none": (".csv", b"travel_mm,hub_slip_Nm\n10,90\n", ("hub_slip_Nm", "stands for itself")),
    "no place for what needs one": (".csv", b"pull_N\n90\n91\n92\n", ("pull_N", "make travel_mm the first column")),
    "spring where there is none": (".csv", b"travel_mm,spring,pull_N\n9,1,90\n", ("spring", "spring_load")),
    "half a spring": (".csv", b"spring,spring_free_mm\n1.5,41\n", ("spring = 1.5", "from 1 to 12")),
    "too many cells": (".csv", edited(",30,95,59", ",30,95,59,61"), ("line 5", "5 cells", "header above it 4")),
    "open quote": (".csv", edited(",30,95", ',30,"95'), ("line 5", "no row of cells")),
    "one reading": (".csv", b"travel_mm,pull_N\n20,92\n", ("only 1", "at least 3", "bike file")),
    "nothing filled in": (".csv", HEAD.encode(), ("none in the file",)),
    "empty": (".csv", b"", ("none in the file",)),
    "unknown instrument": (
        ".csv",
        edited("resolution,1,0.5,0.5", "instrument,ruler,crane,crane"),
        ("crane", "give its resolution"),
    ),
    "no resolution": (
        ".csv",
        edited("resolution,1,0.5", "resolution,1,0"),
        ("resolution of", "= 0.0: must be above 0; give the step of its scale or display"),
    ),
    "negative resolution": (".csv", edited("resolution,1,0.5", "resolution,1,-0.5"), ("-0.5", "must be above 0")),
    "not UTF-8": (".csv", b"travel_mm,pull_N\n10,\xff\n", ("not UTF-8",)),
    "another kind of file": (".xlsx", GOOD.encode(), ("must end in .csv or .toml",)),
    "not TOML": (".toml", b"schema = 1\n[[block]\n", ("not TOML",)),
    "no schema": (".toml", b"[[block]]\ntravel_mm = [1]\npull_N = [2]\n", ("schema", "must be 1")),
    "newer schema": (".toml", b"schema = 2\n", ("schema = 2", "must be 1")),
    "no blocks": (".toml", b"schema = 1\ntravel_mm = [1]\n", ("travel_mm", "unknown key")),
    "block not a list": (".toml", b"schema = 1\n[block]\npull_N = [2]\n", ("[[block]]",)),
    "empty block": (".toml", b"schema = 1\n[[block]]\n", ("block 1", "is empty")),
    "lists of unlike length": (
        ".toml",
        b"schema = 1\n[[block]]\ntravel_mm = [1, 2, 3]\npull_N = [5, 6]\n",
        ("pull_N = 2", "same length, 3"),
    ),
    "text in a list": (".toml", b'schema = 1\n[[block]]\nhub_slip_Nm = ["90", 91]\n', ("hub_slip_Nm = '90'", "number")),
    "not a number in a list": (
        ".toml",
        b"schema = 1\n[[block]]\nhub_slip_Nm = [nan, 91, 92]\n",
        ("hub_slip_Nm = nan",),
    ),
    "instrument not a table": (
        ".toml",
        b'schema = 1\n[[block]]\nhub_slip_Nm = [90]\ninstrument = "wrench"\n',
        ("instrument", "must be a table"),
    ),
}
