"""What the stages refuse, with the reason."""

import numpy as np
import pytest

from clutchwright.errors import ModelRangeError, Refusal
from clutchwright.physics.lift import Rack, Screw, require_back_drive
from clutchwright.physics.springs import tensile_strength


def test_an_unknown_wire_is_named_with_the_known_ones():
    with pytest.raises(ModelRangeError, match=r"springs\.material = 'brass': not in the table; choose one of music,"):
        tensile_strength("brass", 2e-3)


@pytest.mark.parametrize(
    "lift",
    [Screw(3e-3, 0.02, 0.12, 0.0), Rack(5e-3, 1.0), Rack(5e-3, np.array([[0.1], [1.2]]))],
    ids=["self-locking screw", "all lost", "one sample of two"],
)
def test_a_lift_that_would_not_run_back_is_refused(lift):
    with pytest.raises(Refusal, match=r"below 100 % needed.*would not run back"):
        require_back_drive(lift)


def test_a_lift_that_runs_back_passes():
    require_back_drive(Screw(0.03, 0.015, 0.1, 0.0))
