"""Light and dark: every text stands out from what lies behind it, and the switch changes drawings too.

A page of each kind is opened in both, watched; so none complains in the dark either.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.demo_pages import FAULT, KINDS, MODEL
from tests.browser.measuring import faint_text
from tests.browser.watching import open_file, use_dark

SCHEMES = pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
AGREES = "faults/sorrel-gate-threshold-high.html"
MUST_BE_JUDGED = (
    *("p.", "a.", "dt.", "td.", "h1.", "h2.", "span.hs-caution-word", "p.hs-caution-why", "span.hs-quiet"),
    *("span.hs-verdict-kept", "span.hs-verdict-ok", "span.hs-tag", "a.hs-chip", "p.hs-note-note", "text."),
    *("code.", "placeholder.hs-search-input", "placeholder.hs-serial-input", "p.hs-sibling-title"),
)
INK = """() => {
  const of = (selector, what) => {
    const all = Array.from(document.querySelectorAll(selector));
    return getComputedStyle(all.find(element => element.getClientRects().length))[what];
  };
  return {
    paper: getComputedStyle(document.body).backgroundColor,
    text: of(".hs-page p", "color"),
    flowLines: of("svg.hs-flow .hs-flow-links path", "stroke"),
    flowWords: of("svg.hs-flow text", "fill"),
    axis: of("svg.hs-figure text", "fill"),
  };
}"""


def opened(page: Page, path: Path, dark: bool) -> Page:
    if dark:
        use_dark(page)
    open_file(page, path)
    page.evaluate("document.querySelectorAll('details').forEach(each => { each.open = true })")
    return page


@SCHEMES
def test_every_text_can_be_read_on_what_lies_behind_it(watched_page: Page, site: Path, dark: bool) -> None:
    faint: dict[str, dict[str, str]] = {}
    judged: set[str] = set()
    for path in (*KINDS.values(), AGREES):
        page_faint, page_judged = faint_text(opened(watched_page, site / path, dark))
        judged |= page_judged
        if page_faint:
            faint[path] = page_faint
    assert not faint
    assert [name for name in MUST_BE_JUDGED if not any(each.startswith(name) for each in judged)] == []


@SCHEMES
def test_an_answer_of_the_serial_box_and_the_pages_found_can_be_read(
    watched_page: Page, site: Path, dark: bool
) -> None:
    opened(watched_page, site / MODEL, dark)
    watched_page.get_by_label("Serial number of the unit").fill("1402")
    watched_page.get_by_role("combobox").fill("envelope")
    expect(watched_page.get_by_role("option")).not_to_have_count(0)
    watched_page.keyboard.press("ArrowDown")
    faint, judged = faint_text(watched_page)
    assert not faint
    assert {"span.hs-search-context", "p.hs-note-warning"} <= judged


@SCHEMES
def test_a_disagreement_can_be_read(watched_page: Page, site: Path, dark: bool) -> None:
    # The demo's records agree, so a verdict of the other kind is put in their place.
    opened(watched_page, site / FAULT, dark)
    watched_page.locator(".hs-verdict-kept").evaluate("verdict => { verdict.className = 'hs-verdict-bad' }")
    faint, judged = faint_text(watched_page)
    assert not faint
    assert "span.hs-verdict-bad" in judged


def test_faint_text_is_noticed(watched_page: Page, demo: Path) -> None:
    opened(watched_page, demo / FAULT, dark=False)
    watched_page.locator("h1").evaluate("heading => { heading.style.color = 'light-dark(#999, #000)' }")
    faint, _ = faint_text(watched_page)
    assert len(faint) == 1
    assert next(iter(faint)).startswith("h1.")


def test_the_switch_changes_page_and_drawings_and_is_remembered(watched_page: Page, demo: Path) -> None:
    open_file(watched_page, demo / MODEL)
    light = watched_page.evaluate(INK)
    watched_page.get_by_title("Dark").click()
    expect(watched_page.locator("body")).to_have_attribute("data-md-color-scheme", "slate")
    dark = watched_page.evaluate(INK)
    assert not [what for what in light if light[what] == dark[what]]
    watched_page.reload()
    assert watched_page.evaluate(INK) == dark
    open_file(watched_page, demo / KINDS["block"])
    expect(watched_page.locator("body")).to_have_attribute("data-md-color-scheme", "slate")
    watched_page.get_by_title("Light").click()
    open_file(watched_page, demo / MODEL)
    assert watched_page.evaluate(INK) == light


@pytest.mark.parametrize(("dark", "paper"), [(False, "rgb(255, 255, 255)"), (True, "rgb(23, 27, 30)")])
def test_a_first_visit_follows_the_system(watched_page: Page, site: Path, dark: bool, paper: str) -> None:
    assert opened(watched_page, site / MODEL, dark).evaluate(INK)["paper"] == paper
