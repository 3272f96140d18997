"""Steps are read from the command line and from TOML, or refused in one line that says what is allowed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clutchwright.changes import CHANGES, Step, from_table, loads, parse
from clutchwright.errors import InputError


def test_a_kind_alone():
    assert parse("cable-service") == Step("cable-service")


def test_values_and_positions():
    step = parse(" washers : thickness_mm = 1.5 , positions = 1+4 ")
    assert step == Step("washers", {"thickness_mm": 1.5, "positions": (1, 4)})


def test_one_position():
    assert parse("springs-fewer:left_out=3").parameters == {"left_out": (3,)}


def test_a_toml_list_says_the_same_as_the_command_line():
    text = """
    [[change]]
    kind = "washers"
    thickness_mm = 1
    positions = [1, 4]

    [[change]]
    kind = "cable-service"
    friction = 0.06
    """
    expected = (parse("washers:thickness_mm=1,positions=1+4"), parse("cable-service:friction=0.06"))
    assert loads(text, "plan.toml") == expected


def in_range(parameter):
    if parameter.form == "positions":
        return st.lists(st.integers(int(parameter.low), int(parameter.high)), min_size=1, unique=True).map(tuple)
    if parameter.form == "whole":
        return st.integers(int(parameter.low), int(parameter.high)).map(float)
    return st.floats(parameter.low, parameter.high)


@given(st.data())
def test_what_a_step_prints_is_read_back_the_same(data):
    change = data.draw(st.sampled_from(list(CHANGES.values())))
    values = {parameter.name: data.draw(in_range(parameter)) for parameter in change.parameters}
    step = Step(change.kind, values)
    assert parse(str(step)) == step
    assert from_table([{"kind": step.kind} | values]) == (step,)


BROKEN = {
    "": r"^--with: change = '': no such change; known: arm-length, .*springs-fewer",
    "washer": r"^--with: change = 'washer': no such change; did you mean washers\? \(known: arm-length",
    "washers": r"^--with: washers: thickness_mm: missing; give a number from 0\.1 to 5 mm: thickness of the washer",
    "washers=2": r"^--with: change = 'washers=2': write washers:thickness_mm=2$",
    "cable-service=": r"write cable-service:friction=\.\.\.$",
    "washers:": r"^--with: washers = '': write kind:name=value",
    "washers:thickness_mm": r"^--with: washers = 'thickness_mm': write kind:name=value",
    "washers:thickness_mm=": r"write kind:name=value",
    "washers:=1": r"write kind:name=value",
    "washers:thickness_mm=1,": r"write kind:name=value",
    "washers:thickness=1": r"washers: thickness = 1\.0: no such value; did you mean thickness_mm\?",
    "washers:thickness_mm=1mm": r"washers: thickness_mm = '1mm': give a number from 0\.1 to 5 mm",
    "washers:thickness_mm=9": r"washers: thickness_mm = 9\.0: give a number from 0\.1 to 5 mm",
    "washers:thickness_mm=-1": r"give a number from 0\.1 to 5 mm",
    "washers:thickness_mm=nan": r"thickness_mm = nan: give a number",
    "washers:thickness_mm=inf": r"thickness_mm = inf: give a number",
    "washers:thickness_mm=1,thickness_mm=2": r"thickness_mm = '2': given twice; give it once",
    "washers:thickness_mm=1+2": r"thickness_mm = \(1, 2\): give a number",
    "washers:thickness_mm=1,positions=1+13": r"positions = \(1, 13\): give whole .* joined by \+, each from 1 to 12",
    "washers:thickness_mm=1,positions=1+1": r"positions = \(1, 1\): give whole numbers",
    "washers:thickness_mm=1,positions=1.5": r"positions = 1\.5: give whole numbers",
    "washers:thickness_mm=1,positions=a": r"positions = 'a': give whole numbers",
    "springs-fewer:left_out=1+" + "9" * 400: r"left_out = \(1, 9+\.\.\.: give whole numbers",
    "springs-fewer:left_out=1+" + "9" * 5000: r"left_out = '1\+9+\.\.\.: give whole numbers",
    "plates:extra_pairs=0.5": r"extra_pairs = 0\.5: give a whole number from 0 to 2",
    "cable-service:wax=1": r"wax = 1\.0: no such value; known: friction, drag_N",
}


@pytest.mark.parametrize("text", BROKEN, ids=range(len(BROKEN)))
def test_what_cannot_be_read_is_refused_in_one_line(text):
    with pytest.raises(InputError, match=BROKEN[text]) as caught:
        parse(text)
    assert "\n" not in str(caught.value)


TABLES = {
    "change": r"^plan: file: not TOML",
    "change = " + "[" * 20_000: r"^plan: file: not TOML: a number is too long, or lists are nested too deeply",
    "change = " + "9" * 5000: r"^plan: file: not TOML: a number is too long, or lists are nested too deeply",
    "change = [0x1" + "0" * 5000 + "]": r"^plan: change: a whole number of 20001 bits",
    "": r"^plan: file: write one table \[\[change\]\] for each step",
    "change = 3": r"^plan: file: write one table",
    "schema = 1\n[[change]]\nkind = 'plates'": r"^plan: file = 'schema': write one table",
    "change = [1]": r"^plan: \[\[change\]\] 1: change = 1: write a table",
    "[[change]]\nthickness_mm = 1": r"^plan: \[\[change\]\] 1: kind: is missing or no text",
    "[[change]]\nkind = 1": r"kind = 1: is missing or no text",
    "[[change]]\nkind = 'plates'\n[[change]]\nkind = 'plate'": r"^plan: \[\[change\]\] 2: change = 'plate': no such",
    "[[change]]\nkind = 'washers'\nthickness_mm = true": r"washers: thickness_mm = True: give a number",
    "[[change]]\nkind = 'washers'\nthickness_mm = '1'": r"washers: thickness_mm = '1': give a number",
    "[[change]]\nkind = 'springs-fewer'\nleft_out = []": r"left_out = \[\]: give whole numbers",
    "[[change]]\nkind = 'springs-fewer'\nleft_out = '1'": r"left_out = '1': give whole numbers",
}


@pytest.mark.parametrize("text", TABLES, ids=range(len(TABLES)))
def test_a_file_that_cannot_be_read_is_refused_in_one_line(text):
    with pytest.raises(InputError, match=TABLES[text]) as caught:
        loads(text, "plan")
    assert "\n" not in str(caught.value)


def test_every_change_of_the_model_is_there():
    assert set(CHANGES) >= {
        "perch-shift",
        "lever-turn",
        "cable-radius",
        "reach-screw",
        "inline-unit",
        "arm-length",
        "springs-softer",
        "springs-fewer",
        "washers",
        "cable-service",
        "cable-routing",
        "free-play",
        "cable-stiffer",
        "plates",
        "hydraulic",
        "assist-spring",
    }


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_every_change_says_what_it_gives_takes_and_costs(change):
    assert all((change.title, change.touches, change.gives, change.takes, change.caution))
    assert 0.0 <= change.price[0] <= change.price[1]
    assert change.free == (change.price == (0.0, 0.0))
    for parameter in change.parameters:
        assert parameter.low < parameter.high
        assert parameter.meaning
        assert parameter.default in (None, ()) or parameter.checked(parameter.default) == parameter.default
