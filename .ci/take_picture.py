"""Takes the picture in README.md from a built demo site: `make picture`."""

from __future__ import annotations

import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

PAGE = "faults/trigger-too-short-first-series.html"


def take(site: Path, target: Path, chromium: str) -> None:
    """Save the top of one page as a PNG at the width of a bench laptop."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page(viewport={"width": 1200, "height": 1500})
        page.goto((site / PAGE).resolve().as_uri())
        page.screenshot(path=str(target))
        browser.close()


if __name__ == "__main__":
    take(Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3])
