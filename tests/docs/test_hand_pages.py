"""The pages about the hand are fresh, name every kind of riding with its numbers, and lead to each other."""

from pathlib import Path

import pytest

from clutchwright.hand.riding import RIDINGS
from docs.hand_comparison import PAGE, SPANS_MM, hours, page, share

FOLDER = PAGE.parent


def test_the_comparison_is_fresh():
    assert PAGE.read_text("utf-8") == page(), "run: python3 tasks.py docs"


@pytest.mark.parametrize("sex", ["man", "woman"])
@pytest.mark.parametrize("span", SPANS_MM)
def test_what_the_comparison_says_in_words_is_so(sex, span):
    assert hours(share(sex, span, 36.0)) == "8 or more"
    assert (hours(share(sex, span, 98.0)) == "8 or more") == (sex == "man" and span <= 70)


@pytest.mark.parametrize("riding", RIDINGS.values(), ids=RIDINGS)
def test_each_kind_of_riding_stands_with_its_numbers(riding):
    text = (FOLDER / "endurance-and-the-day.md").read_text("utf-8")
    row = next(line for line in text.splitlines() if line.startswith(f"| `{riding.key}` |"))
    _, _, pulls, hold, duty, ridden, founded, _ = (cell.strip() for cell in row.split("|"))
    assert (pulls, hold, duty) == (f"{riding.rate * 3600:.0f}", f"{riding.hold:.1f}", f"{100 * riding.duty:.1f} %")
    assert ("assumed" in founded) == riding.assumed
    assert (ridden == "standing too") == riding.standing


def test_the_index_leads_to_every_page():
    text = (FOLDER / "index.md").read_text("utf-8")
    assert all(f"]({path.name})" in text for path in FOLDER.glob("*.md") if path.name != "index.md")


@pytest.mark.parametrize("path", sorted(Path(FOLDER).glob("*.md")), ids=lambda path: path.stem)
def test_pages_with_limits_or_conditions_carry_the_caution(path):
    if path.stem in ("index", "posture-and-condition", "endurance-and-the-day"):
        assert "medical advice" in path.read_text("utf-8")
