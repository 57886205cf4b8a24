"""The demo shop's site as somebody uses it: opened from disk, searched, followed from page to page."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.demo_pages import FAULT, KINDS, MODEL, all_pages, kind_of
from tests.browser.serving import SiteServers
from tests.browser.watching import open_file

SECTIONS = ("Bench", "Symptoms", "Faults", "Models", "Parts", "Guides", "Handbook", "Calculators", "Jobs")


def test_the_bench_opens_from_disk(watched_page: Page, site: Path) -> None:
    open_file(watched_page, site / "index.html")
    expect(watched_page.get_by_role("heading", level=1)).to_have_text("Lanternfold Bench")
    sections = watched_page.get_by_role("navigation", name="Sections").get_by_role("link")
    names = sections.all_inner_texts()
    assert [name for name in SECTIONS if name not in names] == []
    expect(sections.first).to_have_text("Bench")
    assert sections.first.get_attribute("aria-current")


@pytest.mark.parametrize(
    ("symptom", "fault"),
    [
        ("envelope does not start", "First series sends triggers too short for older envelopes"),
        ("envelope not starting", "First series sends triggers too short for older envelopes"),
        ("patterns gone", "The backup pack has leaked, patterns are lost"),
    ],
)
def test_a_symptom_finds_its_faults(watched_page: Page, site: Path, symptom: str, fault: str) -> None:
    open_file(watched_page, site / "index.html")
    watched_page.get_by_role("combobox").fill(symptom)
    expect(watched_page.get_by_role("option").filter(has_text=fault)).to_have_count(1)


def test_a_symptom_is_followed_to_its_fault_without_a_mouse(watched_page: Page, site: Path) -> None:
    open_file(watched_page, site / KINDS["part"])
    watched_page.keyboard.press("/")
    expect(watched_page.get_by_role("combobox")).to_be_focused()
    watched_page.keyboard.type("patterns gone")
    first = watched_page.get_by_role("option").first
    expect(first.locator(".hs-search-kind")).to_have_text("Fault")
    title = first.locator(".hs-search-title").inner_text()
    watched_page.keyboard.press("Enter")
    expect(watched_page.get_by_role("heading", level=1)).to_contain_text(title)
    expect(watched_page.locator("#symptoms ~ .hs-symptoms")).to_contain_text("atterns are gone")


def follow(page: Page, name: str, within: str = ".hs-page") -> None:
    page.locator(within).get_by_role("link", name=name).first.click()


def heading(page: Page, text: str) -> None:
    expect(page.get_by_role("heading", level=1)).to_contain_text(text)


def test_from_a_fault_to_the_revision_where_the_same_symptom_has_another_cause(
    watched_page: Page, site: Path
) -> None:
    open_file(watched_page, site / FAULT)
    follow(watched_page, "Sixteenfold, revision D", within=".hs-sibling")
    heading(watched_page, "Sixteenfold, revision D")
    faults = watched_page.locator("#known-faults ~ .hs-faults, #faults ~ .hs-faults").first
    expect(faults).not_to_contain_text("First series sends triggers")
    follow(watched_page, "A look-alike one-shot in IC9")
    heading(watched_page, "A look-alike one-shot in IC9")
    follow(watched_page, "First series sends triggers", within=".hs-sibling")
    heading(watched_page, "First series sends triggers")


def test_from_a_fault_by_its_block_to_another_model_a_part_and_its_substitute(
    watched_page: Page, site: Path
) -> None:
    open_file(watched_page, site / FAULT)
    follow(watched_page, "Trigger one-shot")
    heading(watched_page, "Trigger one-shot")
    follow(watched_page, "Tallyman: Trigger outputs")
    heading(watched_page, "Trigger outputs")
    follow(watched_page, "Sixteenfold: Trigger one-shot")
    follow(watched_page, "74LS123", within=".hs-facts")
    heading(watched_page, "74LS123")
    follow(watched_page, "CD4538", within=".hs-substitutes")
    heading(watched_page, "CD4538")


def test_from_a_fault_to_what_is_related_and_to_the_units_it_was_seen_on(
    watched_page: Page, site: Path
) -> None:
    open_file(watched_page, site / FAULT)
    follow(watched_page, "SX16-0137", within="#seen-on ~ *")
    heading(watched_page, "Sixteenfold SX16-0137")
    watched_page.go_back()
    follow(watched_page, "A short trigger ends before the input has noticed it")
    heading(watched_page, "A short trigger ends before the input has noticed it")


def test_a_page_of_each_kind_is_among_those_looked_at_closely(demo: Path) -> None:
    assert {kind_of(page) for page in all_pages(demo)} == {kind_of(demo / path) for path in KINDS.values()}


def test_it_works_below_another_path_of_a_server(
    watched_page: Page, site: Path, site_server: SiteServers, tmp_path: Path
) -> None:
    (tmp_path / "bench").mkdir()
    (tmp_path / "bench" / "notes").symlink_to(site)
    root = site_server(tmp_path) + "bench/notes/"
    watched_page.goto(root + FAULT)
    watched_page.get_by_role("combobox").fill("envelope does not start")
    watched_page.get_by_role("option").first.click()
    expect(watched_page).to_have_url(re.compile(f"{re.escape(root)}faults/.+"))
    watched_page.goto(root + MODEL)
    watched_page.get_by_label("Serial number of the unit").fill("0500")
    watched_page.get_by_role("link", name="Open the page of this revision").click()
    expect(watched_page).to_have_url(root + "models/sixteenfold/revision-b.html")


@pytest.mark.parametrize("kind", KINDS)
def test_without_scripts_a_page_says_the_same(browser: Browser, site: Path, kind: str) -> None:
    with_scripts, buttons = lines_of(browser, site / KINDS[kind], scripts=True)
    without, _ = lines_of(browser, site / KINDS[kind], scripts=False)
    assert without
    assert with_scripts - buttons == without


def lines_of(browser: Browser, path: Path, scripts: bool) -> tuple[set[str], set[str]]:
    """The lines that stand on a page outside its forms, and which of them are buttons."""
    with browser.new_context(java_script_enabled=scripts) as context:
        page = context.new_page()
        open_file(page, path)
        expect(page.locator("form.hs-search")).to_be_visible(visible=scripts)
        texts = page.locator(".hs-page > *:not(form)").all_inner_texts()
        lines = {line for text in texts for line in text.splitlines() if line.strip()}
        return lines, set(page.locator(".hs-page button").all_inner_texts())


def test_without_scripts_the_serial_ranges_are_in_the_table(browser: Browser, site: Path) -> None:
    with browser.new_context(java_script_enabled=False) as context:
        page = context.new_page()
        open_file(page, site / MODEL)
        expect(page.get_by_label("Serial number of the unit")).to_be_hidden()
        assert "look the number up under “Serials”" in page.locator(".hs-serial").inner_text()
        row = page.get_by_role("row").filter(has=page.get_by_role("rowheader", name="Serials", exact=True))
        for ranges in ("SX16-0001 to SX16-0412", "SX16-0420 to SX16-0899", "SX16-1380 and up"):
            expect(row).to_contain_text(ranges)
