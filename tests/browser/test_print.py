"""On paper: no bars and no fields, all of every table, cautions as on the screen, black on white."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.demo_pages import FAULT, KINDS, MODEL
from tests.browser.measuring import clipped, cut_off, faint_text, lettering
from tests.browser.watching import open_file, overflows, use_dark, use_paper, use_print

SMALLEST_LETTERING_PX = 8
"""6 pt, the least that drawings on paper are read at."""

FURNITURE = (
    ".hs-bar, .hs-search, .hs-sections, .hs-footer, .hs-contents, .hs-serial, "
    ".md-header, .md-sidebar, .md-top"
)
FOLDED = """folds => folds.filter(fold =>
  fold.getClientRects().length && !fold.lastElementChild.offsetHeight).length"""
ADDED = """links => links.map(link => getComputedStyle(link, "::after").content)
  .filter(text => text !== "none")"""


def on_paper(page: Page, path: Path) -> Page:
    """The page laid out for the width that A4 leaves between its margins."""
    open_file(page, path)
    use_paper(page)
    return page


@pytest.mark.parametrize("kind", KINDS)
def test_paper_shows_the_whole_page_and_nothing_to_click_on(
    watched_page: Page, site: Path, kind: str
) -> None:
    page = on_paper(watched_page, site / KINDS[kind])
    expect(page.locator(FURNITURE).locator("visible=true")).to_have_count(0)
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    assert not overflows(page)
    assert not cut_off(page)
    assert not clipped(page)


def test_a_long_table_of_a_calculation_is_printed_whole(watched_page: Page, demo: Path) -> None:
    open_file(watched_page, demo / MODEL)
    table = watched_page.locator(".hs-calc-table").last
    assert table.evaluate("box => box.scrollHeight > box.clientHeight"), "on the screen it scrolls"
    use_print(watched_page)
    expect(table).to_have_css("max-height", "none")
    assert table.evaluate("box => box.scrollHeight <= box.clientHeight + 1")


@pytest.mark.parametrize("kind", ["model", "revision", "fault", "guide", "job"])
def test_cautions_stand_on_paper_as_on_the_screen(watched_page: Page, site: Path, kind: str) -> None:
    open_file(watched_page, site / KINDS[kind])
    screen = watched_page.locator(".hs-caution").all_inner_texts()
    assert screen
    page = on_paper(watched_page, site / KINDS[kind])
    expect(page.locator(".hs-caution").locator("visible=true")).to_have_count(len(screen))
    assert page.locator(".hs-caution").all_inner_texts() == screen


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("kind", ["model", "fault", "guide"])
def test_ink_is_dark_also_when_the_screen_was(watched_page: Page, site: Path, kind: str, dark: bool) -> None:
    if dark:
        use_dark(watched_page)
    page = on_paper(watched_page, site / KINDS[kind])
    faint, judged = faint_text(page, background="#fff")
    assert not faint
    assert len(judged) > 10


def test_links_are_black_like_the_text(watched_page: Page, site: Path) -> None:
    page = on_paper(watched_page, site / FAULT)
    colours = page.locator(".hs-page a").evaluate_all(
        "links => links.map(link => getComputedStyle(link).color)"
    )
    assert set(colours) == {"rgb(0, 0, 0)"}
    assert page.locator(".hs-page a").evaluate_all(ADDED) == [], (
        "an address behind each link hides the sentence"
    )


@pytest.mark.parametrize("kind", ["model", "revision", "fault", "part"])
def test_nothing_is_printed_folded(watched_page: Page, site: Path, kind: str) -> None:
    page = on_paper(watched_page, site / KINDS[kind])
    assert page.locator(".hs-page details").evaluate_all(FOLDED) == 0
    assert page.locator(".hs-sources").count() == page.locator(".hs-sources li:first-child").count()


def test_the_wide_drawing_is_printed_and_can_be_read(watched_page: Page, site: Path) -> None:
    page = on_paper(watched_page, site / MODEL)
    expect(page.locator("div.hs-flow-wide")).to_be_visible()
    expect(page.locator("div.hs-flow-compact")).to_be_hidden()
    assert min(lettering(page, "svg.hs-flow").values()) >= SMALLEST_LETTERING_PX


@pytest.mark.parametrize("kind", ["model", "fault"])
def test_the_sheets_are_a4(watched_page: Page, site: Path, kind: str) -> None:
    page = on_paper(watched_page, site / KINDS[kind])
    printed = page.pdf(format="A4", margin={"top": "10mm", "right": "10mm", "bottom": "10mm", "left": "10mm"})
    sizes = {tuple(map(float, size.split())) for size in re.findall(rb"/MediaBox \[([0-9. ]+)\]", printed)}
    assert sizes
    assert all(size == pytest.approx((0, 0, 595.3, 841.9), abs=2) for size in sizes), sizes
    assert 1 < len(re.findall(rb"/Type /Page\b", printed)) < 30
