"""Advice from measured bikes fails on the true ones no more often than it may, unless the file claims too much."""

from dataclasses import replace
from functools import cache

import pytest

from clutchwright.study import catalogue
from clutchwright.usecases import read_demo
from docs.calibration import CATALOGUE, EVENTS, OWNERS, Count, Owners, counted, trial

LIMIT = 0.02
BIKES = 100
SAMPLES = 256
OPTIONS = catalogue.loads(CATALOGUE, "calibration")
HONEST, BOASTING = OWNERS["of one size"], replace(OWNERS["of one size"], error=3.0)


@cache
def counts(owners: Owners) -> dict[str, Count]:
    """How the advice turned out, by event."""
    rows = [trial(number, read_demo(), OPTIONS, owners, (LIMIT,), SAMPLES) for number in range(BIKES)]
    return {count.event: count for count in counted("test", (LIMIT,), rows)}


@pytest.mark.parametrize("event", EVENTS)
def test_advice_fails_no_more_often_than_it_may(event):
    """So many failures must not be rarer than 1 in 100 for advice that fails just as often as it may."""
    count = counts(HONEST)[event]
    assert count.possible >= BIKES // 4
    assert count.stated <= LIMIT
    assert count.failed == 0 or count.chance > 0.01


def test_a_file_that_claims_too_much_is_found_out():
    """Errors three times as great as filed: here the same count must see advice that fails too often."""
    assert min(count.chance for count in counts(BOASTING).values() if count.failed) < 0.001
