"""A message is one line that a terminal can show, whatever it speaks of."""

import pytest

from clutchwright.errors import InputError


@pytest.mark.parametrize("sign", ["\x1b", "\n", "\u202e", "\ufffe", "\udc80"])
def test_what_steers_a_terminal_is_written_out(sign):
    told = str(InputError(f"key{sign}", f"value{sign}", f"must be {sign}fine", f"file{sign}.toml"))
    assert told.isprintable()
    written = sign.encode("unicode_escape").decode()
    assert told.startswith(f"file{written}.toml: key{written} = ")


def test_a_value_that_cannot_be_written_out_is_still_refused():
    assert str(InputError("count", 10**5000, "must be less")) == "count = (too long to show): must be less"
    assert str(InputError("count", "9" * 90, "must be less")) == f"count = '{'9' * 76}...: must be less"
