"""Draws the picture in the README: an invented bike before and after two changes."""

from pathlib import Path

from clutchwright import usecases
from clutchwright.changes import parse
from clutchwright.picture import overview, render

PICTURE = Path(__file__).parent / "pictures" / "readme.svg"
STEPS = ("arm-length:length_mm=38", "cable-service")


def picture() -> bytes:
    """The picture as SVG."""
    assessment = usecases.assess_bike(usecases.read_demo(), [parse(step) for step in STEPS])
    return render(overview(assessment), "svg")


if __name__ == "__main__":
    PICTURE.write_bytes(picture())
