"""One module per stage or effect: pure functions and frozen stages on floats and arrays, SI units."""

PULL = 1.0
RETURN = -1.0
