"""The trim sheet on A4: every row on one sheet, room to write, cautions on top."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page, expect

from tests.browser.demo_pages import KINDS
from tests.browser.printed import Printed
from tests.browser.watching import open_file, use_paper

A4_PT = (595, 842)
ROOM_PX = 80
"""A written reading needs about 20 mm."""


def test_no_row_is_cut_on_a4(watched_page: Page, site: Path) -> None:
    open_file(watched_page, site / KINDS["trim sheet"])
    edge = dict.fromkeys(("top", "right", "bottom", "left"), "15mm")
    for scale in (1.0, 1.3):
        # Larger print moves the rows over the edge of the sheet.
        printed = Printed(watched_page.pdf(format="A4", margin=edge, tagged=True, scale=scale))
        ((width, height),) = printed.sizes_pt
        assert abs(width - A4_PT[0]) <= 2
        assert abs(height - A4_PT[1]) <= 2
        # What the capacitors hold stands in a table of its own, in the caution above.
        rows = printed.tables[-1]
        assert len(rows) == 4, "the head and three trims"
        assert all(len(sheets) == 1 for sheets in rows[1:]), rows


def test_there_is_room_to_write(watched_page: Page, site: Path) -> None:
    open_file(watched_page, site / KINDS["trim sheet"])
    use_paper(watched_page)
    blanks = watched_page.locator(".hs-sheet tbody td:nth-child(n+4)")
    assert blanks.count() == 6
    for blank in blanks.all():
        expect(blank).to_be_empty()
        box = blank.bounding_box()
        assert box
        assert box["width"] >= ROOM_PX
    expect(watched_page.get_by_text("Signature")).to_be_visible()
    expect(watched_page.locator(".hs-caution").first).to_be_visible()
