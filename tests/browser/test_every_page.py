"""What holds for every page of the demo, asked in one walk: opened once, on a phone and on paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.demo_pages import FAULT, MODEL, all_pages
from tests.browser.measuring import clipped, cut_off
from tests.browser.watching import WIDTHS, open_file, overflows, use_paper, use_screen, watching

pytestmark = pytest.mark.slow

PLACES = """() => ({
  links: Array.from(document.links, link => link.href),
  anchors: Array.from(document.querySelectorAll("[id]"), element => element.id),
})"""

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


@dataclass(frozen=True)
class Seen:
    """What was seen of one page."""

    links: list[str]
    anchors: set[str]
    missing: list[str]
    too_wide: list[str]
    cut_on_paper: list[str]


@pytest.fixture(scope="module")
def walk(browser: Browser, demo: Path) -> Iterator[dict[Path, Seen]]:
    """Every page of the demo. The walk itself fails when a page complains or asks anything of the outside."""
    with watching(browser) as page:
        yield {path.resolve(): seen_of(page, path) for path in all_pages(demo)}


def seen_of(page: Page, path: Path) -> Seen:
    use_screen(page, WIDTHS[0])
    open_file(page, path)
    places = page.evaluate(PLACES)
    missing, too_wide = page.evaluate(MISSING), wide(page)
    use_paper(page)
    on_paper = [*wide(page), *clipped(page)]
    return Seen(places["links"], set(places["anchors"]), missing, too_wide, on_paper)


def wide(page: Page) -> list[str]:
    return cut_off(page) or (["the page itself"] if overflows(page) else [])


def found_wrong(walk: dict[Path, Seen], what: str) -> dict[str, list[str]]:
    return {path.name: getattr(seen, what) for path, seen in walk.items() if getattr(seen, what)}


def test_there_are_many_pages(walk: dict[Path, Seen]) -> None:
    assert len(walk) > 150


def test_every_link_leads_somewhere(walk: dict[Path, Seen]) -> None:
    assert not [
        f"{path.name}: {link}" for path, seen in walk.items() for link in seen.links if is_dead(link, walk)
    ]


def is_dead(link: str, walk: dict[Path, Seen]) -> bool:
    """Whether a link leaves the site, or names a page or a place in one that is not there."""
    parts = urlsplit(link)
    file = Path(unquote(parts.path))
    if (there := walk.get(file)) is not None:
        return bool(parts.fragment) and parts.fragment not in there.anchors
    # A page leads to captures too, which are files beside the pages.
    site = min(walk, key=lambda page: len(page.parts)).parent
    return parts.scheme != "file" or file.suffix == ".html" or not is_file_in(file, site)


def is_file_in(file: Path, folder: Path) -> bool:
    return file.is_file() and file.is_relative_to(folder)


def test_every_page_names_what_is_on_it(walk: dict[Path, Seen]) -> None:
    assert not found_wrong(walk, "missing")


def test_no_page_has_to_be_moved_sideways_on_a_phone(walk: dict[Path, Seen]) -> None:
    assert not found_wrong(walk, "too_wide")


def test_no_page_is_cut_off_on_paper(walk: dict[Path, Seen]) -> None:
    assert not found_wrong(walk, "cut_on_paper")


def test_a_field_without_a_label_is_noticed(watched_page: Page, demo: Path) -> None:
    open_file(watched_page, demo / FAULT)
    watched_page.locator(".hs-search label").evaluate("label => label.remove()")
    watched_page.locator(".hs-search-input").evaluate("input => input.removeAttribute('placeholder')")
    assert watched_page.evaluate(MISSING) == ["a field without a label"]


def test_a_page_that_does_not_fit_is_noticed(watched_page: Page, demo: Path) -> None:
    use_screen(watched_page, WIDTHS[0])
    open_file(watched_page, demo / MODEL)
    assert not wide(watched_page)
    watched_page.evaluate("document.querySelector('.hs-page h1').style.width = '600px'")
    assert wide(watched_page)
