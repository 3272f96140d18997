"""The drawings in docs/pictures are the ones that the formulas give now, and each is used."""

import re
from xml.etree import ElementTree

import pytest

from docs.drawings import DRAWINGS, PICTURES

NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
SVG = "{http://www.w3.org/2000/svg}"
TENTH = 0.11  # px: the last digit written may round either way on another machine


def differences(one: str, other: str) -> str:
    """Where two drawings differ by more than the rounding of their last digit; empty when they do not."""
    if NUMBER.sub("#", one) != NUMBER.sub("#", other):
        return "shapes or words differ"
    pairs = zip(NUMBER.findall(one), NUMBER.findall(other), strict=True)
    return ", ".join(f"{a} and {b}" for a, b in pairs if abs(float(a) - float(b)) > TENTH)


@pytest.mark.parametrize("name", DRAWINGS)
def test_the_drawing_is_fresh(name):
    stored = (PICTURES / f"{name}.svg").read_text("utf-8")
    assert not differences(stored, DRAWINGS[name]().svg()), "run: python3 tasks.py docs"


@pytest.mark.parametrize("name", DRAWINGS)
def test_the_drawing_is_on_a_page(name):
    pages = PICTURES.parent.rglob("*.md")
    assert any(f"pictures/{name}.svg)" in page.read_text("utf-8") for page in pages)


@pytest.mark.parametrize("name", DRAWINGS)
def test_words_stay_on_the_sheet(name):
    """By a generous width for each letter; a subscript counts like any other."""
    sheet = ElementTree.fromstring(DRAWINGS[name]().svg())  # noqa: S314 - our own text
    width, height = float(sheet.get("width")), float(sheet.get("height"))
    outside = []
    for text in sheet.iter(f"{SVG}text"):
        words = "".join(text.itertext())
        length = len(words) * (6.8 if "small" in text.get("class") else 7.4)
        left = float(text.get("x")) - {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor")] * length
        if left < 0 or left + length > width or not 12 <= float(text.get("y")) <= height - 5:
            outside.append(words)
    assert not outside


@pytest.mark.parametrize(
    ("one", "other", "found"),
    [
        ('x="1.2"', 'x="1.3"', ""),
        ('x="1.2"', 'x="1.4"', "1.2 and 1.4"),
        ('x="1.2"', 'y="1.2"', "shapes or words differ"),
    ],
)
def test_differences_are_found(one, other, found):
    assert differences(one, other) == found
