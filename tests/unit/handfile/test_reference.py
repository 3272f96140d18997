"""The reference of hand files is the one that the table of keys writes."""

from pathlib import Path
from typing import get_args

import pytest

from clutchwright.hand.condition import CONDITIONS
from clutchwright.hand.fingers import FINGERS, checked_fingers
from clutchwright.handfile import LAYOUT, reference_page
from clutchwright.handfile.sections import Health, Pull

PAGE = Path(__file__).parents[3] / "docs" / "reference" / "hand-file.md"


def test_the_page_is_fresh():
    assert PAGE.read_text("utf-8") == reference_page(), (
        "write docs/reference/hand-file.md again from clutchwright.handfile.reference_page()"
    )


def test_every_key_of_every_form_is_in_it():
    text = reference_page()
    for section, forms in LAYOUT.sections().items():
        assert f"## [{section}]\n" in text
        for model in forms.values():
            missing = [name for name in model.model_fields if f"`{name}`" not in text]
            assert not missing


def test_each_condition_can_be_set_and_stands_with_its_published_share():
    words = get_args(Health.model_fields["kind"].annotation)
    assert words == tuple(condition.key for condition in CONDITIONS)
    assert all(f"| {condition.factor.source} |" in reference_page() for condition in CONDITIONS)


@pytest.mark.parametrize("words", get_args(Pull.model_fields["fingers"].annotation))
def test_each_choice_of_fingers_is_one_that_the_model_knows(words):
    names = FINGERS if words == "all" else tuple(words.split("+"))
    assert checked_fingers(names) == names
