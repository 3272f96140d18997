from importlib import resources

import pytest

from clutchwright.changes import CHANGES, Step
from clutchwright.errors import InputError
from clutchwright.study.catalogue import GRID, Range, loads
from clutchwright.study.catalogue_page import reference_page

HEAD = 'schema = 1\nname = "Garage"\n'
OIL = '[[option]]\nname = "Oil"\nchange = "cable-service"\n'
PLATES = '[[option]]\nname = "Plates"\nchange = "plates"\n'
PERCH = '[[option]]\nname = "Perch"\nchange = "perch-shift"\n'


def read(text):
    return loads(text, "mine.toml")


def test_an_option_with_one_value_has_one_choice():
    option = read(
        HEAD + OIL + 'friction = 0.09\nprice = 4\nhours = 0.5\nparts = ["oil"]\nreversible = false\n'
    ).options[0]
    assert option.choices == (Step("cable-service", {"friction": 0.09}),)
    assert (option.price, option.hours, option.parts, option.reversible) == (4.0, 0.5, ("oil",), False)


def test_what_is_left_out_is_the_kind_s_own():
    option = read(HEAD + OIL).options[0]
    assert (option.price, option.hours, option.reversible) == (20.0, 0.7, True)


def test_a_list_gives_a_choice_for_each_value():
    option = read(HEAD + PERCH + "shift_mm = { values = [10, 20.5] }\n").options[0]
    assert [step.parameters["shift_mm"] for step in option.choices] == [10.0, 20.5]
    assert option.free is None


def test_positions_may_be_listed():
    text = '[[option]]\nname = "Fewer"\nchange = "springs-fewer"\nleft_out = { values = [[1, 4], [2, 5]] }\n'
    assert [step.parameters["left_out"] for step in read(HEAD + text).options[0].choices] == [(1, 4), (2, 5)]


def test_a_range_gives_a_grid_between_its_ends():
    option = read(HEAD + PERCH + "shift_mm = { range = [10, 26] }\n").options[0]
    values = [step.parameters["shift_mm"] for step in option.choices]
    assert values == [10.0, 12.0, 14.0, 16.0, 18.0, 20.0, 22.0, 24.0, 26.0]
    assert len(values) == GRID
    assert option.free == Range("shift_mm", 10.0, 26.0)


def test_combinations_are_all_ways_to_choose():
    text = HEAD + OIL + PERCH + "shift_mm = { values = [10, 20, 30] }\n"
    assert read(text).combinations == 2 * 4


def test_prices_of_one_s_own_go_before():
    found = read(HEAD + OIL + PERCH + "shift_mm = 10\n").priced({"Oil": 3.5})
    assert [option.price for option in found.options] == [3.5, 0.0]


@pytest.mark.parametrize(
    ("name", "price", "message"),
    [
        ("Oli", 3.0, "price = 'Oli': no such option in 'Garage'; did you mean Oil?"),
        ("Oil", -1.0, "price of 'Oil': price = -1.0: give a number from 0 to 1000000"),
        ("Oil", float("nan"), "price of 'Oil': price = nan: give a number"),
    ],
)
def test_a_wrong_price_is_told(name, price, message):
    with pytest.raises(InputError) as told:
        read(HEAD + OIL).priced({name: price})
    assert message in str(told.value)


