"""By keyboard alone: everything that can be used is reached, in order, and one sees where one is."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.demo_pages import MODEL
from tests.browser.watching import WIDTHS, open_file, use_dark, use_width

MOST_STEPS = 400
# What has the focus and whether that shows, by an outline of its own or of what stands for it.
WHERE = """() => {
  const element = document.activeElement;
  if (!element || element === document.body) return null;
  const shown = element.matches("input[type=radio]") ? element.form : element;
  const style = getComputedStyle(shown), box = shown.getBoundingClientRect();
  return {
    name: element.closest(".md-nav, .hs-contents") ? "contents" : (element.getAttribute("aria-label") ||
      element.id || element.textContent || "").trim().slice(0, 60),
    kind: `${element.tagName.toLowerCase()}.${element.getAttribute("class") || ""}`,
    visible: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 1
      && Math.min(box.width, box.height) > 1,
    inSight: box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth,
  };
}"""


def steps(page: Page) -> list[dict[str, str | bool]]:
    """Everything the Tab key comes to, from the top of the page to its end."""
    met: list[dict[str, str | bool]] = []
    for _ in range(MOST_STEPS):
        page.keyboard.press("Tab")
        where = page.evaluate(WHERE)
        if where is None:
            return met
        met.append(where)
    pytest.fail("the Tab key never leaves the page")


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("width", [WIDTHS[0], WIDTHS[-1]])
def test_tab_comes_to_everything_and_shows_where_it_is(
    watched_page: Page, site: Path, width: int, dark: bool
) -> None:
    use_width(watched_page, width)
    if dark:
        use_dark(watched_page)
    open_file(watched_page, site / MODEL)
    met = steps(watched_page)
    names = [step["name"] for step in met]
    sections = ["Bench", "Symptoms", "Faults", "Models", "Parts", "Guides", "Handbook", "Jobs"]
    assert [name for name in names if name in sections][: len(sections)] == sections
    wanted = [
        "hs-search-input",
        "hs-serial-sixteenfold",
        "Revisions compared",
        "Revision A",
        "Signal flow",
        "Sockets",
    ]
    found = [name for name in names if name in wanted]
    assert [name for name in wanted if name not in found] == ([] if width > 719 else ["Signal flow"])
    assert found == sorted(found, key=wanted.index)
    assert [step for step in met if not step["visible"]] == []
    assert [step for step in met if not step["inSight"]] == []


def test_the_first_step_leads_past_the_bars(watched_page: Page, site: Path) -> None:
    open_file(watched_page, site / MODEL)
    watched_page.keyboard.press("Tab")
    skip = watched_page.locator(":focus")
    expect(skip).to_have_attribute("href", "#hs-main")
    expect(skip).to_be_in_viewport()
    watched_page.keyboard.press("Enter")
    watched_page.keyboard.press("Tab")
    assert watched_page.locator(":focus").evaluate("element => Boolean(element.closest('#hs-main'))")
    expect(watched_page.get_by_role("note", name="Caution: Mains voltage can kill").first).to_be_in_viewport()


def test_a_scroll_box_is_moved_by_the_arrows(watched_page: Page, site: Path) -> None:
    use_width(watched_page, WIDTHS[0])
    open_file(watched_page, site / MODEL)
    box = watched_page.get_by_role("group", name="Revisions compared")
    box.focus()
    watched_page.keyboard.press("ArrowRight")
    expect(box).not_to_have_js_property("scrollLeft", 0)


def test_folded_text_opens_by_keyboard(watched_page: Page, site: Path) -> None:
    open_file(watched_page, site / MODEL)
    summary = watched_page.get_by_text("The same in words")
    summary.focus()
    watched_page.keyboard.press("Enter")
    expect(
        watched_page.get_by_text("Mains inlet, fuse and transformer feeds Supply board").last
    ).to_be_visible()


def test_light_and_dark_are_chosen_by_keyboard(watched_page: Page, demo: Path) -> None:
    open_file(watched_page, demo / MODEL)
    watched_page.locator("input[name=__palette]").first.focus()
    watched_page.keyboard.press("Enter")
    expect(watched_page.locator("body")).to_have_attribute("data-md-color-scheme", "slate")
