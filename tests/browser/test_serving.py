"""The served site in a browser: problems come and go with the edits, and records are written from a form."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from kb.adapters import find_adapter
from kb.entry.questions import questions
from kb.serving.form_page import form_page
from kb.serving.rebuilding import Rebuilding
from kb.serving.server import Server
from kb.serving.showing import Showing
from tests.adapters.making import with_handbook
from tests.benches import HANDBOOK, copied
from tests.browser.test_accessibility import broken_rules
from tests.browser.watching import overflows, use_dark, use_width, watching
from tests.serving.asking import running


@dataclass(frozen=True)
class Served:
    """A shop that is served, its builds made when the test says so, and a page of it."""

    shop: Path
    bench: Rebuilding
    page: Page
    root: str


@pytest.fixture
def served(browser: Browser, tmp_path: Path) -> Iterator[Served]:
    shop, work = copied(tmp_path / "shop"), tmp_path / "work"
    work.mkdir()
    showing = Showing()
    bench = Rebuilding(shop, find_adapter("plain"), showing, work, tell=lambda _line: None)
    with with_handbook(HANDBOOK), running(Server(0, showing, form_page, questions(shop))) as server:
        assert bench.build()
        with watching(browser, lambda: (server.address.rstrip("/"),)) as page:
            yield Served(shop, bench, page, server.address)


def test_a_problem_stands_in_every_tab_above_the_last_good_site_and_goes_when_mended(served: Served) -> None:
    other = served.page.context.new_page()
    path = served.shop / "faults" / "pacer-short-pulse.yml"
    good = path.read_text(encoding="utf-8")
    for page in (served.page, other):
        page.goto(f"{served.root}faults/pacer-short-pulse.html")
        expect(page.locator(".hs-live")).to_have_count(0)
    path.write_text(good.replace("\nblock:", "\nblok:"), encoding="utf-8")
    assert not served.bench.build()
    for page in (served.page, other):
        strip = page.get_by_role("status", name="State of the records")
        expect(strip).to_contain_text("2 problems in the records; this is the last good site")
        expect(strip).to_contain_text('"blok" is not a key here; did you mean "block"?')
        expect(strip).to_contain_text("faults/pacer-short-pulse.yml:")
        expect(page.locator("h1")).not_to_have_text("A title after the edit")
    title = next(line for line in good.splitlines() if line.startswith("title:"))
    path.write_text(good.replace(title, "title: A title after the edit"), encoding="utf-8")
    assert served.bench.build()
    for page in (served.page, other):
        expect(page.locator("h1")).to_contain_text("A title after the edit")
        expect(page.locator(".hs-live")).to_have_count(0)


def test_a_new_fault_is_written_without_a_line_of_yaml(served: Served) -> None:
    page = served.page
    use_width(page, 390)
    page.goto(served.root)
    page.get_by_role("link", name="Write a record").click()
    page.get_by_label("Its id").fill("cracked-joint")
    page.keyboard.press("Enter")
    page.get_by_label("Title", exact=False).first.fill("NO pulse")
    page.get_by_role("group", name="Models").get_by_role("combobox").select_option("pacer")
    page.get_by_role("group", name="Symptoms").get_by_role("textbox").fill("0100")
    page.get_by_role("button", name="Add to symptoms").press("Enter")
    page.keyboard.type("It stops: at once")
    page.get_by_label("Cause", exact=False).fill("A crack.\n\nSeen under light.")
    page.get_by_role("group", name="Fix").get_by_role("textbox").fill("Solder it.")
    page.get_by_role("button", name="Check", exact=True).click()
    expect(page.get_by_role("heading", name="To be mended")).to_be_visible()
    block = page.get_by_label("Block", exact=False).first
    expect(block).to_have_attribute("aria-invalid", "true")
    page.get_by_role("button", name='"block" is missing').click()
    expect(block).to_be_focused()
    block.select_option("clock")
    assert not overflows(page)
    page.get_by_role("button", name="Show what will be written").click()
    expect(page.locator("#shown pre")).to_contain_text("title: NO pulse")
    path = served.shop / "faults" / "cracked-joint.yml"
    assert not path.exists()
    page.get_by_role("button", name="Write", exact=True).click()
    expect(page.locator("#done")).to_contain_text("faults/cracked-joint.yml written")
    assert path.read_text(encoding="utf-8") == (
        "title: NO pulse\nmodels:\n  - pacer\nblock: clock\nsymptoms:\n  - '0100'\n  - 'It stops: at once'\n"
        "cause: |\n  A crack.\n\n  Seen under light.\nfix:\n  - Solder it.\n"
    )
    assert served.bench.build()
    page.get_by_role("link", name="Its page").click()
    expect(page.locator("h1")).to_contain_text("NO pulse")


def test_an_old_record_is_changed_after_the_difference_was_shown(served: Served) -> None:
    path = served.shop / "faults" / "pacer-short-pulse.yml"
    before = f"# from the first unit\n{path.read_text(encoding='utf-8')}"
    path.write_text(before, encoding="utf-8")
    page = served.page
    page.goto(f"{served.root}faults/pacer-short-pulse.html")
    page.get_by_role("link", name="Edit this record").click()
    minutes = page.get_by_label("Minutes")
    expect(minutes).to_have_value("20")
    minutes.fill("95")
    expect(page.get_by_role("button", name="Write", exact=True)).to_be_hidden()
    page.get_by_role("button", name="Show what will be written").click()
    expect(page.locator("#shown .gone").last).to_have_text("-minutes: 20\n")
    expect(page.locator("#shown .added").last).to_have_text("+minutes: 95\n")
    page.get_by_label("Minutes").fill("96")
    expect(page.get_by_role("button", name="Write", exact=True)).to_be_hidden()
    page.get_by_role("button", name="Show what will be written").click()
    page.get_by_role("button", name="Write", exact=True).click()
    expect(page.locator("#done")).to_contain_text("written")
    assert path.read_text(encoding="utf-8") == before.replace("minutes: 20", "minutes: 96")


@pytest.mark.parametrize("is_dark", [False, True], ids=["light", "dark"])
def test_what_only_a_served_site_has_breaks_no_rule_of_accessibility(served: Served, is_dark: bool) -> None:
    page, broken = served.page, {}
    if is_dark:
        use_dark(page)
    page.goto(f"{served.root}faults/pacer-short-pulse.html")
    page.get_by_role("link", name="Edit this record").click()
    expect(page.get_by_label("Minutes")).to_have_value("20")
    broken["form"] = broken_rules(page)
    page.get_by_label("Minutes").fill("95")
    page.get_by_role("button", name="Show what will be written").click()
    expect(page.locator("#shown .added").last).to_have_text("+minutes: 95\n")
    broken["difference"] = broken_rules(page)
    page.get_by_label("Minutes").fill("soon")
    page.get_by_role("button", name="Check", exact=True).click()
    expect(page.get_by_role("heading", name="To be mended")).to_be_visible()
    broken["mistakes"] = broken_rules(page)
    (served.shop / "faults" / "odd.yml").write_text("titel: Odd\n", encoding="utf-8")
    assert not served.bench.build()
    page.goto(f"{served.root}faults/pacer-short-pulse.html")
    expect(page.get_by_role("status", name="State of the records")).to_be_visible()
    broken["problems"] = broken_rules(page)
    assert not any(broken.values()), broken
