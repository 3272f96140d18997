"""Every broken bike file is refused with one line that names the file, the key, the value and what to do."""

import re

import pytest

from clutchwright import bikefile
from clutchwright.errors import InputError
from tests.broken_bikes import BROKEN, GOOD, SAYS


@pytest.mark.parametrize("name", BROKEN)
def test_a_broken_file_is_refused_in_one_line(name):
    with pytest.raises(InputError) as caught:
        bikefile.loads(bikefile.decode(BROKEN[name], "broken.toml"), "broken.toml")
    line = str(caught.value)
    assert re.search(SAYS[name], line), line
    assert line.startswith("broken.toml: ")
    assert line.isprintable()
    assert len(line) < 600


def test_the_file_they_are_made_from_is_good():
    assert bikefile.loads(bikefile.decode(GOOD.encode(), "good.toml"), "good.toml").name == "A bike made up for tests"


def test_there_are_enough_of_them():
    assert len(BROKEN) >= 60
