"""The reference of bike files is the one that the table of keys writes."""

from pathlib import Path

from clutchwright.bikefile import reference_page
from clutchwright.bikefile.schema import sections

PAGE = Path(__file__).parents[3] / "docs" / "reference" / "bike-file.md"


def test_the_page_is_fresh():
    assert PAGE.read_text("utf-8") == reference_page(), (
        "write docs/reference/bike-file.md again from clutchwright.bikefile.reference_page()"
    )


def test_every_key_of_every_form_is_in_it():
    text = reference_page()
    for section, forms in sections().items():
        assert f"## [{section}]\n" in text
        for model in forms.values():
            missing = [name for name in model.model_fields if name != "each" and f"`{name}`" not in text]
            assert not missing
