"""Pages in other units: what is converted equals the original within its rounding, and all else stays as it is.

Worth of the units, with where they are from:

* 1 kgf = 9.80665 N, standard gravity, 3rd General Conference on Weights and Measures, 1901 (found).
* 1 lbf = 4.4482216152605 N, identity of 0.45359237 kg (international yard and pound agreement, 1959) and that gravity.
* 1 inch = 25.4 mm, the same agreement (found).
"""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clutchwright.web.units import in_units, page_in_units
from tests.web.workbench import client, filled

WORTH = {
    "N": Decimal(1),
    "kgf": Decimal("9.80665"),
    "lbf": Decimal("4.4482216152605"),
    "mm": Decimal(1),
    "inch": Decimal("25.4"),
}
NUMBERS = st.decimals(-99_999, 99_999, places=2) | st.decimals(-99, 99, places=4) | st.integers(0, 5000).map(Decimal)
SPACES = st.sampled_from([" ", "\N{NO-BREAK SPACE}"])
FORCES, LENGTHS = st.sampled_from(["N", "kgf", "lbf"]), st.sampled_from(["mm", "inch"])


def written(number: Decimal) -> str:
    return f"{number:f}".replace("-", "\N{MINUS SIGN}")


def read(text: str) -> Decimal:
    return Decimal(text.replace("\N{MINUS SIGN}", "-"))


def assert_within_rounding(text: str, original: Decimal, unit: str) -> None:
    found = read(text)
    step = Decimal(1).scaleb(found.as_tuple().exponent)
    assert abs(found - original / WORTH[unit]) <= step / 2 * Decimal("1.000001"), (text, original, unit)
    assert step * WORTH[unit] <= Decimal(1).scaleb(original.as_tuple().exponent) * 10, "not rounded more coarsely"


@given(first=NUMBERS, last=NUMBERS, between=st.sampled_from(["to", "±"]), space=SPACES, force=FORCES, length=LENGTHS)
def test_converted_numbers_equal_the_originals_within_their_rounding(first, last, between, space, force, length):
    for unit, wanted in (("N", force), ("mm", length)):
        text = f"It is {written(first)}{space}{between}{space}{written(last)}{space}{unit}, and that is it."
        found = in_units(text, force=force, length=length)
        one, other = re.fullmatch(
            rf"It is (\S+){space}{between}{space}(\S+){space}{wanted}, and that is it\.", found
        ).groups()
        assert_within_rounding(one, first, wanted)
        assert_within_rounding(other, last, wanted)


@given(number=NUMBERS, space=SPACES, force=FORCES, length=LENGTHS)
def test_a_page_says_in_its_text_what_plain_text_says(number, space, force, length):
    text = f"{written(number)}{space}N"
    page = f"<p>{text}</p><td>{text}</td>"
    assert page_in_units(page, force=force, length=length) == page.replace(
        text, in_units(text, force=force, length=length)
    )


@pytest.mark.parametrize(
    "text",
    [
        "91 N m",
        "91\N{NO-BREAK SPACE}N\N{NO-BREAK SPACE}m",
        "91 ± 4 N m",
        "27 N/mm",
        "0.8 J/mm²",
        "3 mm²",
        "3 mm/N",
        "12,000 N",
        "1.2.3 N",
        "v3 N",
        "5 Nm",
        "5N",
        "no N",
        "5 mms",
        "12 kg",
        "75.1 g mm",
    ],
)
def test_what_is_another_unit_stays_as_it_is(text):
    assert in_units(text, force="lbf", length="inch") == text


@pytest.mark.parametrize(
    "element",
    [
        "<svg><text>5 N</text><g><text>6 mm</text></g></svg>",
        "<textarea name='t'>\n5 N and 6 mm\n</textarea>",
        "<code>5 N</code>",
        "<script type='application/json'>\"5 N\"</script>",
        "<select><option value='5 N'>5 N</option></select>",
        "<input value='5 N' placeholder='6 mm'>",
        "<a href='?force=N' title='5 N'>N</a>",
        "<strong>mm</strong>",
    ],
)
def test_pictures_and_what_was_typed_stay_as_they_are(element):
    assert page_in_units(f"{element} 10 N", force="kgf", length="inch") == f"{element} 1.0 kgf"


def test_a_heading_that_is_a_unit_alone_is_the_unit_wanted():
    page = page_in_units("<th class='number'>N</th><th>mm</th><td>N</td>", force="kgf", length="inch")
    assert page == "<th class='number'>kgf</th><th>inch</th><td>N</td>"


def test_whoever_reads_in_other_units_finds_the_way_back(tmp_path):
    page = client(filled(tmp_path)).get("/bikes/four-spring-ramp.toml/claim?force=lbf&length=inch").text
    links = dict(re.findall(r'<a href="[^"]*[?;](?:force|length)=(\w+)">(\w+)</a>', page.partition('class="units"')[2]))
    assert links == {"N": "N", "kgf": "kgf", "mm": "mm"}


def test_no_number_of_a_page_keeps_its_unit(tmp_path):
    page = client(filled(tmp_path)).get("/bikes/four-spring-ramp.toml/heavy?samples=16&force=kgf&length=inch").text
    text = re.sub(r"<(svg|code|textarea|script|option)\b.*?</\1>|<[^>]*>", "|", page, flags=re.DOTALL)
    left = re.findall(r"\d\s(?:N|mm)\b(?!\sm\b)(?![/²])", text)
    assert len(re.findall(r"\d\s(?:kgf|inch)\b", text)) > 30
    assert left == []
