"""The reference of bike files is the one that the table of keys writes."""

from pathlib import Path

from clutchwright.bikefile.reference import reference
from clutchwright.bikefile.schema import sections

PAGE = Path(__file__).parents[3] / "docs" / "reference" / "bike-file.md"

if __name__ == "__main__":
    PAGE.write_text(reference(), "utf-8")


def test_the_page_is_fresh():
    """When it is not, run this file as a program, with the package installed."""
    assert PAGE.read_text("utf-8") == reference()


def test_every_key_of_every_form_is_in_it():
    text = reference()
    for section, forms in sections().items():
        assert f"## [{section}]\n" in text
        for model in forms.values():
            missing = [name for name in model.model_fields if name != "each" and f"`{name}`" not in text]
            assert not missing
