"""The page of formulas and checks is the one that the formulas and checks give now."""

import importlib.util

import pytest

from tests.validation.rows import COPIES, all_rows


@pytest.fixture(scope="module")
def generator(pytestconfig):
    path = pytestconfig.rootpath / "docs" / "validation_page.py"
    spec = importlib.util.spec_from_file_location("validation_page", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_page_is_up_to_date(generator):
    stored = generator.PAGE.read_text("utf-8")
    assert stored == generator.page(), "run: python docs/validation_page.py"


@pytest.mark.parametrize(
    ("value", "expected", "shown"),
    [(1.0, 1.0, "< 0.001 %"), (1.01, 1.0, "1 %"), (0.999, 1.0, "0.1 %"), (1e-9, 0.0, "0"), (0.5, 0.0, "0.5")],
)
def test_difference_shown(generator, value, expected, shown):
    assert generator.off(value, expected) == shown


def test_each_copy_named_is_listed():
    named = {row.source.rpartition("[")[2].partition("]")[0] for row in all_rows() if "[" in row.source}
    assert named <= COPIES.keys()
