"""For all tests: whose lines are counted."""

from pathlib import Path

import pytest

# Many random bikes, and other programs: to follow every line of theirs doubles their time, and the floor for coverage
# is held by the tests of single things.
UNCOUNTED = ("independent", "property")
HERE = Path(__file__).parent


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if config.pluginmanager.hasplugin("_cov"):
        for item in items:
            if item.path.is_relative_to(HERE) and item.path.relative_to(HERE).parts[0] in UNCOUNTED:
                item.add_marker("no_cover")