WRONG = {
    "schema = ": "mine.toml: file: not TOML:",
    'name = "Garage"\n' + OIL: "mine.toml: schema: must be 1; write schema = 1 at the top",
    'schema = 2\nname = "Garage"\n' + OIL: "mine.toml: schema = 2: must be 1",
    'schema = true\nname = "Garage"\n' + OIL: "mine.toml: schema = True: must be 1",
    "schema = 1\n" + OIL: "mine.toml: name: give the catalogue a name",
    HEAD: "mine.toml: option: write one table [[option]] for each",
    HEAD + "[[options]]\n": "mine.toml: options: unknown; did you mean option?",
    HEAD + "option = [1]\n": "mine.toml: [[option]] 1: option = 1: write a table [[option]]",
    HEAD + '[[option]]\nchange = "perch-shift"\n': "[[option]] 1: name: is missing or no text",
    HEAD + '[[option]]\nname = "Perch"\n': "[[option]] 1: change: is missing or no text",
    HEAD
    + OIL
    + '[[option]]\nname = "Perch"\nchange = "perch-shfit"\n': "[[option]] 2: change = 'perch-shfit': no such",
    HEAD + OIL + "prize = 4\n": "[[option]] 1: prize = 4: unknown; did you mean price?",
    HEAD + OIL + "frction = 0.1\n": "frction = 0.1: unknown; did you mean friction?",
    HEAD + OIL + "friction = 7\n": "cable-service: friction = 7: give a number from 0.02 to 0.4",
    HEAD + PERCH: "perch-shift: shift_mm: missing; give a number from 1 to 80 mm",
    HEAD + OIL + 'price = "4"\n': "price = '4': give a number from 0 to 1000000 with at most three decimals",
    HEAD + OIL + "price = -4\n": "price = -4: give a number from 0",
    HEAD + OIL + "hours = 0.0001\n": "hours = 0.0001: give a number from 0 to 1000000 with at most three decimals",
    HEAD + OIL + "hours = true\n": "hours = True: give a number",
    HEAD + OIL + 'reversible = "yes"\n': "reversible = 'yes': must be true or false, without quotes",
    HEAD + OIL + 'parts = "oil"\n': "parts = 'oil': give a list of texts",
    HEAD + OIL + 'excludes = ["Oil"]\n': "excludes = 'Oil': 'Oil' excludes no other option of this name; known: none",
    HEAD + OIL + 'excludes = ["Pech"]\n' + PERCH + "shift_mm = 10\n": "excludes = 'Pech': 'Oil' excludes no other",
    HEAD + OIL + OIL: "mine.toml: name = 'Oil': two options have this name",
    HEAD + PERCH + "shift_mm = { values = [] }\n": "shift_mm = []: as values give a list of 1 to 200 values",
    HEAD + PERCH + "shift_mm = { values = [5, 5] }\n": "shift_mm = [5, 5]: one value stands twice",
    HEAD + PERCH + "shift_mm = { values = [5, 500] }\n": "perch-shift: shift_mm = 500: give a number from 1 to 80 mm",
    HEAD
    + PERCH
    + "shift_mm = { range = [20, 10] }\n": "shift_mm = [20, 10]: as range give [low, high], low below high",
    HEAD + PERCH + "shift_mm = { range = [0, 10] }\n": "shift_mm = [0, 10]: as range give [low, high]",
    HEAD + PERCH + "shift_mm = { range = 10 }\n": "shift_mm = 10: as range give [low, high]",
    HEAD + PERCH + "shift_mm = { from = 10 }\n": "shift_mm = {'from': 10}: write { values = [...] } or { range",
    HEAD + PLATES + "extra_pairs = { range = [0, 2] }\n": "extra_pairs = {'range': [0, 2]}: write { values = [...] }",
    HEAD + OIL + "friction = { values = [0.1] }\ndrag_N = { values = [1] }\n": "friction, drag_N: only one value of an "
    "option may be left open",
}


@pytest.mark.parametrize(("text", "message"), WRONG.items(), ids=WRONG.values())
def test_what_cannot_be_read_is_told_in_one_line(text, message):
    with pytest.raises(InputError) as told:
        read(text)
    assert message in str(told.value)
    assert "\n" not in str(told.value)


def test_every_demo_catalogue_can_be_read():
    for file in resources.files("clutchwright").joinpath("demo", "catalogues").iterdir():
        found = loads(file.read_text("utf-8"), file.name)
        assert "invented" in found.name
        assert found.combinations > 1000


# Reference page


def test_the_example_of_the_page_can_be_read():
    lines = [line.removeprefix("    ") for line in reference_page().splitlines() if line.startswith("    ") or not line]
    found = loads("\n".join(lines), "page")
    assert [option.name for option in found.options] == [
        *("Oil the cable", "Longer release arm", "Softer springs", "Washers")
    ]
    assert found.options[1].free == Range("length_mm", 33.0, 41.0)


def test_the_page_names_every_key_and_every_change_with_its_values():
    text = reference_page()
    for key in ("name", "change", "price", "hours", "reversible", "parts", "excludes"):
        assert f"| `{key}` |" in text
    for change in CHANGES.values():
        assert f"(changes.md#{change.kind})" in text
        assert all(f"`{value.name}`" in text for value in change.parameters)
