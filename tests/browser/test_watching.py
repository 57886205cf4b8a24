"""The watch itself: a page that misbehaves is caught, a page that behaves is not."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.serving import SiteServers
from tests.browser.watching import WIDTHS, open_file, overflows, use_dark, use_print, use_width, watching

MISBEHAVIOUR = {
    "a console error": ("<script>console.error('no figure')</script>", "console error: no figure"),
    "a script that breaks": ("<script>absent.call()</script>", "script error: .*absent is not defined"),
    "a broken promise": ("<script>Promise.reject(new Error('late'))</script>", "script error: .*late"),
    "a picture from outside": (
        "<img src='https://outside.example/dot.png'>",
        r"request to the outside: GET https://outside\.example/dot\.png",
    ),
    "a script from a bare address": (
        "<script src='http://192.0.2.1/x.js'></script>",
        r"request to the outside: GET http://192\.0\.2\.1/x\.js",
    ),
    "a frame from outside": (
        "<iframe src='https://outside.example/'></iframe>",
        r"request to the outside: GET https://outside\.example/",
    ),
    "a beacon": (
        "<script>navigator.sendBeacon('https://outside.example/', 'opened')</script>",
        r"request to the outside: POST https://outside\.example/",
    ),
    "a web socket": (
        "<script>new WebSocket('ws://outside.example/')</script>",
        r"web socket: ws://outside\.example/",
    ),
    "a picture that is not there": ("<img src='absent.png'>", "console error: Failed to load resource"),
}


def written(folder: Path, body: str) -> Path:
    page = folder / "index.html"
    page.write_text(f"<!doctype html><html lang='en'><title>Bench</title><body>{body}</body></html>", "utf-8")
    return page


@pytest.mark.parametrize(("body", "complaint"), MISBEHAVIOUR.values(), ids=MISBEHAVIOUR)
def test_misbehaviour_is_caught(browser: Browser, tmp_path: Path, body: str, complaint: str) -> None:
    with pytest.raises(AssertionError, match=complaint), watching(browser) as page:
        open_file(page, written(tmp_path, body))


def test_a_server_that_is_not_ours_counts_as_outside(browser: Browser, tmp_path: Path) -> None:
    with SiteServers() as servers:
        address = servers(tmp_path)
        outside = f"request to the outside: GET {address}note"
        with pytest.raises(AssertionError, match=outside), watching(browser) as page:
            open_file(page, written(tmp_path, f"<img src='{address}note'>"))


def test_what_is_inline_or_served_by_us_is_no_misbehaviour(
    watched_page: Page, site_server: SiteServers, tmp_path: Path
) -> None:
    (tmp_path / "style.css").write_text("body { color: rgb(1, 2, 3) }", "utf-8")
    written(
        tmp_path, "<link rel=stylesheet href=style.css><img src='data:image/gif;base64,R0lGODlhAQABAAAAACw='>"
    )
    watched_page.goto(site_server(tmp_path))
    assert watched_page.evaluate("getComputedStyle(document.body).color") == "rgb(1, 2, 3)"


def test_a_page_opens_from_disk(watched_page: Page, tmp_path: Path) -> None:
    open_file(watched_page, written(tmp_path, "<h1>From disk</h1>"))
    assert watched_page.inner_text("h1") == "From disk"


def test_dark_and_print_are_seen_by_the_page(watched_page: Page, tmp_path: Path) -> None:
    open_file(watched_page, written(tmp_path, "<h1>Colours</h1>"))
    use_dark(watched_page)
    assert watched_page.evaluate("matchMedia('(prefers-color-scheme: dark)').matches")
    use_print(watched_page)
    assert watched_page.evaluate("matchMedia('print').matches")


@pytest.mark.parametrize("width", WIDTHS)
def test_a_page_too_wide_for_its_window_is_noticed(watched_page: Page, tmp_path: Path, width: int) -> None:
    open_file(watched_page, written(tmp_path, f"<div style='width: {width + 40}px'>wide</div>"))
    use_width(watched_page, width)
    assert overflows(watched_page)
    use_width(watched_page, width + 200)
    assert not overflows(watched_page)
