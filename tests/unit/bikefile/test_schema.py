"""The schema for editors takes the demo bikes and refuses what a typist gets wrong."""

import tomllib
from pathlib import Path

import jsonschema
import pytest

from clutchwright import bikefile
from clutchwright.bikefile.schema import sections
from clutchwright.quantity import unit_of
from clutchwright.tomlfile.keys import Count, Entry, Key, Pairs
from clutchwright.tomlfile.layout import entry_of
from tests.broken_bikes import BROKEN, CAM, COIL, DIAPHRAGM, GOOD, RACK, RAMP, SCREW, TABLE, edited

SCHEMA = bikefile.json_schema()
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)
DEMOS = sorted(Path(bikefile.__file__).parents[1].glob("demo/*.toml"))
# What a schema cannot see: values that do not fit each other, and how many of a thing there are.
SEEN = [
    "future schema",
    "no schema",
    "no name",
    "empty name",
    "missing section",
    "missing key",
    "missing kind of lift",
    "unknown section",
    "unknown key",
    "wrong unit in the key",
    "key of another kind",
    "unknown kind",
    "unknown word",
    "negative",
    "metres",
    "text",
    "unit in the value",
    "true",
    "list",
    "no value",
    "value out of range",
    "negative u",
    "unknown part",
    "unknown origin",
    "part of a number",
    "one spring",
    "flag in quotes",
    "springs not in tables",
    "spring without position",
    "curve too short",
    "lift table of threes",
    "lift table with text",
]


def test_it_is_a_schema_of_the_2020_dialect():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_it_takes_the_demo_bikes(path):
    VALIDATOR.validate(tomllib.loads(path.read_text("utf-8")))


@pytest.mark.parametrize("lift", [RACK, SCREW, RAMP, CAM, TABLE])
@pytest.mark.parametrize("springs", [COIL, DIAPHRAGM])
def test_it_takes_every_kind(lift, springs):
    VALIDATOR.validate(tomllib.loads(edited((RACK, lift), (COIL, springs))))


@pytest.mark.parametrize("name", SEEN)
def test_it_refuses_typical_mistakes(name):
    assert VALIDATOR.is_valid(tomllib.loads(GOOD))
    assert not VALIDATOR.is_valid(tomllib.loads(BROKEN[name].decode()))


def test_null_does_not_appear_since_toml_has_none():
    assert "null" not in str(SCHEMA)


KEYS = [
    pytest.param(model, name, id=f"{section}.{form}.{name}")
    for section, forms in sections().items()
    for form, model in forms.items()
    for name in model.model_fields
    if name != "each"
]


@pytest.mark.parametrize(("model", "name"), KEYS)
def test_every_key_is_explained(model, name):
    entry = entry_of(model, name)
    assert isinstance(entry, Key | Count | Pairs | Entry)
    assert entry.label
    assert entry.how.endswith(".")
    if isinstance(entry, Key):
        assert entry.u > 0.0 or entry.share > 0.0
        assert entry.limits[0] < entry.limits[1]
        assert unit_of(name) or not name.endswith(("_mm", "_deg"))


@pytest.mark.parametrize(("model", "name"), KEYS)
def test_every_assumption_lies_in_range_is_wide_and_has_a_source(model, name):
    entry = entry_of(model, name)
    assumed = entry.assumed if isinstance(entry, Key) else None
    if assumed is not None:
        low, high = entry.limits
        assert not model.model_fields[name].is_required()
        assert low <= assumed.value <= high
        # no better than a measurement would be; taken as exact only where 0 is the plain case
        assert assumed.u >= entry.bare_u(assumed.value) or (assumed.value, assumed.u) == (0, 0)
        assert assumed.source.startswith(("common practice, no source", "from memory: ", "found: ", "taken as "))
