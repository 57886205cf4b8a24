"""Pages fit a phone, a tablet on the bench and a desk, and what is on them can be read and touched."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.demo_pages import KINDS, MODEL, WITH_FLOW
from tests.browser.measuring import LEAST_TARGET_PX, cut_off, lettering
from tests.browser.watching import WIDTHS, open_file, overflows, use_dark, use_width

SMALLEST_LETTERING_PX = 11
TARGETS = (
    ".hs-search-input, .hs-serial-input, .hs-sections a, .md-header__button:not([hidden]), "
    ".hs-contents a, summary, .hs-chip"
)
SCROLLING = """boxes => boxes.flatMap(box => [box, ...box.querySelectorAll("*")]).filter(box =>
  box.scrollWidth > box.clientWidth + 1 && getComputedStyle(box).display !== "inline").length"""


def too_wide(page: Page) -> bool:
    return overflows(page) or bool(cut_off(page))


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("width", WIDTHS)
def test_no_kind_of_page_has_to_be_moved_sideways(
    watched_page: Page, site: Path, width: int, dark: bool
) -> None:
    use_width(watched_page, width)
    if dark:
        use_dark(watched_page)
    wide = {}
    for kind, path in KINDS.items():
        open_file(watched_page, site / path)
        if too_wide(watched_page):
            wide[kind] = cut_off(watched_page)
    assert not wide


@pytest.mark.parametrize("width", WIDTHS)
def test_an_answer_of_the_serial_box_fits_too(watched_page: Page, site: Path, width: int) -> None:
    use_width(watched_page, width)
    open_file(watched_page, site / MODEL)
    watched_page.get_by_label("Serial number of the unit").fill("1402")
    expect(watched_page.locator(".hs-serial-answer h3")).to_have_count(2)
    assert not too_wide(watched_page)


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("kind", ["model", "fault"])
def test_what_a_finger_has_to_hit_is_large_enough(
    watched_page: Page, site: Path, kind: str, width: int
) -> None:
    use_width(watched_page, width)
    open_file(watched_page, site / KINDS[kind])
    targets = watched_page.locator(TARGETS).locator("visible=true").all()
    assert len(targets) > 9
    boxes = {
        target.inner_text() or str(target.get_attribute("class")): target.bounding_box() for target in targets
    }
    assert not {
        name: box
        for name, box in boxes.items()
        if not box or min(box["height"], box["width"]) < LEAST_TARGET_PX
    }


@pytest.mark.parametrize("width", WIDTHS)
def test_the_words_in_a_flow_drawing_can_be_read(watched_page: Page, site: Path, width: int) -> None:
    use_width(watched_page, width)
    small = {}
    for path in WITH_FLOW:
        open_file(watched_page, site / path)
        sizes = lettering(watched_page, "svg.hs-flow")
        assert len(sizes) > 10, path
        small |= {f"{path}: {text}": size for text, size in sizes.items() if size < SMALLEST_LETTERING_PX}
    assert not small


@pytest.mark.parametrize("width", WIDTHS)
def test_the_words_in_a_figure_can_be_read(watched_page: Page, site: Path, width: int) -> None:
    use_width(watched_page, width)
    open_file(watched_page, site / KINDS["guide"])
    sizes = lettering(watched_page, "svg.hs-figure")
    assert sizes
    assert min(sizes.values()) >= 9


def test_all_of_a_caution_is_seen_on_a_phone_without_scrolling_sideways(
    watched_page: Page, demo: Path
) -> None:
    use_width(watched_page, WIDTHS[0])
    open_file(watched_page, demo / KINDS["revision"])
    cautions = watched_page.locator(".hs-caution")
    expect(cautions).not_to_have_count(0)
    assert cautions.evaluate_all(SCROLLING) == 0
    expect(watched_page.locator(".hs-stored td").first).to_be_visible()


def test_a_verdict_is_seen_on_a_phone_without_scrolling_sideways(watched_page: Page, demo: Path) -> None:
    use_width(watched_page, WIDTHS[0])
    open_file(watched_page, demo / KINDS["fault"])
    box = watched_page.locator(".hs-verdict-kept").bounding_box()
    assert box
    assert box["x"] + box["width"] <= WIDTHS[0]


@pytest.mark.parametrize("width", WIDTHS[:2])
def test_a_long_page_says_at_its_top_what_is_on_it(watched_page: Page, demo: Path, width: int) -> None:
    use_width(watched_page, width)
    open_file(watched_page, demo / MODEL)
    contents = watched_page.locator(".hs-contents")
    contents.get_by_text("On this page").click()
    contents.get_by_role("link", name="Checks and what is good").click()
    place = watched_page.get_by_role("heading", name="Checks and what is good")
    expect(place).to_be_in_viewport()
    top = watched_page.locator(".md-header").bounding_box()
    heading = place.bounding_box()
    assert top
    assert heading
    assert heading["y"] >= top["y"] + top["height"], "the bar covers the heading"


def test_a_wide_table_scrolls_in_its_own_box(watched_page: Page, demo: Path) -> None:
    use_width(watched_page, WIDTHS[0])
    open_file(watched_page, demo / MODEL)
    box = watched_page.get_by_role("group", name="Revisions compared")
    assert box.evaluate("box => box.scrollWidth > box.clientWidth")
    box.evaluate("box => { box.scrollLeft = 200 }")
    first = watched_page.get_by_role("rowheader", name="Serials", exact=True).bounding_box()
    assert first
    assert first["x"] >= 0, "the first column stays in sight"
