"""The page of speed and its picture say what the kept figures beside the benchmarks say."""

from benchmarks.table import COLUMNS, kept
from docs import speed_page
from tests.docs.test_drawings import differences


def test_the_page_is_fresh():
    assert speed_page.PAGE.read_text("utf-8") == speed_page.page(), "run: python3 tasks.py docs"


def test_the_picture_is_fresh():
    assert not differences(speed_page.PICTURE.read_text("utf-8"), speed_page.picture()), "run: python3 tasks.py docs"


def test_every_kept_figure_tells_where_it_comes_from():
    for row in kept():
        assert list(row) == ["version", "commit", "date", "machine", "load", *COLUMNS]
        assert all(row[key] for key in ("version", "commit", "date", "machine", "benchmark"))
        assert float(row["figure"]) > 0.0 or row["figure"] == "nan"


def test_growth_is_measured_over_several_sizes():
    found = speed_page.growth()
    assert len(found) >= 4
    assert all(len(sizes) == len(times) >= 4 and list(sizes) == sorted(sizes) for sizes, times in found.values())
