"""Shares in words: neither none nor all where it is not quite so."""

import pytest

from clutchwright.changes import parse
from clutchwright.report.words import compared, counted, part_of_samples, seen, share, values_text


def plain(text):
    return text.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(
    ("part", "text"),
    [
        (0.0, "0 %"),
        (1e-9, "under 1 %"),
        (0.005, "under 1 %"),
        (0.0051, "1 %"),
        (0.12, "12 %"),
        (4090 / 4096, "over 99 %"),
        (0.995, "over 99 %"),
        (0.994, "99 %"),
        (1.0, "100 %"),
        (0.1 * 3 + 0.7, "100 %"),
        (1.07, "107 %"),
        (-0.03, "\N{MINUS SIGN}3 %"),
    ],
)
def test_a_share(part, text):
    assert plain(share(part)) == text


@pytest.mark.parametrize(
    ("part", "samples", "text"),
    [(0.0, 1024, "0 of 1024"), (1.0, 1024, "1024 of 1024"), (1 / 1024, 1024, "under 1 %"), (0.5, 100, "50 of 100")],
)
def test_a_share_of_samples(part, samples, text):
    assert plain(seen(part, samples)) == text


def test_a_share_of_samples_in_a_table():
    assert [plain(part_of_samples(part)) for part in (0.0, 1e-3, 0.2, 1.0)] == ["none", "under 1 %", "20 %", "all"]


def test_almost_all_are_counted_as_such():
    assert plain(counted(4090 / 4096, 4096)) == "4090 (over 99 %)"


@pytest.mark.parametrize(
    ("now", "before", "text"), [(75.0, 100.0, "25 % less"), (105.0, 100.0, "5 % more"), (100.2, 100.0, "the same")]
)
def test_a_force_against_the_one_before(now, before, text):
    assert plain(compared(now, before)) == text


@pytest.mark.parametrize(
    ("step", "text"),
    [
        ("cable-service", ""),
        ("arm-length:length_mm=35.292", "length 35.29 mm"),
        ("springs-softer:rate_share=0.9,positions=1+4", "rate \N{MULTIPLICATION SIGN} 0.9, positions 1, 4"),
        ("lever-turn:level_angle_deg=20", "level angle 20 °"),
        ("plates:friction_share=1.25,extra_pairs=1", "friction \N{MULTIPLICATION SIGN} 1.25, extra pairs 1"),
    ],
)
def test_values_of_a_change_are_words(step, text):
    assert plain(values_text(parse(step))) == text
