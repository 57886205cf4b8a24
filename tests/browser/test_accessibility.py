"""Names, landmarks and structure, for somebody who hears the page instead of seeing it.

The rules are those of axe-core, run on a page of each kind; what it does not ask is asked of every page.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.browser.demo_pages import FAULT, KINDS, MODEL, all_pages
from tests.browser.watching import WIDTHS, open_file, use_dark, use_width

MISSING = """() => {
  const named = (element) => (element.getAttribute("aria-labelledby") || "").split(" ")
    .every(id => id && document.getElementById(id)?.textContent.trim());
  const ids = Array.from(document.querySelectorAll("[id]"), element => element.id);
  const drawings = Array.from(document.querySelectorAll("svg.hs-flow, svg.hs-figure"));
  const rules = {
    "a drawing without title or description": drawings.some(svg =>
      !named(svg) || !["title", "desc"].every(name => svg.querySelector(name)?.textContent.trim())),
    "an image without a text": Array.from(document.images).some(image => !image.alt.trim()),
    "a field without a label": Array.from(document.querySelectorAll("input"))
      .filter(input => input.getClientRects().length)
      .some(input => !input.labels.length && !input.getAttribute("aria-label")),
    "a table without header cells": Array.from(document.querySelectorAll(".hs-page table"))
      .some(table => !table.querySelector("th[scope]") && !table.querySelector("thead th")),
    "an id twice": new Set(ids).size !== ids.length,
    "not one first heading": document.querySelectorAll("h1").length !== 1,
    "no main part, bar, search or foot": ["main", "header", "[role=search]", "nav", "footer"]
      .some(place => !document.querySelector(place)) || document.querySelectorAll("main").length !== 1,
    "no language": !document.documentElement.lang,
    "a link without words": Array.from(document.links)
      .filter(link => link.getClientRects().length)
      .some(link => !link.textContent.trim() && !link.getAttribute("aria-label")),
  };
  return Object.keys(rules).filter(rule => rules[rule]);
}"""


def broken_rules(page: Page) -> list[str]:
    # Without fetching style sheets anew, which a page from disk may not do.
    found = Axe().run(page, options={"preload": False}).response["violations"]
    return [f"{rule['id']}: {node['html'][:120]}" for rule in found for node in rule["nodes"]]


@pytest.mark.parametrize(
    ("width", "dark"), [(WIDTHS[-1], False), (WIDTHS[0], True)], ids=["desk-light", "phone-dark"]
)
def test_no_kind_of_page_breaks_a_rule_of_accessibility(
    watched_page: Page, site: Path, width: int, dark: bool
) -> None:
    use_width(watched_page, width)
    if dark:
        use_dark(watched_page)
    broken = {}
    for kind, path in KINDS.items():
        open_file(watched_page, site / path)
        if rules := broken_rules(watched_page):
            broken[kind] = rules
    assert not broken


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
    assert watched_page.evaluate(MISSING) == ["a field without a label"]


@pytest.mark.slow
def test_every_page_names_what_is_on_it(watched_page: Page, demo: Path) -> None:
    missing = {}
    for path in all_pages(demo):
        open_file(watched_page, path)
        if found := watched_page.evaluate(MISSING):
            missing[path.relative_to(demo).as_posix()] = found
    assert not missing


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
