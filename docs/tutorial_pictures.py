"""Photograph the workbench on the tutorial's bike: python -m docs.tutorial_pictures. Needs Chromium."""

from __future__ import annotations

import io
import shutil
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page, sync_playwright

from clutchwright.web.app import create_app
from clutchwright.workspace import Workspace
from tests.web.browser import ARGUMENTS, CHROMIUM, DESK, PHONE
from tests.web.workbench import served

HERE = Path(__file__).parent
COLOURS = 48  # enough for lines and letters; a quarter of the bytes


def keep(page: Page, name: str, height: int) -> None:
    """Write what the page shows at its top, in few colours."""
    page.wait_for_load_state("networkidle")
    page.wait_for_timeout(1500.0)  # the charts are drawn after the page has come
    size = page.viewport_size or {"width": 0}
    shot = page.screenshot(clip={"x": 0, "y": 0, "width": size["width"], "height": height}, full_page=True)
    Image.open(io.BytesIO(shot)).quantize(COLOURS).save(HERE / "pictures" / name, optimize=True)


def main() -> None:
    """Take both pictures."""
    with tempfile.TemporaryDirectory() as name, sync_playwright() as play:
        folder = Path(name)
        for file in ("bike.toml", "hand.toml", "before.csv"):
            shutil.copy(HERE / "tutorial" / file, folder)
        browser = play.chromium.launch(executable_path=CHROMIUM, args=list(ARGUMENTS))
        with served(create_app(Workspace(folder))) as port:
            bike = f"http://127.0.0.1:{port}/bikes/bike.toml"
            page = browser.new_page(**PHONE)
            page.goto(f"{bike}/heavy")
            keep(page, "workbench-phone.png", 844)
            page = browser.new_page(**DESK)
            page.goto(f"{bike}/change?with=arm-length:length_mm%3D38")
            keep(page, "workbench-change.png", 900)
        browser.close()


if __name__ == "__main__":
    main()
