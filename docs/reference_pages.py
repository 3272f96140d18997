"""Writes the reference pages that the program says of itself: its files, changes, commands, what programs can ask."""

from pathlib import Path

import typer
from typer.cli import get_docs_for_click

from clutchwright import bikefile, changes, handfile
from clutchwright.cli import app
from clutchwright.readings.page import reference_page as readings_page
from clutchwright.study import catalogue_page
from docs import interface_pages

FOLDER = Path(__file__).parent / "reference"


def commands() -> str:
    """Reference of the command line, in Markdown."""
    command = typer.main.get_command(app)
    text = get_docs_for_click(obj=command, ctx=typer.Context(command), name="clutchwright", title="Commands")
    return text.rstrip() + "\n"


PAGES = {
    "bike-file.md": bikefile.reference_page,
    "hand-file.md": handfile.reference_page,
    "catalogue-file.md": catalogue_page.reference_page,
    "readings-file.md": readings_page,
    "changes.md": changes.reference_page,
    "commands.md": commands,
    "api.md": interface_pages.interface,
    "json.md": interface_pages.json_output,
}

if __name__ == "__main__":
    for name, page in PAGES.items():
        (FOLDER / name).write_text(page(), "utf-8", newline="\n")
