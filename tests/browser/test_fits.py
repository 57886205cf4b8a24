"""What fits what, narrowed to the units on the bench: on a phone, by keyboard, kept, without scripts."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.watching import open_file, overflows, use_width

NONSENSE = '[{"model": 3}, null, {"model": "x", "serial": ""}]'
OVERVIEW, UNIT = "fits/index.html", "fits/sixteenfold.html"


def put_on_bench(page: Page, model: str, serial: str = "") -> None:
    page.get_by_label("Unit", exact=True).select_option(label=model)
    page.get_by_label("Serial number, if you have it").fill(serial)
    page.get_by_role("button", name="Put it on the bench").click()


def test_on_a_phone_the_list_shrinks_to_what_stands_on_the_bench(watched_page: Page, site: Path) -> None:
    page = watched_page
    use_width(page, 390)
    open_file(page, site / UNIT)
    tallyman = page.get_by_role("link", name="Tallyman: Clock and run in").first
    expect(tallyman).to_be_visible()
    put_on_bench(page, "Sorrel", "SRL-0700")
    put_on_bench(page, "Sixteenfold", "SX16-0123")
    expect(page.locator("[data-hs-fits]").get_by_role("status")).to_have_text(
        "Only sockets of these are shown: Sorrel SRL-0700, Sixteenfold SX16-0123."
    )
    expect(page.get_by_label("Units on the bench")).to_contain_text("Sixteenfold SX16-0123, revision A")
    expect(tallyman).to_be_hidden()
    expect(page.locator("#trigger-out-early-into-sorrel-trigger-in")).to_be_visible()
    expect(page.locator("#trigger-out-early-into-sorrel-trigger-in-late")).to_be_hidden()
    expect(page.locator("#trigger-out-late-into-sorrel-trigger-in")).to_be_hidden()
    assert not overflows(page)


def test_the_bench_is_kept_and_narrows_the_matrix_too(watched_page: Page, plain_demo: Path) -> None:
    page = watched_page
    open_file(page, plain_demo / UNIT)
    put_on_bench(page, "Sorrel")
    open_file(page, plain_demo / OVERVIEW)
    heads = page.get_by_role("group", name="Gates, triggers and clocks").get_by_role("columnheader")
    assert {text.split()[0] for text in heads.all_inner_texts()} == {"Sorrel"}
    page.get_by_role("button", name="Clear the bench").click()
    assert {text.split()[0] for text in heads.all_inner_texts()} == {"Sixteenfold", "Sorrel", "Tallyman"}


def test_everything_is_done_by_keyboard_and_the_focus_is_not_lost(
    watched_page: Page, plain_demo: Path
) -> None:
    page = watched_page
    open_file(page, plain_demo / UNIT)
    page.get_by_label("Unit", exact=True).focus()
    page.keyboard.type("Sor")
    page.keyboard.press("Tab")
    page.keyboard.type("SRL-0700")
    page.keyboard.press("Enter")
    for _ in range(2):
        page.keyboard.press("Tab")
    expect(page.get_by_role("button", name="Remove Sorrel SRL-0700")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.get_by_label("Unit", exact=True)).to_be_focused()
    expect(page.locator("[data-hs-fits]").get_by_role("status")).to_contain_text(
        "Nothing stands on the bench"
    )


def test_a_link_to_a_working_opens_it_and_its_values_can_be_changed(
    watched_page: Page, plain_demo: Path
) -> None:
    page = watched_page
    open_file(page, plain_demo / UNIT)
    line = page.locator("#trigger-out-early-into-sorrel-trigger-in")
    line.get_by_role("link", name="The working").click()
    working = page.locator("details:has(#worked-trigger-out-early-into-sorrel-trigger-in)")
    one_shot = working.get_by_role("group", name="Calculation: One-shot")
    expect(one_shot).to_contain_text("15 kΩ")
    one_shot.get_by_role("button", name="Change the values").click()
    one_shot.get_by_label("Pulse").fill("10 ms")
    expect(one_shot.locator(".hs-calc-results:visible")).to_contain_text("22 kΩ")


def test_a_bench_of_nonsense_in_the_store_is_passed_over(watched_page: Page, plain_demo: Path) -> None:
    page = watched_page
    open_file(page, plain_demo / UNIT)
    page.evaluate("kept => localStorage.setItem('halfsplit fits: Lanternfold Bench', kept)", NONSENSE)
    page.reload()
    expect(page.locator("[data-hs-fits]").get_by_role("status")).to_contain_text(
        "Nothing stands on the bench"
    )


@pytest.mark.parametrize("path", [OVERVIEW, UNIT])
def test_without_scripts_all_can_be_read(browser: Browser, plain_demo: Path, path: str) -> None:
    with browser.new_context(java_script_enabled=False) as context:
        page = context.new_page()
        open_file(page, plain_demo / path)
        expect(page.locator("[data-hs-fits]")).to_be_hidden()
        expect(page.get_by_role("link", name="Sorrel").first).to_be_visible()
