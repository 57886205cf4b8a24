"""Names, landmarks and structure, for somebody who hears the page instead of seeing it.

The rules are those of axe-core, run on a page of each kind; `test_every_page.py` asks what it does not.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.browser.demo_pages import FAULT, KINDS, MODEL
from tests.browser.watching import WIDTHS, open_file, use_dark, use_width


def broken_rules(page: Page) -> list[str]:
    # Without fetching style sheets anew, which a page from disk may not do; what holds is not of interest.
    found = Axe().run(page, options={"preload": False, "resultTypes": ["violations"]}).response["violations"]
    return [f"{rule['id']}: {node['html'][:120]}" for rule in found for node in rule["nodes"]]


@pytest.mark.parametrize(
    ("width", "dark"), [(WIDTHS[-1], False), (WIDTHS[0], True)], ids=["desk-light", "phone-dark"]
)
def test_no_kind_of_page_breaks_a_rule_of_accessibility(
    watched_page: Page, demo: Path, width: int, dark: bool
) -> None:
    use_width(watched_page, width)
    if dark:
        use_dark(watched_page)
    assert not broken_by_kind(watched_page, demo, KINDS)


def test_nor_does_the_plain_frame_around_them(watched_page: Page, plain_demo: Path) -> None:
    assert not broken_by_kind(watched_page, plain_demo, ("home", "model", "fault", "handbook"))


def broken_by_kind(page: Page, site: Path, kinds: Iterable[str]) -> dict[str, list[str]]:
    broken = {}
    for kind in kinds:
        open_file(page, site / KINDS[kind])
        if rules := broken_rules(page):
            broken[kind] = rules
    return broken


def test_an_answer_and_a_list_of_pages_break_none_either(watched_page: Page, site: Path) -> None:
    open_file(watched_page, site / MODEL)
    watched_page.get_by_label("Serial number of the unit").fill("1402")
    watched_page.get_by_role("combobox").fill("envelope")
    expect(watched_page.get_by_role("option")).not_to_have_count(0)
    assert not broken_rules(watched_page)


def test_a_broken_rule_is_noticed(watched_page: Page, demo: Path) -> None:
    open_file(watched_page, demo / FAULT)
    watched_page.locator(".hs-search label").evaluate("label => label.remove()")
    watched_page.locator(".hs-search-input").evaluate("input => input.removeAttribute('placeholder')")
    assert broken_rules(watched_page)


def test_landmarks_are_called_by_name(watched_page: Page, site: Path) -> None:
    open_file(watched_page, site / FAULT)
    for place in ("main", "banner", "search", "contentinfo"):
        expect(watched_page.get_by_role(place)).to_have_count(1)  # type: ignore[arg-type]
    expect(watched_page.get_by_role("navigation", name="Sections")).to_have_count(1)


def test_a_caution_is_a_note_with_a_name(watched_page: Page, site: Path) -> None:
    open_file(watched_page, site / FAULT)
    expect(watched_page.get_by_role("note", name="Caution: Mains voltage can kill")).to_be_visible()


def test_links_in_a_drawing_are_links_to_everybody(watched_page: Page, site: Path) -> None:
    open_file(watched_page, site / MODEL)
    drawing = watched_page.get_by_role("group", name="Signal flow of the Sixteenfold")
    drawing.get_by_role("link", name="Trigger one-shot").click()
    expect(watched_page.get_by_role("heading", level=1)).to_have_text("Trigger one-shot")
