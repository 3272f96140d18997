"""The reference of bike files is the one that the table of keys writes."""

from clutchwright.bikefile import reference_page
from clutchwright.bikefile.schema import sections


def test_every_key_of_every_form_is_in_it():
    text = reference_page()
    for section, forms in sections().items():
        assert f"## [{section}]\n" in text
        for model in forms.values():
            missing = [name for name in model.model_fields if name != "each" and f"`{name}`" not in text]
            assert not missing
