"""The search field in a real browser: from disk and over HTTP, under a strict policy, by keyboard alone."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from kb.pages.search_files import search_assets
from kb.search import query, read_index, sharding
from kb.search.sharding import LARGEST_PART
from tests.browser.search_site import write_index, write_site
from tests.browser.serving import SiteServers
from tests.browser.watching import WIDTHS, open_file, overflows, use_print, use_width
from tests.search.bench_pages import (
    BENCH,
    HOSTILE_TITLE,
    LOOK_ALIKES,
    QUERIES,
    look_alike_queries,
    made_up_pages,
)
from tests.search.bench_pages import page as bench_page

RARE = (
    *("volume", "volum", "volime", "volumetric", "ramp", "ramps", "ramping", "rampart", "bold", "bolt"),
    *("wirewound", "wire wound", "rate", "rat", "controlled", "controled", "press", "pressed"),
)


@pytest.fixture
def site(tmp_path: Path) -> Path:
    return write_site(tmp_path)


@pytest.fixture
def bench(watched_page: Page, site: Path) -> Page:
    open_file(watched_page, site / "faults" / "tape-runs-slow.html")
    return watched_page


def test_a_symptom_is_typed_found_and_followed_by_keyboard(bench: Page) -> None:
    bench.keyboard.press("/")
    expect(bench.get_by_role("combobox", name="Search")).to_be_focused()
    bench.keyboard.type("clock stopping")
    expect(bench.get_by_role("option")).not_to_have_count(0)
    first = bench.get_by_role("option").first
    expect(first.locator(".hs-search-title")).to_have_text("Clock stops after ten minutes")
    expect(first.locator(".hs-search-kind")).to_have_text("Fault")
    expect(first.locator(".hs-search-context")).to_have_text("sequencer stops when warm")
    bench.keyboard.press("ArrowDown")
    expect(first).to_have_attribute("aria-selected", "true")
    bench.keyboard.press("Enter")
    bench.wait_for_url("**/faults/clock-stops.html")


def test_enter_without_a_choice_opens_the_first_page_even_before_it_is_shown(bench: Page) -> None:
    bench.get_by_role("combobox").fill("lm339")
    bench.keyboard.press("Enter")
    bench.wait_for_url("**/parts/lm339-comparator.html")


def ranked_by_browser(page: Page, queries: Sequence[str]) -> dict[str, tuple[str, ...]]:
    ask = "query => halfsplitSearch.find(query, 1000).then(found => found.results.map(result => result.path))"
    return {text: tuple(page.evaluate(ask, text)) for text in queries}


def test_python_and_the_browser_rank_alike(bench: Page) -> None:
    index = read_index(search_assets(BENCH))
    ranked = ranked_by_browser(bench, QUERIES)
    assert ranked == {text: query(index, text) for text in QUERIES}
    assert sum(map(len, ranked.values())) > len(QUERIES)


@pytest.mark.parametrize("largest_part", [LARGEST_PART, 400])
def test_they_rank_look_alikes_alike_among_many_pages(
    watched_page: Page, site: Path, monkeypatch: pytest.MonkeyPatch, largest_part: int
) -> None:
    monkeypatch.setattr(sharding, "LARGEST_PART", largest_part)
    pages = [*BENCH, *made_up_pages(250, LOOK_ALIKES), *(bench_page(f"x/{word}.html", word) for word in RARE)]
    assets = search_assets(pages)
    write_index(site, assets)
    index = read_index(assets)
    queries = [*look_alike_queries(120), *RARE]
    open_file(watched_page, site / "about.html")
    assert ranked_by_browser(watched_page, queries) == {text: query(index, text) for text in queries}


def test_the_combobox_says_where_it_is(bench: Page) -> None:
    field = bench.get_by_role("combobox")
    expect(field).to_have_attribute("aria-expanded", "false")
    field.fill("st")
    expect(field).to_have_attribute("aria-expanded", "true")
    listbox = bench.get_by_role("listbox")
    assert field.get_attribute("aria-controls") == listbox.get_attribute("id")
    options = bench.get_by_role("option")
    bench.keyboard.press("ArrowUp")
    last = options.nth(options.count() - 1).get_attribute("id")
    assert field.get_attribute("aria-activedescendant") == last
    bench.keyboard.press("ArrowDown")
    assert field.get_attribute("aria-activedescendant") is None
    bench.keyboard.press("Escape")
    expect(listbox).to_be_hidden()
    expect(field).to_have_attribute("aria-expanded", "false")
    expect(field).to_have_value("st")
    bench.keyboard.press("ArrowDown")
    expect(listbox).to_be_visible()


def test_a_slash_is_a_slash_where_somebody_writes(bench: Page) -> None:
    note = bench.get_by_label("Note")
    note.focus()
    bench.keyboard.type("1/4")
    expect(note).to_have_value("1/4")


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("zzzz", "Nothing found for “zzzz”. Fewer or other words may help."),
        ("???", "Nothing found for “???”. Fewer or other words may help."),
        ("q", "Type two letters or more."),
        ("lm339", "1 page."),
        ("lm339 zzzz", "No page holds all of these words. 1 page with some of them."),
    ],
)
def test_the_field_says_plainly_what_was_found(bench: Page, typed: str, said: str) -> None:
    bench.get_by_role("combobox").fill(typed)
    expect(bench.locator(".hs-search-note")).to_have_text(said)
    expect(bench.get_by_role("status")).to_have_text(said)


def test_a_hostile_title_is_shown_as_text(bench: Page) -> None:
    bench.get_by_role("combobox").fill("<script>document")
    title = bench.locator(".hs-search-title").first
    expect(title).to_be_visible()
    assert title.evaluate("element => element.textContent") == HOSTILE_TITLE
    assert bench.locator(".hs-search-results :is(script, img)").count() == 0
    assert bench.title() != "broken"


def test_an_index_that_is_not_there_is_reported_and_tried_again(browser: Browser, site: Path) -> None:
    # Outside the watch: the browser itself complains of a file that is missing.
    with browser.new_context() as context:
        page = context.new_page()
        contents = site / "search" / "index.js"
        aside = contents.rename(site / "aside.js")
        open_file(page, site / "about.html")
        page.get_by_role("combobox").fill("clock")
        expect(page.locator(".hs-search-note")).to_have_text("The search index could not be loaded.")
        aside.rename(contents)
        page.get_by_role("combobox").fill("clock stops")
        expect(page.get_by_role("option")).not_to_have_count(0)


def test_a_site_built_anew_under_an_open_page_is_noticed(
    watched_page: Page, site_server: SiteServers, site: Path
) -> None:
    watched_page.goto(site_server(site) + "about.html")
    watched_page.get_by_role("combobox").fill("lm339")
    expect(watched_page.get_by_role("option")).to_have_count(1)
    write_site(site, BENCH[2:])
    watched_page.get_by_role("combobox").fill("hum")
    expect(watched_page.locator(".hs-search-title").first).to_have_text("Hum on all voices")


def test_a_query_in_the_address_is_answered_over_http(
    watched_page: Page, site_server: SiteServers, site: Path
) -> None:
    watched_page.goto(site_server(site) + "about.html?q=ls123")
    expect(watched_page.locator(".hs-search-title").first).to_have_text("74LS123")


def test_on_a_telephone_the_list_is_full_width_and_easy_to_touch(bench: Page) -> None:
    use_width(bench, 390)
    bench.get_by_role("combobox").fill("clock")
    panel = bench.locator(".hs-search-results")
    expect(bench.get_by_role("option").first).to_be_visible()
    box = panel.bounding_box()
    field = bench.get_by_role("combobox").bounding_box()
    option = bench.get_by_role("option").first.bounding_box()
    assert box
    assert field
    assert option
    assert (box["x"], box["width"]) == (0, 390)
    assert box["y"] >= field["y"] + field["height"]
    assert min(option["height"], field["height"]) >= 44
    assert not overflows(bench)


@pytest.mark.parametrize("side", ["left", "center", "right"])
@pytest.mark.parametrize("width", WIDTHS)
def test_the_list_stays_inside_the_window_wherever_the_field_is(bench: Page, width: int, side: str) -> None:
    use_width(bench, width)
    bench.evaluate("side => Object.assign(document.body.style, {display: 'grid', justifyItems: side})", side)
    bench.get_by_role("combobox").fill("clock")
    panel = bench.locator(".hs-search-results")
    expect(panel).to_be_visible()
    box = panel.bounding_box()
    assert box
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= width
    assert not overflows(bench)


def test_paper_has_no_search_field(bench: Page) -> None:
    use_print(bench)
    expect(bench.locator("form.hs-search")).to_be_hidden()
